//! A folder programme on a disk that is full: said with its code, on the disk as it was, and the desk keeps every edit
//! until it is saved elsewhere.

use std::io::Write as _;
use std::path::Path;
use std::process::Command;
use std::{env, fs};

use serde_json::json;

use super::tests::{ask, opened, save, sections, set, sheet, small};
use crate::Desk;
use crate::view::Refusal;

/// Set to the folder for the program that meets the obstacle.
const ROLE: &str = "GANGDAY_FULL";
const ITSELF: &str = "desk::full_disk_tests::a_folder_that_no_file_fits_in_any_more_is_as_it_was_and_the_desk_keeps_its_edits";

/// Has two edits that the folder can't take any more; gives why not.
fn refused(folder: &Path) -> (Desk, Refusal) {
    let desk = opened(folder);
    set(&desk, 5).unwrap();
    set(&desk, 6).unwrap();
    let refusal = save_where_it_is(&desk).unwrap_err();
    assert!(refusal.text.contains("can't be saved"), "{}", refusal.text);
    assert!(sheet(&desk).unsaved && desk.has_unsaved());
    assert_eq!(sections(&desk), 6);
    (desk, refusal)
}

fn save_where_it_is(desk: &Desk) -> Result<crate::view::Answer, Refusal> {
    ask(desk, json!({"ask": "save", "folder": null}))
}

/// Every file of a folder with its bytes.
fn files(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let entries = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap());
    let mut all: Vec<_> = entries
        .map(|entry| {
            let name = entry.file_name().to_string_lossy().into_owned();
            (name, fs::read(entry.path()).unwrap())
        })
        .collect();
    all.sort();
    all
}

/// No file of the program may grow beyond 2,000 bytes or 4,000: the system's own way to be full, for one process.
#[test]
fn a_folder_that_no_file_fits_in_any_more_is_as_it_was_and_the_desk_keeps_its_edits() {
    if let Some(folder) = env::var_os(ROLE) {
        let (_, refusal) = refused(Path::new(&folder));
        println!("met it: {}", refusal.findings[0].code);
        return;
    }
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    save(&small(), &folder).unwrap();
    let before = files(&folder);
    let itself = env::current_exe().unwrap();
    let limited = format!("trap '' XFSZ; ulimit -f 4; exec \"$0\" --exact {ITSELF} --nocapture");
    let met = Command::new("sh")
        .args(["-c", &limited, &itself.to_string_lossy()])
        .env(ROLE, &folder)
        .output()
        .unwrap();
    let words = String::from_utf8_lossy(&met.stdout);
    let wrong = String::from_utf8_lossy(&met.stderr);
    assert!(met.status.success(), "{words}{wrong}");
    assert!(words.contains("met it: F-"), "{words}");
    let names = |files: &[(String, Vec<u8>)]| -> Vec<String> {
        files.iter().map(|(name, _)| name.clone()).collect()
    };
    let after = files(&folder);
    assert_eq!(names(&after), names(&before));
    assert!(after == before, "a file is another");
}

/// A real disk without room, where the test may mount one.
#[test]
fn a_folder_on_a_full_disk_says_so_with_its_code_and_all_is_saved_elsewhere() {
    let (place, elsewhere) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let mount = ["-t", "tmpfs", "-o", "size=8m", "tmpfs"];
    let mounted = Command::new("mount").args(mount).arg(place.path()).output();
    if !mounted.is_ok_and(|done| done.status.success()) {
        println!("skipped: nothing may be mounted here; the other test stands in for it");
        return;
    }
    let folder = place.path().join("week");
    save(&small(), &folder).unwrap();
    let before = files(&folder);
    let mut ballast = fs::File::create(place.path().join("ballast")).unwrap();
    while ballast.write_all(&[1; 4096]).is_ok() {}
    let (desk, refusal) = refused(&folder);
    let is_as_it_was = files(&folder) == before;
    let copy = elsewhere.path().join("copy");
    save(&desk, &copy).unwrap();
    drop((desk, ballast));
    let unmounted = Command::new("umount").arg(place.path()).status().unwrap();
    assert!(unmounted.success());
    assert_eq!(refusal.findings[0].code, "F-FULL", "{}", refusal.text);
    assert!(is_as_it_was, "a file is another");
    assert_eq!(sections(&opened(&copy)), 6);
}
