//! The main job through the command line, on the invented weeks.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]

mod common;

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use chrono::NaiveDateTime;
use common::{copy, gangday, json, messages, sample, sound, text};
use serde_json::Value;

/// Where the figures only warn, the plan keeps clear of nothing, and tells what it leaves: what its
/// closures list, and every restricted street.
#[test]
fn the_plan_tells_the_clashes_that_it_leaves() {
    let folder = tempfile::tempdir().unwrap();
    let week = folder.path().join("week");
    copy(&sample("full-week"), &week);
    change(&week.join("method.json"), |method| {
        let rows = method["parameters"].as_array_mut().unwrap();
        for kind in ["on_diversion", "both_ends", "one_street", "restricted"] {
            rows.push(serde_json::json!({
                "key": format!("clash.weight.{kind}"), "value": 1, "unit": "0 to 3",
                "source": "the user's own", "date": "2027-02-25"
            }));
        }
    });
    change(&week.join("streets.geojson"), |streets| {
        for street in streets["features"].as_array_mut().unwrap() {
            street["properties"]["restricted_until"] = "2099-01-01".into();
        }
    });
    let out = folder.path().join("plan.json");
    let words = [
        "plan",
        text(&week),
        "--out",
        text(&out),
        "--iterations",
        "50",
    ];
    let told = messages(&gangday(&words));
    assert!(told.contains("T-RESTRICTED"), "{told}");
    let closures = json(&["closures", text(&week), text(&out)]);
    let features = closures["features"].as_array().unwrap().iter();
    let clashes = features.filter_map(|one| one["properties"]["clashes"].as_array());
    for clash in clashes.flatten() {
        let text = clash["text"].as_str().unwrap();
        assert!(told.contains(text), "{text} is not told in\n{told}");
    }
}

/// Changes a file of JSON.
fn change(file: &Path, how: impl FnOnce(&mut Value)) {
    let mut value: Value = serde_json::from_slice(&std::fs::read(file).unwrap()).unwrap();
    how(&mut value);
    std::fs::write(file, serde_json::to_vec(&value).unwrap()).unwrap();
}

/// A planned full week in a folder of its own.
fn planned(folder: &tempfile::TempDir, name: &str) -> PathBuf {
    let out = folder.path().join(name);
    let week = sample("full-week");
    sound(&[
        "plan",
        text(&week),
        "--out",
        text(&out),
        "--iterations",
        "300",
        "--seed",
        "5",
    ]);
    out
}

fn ids<'a>(values: impl IntoIterator<Item = &'a Value>) -> Vec<String> {
    values
        .into_iter()
        .map(|value| value.as_str().expect("ids are text").to_owned())
        .collect()
}

fn id_of(feature: &Value) -> String {
    let id = feature["properties"]["id"].as_str();
    let id = id.or(feature["id"].as_str());
    id.expect("jobs have ids").to_owned()
}

#[test]
fn the_sample_weeks_have_no_faults() {
    for week in ["small-week", "full-week"] {
        let report = json(&["check", text(&sample(week)), "--json"]);
        assert_eq!(report["sound"], true, "{week}: {report}");
    }
}

