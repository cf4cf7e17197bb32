//! A programme folder: what is saved is what is there, and nothing of an earlier save is.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::tests::{ask, small};
use crate::Desk;
use crate::view::{Answer, Refusal};

fn save(desk: &Desk, path: &Path) -> Result<Answer, Refusal> {
    ask(desk, json!({"ask": "save", "folder": path}))
}

fn opened(path: &Path) -> Desk {
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path})).unwrap();
    desk
}

fn on_disk(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let files = fs::read_dir(folder).unwrap().map(|one| one.unwrap().path());
    let files = files.filter(|path| path.is_file());
    files
        .map(|path| (path.clone(), fs::read(path).unwrap()))
        .collect()
}

/// A figure of the programme's own, in its file of this name.
fn figure(file: &str, row: &str, members: Value) -> Value {
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
        ask(&desk, figure(file, row, json!({"value": value}))).unwrap();
        save(&desk, &folder).unwrap();
        assert!(folder.join(file).exists(), "{file}");
        ask(&desk, json!({"ask": "undo"})).unwrap();
        save(&desk, &folder).unwrap();
        assert_eq!(on_disk(&folder), before, "{file}");
    }
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
