//! The sample data is what its maker makes, and holds together as a town does.
#![allow(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is not there"
)]

use std::collections::{HashMap, HashSet};
use std::fs;
use std::path::{Path, PathBuf};

use gangday_tests::sample::{TownWeek, write_patchwork, write_town};
use serde_json::Value;

const FILES: [&str; 7] = [
    "jobs.geojson",
    "streets.geojson",
    "backdrop.geojson",
    "gangs.json",
    "method.json",
    "materials.json",
    "week.json",
];

fn committed(week: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../sample-data")
        .join(week)
}

fn features(folder: &Path, name: &str) -> Vec<Value> {
    let bytes = fs::read(folder.join(name)).unwrap();
    let collection: Value = serde_json::from_slice(&bytes).unwrap();
    collection["features"].as_array().unwrap().clone()
}

fn text<'a>(feature: &'a Value, property: &str) -> &'a str {
    feature["properties"][property].as_str().unwrap_or_default()
}

/// Metres east and north, near enough within the town.
///
/// # Source
/// WGS84 radii of curvature at latitude 54.
fn metres(pair: &Value) -> [f64; 2] {
    let (lon, lat) = (pair[0].as_f64().unwrap(), pair[1].as_f64().unwrap());
    [(lon + 3.55) * 65_575.77, (lat - 54.0) * 111_305.0]
}

fn line(street: &Value) -> Vec<[f64; 2]> {
    street["geometry"]["coordinates"]
        .as_array()
        .unwrap()
        .iter()
        .map(metres)
        .collect()
}

