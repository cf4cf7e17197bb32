//! A programme that lies where nothing may be written: said in words, nothing lost, and kept elsewhere.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::json;

use super::lost_tests::{lost, with_a_lost_edit};
use super::tests::{ask, opened, save, sections, set, sheet, small};
use crate::Desk;
use crate::view::Answer;

/// A folder that can be made one in which nothing may be written: a file system of its own, which also
/// binds root; else by its permissions, where they bind whoever runs the test.
struct Place {
    folder: tempfile::TempDir,
    mounted: bool,
}

fn mount(arguments: &[&str], on: &Path) -> bool {
    let done = Command::new("mount").args(arguments).arg(on).output();
    done.is_ok_and(|done| done.status.success())
}

impl Place {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let tmpfs = ["-t", "tmpfs", "-o", "size=64m", "tmpfs"];
        let mounted = mount(&tmpfs, folder.path());
        Self { folder, mounted }
    }

    fn at(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    /// From now on nothing may be written; false where this user can't be kept from it.
    fn bar(&self) -> bool {
        if self.mounted {
            assert!(mount(&["-o", "remount,ro"], self.folder.path()));
        } else {
            self.permit(false);
        }
        let probe = self.at("week/probe");
        let barred = fs::write(&probe, "").is_err() && fs::write(self.at("probe"), "").is_err();
        if !barred {
            println!("skipped: nothing may be mounted here, and this user may write anywhere");
        }
        barred
    }

    fn permit(&self, write: bool) {
        let folders = [self.folder.path().to_owned(), self.at("week")];
        let files = [self.at("week.gpkg")];
        for path in folders.iter().chain(&files) {
            let Ok(known) = fs::metadata(path) else {
                continue;
            };
            let mut own = known.permissions();
            own.set_readonly(!write);
            fs::set_permissions(path, own).unwrap();
        }
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        if self.mounted {
            let path = self.folder.path();
            let _ = Command::new("umount").args(["-l"]).arg(path).status();
        } else {
            self.permit(true);
        }
    }
}

fn names(desk: &Desk) -> Vec<String> {
    match ask(desk, json!({"ask": "history"})).unwrap() {
        Answer::History { past, .. } => past,
        other => panic!("no history but {other:?}"),
    }
}

#[test]
fn a_programme_file_that_may_only_be_read_is_looked_at_and_kept_elsewhere() {
    let (place, elsewhere) = (Place::new(), tempfile::tempdir().unwrap());
    fs::create_dir(place.at("week")).unwrap();
    let desk = small();
    save(&desk, &place.at("week.gpkg")).unwrap();
    let first = sections(&desk);
    set(&desk, 5).unwrap();
    let plan = sheet(&desk).plan;
    drop(desk);
    if !place.bar() {
        return;
    }
    let desk = opened(&place.at("week.gpkg"));
    let before = sheet(&desk);
    assert_eq!((sections(&desk), &before.plan), (json!(5), &plan));
    let told = before.findings.iter().find(|one| one.code == "F-READONLY");
    assert!(told.is_some(), "{:?}", before.findings);
    let refusal = set(&desk, 6).unwrap_err();
    assert!(
        refusal
            .text
            .contains("week.gpkg can't be saved: the folder may not be written to"),
        "{}",
        refusal.text
    );
    assert_eq!(sections(&desk), 5);
    assert_eq!(sheet(&desk), before, "what was refused left nothing behind");
    let copy = elsewhere.path().join("copy.gpkg");
    save(&desk, &copy).unwrap();
    let kept = sheet(&desk).findings;
    assert!(kept.iter().all(|one| one.code != "F-READONLY"), "{kept:?}");
    set(&desk, 6).unwrap();
    drop(desk);
    let kept = opened(&copy);
    assert_eq!((sections(&kept), names(&kept).len()), (json!(6), 2));
    for left in [json!(5), first] {
        ask(&kept, json!({"ask": "undo"})).unwrap();
        assert_eq!(sections(&kept), left, "the way back came along");
    }
    assert_eq!(sections(&opened(&place.at("week.gpkg"))), 5);
}

#[test]
fn a_folder_that_may_only_be_read_keeps_its_programme_and_the_desk_its_edits() {
    let (place, elsewhere) = (Place::new(), tempfile::tempdir().unwrap());
    let desk = small();
    save(&desk, &place.at("week")).unwrap();
    let on_disk = fs::read(place.at("week/jobs.geojson")).unwrap();
    set(&desk, 5).unwrap();
    if !place.bar() {
        return;
    }
    for path in [json!(null), json!(place.at("other"))] {
        let refusal = ask(&desk, json!({"ask": "save", "folder": path})).unwrap_err();
        assert!(
            refusal.text.contains("may not be written to"),
            "{}",
            refusal.text
        );
    }
    assert!(sheet(&desk).unsaved && desk.has_unsaved());
    assert_eq!((sections(&desk), names(&desk).len()), (json!(5), 1));
    assert_eq!(fs::read(place.at("week/jobs.geojson")).unwrap(), on_disk);
    set(&desk, 6).unwrap();
    save(&desk, &elsewhere.path().join("copy")).unwrap();
    assert!(!sheet(&desk).unsaved);
    assert_eq!(sections(&opened(&elsewhere.path().join("copy"))), 6);
    assert_ne!(sections(&opened(&place.at("week"))), 6);
}

#[test]
fn an_edit_that_cannot_be_read_any_more_hides_no_other_of_a_file_that_may_only_be_read() {
    let (place, elsewhere) = (Place::new(), tempfile::tempdir().unwrap());
    fs::create_dir(place.at("week")).unwrap();
    with_a_lost_edit(&place.at("week.gpkg"));
    let all = names(&opened(&place.at("week.gpkg")));
    assert_eq!((all.len(), all[1].as_str()), (4, "lost"));
    if !place.bar() {
        return;
    }
    let desk = opened(&place.at("week.gpkg"));
    assert_eq!(names(&desk), all);
    let told = lost(&desk);
    assert!(told.len() == 1 && told[0].contains("(lost)"), "{told:?}");
    let copy = elsewhere.path().join("copy.gpkg");
    save(&desk, &copy).unwrap();
    set(&desk, 7).unwrap();
    let reached = names(&desk);
    assert_eq!(reached[..2], all[2..], "undo goes no further than that");
    drop(desk);
    let kept = opened(&copy);
    assert_eq!((names(&kept), lost(&kept)), (reached, vec![]));
    for left in [6, 5, 5] {
        ask(&kept, json!({"ask": "undo"})).unwrap();
        assert_eq!(sections(&kept), left);
    }
    assert!(ask(&kept, json!({"ask": "undo"})).is_err());
}
