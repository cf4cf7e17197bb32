//! Jobs that may be left over a night, through the command line.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]

mod common;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use common::{copy, gangday, json, messages, sample, sound, text};
use serde_json::{Value, json};
use tempfile::TempDir;

/// The small week's J008, seven hours of work and waits, with a gang that works four and a half.
struct Week {
    folder: TempDir,
}

fn change(file: &Path, how: impl FnOnce(&mut Value)) {
    let mut value: Value = serde_json::from_slice(&fs::read(file).unwrap()).unwrap();
    how(&mut value);
    fs::write(file, value.to_string()).unwrap();
}

impl Week {
    fn new(job: &Value, week: &Value) -> Self {
        let own = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        copy(&sample("small-week"), &own.path());
        change(&own.path().join("jobs.geojson"), |jobs| {
            let all = jobs["features"].as_array_mut().unwrap();
            all.retain(|one| one["id"] == "J008");
            merge(&mut all[0]["properties"], job);
        });
        change(&own.path().join("gangs.json"), |gangs| {
            let all = gangs["gangs"].as_array_mut().unwrap();
            all.truncate(1);
            merge(
                &mut all[0],
                &json!({"shift": ["08:00", "12:30"], "overtime_min": 0}),
            );
        });
        change(&own.path().join("week.json"), |stated| {
            // A night then costs what is shipped.
            let rates = stated["rates"].as_array_mut().unwrap();
            rates.retain(|rate| rate["key"] != "rate.night");
            merge(stated, week);
        });
        own
    }

    fn path(&self) -> PathBuf {
        self.folder.path().join("week")
    }

    fn plan_file(&self) -> PathBuf {
        self.folder.path().join("plan.json")
    }

    /// Plans, and holds the plan to every rule.
    fn plan(&self) -> Value {
        let (week, out) = (self.path(), self.plan_file());
        let words = [
            "plan",
            text(&week),
            "--out",
            text(&out),
            "--iterations",
            "60",
        ];
        sound(&words);
        sound(&["verify", text(&week), text(&out)]);
        serde_json::from_slice(&fs::read(&out).unwrap()).unwrap()
    }
}

fn merge(into: &mut Value, more: &Value) {
    for (name, value) in more.as_object().unwrap() {
        into[name.as_str()] = value.clone();
    }
}

fn dates(plan: &Value) -> Vec<&str> {
    let routes = plan["routes"].as_array().unwrap().iter();
    routes
        .map(|route| route["date"].as_str().unwrap())
        .collect()
}

fn reasons(plan: &Value) -> String {
    plan["unplanned"].to_string()
}

#[test]
fn only_a_night_makes_it_possible() {
    let refused = Week::new(&json!({}), &json!({})).plan();
    assert_eq!(dates(&refused), [""; 0]);
    let told = reasons(&refused);
    assert!(
        told.contains("U-SHIFT") && told.contains("Left over a night"),
        "{told}"
    );

    let week = Week::new(&json!({"nights": 1}), &json!({}));
    let plan = week.plan();
    assert_eq!(dates(&plan), ["2027-03-01", "2027-03-02"]);
    assert_eq!(plan["costs"]["nights_pence"], 15_000);
    // The same by the week's word, and not against the job's own.
    let by_week = Week::new(&json!({}), &json!({"nights": 1})).plan();
    assert_eq!(dates(&by_week).len(), 2);
    let own = Week::new(&json!({"nights": 0}), &json!({"nights": 1})).plan();
    assert_eq!(dates(&own), [""; 0]);
}

/// The price of a night is the programme's own.
#[test]
fn what_a_day_is_enough_for_is_not_left_and_a_night_has_its_price() {
    let week = Week::new(&json!({"nights": 1}), &json!({}));
    change(&week.path().join("gangs.json"), |gangs| {
        gangs["gangs"][0]["shift"] = json!(["07:30", "16:30"]);
    });
    assert_eq!(dates(&week.plan()), ["2027-03-01"]);
    let dear = Week::new(&json!({"nights": 1, "priority": 5}), &json!({}));
    change(&dear.path().join("week.json"), |week| {
        let row = json!({"key": "rate.night", "value": 90_000, "unit": "p", "source": "this test", "date": "2027-02-25"});
        week["rates"].as_array_mut().unwrap().push(row);
    });
    let plan = dear.plan();
    assert!(reasons(&plan).contains("U-COST"), "{}", reasons(&plan));
}

#[test]
fn a_weekend_between_is_refused_without_leave() {
    let long = json!({"first_day": "2027-03-05", "days": 4, "nights": 3});
    let refused = Week::new(&json!({}), &long).plan();
    assert_eq!(dates(&refused), [""; 0]);
    let allowed = Week::new(&json!({"over_weekend": true}), &long).plan();
    assert_eq!(dates(&allowed), ["2027-03-05", "2027-03-08"]);
    assert_eq!(allowed["costs"]["nights_pence"], 45_000);
    // Three nights it is, weekend or not.
    let two = json!({"first_day": "2027-03-05", "days": 4, "nights": 2});
    assert_eq!(
        dates(&Week::new(&json!({"over_weekend": true}), &two).plan()),
        [""; 0]
    );
}