#[test]
fn every_job_is_in_a_route_or_unplanned_with_a_reason() {
    let folder = tempfile::tempdir().unwrap();
    let plan: Value =
        serde_json::from_slice(&std::fs::read(planned(&folder, "plan.json")).unwrap()).unwrap();
    let visits = plan["routes"].as_array().unwrap().iter();
    let visits = visits.flat_map(|route| route["visits"].as_array().unwrap());
    let in_routes: BTreeSet<String> = ids(visits.map(|visit| &visit["job"])).into_iter().collect();
    let unplanned = plan["unplanned"].as_array().unwrap();
    let left: BTreeSet<String> = ids(unplanned.iter().map(|one| &one["job"]))
        .into_iter()
        .collect();
    for one in unplanned {
        let reasons = one["reasons"].as_array().unwrap();
        assert!(!reasons.is_empty(), "{one}");
        assert!(
            reasons
                .iter()
                .all(|reason| reason["text"].as_str().unwrap().len() > 20),
            "{one}"
        );
    }
    let jobs = std::fs::read_to_string(sample("full-week").join("jobs.geojson")).unwrap();
    let jobs: Value = serde_json::from_str(&jobs).unwrap();
    let features = jobs["features"].as_array().unwrap();
    let all: BTreeSet<String> = features.iter().map(id_of).collect();
    assert!(all.len() >= 60);
    assert!(in_routes.is_disjoint(&left));
    assert_eq!(
        in_routes.union(&left).cloned().collect::<BTreeSet<_>>(),
        all
    );
    assert!(
        in_routes.len() * 10 >= all.len() * 7,
        "only {} of {}",
        in_routes.len(),
        all.len()
    );
}

#[test]
fn the_checker_passes_the_plan_and_fails_a_shortened_cure() {
    let folder = tempfile::tempdir().unwrap();
    let path = planned(&folder, "plan.json");
    let week = sample("full-week");
    let report = json(&["verify", text(&week), text(&path), "--json"]);
    assert_eq!(report["sound"], true, "{report}");

    let mut plan: Value = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
    shorten_a_cure(&mut plan);
    std::fs::write(&path, plan.to_string()).unwrap();
    let output = gangday(&["verify", text(&week), text(&path), "--json"]);
    assert_eq!(output.status.code(), Some(1));
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(report["sound"], false);
    assert!(
        report["findings"].to_string().contains("R-WAIT"),
        "{report}"
    );
}

/// Begins the building of some chamber before its base has cured.
fn shorten_a_cure(plan: &mut Value) {
    let routes = plan["routes"].as_array_mut().unwrap();
    let visits = routes
        .iter_mut()
        .flat_map(|route| route["visits"].as_array_mut().unwrap());
    let mut cured: BTreeMap<String, Value> = BTreeMap::new();
    for visit in visits {
        let job = visit["job"].as_str().unwrap().to_owned();
        if visit["stage"] == "base" {
            cured.insert(job, visit["finish"].clone());
        } else if let Some(poured) = cured.get(&job).filter(|_| visit["stage"] == "build") {
            visit["arrive"] = poured.clone();
            visit["start"] = poured.clone();
            return;
        }
    }
    panic!("the week has no chamber with a base");
}

#[test]
fn the_same_seed_and_iterations_give_the_same_plan() {
    let folder = tempfile::tempdir().unwrap();
    let one = std::fs::read(planned(&folder, "one.json")).unwrap();
    let other = std::fs::read(planned(&folder, "other.json")).unwrap();
    assert_eq!(one, other);
}

#[test]
fn the_same_number_of_threads_gives_the_same_plan_and_none_dearer_than_one_does() {
    let folder = tempfile::tempdir().unwrap();
    let cost = |name: &str, threads: &str| {
        let out = folder.path().join(name);
        let week = sample("small-week");
        let words = [
            "plan",
            text(&week),
            "--out",
            text(&out),
            "--iterations",
            "100",
        ];
        sound(&[&words[..], &["--threads", threads]].concat());
        let plan = std::fs::read(&out).unwrap();
        let read: Value = serde_json::from_slice(&plan).unwrap();
        (plan, read["costs"]["total_pence"].as_i64().unwrap())
    };
    let (one, three, again) = (cost("a", "1"), cost("b", "3"), cost("c", "3"));
    assert_eq!(three, again);
    assert!(three.1 <= one.1, "{} {}", three.1, one.1);
}

