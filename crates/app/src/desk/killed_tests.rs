//! A desk with a programme file open, killed at moments that it does not choose, in the middle of edits,
//! lists and extracts taken in, undo, planning and what is saved beside the edits: what was
//! acknowledged is there, value by value, and so is the way back.

use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Read as _};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::Duration;
use std::{env, fs, thread};

use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};

use super::tests::{ask, sheet};
use crate::Desk;
use crate::view::{Answer, Stated};

/// Set for the program that works until it is killed.
const ROLE: &str = "GANGDAY_DESK";
/// Set to the work that it begins with.
const START: &str = "GANGDAY_START";
/// Set to how often it is killed, where that is not to be 20 times.
const KILLS: &str = "GANGDAY_KILLS";
/// What it does by turns.
const WORK: [&str; 7] = [
    "edit", "list", "extract", "mend", "plan", "take_out", "autosave",
];
const FIRST: &str = "J001";
/// Two jobs that reading refuses: one that is mended, one that is taken out of its file; both come back.
const REFUSED: [&str; 2] = ["R01", "R02"];

fn past(desk: &Desk) -> Vec<String> {
    match ask(desk, json!({"ask": "history"})).unwrap() {
        Answer::History { past, .. } => past,
        other => panic!("no history but {other:?}"),
    }
}

/// What can be seen of a desk: it says so as it acknowledges, and is held against that when it is opened again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
struct Seen {
    /// The number that the last edit left in a job.
    turn: u64,
    /// How many edits can be taken back.
    edits: u64,
    /// The numbers that the last list left in its forty jobs, each once.
    listed: Vec<u64>,
    /// The jobs that reading refuses, each with a digest of how it stands in the file.
    aside: Vec<String>,
    /// Those of them that were put right, each with its sections.
    mended: Vec<String>,
    /// The digest of all else that is stated of the jobs.
    stated: String,
    /// The digest of the plan.
    plan: String,
    /// What was remembered.
    remembered: Value,
}

fn digest(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn seen(desk: &Desk) -> Seen {
    let jobs: Vec<String> = sheet(desk).jobs.into_iter().map(|job| job.id).collect();
    let Answer::Stated { mut jobs } = ask(desk, json!({"ask": "stated", "jobs": jobs})).unwrap()
    else {
        panic!("nothing stated");
    };
    let was_refused = |job: &mut Stated| REFUSED.contains(&job.id.as_str());
    let mended = jobs.extract_if(.., was_refused);
    let mended = mended.map(|job| format!("{} {}", job.id, job.properties["sections"]));
    let mended = mended.collect();
    let (mut turn, mut listed) = (0, BTreeSet::new());
    for job in &mut jobs {
        let own = job.properties.shift_remove("turn");
        let own = own.and_then(|own| own.as_u64()).unwrap_or(0);
        if job.id == FIRST {
            turn = own;
        } else if job.id.starts_with('L') {
            listed.insert(own);
        }
    }
    let Answer::Remembered { values } = ask(desk, json!({"ask": "remembered"})).unwrap() else {
        panic!("nothing remembered");
    };
    let plan = desk.lock().planned().unwrap().plan.unwrap();
    Seen {
        turn,
        edits: past(desk).len() as u64,
        listed: listed.into_iter().collect(),
        aside: aside(desk),
        mended,
        stated: digest(&serde_json::to_vec(&jobs).unwrap()),
        plan: digest(&gangday_files::write_plan(&plan)),
        remembered: values.get("turn").cloned().unwrap_or_default(),
    }
}

fn aside(desk: &Desk) -> Vec<String> {
    let desk = desk.lock();
    let kept = &desk.table.opened().unwrap().kept.jobs;
    let all = kept.set_aside.get("features").into_iter().flatten();
    all.map(|one| {
        // The file has its members in an order of its own.
        let mut sorted = one.clone();
        sorted.sort_all_objects();
        let digest = digest(sorted.to_string().as_bytes());
        format!("{} {}", one["id"].as_str().unwrap(), &digest[..8])
    })
    .collect()
}

/// Says that all of this is done.
fn done(desk: &Desk) {
    println!("done {}", serde_json::to_string(&seen(desk)).unwrap());
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
    refuse_again(&desk);
    let mut number = seen(&desk).turn;
    println!("ready {}", serde_json::to_string(&seen(&desk)).unwrap());
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
            "extract" if extract().exists() => there_and_back(&desk, || {
                // Where it lies, as the window does.
                ask(&desk, json!({"ask": "read_extract", "path": extract()})).unwrap();
                wait(&desk);
            }),
            "mend" => there_and_back(&desk, || {
                let mend = json!({"do": "mend", "members": {"sections": 3}, "at": null});
                put_right(&desk, REFUSED[0], mend);
            }),
            "take_out" => there_and_back(&desk, || {
                put_right(&desk, REFUSED[1], json!({"do": "take_out"}));
            }),
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
        done(&desk);
    }
    unreachable!("it goes on until it is killed");
}