/// A base that takes twenty hours at 20 C takes longer than a night at 10 C.
#[test]
fn a_wait_that_is_not_over_in_the_morning_puts_the_rest_off() {
    let slow = |nights: u32| {
        let week = Week::new(&json!({"nights": nights}), &json!({"temperatures": {}}));
        let row = json!({"key": "wait.base_cure", "value": 1_200, "unit": "min at the reference temperature", "source": "this test", "date": "2027-02-25"});
        change(&week.path().join("materials.json"), |materials| {
            let rows = materials["parameters"].as_array_mut().unwrap();
            rows.retain(|row| row["key"] != "wait.base_cure");
            rows.push(row);
        });
        week.plan()
    };
    let one = slow(1);
    assert_eq!(dates(&one), [""; 0]);
    assert!(
        !reasons(&one).contains("Left over a night from"),
        "{}",
        reasons(&one)
    );
    assert_eq!(dates(&slow(2)), ["2027-03-01", "2027-03-03"]);
}

/// Each material is counted on the gang-day that places it, and all gang-days together take what the job
/// does.
#[test]
fn what_each_day_places_adds_up_to_the_job() {
    let week = Week::new(&json!({"nights": 1}), &json!({}));
    week.plan();
    let (folder, plan) = (week.path(), week.plan_file());
    let totals = |by: &str| {
        let told = json(&[
            "totals",
            text(&folder),
            "--plan",
            text(&plan),
            "--by",
            by,
            "--json",
        ]);
        let orders = told["totals"].as_array().unwrap().clone();
        let mut sums: BTreeMap<String, f64> = BTreeMap::new();
        for line in orders
            .iter()
            .flat_map(|order| order["materials"].as_array().unwrap())
        {
            *sums.entry(line["material"].to_string()).or_default() +=
                line["measured"].as_f64().unwrap();
        }
        (orders.len(), sums)
    };
    let (jobs, whole) = totals("job");
    let (routes, parts) = totals("route");
    assert_eq!((jobs, routes), (1, 2));
    assert!(whole.len() > 6, "{whole:?}");
    for (material, amount) in &whole {
        let sum = parts.get(material).copied().unwrap_or(0.0);
        assert!(
            (sum - amount).abs() < 1e-9,
            "{material}: {sum}, not {amount}"
        );
    }
}

#[test]
fn it_is_told_closed_and_guarded_all_night() {
    let week = Week::new(&json!({"nights": 1}), &json!({}));
    let plan = week.plan();
    let (folder, out) = (week.path(), week.plan_file());
    let told = sound(&["verify", text(&folder), text(&out)]);
    assert!(
        told.contains("T-NIGHT") && told.contains("guarded, signed and lit"),
        "{told}"
    );
    let closures = json(&["closures", text(&folder), text(&out)]);
    let closure = &closures["features"][0]["properties"];
    let visits = |route: usize| plan["routes"][route]["visits"].as_array().unwrap();
    assert_eq!(closure["start"], visits(0)[0]["start"], "{closure}");
    assert_eq!(
        closure["end"],
        visits(1).last().unwrap()["finish"],
        "{closure}"
    );
    // Signs that are seen at night only with lamps.
    assert!(
        closures.to_string().to_lowercase().contains("lamp"),
        "{closure}"
    );
}

#[test]
fn what_is_done_before_the_night_stays_when_the_week_is_planned_again() {
    let week = Week::new(&json!({"nights": 1}), &json!({}));
    let mut plan = week.plan();
    for visit in plan["routes"][0]["visits"].as_array_mut().unwrap() {
        visit["status"] = json!("done");
    }
    fs::write(week.plan_file(), plan.to_string()).unwrap();
    let (folder, again) = (week.path(), week.folder.path().join("again.json"));
    let keep = week.plan_file();
    sound(&[
        "plan",
        text(&folder),
        "--out",
        text(&again),
        "--iterations",
        "60",
        "--keep",
        text(&keep),
    ]);
    sound(&["verify", text(&folder), text(&again), "--keep", text(&keep)]);
    let now: Value = serde_json::from_slice(&fs::read(&again).unwrap()).unwrap();
    assert_eq!(now["routes"][0]["visits"], plan["routes"][0]["visits"]);
    assert_eq!(dates(&now), ["2027-03-01", "2027-03-02"]);
    assert!(
        now["changes"].as_array().is_none_or(Vec::is_empty),
        "{}",
        now["changes"]
    );
}

#[test]
fn what_can_not_be_meant_is_a_fault() {
    for (name, value, code) in [
        ("nights", json!(-1), "J-SIZE"),
        ("nights", json!(1.5), "J-SIZE"),
        ("nights", json!("two"), "J-TYPE"),
        ("over_weekend", json!("perhaps"), "J-TYPE"),
    ] {
        let week = Week::new(&json!({name: value}), &json!({}));
        let told = gangday(&["check", text(&week.path())]);
        let words = String::from_utf8_lossy(&told.stdout).into_owned() + &messages(&told);
        assert!(
            words.contains(code) && words.contains(name),
            "{name} {value}: {words}"
        );
    }
}