#[test]
fn every_output_keeps_to_its_schema() {
    let folder = tempfile::tempdir().unwrap();
    let plan = planned(&folder, "plan.json");
    let (week, plan) = (sample("full-week"), text(&plan).to_owned());
    let week = text(&week);
    let outputs = [
        ("check", json(&["check", week, "--json"])),
        (
            "totals",
            json(&["totals", week, "--plan", &plan, "--by", "route", "--json"]),
        ),
        (
            "plan",
            serde_json::from_slice(&std::fs::read(&plan).unwrap()).unwrap(),
        ),
        ("verify", json(&["verify", week, &plan, "--json"])),
        ("closures", json(&["closures", week, &plan])),
    ];
    let names = sound(&["schema"]);
    for (name, output) in outputs {
        assert!(
            names.lines().any(|line| line == name),
            "{name} is not listed"
        );
        let schema = json(&["schema", name]);
        let validator = jsonschema::validator_for(&schema).unwrap();
        let errors: Vec<String> = validator
            .iter_errors(&output)
            .map(|error| error.to_string())
            .take(3)
            .collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
        assert!(
            !validator.is_valid(&Value::Null),
            "the schema of {name} lets anything pass"
        );
    }
}

/// Sum of one measured quantity over the orders.
fn measured(report: &Value, material: &str) -> f64 {
    let totals = report["totals"].as_array().unwrap().iter();
    let lines = totals.flat_map(|order| order["materials"].as_array().unwrap());
    let lines = lines.filter(|line| line["material"] == material);
    lines.map(|line| line["measured"].as_f64().unwrap()).sum()
}

#[test]
fn totals_agree_however_they_are_grouped() {
    let folder = tempfile::tempdir().unwrap();
    let plan = planned(&folder, "plan.json");
    let (week, plan) = (sample("full-week"), text(&plan).to_owned());
    let by = |by: &str| json(&["totals", text(&week), "--plan", &plan, "--by", by, "--json"]);
    let whole = by("week");
    let materials: BTreeSet<String> = whole["totals"][0]["materials"]
        .as_array()
        .unwrap()
        .iter()
        .map(|line| line["material"].as_str().unwrap().to_owned())
        .collect();
    assert!(materials.len() >= 6, "{materials:?}");
    for grouping in ["job", "route", "day"] {
        let report = by(grouping);
        for material in &materials {
            let (sum, total) = (measured(&report, material), measured(&whole, material));
            assert!(
                (sum - total).abs() < 1e-6,
                "{material} by {grouping}: {sum} and {total}"
            );
        }
    }
}

#[test]
fn closures_cover_the_work_and_the_hold() {
    let folder = tempfile::tempdir().unwrap();
    let path = planned(&folder, "plan.json");
    let week = sample("full-week");
    let closures = json(&["closures", text(&week), text(&path)]);
    let plan: Value = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
    let (times, stages) = times_of(&plan);
    let features = closures["features"].as_array().unwrap();
    assert_eq!(features.len(), times.len());
    assert!(
        stages
            .values()
            .filter(|names| names.contains("surface"))
            .count()
            > 20
    );
    for feature in features {
        assert_eq!(feature["geometry"]["type"], "Polygon");
        let ring = feature["geometry"]["coordinates"][0].as_array().unwrap();
        assert!(ring.len() >= 4 && ring.first() == ring.last());
        let properties = &feature["properties"];
        let job = properties["job"].as_str().unwrap();
        let (starts, finishes) = &times[job];
        let time = |name: &str| parse(properties[name].as_str().unwrap());
        assert_eq!(time("start"), starts[0], "{job}");
        assert_eq!(time("end"), finishes[finishes.len() - 1], "{job}");
        if stages[job].contains("surface") {
            let held = starts[starts.len() - 1] - time("hold_from");
            assert!(held.num_minutes() >= 60, "{job} is held for {held}");
            assert_eq!(time("hold_from"), finishes[finishes.len() - 2], "{job}");
        }
    }
}

fn parse(time: &str) -> NaiveDateTime {
    time.parse().unwrap()
}