/// Puts a job right that reading refuses, or takes it out.
fn put_right(desk: &Desk, job: &str, mut edit: Value) {
    let place = json!({"ask": "aside", "file": "jobs.geojson", "place": job});
    let Answer::Aside { rows } = ask(desk, place).unwrap() else {
        panic!("nothing aside");
    };
    edit["aside"] = json!(rows[0].aside);
    since(desk, &json!({"ask": "edit", "edit": edit}));
}

/// What was put right when it was killed is refused again, so that it can be put right once more.
fn refuse_again(desk: &Desk) {
    let is_own = |step: &String| step.starts_with("mend R") || step.starts_with("remove R");
    while past(desk).last().is_some_and(is_own) {
        ask(desk, json!({"ask": "undo"})).unwrap();
    }
    assert_eq!(aside(desk).len(), REFUSED.len(), "{:?}", past(desk));
}

/// Does something and takes it back: streets, so that the file stays small; what is put right, so that it
/// can be put right again.
fn there_and_back(desk: &Desk, act: impl FnOnce()) {
    let before = past(desk).len();
    act();
    let after = past(desk).len();
    done(desk);
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

/// What was acknowledged last, what before that, and what was under way.
#[derive(Debug, Default)]
struct Said {
    last: Option<Seen>,
    before: Option<Seen>,
    under_way: String,
}

fn acknowledged(words: &str) -> Said {
    let mut said = Said::default();
    for line in words.lines() {
        let rest = line
            .split_once("ready ")
            .or_else(|| line.split_once("done "));
        // Of what it was killed in the middle of saying nothing is known.
        if let Some(seen) = rest.and_then(|(_, rest)| serde_json::from_str(rest).ok()) {
            said.before = said.last.replace(seen);
            said.under_way.clear();
        } else if let Some((_, work)) = line.split_once("begin ") {
            work.clone_into(&mut said.under_way);
        }
    }
    said
}

impl Said {
    /// Whether a desk that is opened again may look like this: as it was acknowledged last, or with the whole of what
    /// was under way done too, and nothing else other.
    fn allows(&self, now: &Seen) -> bool {
        let last = self.last.as_ref().unwrap();
        let after = |change: &dyn Fn(&mut Seen)| {
            let mut next = last.clone();
            next.edits += 1;
            // The plan follows the jobs, and a search may find any.
            next.plan.clone_from(&now.plan);
            change(&mut next);
            *now == next
        };
        let edited = || after(&|next| next.turn += 1);
        *now == *last
            || match self.under_way.as_str() {
                "edit" => edited(),
                "list" => after(&|next| {
                    next.listed = vec![last.edits];
                    // Its jobs may be new.
                    next.stated.clone_from(&now.stated);
                }),
                "plan" => after(&|_| {}),
                // Where there is no extract it is an edit.
                "extract" => edited() || after(&|_| {}),
                "mend" => after(&|next| {
                    next.aside.remove(0);
                    next.mended = vec![format!("{} 3", REFUSED[0])];
                }),
                "take_out" => after(&|next| {
                    next.aside.remove(1);
                }),
                "undo" => self.before.as_ref() == Some(now),
                "autosave" => {
                    let remembered = json!(last.turn);
                    *now == Seen {
                        remembered,
                        ..last.clone()
                    }
                }
                _ => false,
            }
    }
}

/// The small week as one file in a folder, with jobs that reading refuses.
fn with_refused(place: &Path) -> PathBuf {
    let (folder, path) = (place.join("week"), place.join("week.gpkg"));
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open_demo", "week": "small"})).unwrap();
    ask(&desk, json!({"ask": "save", "folder": folder})).unwrap();
    let jobs = folder.join("jobs.geojson");
    let mut file: Value = serde_json::from_slice(&fs::read(&jobs).unwrap()).unwrap();
    let features = file["features"].as_array_mut().unwrap();
    for id in REFUSED {
        let mut job = features[1].clone();
        job["id"] = json!(id);
        job["properties"]["sections"] = json!("three");
        features.push(job);
    }
    fs::write(&jobs, file.to_string()).unwrap();
    ask(&desk, json!({"ask": "open", "folder": folder})).unwrap();
    ask(&desk, json!({"ask": "save", "folder": path})).unwrap();
    path
}

fn kill_again_and_again(kills: u64) {
    if let Some(path) = env::var_os(ROLE) {
        work_for_ever(Path::new(&path));
    }
    let place = tempfile::tempdir().unwrap();
    let path = with_refused(place.path());
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
        let said = acknowledged(&words);
        *met.entry(said.under_way.clone()).or_insert(0) += 1;
        if kills >= 500 {
            println!("kill {kill} in {:?}: {:?}", said.under_way, said.last);
        }
        let desk = Desk::default();
        ask(&desk, json!({"ask": "open", "folder": path}))
            .unwrap_or_else(|refusal| panic!("kill {kill}: {refusal:?}"));
        let now = seen(&desk);
        assert!(
            said.allows(&now),
            "kill {kill}: {now:?} is there, and {said:?}"
        );
        last = now.edits;
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

/// Two that were acknowledged, one after the other, and what was under way.
fn said(under_way: &str) -> Said {
    let seen = |edits| Seen {
        turn: 4,
        edits,
        listed: vec![2],
        aside: REFUSED.map(str::to_owned).to_vec(),
        mended: Vec::new(),
        stated: "jobs".to_owned(),
        plan: "plan".to_owned(),
        remembered: json!(3),
    };
    Said {
        last: Some(seen(7)),
        before: Some(seen(6)),
        under_way: under_way.to_owned(),
    }
}

#[test]
fn whatever_is_lost_of_what_was_acknowledged_is_noticed() {
    let losses: [fn(&mut Seen); 8] = [
        |now| now.turn -= 1,
        |now| now.edits -= 2,
        |now| now.listed = vec![1, 2],
        |now| now.aside.clear(),
        |now| now.mended.push(REFUSED[1].to_owned()),
        |now| now.stated.push('!'),
        |now| now.plan.push('!'),
        |now| now.remembered = json!(2),
    ];
    for under_way in WORK.into_iter().chain(["", "undo"]) {
        let said = said(under_way);
        let last = said.last.clone().unwrap();
        assert!(said.allows(&last), "nothing is lost in {under_way}");
        for (nth, loss) in losses.iter().enumerate() {
            let mut now = last.clone();
            loss(&mut now);
            assert!(!said.allows(&now), "loss {nth} in {under_way}");
        }
    }
    let half = |now: &mut Seen| (now.edits, now.listed) = (8, vec![2, 7]);
    let mut now = said("list").last.unwrap();
    half(&mut now);
    assert!(!said("list").allows(&now), "half a list");
    now.listed = vec![7];
    assert!(said("list").allows(&now), "a whole list");
    let mut now = said("mend").last.unwrap();
    (now.edits, now.mended) = (8, vec![format!("{} 3", REFUSED[0])]);
    assert!(!said("mend").allows(&now), "there twice");
    now.aside.remove(0);
    assert!(said("mend").allows(&now), "put right");
}

#[test]
fn what_a_desk_acknowledged_is_there_after_a_kill() {
    let kills = env::var(KILLS).ok().and_then(|kills| kills.parse().ok());
    kill_again_and_again(kills.unwrap_or(20));
}

#[test]
#[ignore = "takes many minutes: 500 kills"]
fn what_a_desk_acknowledged_is_there_after_five_hundred_kills() {
    kill_again_and_again(500);
}
