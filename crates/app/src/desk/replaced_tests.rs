//! A programme file that is moved away, put back or replaced by another program while it is open: nothing of
//! either file is lost, and nothing is called saved that is not.

use std::fs;
use std::path::{Path, PathBuf};

use gangday_store::ProgrammeFile;
use serde_json::json;

use super::better_tests::{leave_out, once_begun, plan_for_long};
use super::kept_tests::{attach, png, read};
use super::tests::{ask, opened, save, sections, set, sheet, small};
use crate::Desk;
use crate::view::Refusal;

fn code(refused: &Refusal) -> &str {
    &refused.findings[0].code
}

/// A week in a file, with a picture and how a client's lists are laid out.
fn in_file(path: &Path) -> Desk {
    let desk = small();
    attach(&desk, "J001", "hole.png", &png("hole")).unwrap();
    save(&desk, path).unwrap();
    attach(&desk, "J002", "kerb.png", &png("kerb")).unwrap();
    let mut inner = desk.lock();
    let file = inner.keeping.file().unwrap();
    file.remember("client", "Sallow Water", "{}").unwrap();
    drop(inner);
    desk
}

fn assert_all_there(path: &Path) {
    let file = ProgrammeFile::claim(path).unwrap();
    let mapping = file.remembered("client", "Sallow Water").unwrap();
    assert_eq!(mapping.as_deref(), Some("{}"));
    drop(file);
    let desk = opened(path);
    for (job, name) in [("J001", "hole.png"), ("J002", "kerb.png")] {
        read(&desk, job, name).unwrap_or_else(|refused| panic!("{name}: {}", refused.text));
    }
}

/// A desk whose plan its file could not take, because it was away just then.
fn with_its_file_away(path: &Path) -> (Desk, PathBuf) {
    let desk = in_file(path);
    leave_out(&desk);
    plan_for_long(&desk);
    once_begun(&desk);
    let away = path.with_file_name("away.gpkg");
    fs::rename(path, &away).unwrap();
    let refused = ask(&desk, json!({"ask": "stop"})).unwrap_err();
    assert_eq!(code(&refused), "F-MOVED");
    (desk, away)
}

#[test]
fn a_file_that_was_left_and_is_written_whole_again_keeps_its_pictures_and_mappings() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let (desk, away) = with_its_file_away(&path);
    read(&desk, "J001", "hole.png").unwrap();
    fs::rename(&away, &path).unwrap();
    attach(&desk, "J001", "late.png", &png("late")).unwrap();
    ask(&desk, json!({"ask": "save", "folder": null})).unwrap();
    drop(desk);
    assert_all_there(&path);
    read(&opened(&path), "J001", "late.png").unwrap();
}

#[test]
fn saved_under_another_name_after_the_file_was_moved_every_picture_comes_along() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    let desk = in_file(&at("week.gpkg"));
    fs::rename(at("week.gpkg"), at("away.gpkg")).unwrap();
    assert_eq!(code(&set(&desk, 7).unwrap_err()), "F-MOVED");
    save(&desk, &at("other.gpkg")).unwrap();
    drop(desk);
    assert_all_there(&at("other.gpkg"));
    let (desk, away) = with_its_file_away(&at("third.gpkg"));
    fs::remove_file(away).unwrap();
    save(&desk, &at("folder")).unwrap();
    let desk = opened(&at("folder"));
    read(&desk, "J001", "hole.png").unwrap();
    read(&desk, "J002", "kerb.png").unwrap();
}

#[test]
fn a_picture_that_can_not_be_read_is_told_by_name_and_hinders_no_other() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    let desk = in_file(&at("week.gpkg"));
    save(&desk, &at("folder")).unwrap();
    let pictures = fs::read_dir(at("folder").join("attachments")).unwrap();
    let mut pictures: Vec<_> = pictures.map(|one| one.unwrap().path()).collect();
    pictures.sort();
    fs::write(&pictures[0], "changed").unwrap();
    let desk = opened(&at("folder"));
    let lost = match read(&desk, "J001", "hole.png") {
        Err(_) => "hole.png of J001",
        Ok(_) => "kerb.png of J002",
    };
    save(&desk, &at("copy.gpkg")).unwrap();
    let told = sheet(&desk).findings.into_iter();
    let told: Vec<_> = told.filter(|one| one.code == "F-LOST").collect();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].text.contains(lost), "{told:?}");
    let kept = gangday_store::attachments_of(&at("copy.gpkg")).unwrap();
    assert_eq!(kept.len(), 1);
}