fn distance(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

fn to_line(place: [f64; 2], line: &[[f64; 2]]) -> f64 {
    let to_segment = |a: [f64; 2], b: [f64; 2]| {
        let run = [b[0] - a[0], b[1] - a[1]];
        let square = run[0] * run[0] + run[1] * run[1];
        let along = (place[0] - a[0]) * run[0] + (place[1] - a[1]) * run[1];
        let part = (along / square).clamp(0.0, 1.0);
        distance(place, [a[0] + part * run[0], a[1] + part * run[1]])
    };
    line.windows(2)
        .map(|pair| to_segment(pair[0], pair[1]))
        .fold(f64::MAX, f64::min)
}

/// Whether two segments cross inside both; a shared end is no crossing.
fn cross(a: &[[f64; 2]], b: &[[f64; 2]]) -> bool {
    let side = |p: [f64; 2], q: [f64; 2], r: [f64; 2]| {
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    let apart = |p: f64, q: f64| p * q < 0.0 && p.abs().min(q.abs()) > 0.5;
    apart(side(a[0], a[1], b[0]), side(a[0], a[1], b[1]))
        && apart(side(b[0], b[1], a[0]), side(b[0], b[1], a[1]))
}

/// How many separate networks the streets make where only equal numbers join.
fn networks(streets: &[&Value]) -> usize {
    let mut at: HashMap<String, Vec<usize>> = HashMap::new();
    for (n, street) in streets.iter().enumerate() {
        for pair in street["geometry"]["coordinates"].as_array().unwrap() {
            at.entry(pair.to_string()).or_default().push(n);
        }
    }
    let mut beside = vec![Vec::new(); streets.len()];
    for meeting in at.values() {
        for n in meeting {
            beside[*n].extend(meeting);
        }
    }
    let mut seen = HashSet::new();
    let mut count = 0;
    for start in 0..streets.len() {
        let mut next = vec![start];
        count += usize::from(!seen.contains(&start));
        while let Some(street) = next.pop() {
            if seen.insert(street) {
                next.extend(&beside[street]);
            }
        }
    }
    count
}

#[test]
fn the_committed_weeks_are_what_the_maker_makes() {
    for (name, week) in [
        ("small-week", TownWeek::Small),
        ("full-week", TownWeek::Full),
    ] {
        let folder = tempfile::tempdir().unwrap();
        write_town(folder.path(), week).unwrap();
        for file in FILES {
            let made = fs::read(folder.path().join(file)).unwrap();
            let kept = fs::read(committed(name).join(file)).unwrap();
            assert!(
                made == kept,
                "{name}/{file}: run `cargo run -p gangday-tests --bin gangday-sample` again"
            );
        }
    }
}

#[test]
fn the_full_week_shows_every_kind_of_job() {
    let jobs = features(&committed("full-week"), "jobs.geojson");
    let values = |property: &str| -> HashSet<String> {
        jobs.iter()
            .map(|job| job["properties"][property].to_string())
            .collect()
    };
    assert!(jobs.len() >= 64);
    assert_eq!(values("work").len(), 3);
    assert_eq!(values("position").len(), 4);
    assert_eq!(values("priority").len(), 5);
    assert_eq!(
        values("closure").len(),
        5,
        "four kinds, and some left to be proposed"
    );
    for property in [
        "site_hours",
        "tickets",
        "earliest",
        "latest",
        "ground",
        "permit",
    ] {
        assert!(values(property).len() > 2, "{property}");
    }
    let gangs: Value =
        serde_json::from_slice(&fs::read(committed("full-week").join("gangs.json")).unwrap())
            .unwrap();
    assert_eq!(gangs["gangs"].as_array().unwrap().len(), 5);
}

#[test]
fn ids_are_unique_and_jobs_name_streets_that_exist() {
    for week in ["small-week", "full-week"] {
        let folder = committed(week);
        let ids = |name: &str| -> Vec<String> {
            features(&folder, name)
                .iter()
                .map(|one| one["id"].as_str().unwrap().into())
                .collect()
        };
        let (jobs, streets) = (ids("jobs.geojson"), ids("streets.geojson"));
        for list in [&jobs, &streets] {
            assert_eq!(list.iter().collect::<HashSet<_>>().len(), list.len());
        }
        for job in features(&folder, "jobs.geojson") {
            let street = text(&job, "street");
            assert!(
                street.is_empty() || streets.iter().any(|id| id == street),
                "{street}"
            );
        }
    }
}

#[test]
fn street_names_are_unique_in_the_town() {
    let streets = features(&committed("full-week"), "streets.geojson");
    let names: HashSet<&str> = streets.iter().map(|street| text(street, "name")).collect();
    assert_eq!(names.len(), streets.len());
}

#[test]
fn streets_meet_only_in_points_that_they_share() {
    let streets = features(&committed("full-week"), "streets.geojson");
    let lines: Vec<_> = streets.iter().map(line).collect();
    for (n, one) in lines.iter().enumerate() {
        for (m, other) in lines.iter().enumerate().skip(n + 1) {
            for a in one.windows(2) {
                let met = other.windows(2).any(|b| cross(a, b));
                let names = [text(&streets[n], "name"), text(&streets[m], "name")];
                assert!(!met, "{names:?} cross without a junction near {:?}", a[0]);
            }
        }
    }
}

#[test]
fn the_town_is_one_network_with_two_bridges_and_neither_can_cut_it_alone() {
    let streets = features(&committed("full-week"), "streets.geojson");
    let without = |names: &[&str]| {
        let left: Vec<&Value> = streets
            .iter()
            .filter(|street| !names.contains(&text(street, "name")))
            .collect();
        networks(&left)
    };
    assert_eq!(without(&[]), 1);
    assert_eq!(without(&["Old Bridge"]), 1);
    assert_eq!(without(&["Weir Bridge"]), 1);
    assert!(without(&["Old Bridge", "Weir Bridge"]) > 1);
}

#[test]
fn only_the_bridges_cross_the_river() {
    let folder = committed("full-week");
    let backdrop = features(&folder, "backdrop.geojson");
    let river = backdrop
        .iter()
        .find(|patch| text(patch, "name") == "River Sallow")
        .unwrap();
    let ring = river["geometry"]["coordinates"][0].as_array().unwrap();
    let bank: Vec<[f64; 2]> = ring.iter().map(metres).collect();
    for street in features(&folder, "streets.geojson") {
        let run = line(&street);
        let wet = run.windows(2).any(|a| bank.windows(2).any(|b| cross(a, b)));
        assert_eq!(
            wet,
            street["properties"]["bridge"] == true,
            "{}",
            text(&street, "name")
        );
    }
}

#[test]
fn lines_are_smooth_and_the_town_fits_six_kilometres_by_five() {
    for street in features(&committed("full-week"), "streets.geojson") {
        let run = line(&street);
        let name = text(&street, "name");
        assert!(run.len() >= 2, "{name}");
        for pair in run.windows(2) {
            let step = distance(pair[0], pair[1]);
            assert!((1.0..30.0).contains(&step), "{name}: a step of {step:.1} m");
        }
        for turn in run.windows(3) {
            let [a, b] =
                [[turn[0], turn[1]], [turn[1], turn[2]]].map(|[p, q]| [q[0] - p[0], q[1] - p[1]]);
            assert!(
                a[0] * b[0] + a[1] * b[1] > 0.0,
                "{name} turns back at {:?}",
                turn[1]
            );
        }
        assert!(
            run.iter()
                .all(|p| p[0].abs() < 3100.0 && p[1].abs() < 2550.0),
            "{name}"
        );
    }
}

#[test]
fn jobs_lie_beside_their_street_as_their_position_says() {
    let folder = committed("full-week");
    let streets = features(&folder, "streets.geojson");
    let mut tried = 0;
    for job in features(&folder, "jobs.geojson") {
        let Some(street) = streets
            .iter()
            .find(|street| street["id"] == job["properties"]["street"])
        else {
            continue;
        };
        let half = street["properties"]["width_m"].as_f64().unwrap() / 2.0;
        let off = to_line(metres(&job["geometry"]["coordinates"]), &line(street));
        let in_road = text(&job, "position") == "carriageway";
        assert_eq!(off < half, in_road, "{}: {off:.1} m off", job["id"]);
        assert!(off < half + 8.0, "{}: {off:.1} m off", job["id"]);
        tried += 1;
    }
    assert!(tried > 40);
}

#[test]
fn covers_are_of_the_class_that_their_position_asks_for() {
    // EN 124-1 groups, from memory: 2 footways B125, 4 carriageways D400.
    for job in features(&committed("full-week"), "jobs.geojson") {
        let strong = ["D400", "E600", "F900"].contains(&text(&job, "load_class"));
        assert_eq!(
            strong,
            text(&job, "position") == "carriageway",
            "{}",
            job["id"]
        );
    }
}

#[test]
fn larger_programmes_have_the_jobs_asked_for_and_hang_together() {
    let folder = tempfile::tempdir().unwrap();
    let written = write_patchwork(folder.path(), 500, 3).unwrap();
    let streets = features(folder.path(), "streets.geojson");
    let jobs = features(folder.path(), "jobs.geojson");
    assert_eq!((jobs.len(), streets.len()), (500, written.streets));
    assert_eq!(written.gangs, 40);
    assert_eq!(networks(&streets.iter().collect::<Vec<_>>()), 1);
    let ids: HashSet<&str> = jobs
        .iter()
        .chain(&streets)
        .map(|one| one["id"].as_str().unwrap())
        .collect();
    assert_eq!(ids.len(), jobs.len() + streets.len());
}

#[test]
fn the_same_seed_makes_the_same_bytes_and_another_does_not() {
    let make = |seed| {
        let folder = tempfile::tempdir().unwrap();
        write_patchwork(folder.path(), 130, seed).unwrap();
        FILES.map(|file| fs::read(folder.path().join(file)).unwrap())
    };
    assert!(make(5) == make(5));
    assert!(make(5)[0] != make(6)[0]);
}
