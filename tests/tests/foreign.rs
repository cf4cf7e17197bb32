//! The main job on real points: places of northern England, from an open table that a package
//! carries. Its licence and origin stand beside the data.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]

mod common;

use common::{copy, gangday, json, messages, project, sound, text};
use serde_json::Value;

#[test]
fn a_table_of_real_places_is_imported_planned_verified_and_shown() {
    let data = project().join("tests").join("data").join("foreign");
    let folder = tempfile::tempdir().unwrap();
    let week = folder.path().join("week");
    copy(&data.join("programme"), &week);
    let (list, mapping) = (data.join("pennine-places.csv"), data.join("mapping.json"));
    let rows = std::fs::read_to_string(&list).unwrap().lines().count() - 1;

    let arguments = [
        "import",
        text(&list),
        "--into",
        text(&week),
        "--mapping",
        text(&mapping),
    ];
    let report = json(&[&arguments[..], &["--json"]].concat());
    assert_eq!(report["added"], rows, "{report}");

    let plan = folder.path().join("plan.json");
    sound(&[
        "plan",
        text(&week),
        "--out",
        text(&plan),
        "--iterations",
        "200",
    ]);
    let verified = json(&["verify", text(&week), text(&plan), "--json"]);
    assert_eq!(verified["sound"], true, "{verified}");
    let planned: Value = serde_json::from_slice(&std::fs::read(&plan).unwrap()).unwrap();
    let left = planned["unplanned"].as_array().unwrap();
    assert!(left.len() < rows / 2, "{} of {rows} left out", left.len());

    let closures = json(&["closures", text(&week), text(&plan)]);
    assert_eq!(
        closures["features"].as_array().unwrap().len(),
        rows - left.len()
    );
    let pack = folder.path().join("pack");
    let written = sound(&["pack", text(&week), text(&plan), "--out", text(&pack)]);
    let mut files = written.lines();
    let page = files.find(|file| file.ends_with(".html")).unwrap();
    let page = std::fs::read_to_string(page).unwrap();
    let routes = planned["routes"].as_array().unwrap().iter();
    for visit in routes.flat_map(|route| route["visits"].as_array().unwrap()) {
        assert!(
            page.contains(visit["job"].as_str().unwrap()),
            "{visit} is not on the page"
        );
    }
}

#[test]
fn importing_the_same_list_again_doubles_nothing() {
    let data = project().join("tests").join("data").join("foreign");
    let folder = tempfile::tempdir().unwrap();
    let week = folder.path().join("week");
    copy(&data.join("programme"), &week);
    let (list, mapping) = (data.join("pennine-places.csv"), data.join("mapping.json"));
    let arguments = [
        "import",
        text(&list),
        "--into",
        text(&week),
        "--mapping",
        text(&mapping),
    ];
    sound(&arguments);
    let once = std::fs::read(week.join("jobs.geojson")).unwrap();
    let again = gangday(&arguments);
    assert_eq!(again.status.code(), Some(1), "{}", messages(&again));
    assert_eq!(std::fs::read(week.join("jobs.geojson")).unwrap(), once);
}
