//! A programme folder: what is saved is what is there, and another window's work is never written over.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use gangday_store::FILES;
use serde_json::{Value, json};

use super::tests::{ask, opened, save, sections, set, sheet, small};
use crate::Desk;

fn on_disk(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let files = fs::read_dir(folder).unwrap().map(|one| one.unwrap().path());
    let files = files.filter(|path| path.is_file());
    files
        .map(|path| (path.clone(), fs::read(path).unwrap()))
        .collect()
}

/// A figure of the programme's own, in its file of this name.
fn figure(file: &str, row: &str, members: &Value) -> Value {
    json!({"ask": "edit", "edit": {"do": "row", "file": file, "row": row, "members": members}})
}

#[test]
fn a_file_that_an_undone_edit_had_made_is_gone_when_the_folder_is_opened_again() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    let desk = small();
    save(&desk, &folder).unwrap();
    drop(desk);
    for name in ["method.json", "materials.json"] {
        fs::remove_file(folder.join(name)).unwrap();
    }
    fs::write(folder.join("notes.txt"), "a stranger's").unwrap();
    fs::write(folder.join("theirs.json"), "{}").unwrap();
    let desk = opened(&folder);
    save(&desk, &folder).unwrap();
    let before = on_disk(&folder);
    assert!(!before.contains_key(&folder.join("method.json")));
    let rows = [
        ("method.json", "chamber.wall", 140),
        ("materials.json", "density.type1", 2200),
    ];
    for (file, row, value) in rows {
        ask(&desk, figure(file, row, &json!({"value": value}))).unwrap();
        save(&desk, &folder).unwrap();
        assert!(folder.join(file).exists(), "{file}");
        ask(&desk, json!({"ask": "undo"})).unwrap();
        save(&desk, &folder).unwrap();
        assert_eq!(on_disk(&folder), before, "{file}");
    }
}

#[test]
fn what_another_window_has_saved_into_the_folder_is_not_written_over() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    save(&small(), &folder).unwrap();
    let (one, other) = (opened(&folder), opened(&folder));
    set(&one, 7).unwrap();
    save(&one, &folder).unwrap();
    set(&other, 9).unwrap();
    let before = (on_disk(&folder), sheet(&other));
    for named in [json!(null), json!(folder)] {
        let refused = ask(&other, json!({"ask": "save", "folder": named})).unwrap_err();
        assert_eq!(refused.findings[0].code, "F-CHANGED");
        for words in ["by another program", "another name", "open it again"] {
            assert!(refused.text.contains(words), "{}", refused.text);
        }
    }
    assert_eq!((on_disk(&folder), sheet(&other)), before);
    assert!(other.has_unsaved());
    // Elsewhere it may be kept, and goes on there.
    let copy = place.path().join("copy");
    save(&other, &copy).unwrap();
    set(&other, 10).unwrap();
    save(&other, &copy).unwrap();
    assert_eq!(
        (sections(&opened(&folder)), sections(&opened(&copy))),
        (json!(7), json!(10))
    );
    // Opened again, it is as any other.
    ask(&other, json!({"ask": "open", "folder": folder})).unwrap();
    set(&other, 11).unwrap();
    save(&other, &folder).unwrap();
    assert_eq!(sections(&opened(&folder)), 11);
}

#[test]
fn a_file_that_was_added_or_taken_away_by_another_is_a_difference_too() {
    let place = tempfile::tempdir().unwrap();
    for name in FILES {
        let folder = place.path().join(name);
        save(&small(), &folder).unwrap();
        let desk = opened(&folder);
        set(&desk, 7).unwrap();
        let there = folder.join(name).exists();
        if there {
            fs::remove_file(folder.join(name)).unwrap();
        } else {
            fs::write(folder.join(name), "{}").unwrap();
        }
        let before = on_disk(&folder);
        let saved = save(&desk, &folder);
        // What the page keeps, and what is worked out of the roads, is nobody's work.
        if ["page.json", "network.prepared"].contains(&name) {
            assert!(saved.is_ok(), "{name}");
        } else {
            assert_eq!(saved.unwrap_err().findings[0].code, "F-CHANGED", "{name}");
            assert_eq!(on_disk(&folder), before, "{name}");
        }
    }
}

#[test]
fn an_issue_of_another_window_is_not_written_over() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    save(&small(), &folder).unwrap();
    let issue = |desk: &Desk, on: &str| ask(desk, json!({"ask": "issue", "on": on}));
    let (one, other) = (opened(&folder), opened(&folder));
    issue(&one, "2027-02-25").unwrap();
    let before = (on_disk(&folder), sheet(&other));
    let refused = issue(&other, "2027-02-26").unwrap_err();
    assert_eq!(refused.findings[0].code, "F-CHANGED");
    assert_eq!((on_disk(&folder), sheet(&other)), before);
    // The one that has written it may go on, and save.
    issue(&one, "2027-02-27").unwrap();
    set(&one, 7).unwrap();
    save(&one, &folder).unwrap();
    assert_eq!(sheet(&opened(&folder)).issues.len(), 2);
}

#[test]
fn what_the_pages_of_two_windows_keep_is_in_nobody_s_way() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    save(&small(), &folder).unwrap();
    let (one, other) = (opened(&folder), opened(&folder));
    for (desk, value) in [(&one, 1), (&other, 2)] {
        ask(
            desk,
            json!({"ask": "remember", "name": "map", "value": value}),
        )
        .unwrap();
    }
    set(&one, 7).unwrap();
    save(&one, &folder).unwrap();
    assert_eq!(sections(&opened(&folder)), 7);
}

#[test]
fn a_folder_with_somebody_s_files_in_it_is_not_taken_for_a_new_one() {
    let place = tempfile::tempdir().unwrap();
    fs::write(place.path().join("method.json"), "{}").unwrap();
    let refused = save(&small(), place.path()).unwrap_err();
    assert!(
        refused.text.contains("another programme"),
        "{}",
        refused.text
    );
    assert_eq!(fs::read_dir(place.path()).unwrap().count(), 1);
}
