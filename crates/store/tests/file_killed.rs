//! A programme file whose writer is killed at moments that it does not choose: what was acknowledged
//! is there, edit by edit, and so is the way back.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]

use std::io::{BufRead, BufReader, Read as _};
use std::process::{Child, Command, Stdio};
use std::time::Duration;
use std::{env, path::Path, thread};

use gangday_store::{
    Change, FeatureChange, FileChange, Placed, ProgrammeFile, Step, read_programme_file,
};
use serde_json::{Value, json};

/// Set for the program that edits until it is killed.
const ROLE: &str = "GANGDAY_EDITS";
const JOBS: &str = "jobs.geojson";

fn job(number: u64) -> Value {
    json!({"type": "Feature", "id": "J1", "properties": {"work": "new", "sections": number},
        "geometry": {"type": "Point", "coordinates": [-1.55, 53.8]}})
}

/// An edit that leaves its number in a job and in a plan that is long enough to be caught halfway.
fn edit(number: u64) -> Change {
    let placed = |number| {
        Some(Placed {
            id: "J1".to_owned(),
            index: 0,
            feature: job(number),
        })
    };
    let feature = FeatureChange {
        file: JOBS.to_owned(),
        before: placed(number - 1),
        after: placed(number),
    };
    let plan = FileChange {
        name: "plan.json".to_owned(),
        before: Some(plan(number - 1)),
        after: Some(plan(number)),
    };
    Change {
        what: format!("edit {number}"),
        features: vec![feature],
        files: vec![plan],
    }
}

fn plan(number: u64) -> Vec<u8> {
    json!({"routes": [], "number": number, "long": format!("{number} ").repeat(30_000)})
        .to_string()
        .into_bytes()
}

fn made(path: &Path) {
    let jobs = json!({"type": "FeatureCollection", "features": [job(0)]})
        .to_string()
        .into_bytes();
    ProgrammeFile::create(path, &[(JOBS, jobs), ("plan.json", plan(0))], &[], None)
        .expect("the disk takes it");
}

/// The number that the job and the plan agree on.
fn number_in(path: &Path) -> u64 {
    let files = read_programme_file(path).expect("the file opens after every kill");
    let jobs: Value = serde_json::from_slice(&files[JOBS]).expect("the jobs are whole");
    let kept: Value = serde_json::from_slice(&files["plan.json"]).expect("the plan is whole");
    assert_eq!(
        jobs["features"][0]["properties"]["sections"], kept["number"],
        "a mixed set"
    );
    let number = kept["number"].as_u64().expect("a number");
    assert_eq!(files["plan.json"], plan(number));
    number
}

/// Every third edit is taken back and done again, so that kills come there too.
fn edit_for_ever(path: &Path) -> ! {
    let mut file = ProgrammeFile::claim(path).expect("nobody else has it");
    let mut number = number_in(path);
    println!("now at {number}");
    loop {
        number += 1;
        file.commit(&edit(number), &[]).expect("the disk takes it");
        println!("now at {number}");
        if number.is_multiple_of(3) {
            println!("back from {number}");
            file.walk(Step::Undo, &[]).expect("the disk takes it");
            file.walk(Step::Redo, &[]).expect("the disk takes it");
            println!("now at {number}");
        }
    }
}

fn editing(path: &Path) -> (Child, BufReader<std::process::ChildStdout>) {
    let itself = env::current_exe().expect("a test knows its own program");
    let mut child = Command::new(itself)
        .args([
            "--exact",
            "what_was_acknowledged_is_there_after_a_kill",
            "--nocapture",
        ])
        .env(ROLE, path)
        .stdout(Stdio::piped())
        .stderr(Stdio::inherit())
        .spawn()
        .expect("a program can be started");
    let mut said = BufReader::new(child.stdout.take().expect("its words are piped"));
    let mut line = String::new();
    while !line.contains("now at") {
        line.clear();
        assert!(
            said.read_line(&mut line).expect("it speaks") > 0,
            "the program ended before it edited"
        );
    }
    (child, said)
}

/// Moments spread without a pattern, the same in every run.
fn moment(kill: u64) -> Duration {
    let scattered = kill.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 40;
    Duration::from_micros(scattered % 50_000)
}

/// The last number that was acknowledged, and the least that may be there.
fn acknowledged(words: &str, at_first: u64) -> u64 {
    let mut least = at_first;
    for line in words.lines() {
        let number = |word: &str| {
            line.split_once(word)
                .and_then(|(_, number)| number.trim().parse().ok())
        };
        if let Some(number) = number("now at ") {
            least = number;
        } else if let Some(number) = number("back from ") {
            let number: u64 = number;
            least = number - 1;
        }
    }
    least
}

fn kill_again_and_again(kills: u64) {
    if let Some(path) = env::var_os(ROLE) {
        edit_for_ever(Path::new(&path));
    }
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    made(&path);
    let (mut halfway, mut last) = (0, 0);
    for kill in 0..kills {
        let (mut child, mut said) = editing(&path);
        thread::sleep(moment(kill));
        child.kill().unwrap();
        child.wait().unwrap();
        let mut words = String::new();
        said.read_to_string(&mut words).unwrap();
        halfway += u64::from(path.with_file_name("week.gpkg-journal").exists());
        let (least, now) = (acknowledged(&words, last), number_in(&path));
        assert!(
            now == least || now == least + 1,
            "kill {kill}: {now} is there, and {least} was acknowledged"
        );
        let file = ProgrammeFile::claim(&path).expect("the claim of the killed program is gone");
        let (past, future) = file.edits().unwrap();
        assert_eq!(
            past.len() as u64,
            now,
            "kill {kill}: the history is as long as the edits are many"
        );
        assert!(future.len() <= 1);
        last = now;
        // An edit that was taken back when the kill came is forgotten by the next, and so it is here.
        drop(file);
    }
    let mut file = ProgrammeFile::claim(&path).unwrap();
    for number in (0..last).rev().take(20) {
        file.walk(Step::Undo, &[]).unwrap();
        assert_eq!(number_in(&path), number);
    }
    println!("{last} edits; {halfway} of {kills} kills came in the middle of one");
    assert!(
        last > 0 && halfway > 0,
        "{last} edits, {halfway} kills in the middle of one"
    );
}

#[test]
fn what_was_acknowledged_is_there_after_a_kill() {
    kill_again_and_again(20);
}

#[test]
#[ignore = "takes minutes: 500 kills"]
fn what_was_acknowledged_is_there_after_five_hundred_kills() {
    kill_again_and_again(500);
}
