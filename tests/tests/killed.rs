//! Killed at any moment, the program leaves whole files.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]

mod common;

use std::process::{Command, Stdio};
use std::time::Duration;

use common::{program, sample, sound, text};
use serde_json::Value;

#[test]
fn a_plan_killed_at_any_moment_is_the_old_one_or_the_new_one() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("plan.json");
    let week = sample("small-week");
    sound(&[
        "plan",
        text(&week),
        "--out",
        text(&out),
        "--iterations",
        "1",
    ]);
    for round in 0..24_u64 {
        let mut planning = Command::new(program("gangday"))
            .args([
                "plan",
                text(&week),
                "--out",
                text(&out),
                "--iterations",
                "40",
            ])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(Duration::from_millis(round * 12));
        planning.kill().unwrap();
        planning.wait().unwrap();
        let bytes = std::fs::read(&out).unwrap();
        let plan: Value = serde_json::from_slice(&bytes).expect("the plan is whole");
        assert!(plan["routes"].is_array());
    }
}
