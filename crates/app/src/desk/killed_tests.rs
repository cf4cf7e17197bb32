//! A desk with a programme file open, killed at moments that it does not choose, in the middle of edits,
//! lists and extracts taken in, undo, planning and what is saved beside the edits: what was
//! acknowledged is there, and so is the way back.

use std::io::{BufRead, BufReader, Read as _};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;
use std::{env, fs, thread};

use serde_json::{Value, json};

use super::tests::{ask, sheet};
use crate::Desk;
use crate::view::Answer;

/// Set for the program that works until it is killed.
const ROLE: &str = "GANGDAY_DESK";
/// Set to the work that it begins with.
const START: &str = "GANGDAY_START";
/// What it does by turns.
const WORK: [&str; 5] = ["edit", "list", "extract", "plan", "autosave"];
const FIRST: &str = "J001";

fn past(desk: &Desk) -> Vec<String> {
    match ask(desk, json!({"ask": "history"})).unwrap() {
        Answer::History { past, .. } => past,
        other => panic!("no history but {other:?}"),
    }
}

/// The number that the last edit left in a job.
fn turn(desk: &Desk) -> u64 {
    match ask(desk, json!({"ask": "stated", "jobs": [FIRST]})).unwrap() {
        Answer::Stated { jobs } => jobs[0]
            .properties
            .get("turn")
            .and_then(Value::as_u64)
            .unwrap_or(0),
        other => panic!("nothing stated but {other:?}"),
    }
}

/// A list of forty jobs about one that is there, as GeoJSON, each with the turn in it.
fn list(desk: &Desk, turn: u64, path: &Path) -> Value {
    let [lon, lat] = sheet(desk).jobs[0].at;
    let feature = |at: u32| {
        json!({"type": "Feature", "id": format!("L{at:02}"),
            "geometry": {"type": "Point", "coordinates": [lon + f64::from(at) * 2e-4, lat]},
            "properties": {"work": "new", "position": "verge", "sections": 3, "turn": turn}})
    };
    let features: Vec<Value> = (0..40).map(feature).collect();
    let text = json!({"type": "FeatureCollection", "features": features}).to_string();
    fs::write(path, text).unwrap();
    json!({"name": "list.geojson", "path": path})
}

fn extract() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../.tools/extracts/kotka.osm.pbf")
}

fn plan(desk: &Desk) {
    ask(
        desk,
        json!({"ask": "plan", "iterations": 20, "seed": 1, "seconds": null}),
    )
    .unwrap();
    wait(desk);
}

/// Until what takes long is over, and on the disk.
fn wait(desk: &Desk) {
    while let Ok(Answer::Progress { progress }) = ask(desk, json!({"ask": "progress"}))
        && progress.running
    {
        thread::sleep(Duration::from_millis(2));
    }
}

/// As the page asks.
fn since(desk: &Desk, of: &Value) {
    ask(desk, json!({"ask": "since", "edition": 0, "of": of})).unwrap();
}

/// One edit after the other; every one says what it is about to do, and that it is done.
fn work_for_ever(path: &Path) -> ! {
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path})).unwrap();
    let start = env::var(START).unwrap_or_default();
    let start = WORK.iter().position(|work| *work == start).unwrap_or(0);
    let mut number = turn(&desk);
    println!("ready {number} {}", past(&desk).len());
    for work in WORK.iter().cycle().skip(start) {
        println!("begin {work}");
        match *work {
            "list" => {
                let turn = past(&desk).len() as u64;
                let list = list(&desk, turn, &path.with_file_name("list.geojson"));
                let take =
                    json!({"ask": "take_in", "list": list, "skip": [], "delete_gone": false});
                // One that changes nothing is refused.
                let _ = ask(&desk, take);
            }
            "plan" => plan(&desk),
            "extract" if extract().exists() => streets_and_back(&desk, number),
            "autosave" => {
                ask(
                    &desk,
                    json!({"ask": "remember", "name": "turn", "value": number}),
                )
                .unwrap();
                ask(&desk, json!({"ask": "sheet"})).unwrap();
            }
            _ => {
                number += 1;
                set(&desk, number);
            }
        }
        println!("done {number} {}", past(&desk).len());
    }
    unreachable!("it goes on until it is killed");
}

/// Reads the streets of an extract where it lies, as the window does; they go again, so that the file
/// stays small.
fn streets_and_back(desk: &Desk, number: u64) {
    let before = past(desk).len();
    ask(desk, json!({"ask": "read_extract", "path": extract()})).unwrap();
    wait(desk);
    let after = past(desk).len();
    println!("done {number} {after}");
    if after > before {
        println!("begin undo");
        ask(desk, json!({"ask": "undo"})).unwrap();
    }
}