type Times = BTreeMap<String, (Vec<NaiveDateTime>, Vec<NaiveDateTime>)>;

/// Starts and finishes of each job's visits in the plan, and the names of its stages.
fn times_of(plan: &Value) -> (Times, BTreeMap<String, BTreeSet<String>>) {
    let (mut times, mut stages) = (Times::new(), BTreeMap::new());
    let routes = plan["routes"].as_array().unwrap().iter();
    for visit in routes.flat_map(|route| route["visits"].as_array().unwrap()) {
        let text = |name: &str| visit[name].as_str().unwrap().to_owned();
        let (starts, finishes) = times.entry(text("job")).or_default();
        starts.push(parse(&text("start")));
        finishes.push(parse(&text("finish")));
        let of_job: &mut BTreeSet<String> = stages.entry(text("job")).or_default();
        of_job.insert(text("stage"));
    }
    (times, stages)
}

#[test]
fn one_broken_job_never_hides_the_others() {
    let folder = tempfile::tempdir().unwrap();
    let week = folder.path().join("week");
    copy(&sample("small-week"), &week);
    let path = week.join("jobs.geojson");
    let mut jobs: Value = serde_json::from_slice(&std::fs::read(&path).unwrap()).unwrap();
    jobs["features"][0]["properties"]["clear_length_mm"] = (-600).into();
    jobs["features"][1]["properties"]["position"] = "footwya".into();
    std::fs::write(&path, jobs.to_string()).unwrap();
    let output = gangday(&["check", text(&week), "--json"]);
    assert_eq!(output.status.code(), Some(1), "{}", messages(&output));
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    let findings = report["findings"].to_string();
    assert!(findings.contains("clear_length_mm"), "{findings}");
    assert!(findings.contains("footway"), "{findings}");

    let plan = folder.path().join("plan.json");
    let arguments = [
        "plan",
        text(&week),
        "--out",
        text(&plan),
        "--iterations",
        "50",
    ];
    assert_eq!(gangday(&arguments).status.code(), Some(1));
    let plan: Value = serde_json::from_slice(&std::fs::read(&plan).unwrap()).unwrap();
    assert!(!plan["routes"].as_array().unwrap().is_empty());
    let unplanned = plan["unplanned"].as_array().unwrap();
    for at in [0, 1] {
        let id = id_of(&jobs["features"][at]);
        let refused = unplanned.iter().find(|one| one["job"] == id.as_str());
        let code = &refused.expect("a refused job is listed")["reasons"][0]["code"];
        assert!(code.as_str().unwrap().starts_with("J-"), "{code}");
    }
}

#[test]
fn wrong_usage_and_missing_folders_are_told_apart() {
    assert_eq!(gangday(&["burn"]).status.code(), Some(2));
    assert_eq!(gangday(&["schema", "nonsense"]).status.code(), Some(2));
    let output = gangday(&["check", "no/such/week"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        messages(&output).contains("no/such/week"),
        "{}",
        messages(&output)
    );
    let week = sample("small-week");
    let output = gangday(&["totals", text(&week), "--by", "route"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(messages(&output).contains("need a plan"));
    for seconds in ["-1", "0", "soon", "inf"] {
        let output = gangday(&["plan", text(&week), "--out", "x.json", "--seconds", seconds]);
        assert_eq!(output.status.code(), Some(2), "{seconds}");
        assert!(messages(&output).contains("seconds above 0"), "{seconds}");
    }
}

#[test]
fn every_command_has_help_with_an_example() {
    let help = sound(&["--help"]);
    let commands = [
        "check", "totals", "plan", "verify", "closures", "pack", "import", "schema", "view",
    ];
    for command in commands {
        assert!(
            help.contains(command),
            "{command} is not in the general help"
        );
        let help = sound(&[command, "--help"]);
        assert!(
            help.contains(&format!("Example: gangday {command}")),
            "{help}"
        );
    }
}
