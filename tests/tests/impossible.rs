//! What can't be planned, through the command line: it is explained, and never an endless search.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]

mod common;

use std::fs;
use std::path::Path;

use common::{copy, gangday, messages, sample, text};
use serde_json::{Value, json};

fn change(file: &Path, how: impl FnOnce(&mut Value)) {
    let mut value: Value = serde_json::from_slice(&fs::read(file).unwrap()).unwrap();
    how(&mut value);
    fs::write(file, value.to_string()).unwrap();
}

/// Plans the small week once it is changed: the exit code, and everything that was said.
fn planned(file: &str, how: impl FnOnce(&mut Value)) -> (Option<i32>, String) {
    let folder = tempfile::tempdir().unwrap();
    let (week, out) = (folder.path().join("week"), folder.path().join("plan.json"));
    copy(&sample("small-week"), &week);
    change(&week.join(file), how);
    let told = gangday(&[
        "plan",
        text(&week),
        "--out",
        text(&out),
        "--iterations",
        "50",
    ]);
    let plan = fs::read_to_string(&out).unwrap_or_default();
    (told.status.code(), messages(&told) + &plan)
}

fn first_job(jobs: &mut Value, name: &str, value: Value) {
    jobs["features"][0]["properties"][name] = value;
}

/// A case: what it is, the file it changes and how, the exit code, and what has to be said.
type Case = (&'static str, fn(&mut Value), i32, &'static str);

const CASES: [Case; 6] = [
    (
        "jobs.geojson",
        |jobs| jobs["features"] = json!([]),
        1,
        "nothing to plan",
    ),
    (
        "gangs.json",
        |gangs| gangs["gangs"] = json!([]),
        1,
        "nothing to plan",
    ),
    (
        "gangs.json",
        |gangs| {
            let all = gangs["gangs"].as_array_mut().unwrap();
            all.iter_mut().for_each(|gang| gang["days"] = json!([]));
        },
        0,
        "No gang works on any day of the week",
    ),
    (
        "jobs.geojson",
        |jobs| first_job(jobs, "tickets", json!(["none has it"])),
        0,
        "No gang holds none has it",
    ),
    (
        "jobs.geojson",
        |jobs| first_job(jobs, "site_hours", json!([["10:00", "10:20"]])),
        0,
        "its longest site hours 20 min",
    ),
    (
        "gangs.json",
        |gangs| {
            let all = gangs["gangs"].as_array_mut().unwrap();
            all.iter_mut()
                .for_each(|gang| gang["payload_kg"] = json!(120));
        },
        0,
        "and the vehicle that bears most bears 0.1 t",
    ),
];

#[test]
fn what_is_impossible_is_explained() {
    for (file, how, code, words) in CASES {
        let (left, told) = planned(file, how);
        assert_eq!(left, Some(code), "{file}: {told}");
        assert!(told.contains(words), "{words}: {told}");
    }
}
