//! What can't be used as it stands in a file is neither lost nor forgotten by edits of what lies beside it: a job
//! with another's id, a plan that can't be read, what opening found.

use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::tests::{plan, sheet, sheet_of, small, wait};
use crate::Desk;
use crate::view::{Answer, Sheet};

fn ask(desk: &Desk, request: Value) -> Answer {
    let request = serde_json::from_value(request).unwrap();
    desk.ask(request)
        .unwrap_or_else(|refused| panic!("{}", refused.text))
}

fn opened(path: &Path) -> Desk {
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path}));
    desk
}

fn edit(desk: &Desk, edit: &Value) -> Sheet {
    sheet_of(ask(desk, json!({"ask": "edit", "edit": edit})))
}

fn has(sheet: &Sheet, code: &str) -> bool {
    sheet.findings.iter().any(|one| one.code == code)
}

fn ids(sheet: &Sheet) -> Vec<&str> {
    let mut ids: Vec<&str> = sheet.jobs.iter().map(|job| job.id.as_str()).collect();
    ids.sort_unstable();
    ids
}

/// How many things of a job's id are left out.
fn aside(desk: &Desk, id: &str) -> usize {
    match ask(
        desk,
        json!({"ask": "aside", "file": "jobs.geojson", "place": id}),
    ) {
        Answer::Aside { rows } => rows.len(),
        other => panic!("nothing aside but {other:?}"),
    }
}

/// The small week in a folder in which something is changed, and the same as one file.
fn in_both(place: &Path, change: impl FnOnce(&Path)) -> [PathBuf; 2] {
    let (folder, file) = (place.join("week"), place.join("week.gpkg"));
    ask(&small(), json!({"ask": "save", "folder": folder}));
    change(&folder);
    ask(&opened(&folder), json!({"ask": "save", "folder": file}));
    [folder, file]
}

/// The same with other jobs.
fn with_jobs(place: &Path, change: impl FnOnce(&mut Value)) -> [PathBuf; 2] {
    in_both(place, |folder| {
        let path = folder.join("jobs.geojson");
        let mut jobs: Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
        change(&mut jobs["features"]);
        fs::write(&path, serde_json::to_vec(&jobs).unwrap()).unwrap();
    })
}

/// The small week with its seventh job called as its first.
fn with_a_twin(place: &Path) -> [PathBuf; 2] {
    with_jobs(place, twin)
}

fn twin(jobs: &mut Value) {
    jobs[6]["id"] = jobs[0]["id"].clone();
    jobs[6]["properties"]["note"] = json!("the seventh");
}

#[test]
fn an_edit_of_a_job_says_nothing_of_another_that_has_its_id() {
    let place = tempfile::tempdir().unwrap();
    for path in with_a_twin(place.path()) {
        let desk = opened(&path);
        let before = sheet(&desk);
        assert!(has(&before, "J-DUP"));
        let set = json!({"do": "set", "jobs": ["J001"], "properties": {"note": "mine"}});
        let after = edit(&desk, &set);
        assert!(has(&after, "J-DUP"), "{path:?}");
        assert_eq!(aside(&desk, "J001"), 1);
        ask(&desk, json!({"ask": "save"}));
        drop(desk);
        let again = opened(&path);
        assert!(has(&sheet(&again), "J-DUP"));
        assert_eq!(ids(&sheet(&again)), ids(&before));
    }
}

#[test]
fn a_job_whose_id_is_given_free_counts_at_once() {
    let place = tempfile::tempdir().unwrap();
    for path in with_a_twin(place.path()) {
        let desk = opened(&path);
        let before = sheet(&desk);
        let rename = json!({"do": "rename", "job": "J001", "to": "K1"});
        let after = edit(&desk, &rename);
        assert!(!has(&after, "J-DUP"), "{path:?}");
        assert_eq!(after.jobs.len(), before.jobs.len() + 1);
        assert!(ids(&after).contains(&"J001") && ids(&after).contains(&"K1"));
        assert_eq!(after.undo.as_deref(), Some("rename J001 to K1"));
        let undone = sheet_of(ask(&desk, json!({"ask": "undo"})));
        assert_eq!(
            (ids(&undone), &undone.findings),
            (ids(&before), &before.findings)
        );
        let redone = sheet_of(ask(&desk, json!({"ask": "redo"})));
        assert_eq!(ids(&redone), ids(&after));
        ask(&desk, json!({"ask": "save"}));
        drop(desk);
        let again = opened(&path);
        assert_eq!(ids(&sheet(&again)), ids(&after));
        assert!(!has(&sheet(&again), "J-DUP"));
    }
}

