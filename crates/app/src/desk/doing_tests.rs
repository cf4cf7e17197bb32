//! What takes long at the desk: seen on its way, and stopped with nothing done.

use std::path::Path;
use std::sync::Arc;
use std::thread::{JoinHandle, sleep, spawn};
use std::time::Duration;

use base64::Engine as _;
use serde_json::{Value, json};

use super::Desk;
use super::tests::{ask, progress, sheet, small};
use crate::view::{Answer, ProgressView};

/// A list of so many chambers of our own making, near those of the small week.
fn list(rows: usize) -> Value {
    let mut text = "id,lon,lat,work,position,sections\n".to_owned();
    for row in 0..rows {
        let (lon, lat) = (
            -3.54 + (row % 100) as f64 * 1e-4,
            54.0 + (row / 100) as f64 * 1e-4,
        );
        text += &format!("L{row:05},{lon:.6},{lat:.6},new,footway,2\n");
    }
    let base64 = base64::engine::general_purpose::STANDARD.encode(text);
    let list = json!({"name": "long.csv", "base64": base64, "corrections": []});
    json!({"ask": "take_in", "list": list, "skip": [], "delete_gone": false})
}

/// What is seen of something on its way, until `until` says so of it; none where it is over before.
fn seen<T>(
    desk: &Desk,
    doing: &JoinHandle<T>,
    until: impl Fn(&ProgressView) -> bool,
) -> Option<ProgressView> {
    while !doing.is_finished() {
        let now = progress(desk);
        if now.running && until(&now) {
            return Some(now);
        }
        sleep(Duration::from_millis(1));
    }
    None
}

fn names(folder: &Path) -> Vec<String> {
    let all = std::fs::read_dir(folder).unwrap();
    let mut all: Vec<String> = all
        .map(|one| one.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    all.sort();
    all
}

#[test]
fn a_list_on_its_way_in_says_how_far_it_is_and_stopped_changes_nothing() {
    let desk = Arc::new(small());
    let before = sheet(&desk);
    let taking = spawn({
        let desk = Arc::clone(&desk);
        move || ask(&desk, list(3_000))
    });
    let rows = |now: &ProgressView| now.words.contains(" of 3,000 ");
    let Some(now) = seen(&desk, &taking, rows) else {
        let over = taking.join().unwrap().err().map(|one| one.text);
        panic!("nothing was seen of it before it was over: {over:?}");
    };
    assert_eq!(now.title, "Taking the list in");
    assert!(
        now.reading && now.fraction > 0.0 && now.fraction < 1.0,
        "{now:?}"
    );
    // Whoever changes something meanwhile is told why not.
    let refused = ask(&desk, json!({"ask": "undo"})).unwrap_err();
    assert!(
        refused
            .text
            .starts_with("Taking the list in is not over yet")
    );
    ask(&desk, json!({"ask": "stop"})).unwrap();
    let refused = taking.join().unwrap().unwrap_err();
    assert_eq!(refused.text, "It was stopped; nothing was changed.");
    assert!(!progress(&desk).running);
    let after = sheet(&desk);
    assert_eq!((after.jobs, after.plan), (before.jobs, before.plan));
    assert_eq!((after.undo, after.edition), (before.undo, before.edition));
    // And it can be taken in after all.
    ask(&desk, list(70)).unwrap();
    let jobs = sheet(&desk).jobs.len();
    assert_eq!(jobs, 12 + 70);
}

#[test]
fn a_list_that_is_looked_at_says_how_far_it_is_and_can_be_stopped() {
    let desk = Arc::new(small());
    let before = sheet(&desk);
    let look = |rows| json!({"ask": "preview", "list": list(rows)["list"]});
    let long = look(20_000);
    let looking = spawn({
        let desk = Arc::clone(&desk);
        move || ask(&desk, long)
    });
    for (what, part) in [(" read", 0.0..0.6), ("held against the jobs", 0.5..1.0)] {
        let rows =
            |now: &ProgressView| now.words.contains(" of 20,000 ") && now.words.contains(what);
        let now = seen(&desk, &looking, rows).expect("it is seen on its way");
        assert_eq!(now.title, "Looking at the list");
        assert!(now.reading && part.contains(&now.fraction), "{now:?}");
    }
    let refused = ask(&desk, json!({"ask": "undo"})).unwrap_err();
    let words = "Looking at the list is not over yet";
    assert!(refused.text.starts_with(words), "{}", refused.text);
    ask(&desk, json!({"ask": "stop"})).unwrap();
    let refused = looking.join().unwrap().unwrap_err();
    assert_eq!(refused.text, "It was stopped; nothing was changed.");
    let after = sheet(&desk);
    assert_eq!((after.undo, after.edition), (before.undo, before.edition));
    match ask(&desk, look(70)).unwrap() {
        Answer::Preview { preview } => assert_eq!(preview.fresh, 70),
        other => panic!("no preview but {other:?}"),
    }
}

#[test]
fn a_pack_is_written_whole_under_the_name_of_its_issue() {
    let place = tempfile::tempdir().unwrap();
    let desk = small();
    let within = place.path().join("for the client");
    let at = desk.save_pack(&within).unwrap();
    assert_eq!(Path::new(&at), within.join("Pack, draft"));
    ask(&desk, json!({"ask": "issue", "on": "2027-02-25"})).unwrap();
    let at = desk.save_pack(&within).unwrap();
    assert_eq!(Path::new(&at), within.join("Pack, issue 1"));
    let sheets = names(Path::new(&at));
    let of = |start: &str| sheets.iter().filter(|name| name.starts_with(start)).count();
    let gang_days = sheet(&desk).plan.unwrap().columns.len();
    assert_eq!((of("works."), of("gang-")), (2, gang_days));
    assert!(of("order-") > 0);
    for name in sheets.iter().filter(|name| name.ends_with(".html")) {
        let text = std::fs::read_to_string(Path::new(&at).join(name)).unwrap();
        assert!(text.contains("Issue 1, Thu 25 Feb 2027"), "{name}");
    }
    let draft = std::fs::read_to_string(within.join("Pack, draft/works.html")).unwrap();
    assert!(!draft.contains("Issue 1") && draft.contains("<dd>Draft</dd>"));
    match ask(&desk, json!({"ask": "pack"})).unwrap() {
        Answer::File { name, base64, .. } => {
            assert_eq!(name, "Pack, issue 1.zip");
            let bytes = base64::engine::general_purpose::STANDARD.decode(base64);
            assert!(bytes.unwrap().starts_with(b"PK\x03\x04"));
        }
        other => panic!("no file but {other:?}"),
    }
}

#[test]
fn a_pack_that_is_stopped_leaves_nothing() {
    let place = tempfile::tempdir().unwrap();
    let desk = Arc::new(Desk::default());
    ask(&desk, json!({"ask": "open_demo", "week": "full"})).unwrap();
    let writing = spawn({
        let (desk, within) = (Arc::clone(&desk), place.path().to_owned());
        move || desk.save_pack(&within)
    });
    let now = seen(&desk, &writing, |now| now.words.starts_with("Gang-day ")).unwrap();
    assert_eq!(now.title, "Writing the pack");
    ask(&desk, json!({"ask": "stop"})).unwrap();
    let refused = writing.join().unwrap().unwrap_err();
    assert_eq!(refused.text, "It was stopped; nothing was changed.");
    assert_eq!(names(place.path()), [""; 0]);
}
