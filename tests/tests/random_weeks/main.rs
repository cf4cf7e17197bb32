//! Random weeks of mixed size are planned, planned again after something went wrong, and held to every
//! rule by the checker, which shares no code with the search.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]

#[path = "../common/mod.rs"]
mod common;
mod mix;

use std::fs;
use std::path::Path;

use common::{gangday, messages, text};
use gangday_tests::sample::write_patchwork;
use serde_json::{Value, json};

/// From 1 to 90 jobs, a small week more often than a large one.
fn jobs(seed: u64) -> usize {
    let spread = [3, 8, 14, 22, 35, 50, 90][seed as usize % 7];
    1 + (seed as usize * 31) % spread
}

fn read(path: &Path) -> Value {
    serde_json::from_slice(&fs::read(path).unwrap()).unwrap()
}

/// Plans and verifies; false where no job of the week is sound, so that there is nothing to plan.
fn plan(week: &Path, out: &Path, seed: u64, keep: Option<&Path>) -> bool {
    let own = seed.to_string();
    let mut words = vec![
        "plan",
        text(week),
        "--out",
        text(out),
        "--iterations",
        "150",
        "--seed",
        &own,
    ];
    words.extend(keep.iter().flat_map(|keep| ["--keep", text(keep)]));
    // Where a job of the week is at fault it says so and plans the others.
    let planned = gangday(&words);
    if messages(&planned).contains("There is nothing to plan") {
        return false;
    }
    let told = matches!(planned.status.code(), Some(0 | 1)) && out.exists();
    assert!(told, "week {seed}: {}", messages(&planned));
    let mut words = vec!["verify", text(week), text(out)];
    words.extend(keep.iter().flat_map(|keep| ["--keep", text(keep)]));
    let held = gangday(&words);
    let findings = String::from_utf8_lossy(&held.stdout);
    assert_eq!(held.status.code(), Some(0), "week {seed}: {findings}");
    true
}

/// Plans a week, loses a gang's first day or locks its first job, and plans it again.
fn hold(seed: u64) {
    let folder = tempfile::tempdir().unwrap();
    let kept = std::env::var_os("WEEKS_IN").map(|kept| Path::new(&kept).join(seed.to_string()));
    let at = kept.as_deref().unwrap_or(folder.path());
    let week = at.join("week");
    write_patchwork(&week, jobs(seed), seed).unwrap();
    // Every third week is one of the sample's own; the others are held by a mixture of rules.
    if !seed.is_multiple_of(3) {
        mix::mix(&week, seed);
    }
    let (first, again) = (at.join("first.json"), at.join("again.json"));
    if !plan(&week, &first, seed, None) {
        return;
    }
    let mut issued = read(&first);
    let first_route = issued["routes"].get_mut(0);
    let Some(visits) = first_route.and_then(|route| route["visits"].as_array_mut()) else {
        return;
    };
    let job = visits[0]["job"].clone();
    let own = visits.iter_mut().filter(|visit| visit["job"] == job);
    own.for_each(|visit| visit["status"] = json!("locked"));
    let locked = issued["routes"][0].clone();
    fs::write(&first, issued.to_string()).unwrap();
    plan(&week, &again, seed, Some(&first));
    let visits = issued["routes"][0]["visits"].as_array_mut().unwrap();
    let own = visits.iter_mut().filter(|visit| visit["job"] == job);
    own.for_each(|visit| visit["start"] = json!("2001-01-01T08:00:00"));
    moved_is_told(&week, &again, &at.join("moved.json"), &issued);
    let planned = read(&again);
    let stays = |visit: &Value| {
        let same_day =
            |route: &&Value| route["gang"] == locked["gang"] && route["date"] == locked["date"];
        let routes = planned["routes"]
            .as_array()
            .unwrap()
            .iter()
            .filter(same_day);
        let mut visits = routes.flat_map(|route| route["visits"].as_array().unwrap());
        visits.any(|other| {
            ["job", "stage", "start", "status"]
                .iter()
                .all(|name| other[*name] == visit[*name])
        })
    };
    let locked_visits = locked["visits"].as_array().unwrap().iter();
    let mut locked_visits = locked_visits.filter(|visit| visit.get("status").is_some());
    assert!(
        locked_visits.all(stays),
        "week {seed}: a locked visit moved"
    );
}

/// A plan that has locked visits elsewhere than the one that was issued breaks a rule.
fn moved_is_told(week: &Path, plan: &Path, at: &Path, issued: &Value) {
    fs::write(at, issued.to_string()).unwrap();
    let told = gangday(&["verify", text(week), text(plan), "--keep", text(at)]);
    let words = String::from_utf8_lossy(&told.stdout).into_owned() + &messages(&told);
    assert_eq!(told.status.code(), Some(1), "{words}");
    assert!(words.contains("R-LOCKED"), "{words}");
}

#[test]
fn a_few_random_weeks_are_clean() {
    // 10, 19 and 937 once were not: a week without a task, and tasks that were planned twice.
    (0..7).chain([10, 19, 937]).for_each(hold);
}

/// Goes on after one that is not clean, so that one run
/// finds them all.
fn hold_all(seeds: std::ops::Range<u64>) {
    let mut unclean = Vec::new();
    for seed in seeds {
        if std::panic::catch_unwind(|| hold(seed)).is_err() {
            unclean.push(seed);
        }
    }
    assert!(unclean.is_empty(), "weeks that are not clean: {unclean:?}");
}

/// A night's work: `cargo test --release -p gangday-tests --test random_weeks -- --ignored`. `WEEKS=500-600`
/// runs some of them, `WEEKS_IN=FOLDER` keeps their files.
#[test]
#[ignore = "takes long"]
fn a_thousand_random_weeks_are_clean() {
    let stated = std::env::var("WEEKS").unwrap_or_default();
    let (from, until) = stated.split_once('-').unwrap_or(("0", "1000"));
    hold_all(from.parse().unwrap()..until.parse().unwrap());
}