/// A twin that has a fault of its own as well stays left out when its id is free.
#[test]
fn a_job_whose_id_something_left_out_has_comes_back_with_undo() {
    let place = tempfile::tempdir().unwrap();
    let both = with_jobs(place.path(), |jobs| {
        twin(jobs);
        jobs[6]["properties"]["sections"] = json!("three");
    });
    for path in both {
        let mut desk = opened(&path);
        let before = sheet(&desk);
        edit(&desk, &json!({"do": "rename", "job": "J001", "to": "K1"}));
        assert_eq!(aside(&desk, "J001"), 1);
        for note in ["a", "b", "c"] {
            edit(
                &desk,
                &json!({"do": "set", "jobs": ["K1"], "properties": {"note": note}}),
            );
        }
        if path.is_file() {
            drop(desk);
            desk = opened(&path);
        }
        for _ in 0..4 {
            ask(&desk, json!({"ask": "undo"}));
        }
        let back = sheet(&desk);
        assert_eq!(
            (ids(&back), &back.findings),
            (ids(&before), &before.findings)
        );
        for _ in 0..4 {
            ask(&desk, json!({"ask": "redo"}));
        }
        assert!(ids(&sheet(&desk)).contains(&"K1"));
    }
}

#[test]
fn a_job_that_is_cut_and_pasted_writes_over_no_other_of_its_id() {
    let place = tempfile::tempdir().unwrap();
    let [_, path] = with_a_twin(place.path());
    let note = |desk: &Desk, id: &str| match ask(desk, json!({"ask": "stated", "jobs": [id]})) {
        Answer::Stated { jobs } => jobs[0].properties.get("note").cloned(),
        other => panic!("nothing stated but {other:?}"),
    };
    let desk = opened(&path);
    let before = sheet(&desk);
    let text = match ask(&desk, json!({"ask": "copy", "jobs": ["J001"]})) {
        Answer::Copied { text } => text,
        other => panic!("no copy but {other:?}"),
    };
    let cut = edit(&desk, &json!({"do": "delete", "jobs": ["J001"]}));
    assert_eq!(note(&desk, "J001"), Some(json!("the seventh")));
    let pasted = edit(&desk, &json!({"do": "paste", "text": text, "at": null}));
    let fresh = ids(&pasted);
    let fresh = fresh.iter().find(|id| !ids(&cut).contains(id)).unwrap();
    assert_ne!(*fresh, "J001");
    edit(
        &desk,
        &json!({"do": "move", "pins": [{"id": fresh, "at": [-3.53, 54.01]}]}),
    );
    let last = sheet(&desk);
    drop(desk);
    let again = opened(&path);
    assert_eq!(ids(&sheet(&again)), ids(&last));
    assert_eq!(note(&again, "J001"), Some(json!("the seventh")));
    for _ in 0..3 {
        ask(&again, json!({"ask": "undo"}));
    }
    drop(again);
    let back = opened(&path);
    assert_eq!(ids(&sheet(&back)), ids(&before));
    assert!(has(&sheet(&back), "J-DUP"));
    assert_ne!(note(&back, "J001"), Some(json!("the seventh")));
    assert_eq!(aside(&back, "J001"), 1);
}

/// The small week in a folder, and as one file, with a plan that is cut off.
fn with_half_a_plan(place: &Path) -> ([PathBuf; 2], Vec<u8>) {
    let half = b"{\"routes\": [{\"gang\": \"A\",".to_vec();
    let both = in_both(place, |folder| {
        fs::write(folder.join("plan.json"), &half).unwrap();
    });
    (both, half)
}

fn planned(desk: &Desk) {
    desk.ask(plan(20, 1)).unwrap();
    wait(desk);
    assert!(sheet(desk).plan.is_some());
}

#[test]
fn a_plan_that_cannot_be_read_stays_until_there_is_another_and_is_kept_beside_that() {
    let place = tempfile::tempdir().unwrap();
    let ([folder, _], half) = with_half_a_plan(place.path());
    let desk = opened(&folder);
    assert!(sheet(&desk).plan.is_none() && has(&sheet(&desk), "F-JSON"));
    let week =
        json!({"do": "row", "file": "week.json", "row": null, "members": {"temperature_c": 8}});
    assert!(has(&edit(&desk, &week), "F-JSON"));
    ask(&desk, json!({"ask": "save"}));
    assert_eq!(fs::read(folder.join("plan.json")).unwrap(), half);
    planned(&desk);
    ask(&desk, json!({"ask": "save"}));
    assert_eq!(fs::read(folder.join("plan-unread.json")).unwrap(), half);
    assert!(!has(&sheet(&desk), "F-JSON"), "there is another plan now");
    assert!(sheet(&opened(&folder)).plan.is_some());
    // Another that can't be read goes beside the first.
    let second = b"{\"routes\": 7".to_vec();
    fs::write(folder.join("plan.json"), &second).unwrap();
    let desk = opened(&folder);
    edit(&desk, &week);
    edit(
        &desk,
        &json!({"do": "set", "jobs": ["J001"], "properties": {"note": "mine"}}),
    );
    ask(&desk, json!({"ask": "save"}));
    assert_eq!(fs::read(folder.join("plan.json")).unwrap(), second);
    assert_eq!(fs::read(folder.join("plan-unread.json")).unwrap(), half);
    planned(&desk);
    ask(&desk, json!({"ask": "save"}));
    let both = [half, b"\n".to_vec(), second].concat();
    assert_eq!(fs::read(folder.join("plan-unread.json")).unwrap(), both);
}

