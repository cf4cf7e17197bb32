//! What gets in the way of a programme file: each is said clearly, and nothing is lost.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]
#![cfg(unix)]

use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::process::Command;
use std::{env, fs};

use gangday_store::{Change, FileChange, ProgrammeFile, StoreError, read_programme_file};

/// Set for the program that meets the obstacle.
const ROLE: &str = "GANGDAY_MEETS";

fn made(path: &Path) -> ProgrammeFile {
    let jobs = br#"{"type": "FeatureCollection", "features": []}"#.to_vec();
    ProgrammeFile::create(path, &[("jobs.geojson", jobs)], &[], None).unwrap()
}

/// Two megabytes that don't become smaller by packing.
fn large() -> Change {
    let mut state = 1_u64;
    let noise = (0..2_000_000).map(|_| {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        (state >> 56) as u8
    });
    let file = FileChange {
        name: "backdrop.geojson".to_owned(),
        before: None,
        after: Some(noise.collect()),
    };
    Change {
        what: "a large edit".to_owned(),
        features: Vec::new(),
        files: vec![file],
    }
}

fn small() -> Change {
    let file = FileChange {
        name: "week.json".to_owned(),
        before: None,
        after: Some(b"{}".to_vec()),
    };
    Change {
        what: "a small edit".to_owned(),
        features: Vec::new(),
        files: vec![file],
    }
}

/// A shell that sets the obstacle up and then starts this test anew in its role.
fn in_the_role(test: &str, role: &str, shell: &str) -> Option<String> {
    let itself = env::current_exe().unwrap();
    let started = Command::new("sh")
        .args([
            "-c",
            &format!("{shell}; exec \"$0\" --exact {test} --nocapture"),
            &itself.to_string_lossy(),
        ])
        .env(ROLE, role)
        .output()
        .unwrap();
    let words = String::from_utf8_lossy(&started.stdout).into_owned();
    assert!(
        started.status.success(),
        "{words}{}",
        String::from_utf8_lossy(&started.stderr)
    );
    words.contains("met it").then_some(words)
}

/// No file of this program may grow beyond a size: the system's own way to be full, for one process.
#[test]
fn a_disk_that_is_full_is_said_and_the_file_is_as_it_was() {
    if let Some(path) = env::var_os(ROLE) {
        let path = Path::new(&path);
        let mut file = ProgrammeFile::claim(path).unwrap();
        file.commit(&small(), &[]).unwrap();
        let error = file.commit(&large(), &[]).unwrap_err();
        assert!(
            matches!(
                error,
                StoreError::Full { .. } | StoreError::Unwritable { .. }
            ),
            "{error}"
        );
        assert!(error.to_string().contains("can't be saved"), "{error}");
        assert_eq!(file.edits().unwrap().0, ["a small edit"]);
        file.put(&[("plan.json", Some(b"{}".to_vec()))]).unwrap();
        println!("met it: {error}");
        return;
    }
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    drop(made(&path));
    let test = "a_disk_that_is_full_is_said_and_the_file_is_as_it_was";
    // In blocks of 512 bytes or of 1024, as the shell has it; a write beyond is refused, not a signal.
    let met = in_the_role(
        test,
        &path.to_string_lossy(),
        "trap '' XFSZ; ulimit -f 1000",
    );
    assert!(met.is_some());
    let files = read_programme_file(&path).unwrap();
    assert!(files.contains_key("week.json") && files.contains_key("plan.json"));
    assert!(!files.contains_key("backdrop.geojson"));
}

/// A real file system without room, where the test may mount one.
#[test]
fn a_small_file_system_that_is_full_is_said_as_such() {
    let place = tempfile::tempdir().unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=1m", "tmpfs"])
        .arg(place.path())
        .output()
        .is_ok_and(|done| done.status.success());
    if !mounted {
        println!("nothing may be mounted here; the other test stands in for it");
        return;
    }
    let path = place.path().join("week.gpkg");
    let mut file = made(&path);
    file.commit(&small(), &[]).unwrap();
    let error = file.commit(&large(), &[]).unwrap_err();
    let kept = file.edits().unwrap().0;
    drop(file);
    let files = read_programme_file(&path).unwrap();
    let unmounted = Command::new("umount").arg(place.path()).status().unwrap();
    assert!(unmounted.success());
    assert!(matches!(error, StoreError::Full { .. }), "{error}");
    assert!(error.to_string().contains("the disk is full"), "{error}");
    assert_eq!(kept, ["a small edit"]);
    assert!(files.contains_key("week.json"));
}

/// Root may write anywhere: where the test runs as root, another user meets the obstacle.
#[test]
fn a_folder_that_may_only_be_read_is_said_and_the_file_can_be_looked_at() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    drop(made(&path));
    let mode =
        |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    mode(&path, 0o444);
    mode(place.path(), 0o555);
    let is_root = fs::write(place.path().join("probe"), "").is_ok();
    let met = if is_root {
        None
    } else {
        Some(ProgrammeFile::claim(&path).unwrap_err())
    };
    let read = read_programme_file(&path);
    mode(place.path(), 0o755);
    if let Some(error) = met {
        assert!(matches!(error, StoreError::ReadOnly { .. }), "{error}");
        assert!(
            error.to_string().contains("may not be written to"),
            "{error}"
        );
    } else {
        println!("this user may write anywhere");
    }
    assert!(read.unwrap().contains_key("jobs.geojson"));
}