#[test]
fn a_file_that_was_replaced_is_neither_called_saved_nor_taken_for_the_one_that_was_open() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    let path = at("week.gpkg");
    let desk = in_file(&path);
    save(&small(), &at("theirs.gpkg")).unwrap();
    set(&opened(&at("theirs.gpkg")), 9).unwrap();
    fs::rename(at("theirs.gpkg"), &path).unwrap();
    let theirs = fs::read(&path).unwrap();
    let before = sections(&desk);
    for _ in 0..2 {
        assert_eq!(code(&set(&desk, 7).unwrap_err()), "F-MOVED");
        let refused = save(&desk, &path).unwrap_err();
        assert_eq!(code(&refused), "F-MOVED");
        assert!(refused.text.contains("another name") || refused.text.contains("name of your own"));
    }
    assert_eq!(
        (sections(&desk), fs::read(&path).unwrap()),
        (before, theirs)
    );
    ask(&desk, json!({"ask": "open", "folder": path})).unwrap();
    assert_eq!(sections(&desk), 9);
    set(&desk, 10).unwrap();
    save(&desk, &path).unwrap();
    // It is claimed as any other is.
    let refused = ask(&Desk::default(), json!({"ask": "open", "folder": path})).unwrap_err();
    assert_eq!(code(&refused), "F-INUSE");
    drop(desk);
    assert_eq!(sections(&opened(&path)), 10);
    assert!(!place.path().join(".gangday-week.gpkg.open").exists());
}

#[test]
fn what_can_not_be_opened_in_the_place_of_the_file_leaves_the_desk_as_it_was() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let desk = in_file(&path);
    let before = sheet(&desk);
    fs::rename(&path, place.path().join("away.gpkg")).unwrap();
    fs::write(&path, "no programme").unwrap();
    let refused = ask(&desk, json!({"ask": "open", "folder": path})).unwrap_err();
    assert_eq!(code(&refused), "F-NOPROGRAMME");
    assert_eq!(sheet(&desk), before);
    fs::rename(place.path().join("away.gpkg"), &path).unwrap();
    set(&desk, 7).unwrap();
    drop(desk);
    assert_eq!(sections(&opened(&path)), 7);
}

#[test]
fn a_file_that_was_moved_away_is_not_said_to_be_open_elsewhere() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let desk = in_file(&path);
    fs::rename(&path, place.path().join("away.gpkg")).unwrap();
    for named in [json!(null), json!(path)] {
        let refused = ask(&desk, json!({"ask": "save", "folder": named})).unwrap_err();
        assert_eq!(code(&refused), "F-MOVED", "{}", refused.text);
    }
    fs::rename(place.path().join("away.gpkg"), &path).unwrap();
    save(&desk, &path).unwrap();
    set(&desk, 7).unwrap();
}

#[test]
fn another_file_in_the_place_of_the_one_that_was_left_is_never_written_over() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    let path = at("week.gpkg");
    save(&small(), &at("theirs.gpkg")).unwrap();
    let (desk, away) = with_its_file_away(&path);
    fs::rename(at("theirs.gpkg"), &path).unwrap();
    let theirs = fs::read(&path).unwrap();
    for named in [json!(null), json!(path)] {
        let refused = ask(&desk, json!({"ask": "save", "folder": named})).unwrap_err();
        assert_eq!(code(&refused), "F-CHANGED");
        assert!(refused.text.contains("another name"), "{}", refused.text);
    }
    assert_eq!(fs::read(&path).unwrap(), theirs);
    assert!(sheet(&desk).unsaved);
    // The one that was left, but with another's work in it by now.
    fs::remove_file(&path).unwrap();
    fs::rename(&away, &path).unwrap();
    set(&opened(&path), 9).unwrap();
    assert_eq!(code(&save(&desk, &path).unwrap_err()), "F-CHANGED");
    assert_eq!(sections(&opened(&path)), 9);
    save(&desk, &at("other.gpkg")).unwrap();
    assert!(!sheet(&desk).unsaved);
}