#[test]
fn a_plan_in_a_file_that_cannot_be_read_comes_back_with_undo() {
    let place = tempfile::tempdir().unwrap();
    let ([_, file], half) = with_half_a_plan(place.path());
    let desk = opened(&file);
    assert!(sheet(&desk).plan.is_none() && has(&sheet(&desk), "F-JSON"));
    planned(&desk);
    drop(desk);
    let again = opened(&file);
    assert!(sheet(&again).plan.is_some() && !has(&sheet(&again), "F-JSON"));
    ask(&again, json!({"ask": "undo"}));
    ask(&again, json!({"ask": "redo"}));
    assert!(sheet(&again).plan.is_some());
    let undone = sheet_of(ask(&again, json!({"ask": "undo"})));
    assert!(undone.plan.is_none());
    drop(again);
    let back = place.path().join("back");
    crate::convert(&file, &back).unwrap();
    assert_eq!(fs::read(back.join("plan.json")).unwrap(), half);
}

#[test]
fn what_opening_found_is_still_said_after_an_edit_of_a_file() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    ask(&small(), json!({"ask": "save", "folder": path}));
    let bytes = fs::read(&path).unwrap();
    fs::write(&path, &bytes[..bytes.len() - 4096 * 3]).unwrap();
    let desk = opened(&path);
    let lost = |sheet: &Sheet| -> Vec<String> {
        let own = sheet.findings.iter();
        let own = own.filter(|one| ["F-DAMAGED", "F-LOST"].contains(&one.code.as_str()));
        own.map(|one| one.text.clone()).collect()
    };
    let before = lost(&sheet(&desk));
    assert!(!before.is_empty());
    let week =
        json!({"do": "row", "file": "week.json", "row": null, "members": {"temperature_c": 8}});
    assert_eq!(lost(&edit(&desk, &week)), before);
    let note = json!({"do": "set", "jobs": ["J001"], "properties": {"note": "mine"}});
    assert_eq!(lost(&edit(&desk, &note)), before);
    let undone = sheet_of(ask(&desk, json!({"ask": "undo"})));
    assert_eq!(lost(&undone), before);
}

#[test]
fn a_height_stays_with_its_job_until_that_is_moved_and_comes_back_with_undo() {
    let place = tempfile::tempdir().unwrap();
    let (mut high, mut bounds) = (Value::Null, Value::Null);
    let both = with_jobs(place.path(), |jobs| {
        let at = jobs[0]["geometry"]["coordinates"].as_array_mut().unwrap();
        at.push(json!(41.25));
        bounds = json!([at[0], at[1], 41.25, at[0], at[1], 41.25]);
        high = jobs[0]["geometry"].clone();
        jobs[0]["bbox"] = bounds.clone();
    });
    for path in both {
        let desk = opened(&path);
        let saved = |desk: &Desk| -> Value {
            ask(desk, json!({"ask": "save"}));
            let home = gangday_store::Home::open(&path).unwrap();
            let jobs: Value = serde_json::from_slice(home.get("jobs.geojson").unwrap()).unwrap();
            jobs["features"][0].clone()
        };
        edit(
            &desk,
            &json!({"do": "set", "jobs": ["J001"], "properties": {"note": "mine"}}),
        );
        let noted = saved(&desk);
        assert_eq!(
            (&noted["geometry"], &noted["bbox"]),
            (&high, &bounds),
            "{path:?}"
        );
        edit(
            &desk,
            &json!({"do": "move", "pins": [{"id": "J001", "at": [-3.53, 54.01]}]}),
        );
        let moved = saved(&desk);
        assert_eq!(moved["geometry"]["coordinates"], json!([-3.53, 54.01]));
        assert!(moved.get("bbox").is_none());
        ask(&desk, json!({"ask": "undo"}));
        let back = saved(&desk);
        assert_eq!((&back["geometry"], &back["bbox"]), (&high, &bounds));
    }
}
