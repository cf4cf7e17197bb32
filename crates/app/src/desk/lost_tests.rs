//! An edit of the history that can no longer be read: the programme is kept all the same, and what undo can't
//! go back to any more is said.

use std::path::Path;

use gangday_store::{Change, FileChange, ProgrammeFile};
use serde_json::{Value, json};

use super::tests::{sheet, sheet_of, small};
use crate::Desk;
use crate::view::{Answer, Request};

fn ask(desk: &Desk, request: Value) -> Answer {
    desk.ask(serde_json::from_value(request).unwrap()).unwrap()
}

fn set(desk: &Desk, sections: u32) {
    let edit = json!({"do": "set", "jobs": ["J001"], "properties": {"sections": sections}});
    ask(desk, json!({"ask": "edit", "edit": edit}));
}

fn sections(desk: &Desk) -> Value {
    match ask(desk, json!({"ask": "stated", "jobs": ["J001"]})) {
        Answer::Stated { jobs } => jobs[0].properties["sections"].clone(),
        other => panic!("nothing stated but {other:?}"),
    }
}

fn names(desk: &Desk) -> Vec<String> {
    match ask(desk, json!({"ask": "history"})) {
        Answer::History { past, .. } => past,
        other => panic!("no history but {other:?}"),
    }
}

fn save(desk: &Desk, path: &Path) {
    ask(desk, json!({"ask": "save", "folder": path}));
}

fn opened(path: &Path) -> Desk {
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path}));
    desk
}

/// What is said of edits that are lost.
pub(super) fn lost(desk: &Desk) -> Vec<String> {
    let told = sheet(desk).findings.into_iter();
    told.filter(|one| one.code == "F-LOST")
        .map(|one| one.text)
        .collect()
}

/// A backdrop of many lines, of which one is told apart.
fn backdrop(own: usize) -> Option<Vec<u8>> {
    let line = |at: usize| {
        let own = if at == 7 { own } else { 0 };
        format!(
            "{{\"type\":\"Feature\",\"geometry\":null,\"properties\":{{\"at\":{at},\"own\":{own}}}}}"
        )
    };
    let lines: Vec<String> = (0..40).map(line).collect();
    let lines = lines.join(",\n");
    Some(format!("{{\"type\": \"FeatureCollection\", \"features\": [\n{lines}\n]}}\n").into_bytes())
}

/// A file with four edits in its history, of which the second leads to and from what is nowhere kept, so
/// that it can no longer be put together.
pub(super) fn with_a_lost_edit(path: &Path) {
    let desk = small();
    save(&desk, path);
    set(&desk, 5);
    drop(desk);
    let mut file = ProgrammeFile::claim(path).unwrap();
    for (what, before, after) in [("lost", 1, 2), ("known", 3, 4)] {
        let change = Change {
            what: what.to_owned(),
            features: Vec::new(),
            files: vec![FileChange {
                name: "backdrop.geojson".to_owned(),
                before: backdrop(before),
                after: backdrop(after),
            }],
        };
        file.commit(&change, &[]).unwrap();
    }
    drop(file);
    set(&opened(path), 6);
}

#[test]
fn a_programme_is_saved_in_a_folder_whatever_of_its_history_is_lost() {
    let place = tempfile::tempdir().unwrap();
    let (week, folder) = (place.path().join("week.gpkg"), place.path().join("folder"));
    with_a_lost_edit(&week);
    let desk = opened(&week);
    let known = names(&desk);
    assert_eq!(known[1..3], ["lost", "known"]);
    save(&desk, &folder);
    assert_eq!(names(&desk), known[2..], "undo goes no further than that");
    let told = lost(&desk);
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(
        told[0].starts_with("1 edit in the history of week.gpkg"),
        "{told:?}"
    );
    assert_eq!(
        (sections(&opened(&folder)), sheet(&desk).unsaved),
        (json!(6), false)
    );
    // The file is let go, and may be opened elsewhere.
    drop(ProgrammeFile::claim(&week).unwrap());
    ask(&desk, json!({"ask": "undo"}));
    assert_eq!((sections(&desk), lost(&desk).len()), (json!(5), 1));
    ask(&desk, json!({"ask": "undo"}));
    assert!(desk.ask(Request::Undo).is_err());
    // A file that is made of it holds what undo goes to, and nothing that leads nowhere.
    ask(&desk, json!({"ask": "redo"}));
    save(&desk, &place.path().join("copy.gpkg"));
    set(&desk, 8);
    drop(desk);
    let copy = opened(&place.path().join("copy.gpkg"));
    assert_eq!(names(&copy).len(), 2);
    for left in [5, 5] {
        let sheet = sheet_of(ask(&copy, json!({"ask": "undo"})));
        assert_eq!((sections(&copy), sheet.unsaved), (json!(left), false));
    }
}