fn set(desk: &Desk, number: u64) {
    let edit = json!({"do": "set", "jobs": [FIRST], "properties": {"turn": number}});
    since(desk, &json!({"ask": "edit", "edit": edit}));
}

fn working(path: &Path, start: &str) -> (Child, BufReader<ChildStdout>, String) {
    let itself = env::current_exe().unwrap();
    let mut child = Command::new(itself)
        .args([
            "--exact",
            "desk::killed_tests::what_a_desk_acknowledged_is_there_after_a_kill",
            "--nocapture",
        ])
        .env(ROLE, path)
        .env(START, start)
        .stdout(Stdio::piped())
        .stderr(Stdio::inherit())
        .spawn()
        .unwrap();
    let mut said = BufReader::new(child.stdout.take().unwrap());
    let mut line = String::new();
    while !line.contains("ready ") {
        line.clear();
        assert!(
            said.read_line(&mut line).unwrap() > 0,
            "it ended before it worked"
        );
    }
    (child, said, line)
}

/// Moments spread without a pattern, the same in every run, most of them while this is being done.
fn moment(kill: u64, work: &str) -> Duration {
    let scattered = kill.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> 40;
    let most = match work {
        "extract" | "plan" => 1_500_000,
        _ => 150_000,
    };
    Duration::from_micros(scattered % most)
}

/// Turn and length of the history, as they were acknowledged last, and what was under way.
fn acknowledged(words: &str) -> (u64, u64, String) {
    let (mut turn, mut edits, mut under_way) = (0, 0, String::new());
    for line in words.lines() {
        let Some((_, rest)) = line
            .split_once("ready ")
            .or_else(|| line.split_once("done "))
        else {
            under_way = line.rsplit(' ').next().unwrap_or_default().to_owned();
            continue;
        };
        let numbers: Vec<u64> = rest
            .split(' ')
            .filter_map(|word| word.trim().parse().ok())
            .collect();
        if let [one, other] = numbers[..] {
            (turn, edits, under_way) = (one, other, String::new());
        }
    }
    (turn, edits, under_way)
}

fn kill_again_and_again(kills: u64) {
    if let Some(path) = env::var_os(ROLE) {
        work_for_ever(Path::new(&path));
    }
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open_demo", "week": "small"})).unwrap();
    ask(&desk, json!({"ask": "save", "folder": path})).unwrap();
    drop(desk);
    let mut met = std::collections::BTreeMap::new();
    let mut last = 0;
    for kill in 0..kills {
        let work = WORK[usize::try_from(kill).unwrap() % WORK.len()];
        let (mut child, mut said, ready) = working(&path, work);
        thread::sleep(moment(kill, work));
        child.kill().unwrap();
        child.wait().unwrap();
        let mut words = ready;
        said.read_to_string(&mut words).unwrap();
        let (turn_said, edits_said, under_way) = acknowledged(&words);
        *met.entry(under_way.clone()).or_insert(0) += 1;
        if kills >= 500 {
            println!("kill {kill} in {under_way:?}: {edits_said} edits");
        }
        let desk = Desk::default();
        ask(&desk, json!({"ask": "open", "folder": path}))
            .unwrap_or_else(|refusal| panic!("kill {kill}: {refusal:?}"));
        let (now, edits) = (turn(&desk), past(&desk).len() as u64);
        assert!(
            now == turn_said || now == turn_said + 1,
            "kill {kill} in {under_way}: turn {now}, and {turn_said} was acknowledged"
        );
        assert!(
            (edits_said.saturating_sub(1)..=edits_said + 1).contains(&edits),
            "kill {kill} in {under_way}: {edits} edits, and {edits_said} were acknowledged"
        );
        assert!(
            edits >= edits_said || under_way == "undo",
            "kill {kill}: an edit is gone"
        );
        assert!(sheet(&desk).plan.is_some());
        last = edits;
    }
    println!("{last} edits; kills by what was under way: {met:?}");
    assert!(last > 0 && met.len() > 1, "{last} {met:?}");
    if kills >= 500 && extract().exists() {
        for work in WORK {
            assert!(met.contains_key(work), "never in {work}: {met:?}");
        }
    }
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path})).unwrap();
    for _ in 0..last.min(10) {
        ask(&desk, json!({"ask": "undo"})).unwrap();
    }
    assert_eq!(past(&desk).len() as u64, last - last.min(10));
}

#[test]
fn what_a_desk_acknowledged_is_there_after_a_kill() {
    kill_again_and_again(20);
}

#[test]
#[ignore = "takes many minutes: 500 kills"]
fn what_a_desk_acknowledged_is_there_after_five_hundred_kills() {
    kill_again_and_again(500);
}
