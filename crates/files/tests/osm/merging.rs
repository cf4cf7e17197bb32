//! Imported streets beside a user's own, once and again.

use gangday_files::{Parts, merge_streets, read_programme};
use gangday_model::Street;
use serde_json::{Value, json};

use crate::map::Map;

fn streets(limit: &str) -> Vec<Street> {
    let tags = |name| {
        [
            ("highway", "residential"),
            ("name", name),
            ("maxspeed", limit),
        ]
        .to_vec()
    };
    let map = Map::new()
        .row(1..=4, 0)
        .way(10, &[1, 2], &tags("Alder Row"))
        .way(11, &[3, 4], &tags("Birch Row"));
    map.read().streets
}

const OWN: &str = r#"{"type": "FeatureCollection", "name": "mine", "features": [
  {"type": "Feature", "id": "S1", "properties": {"name": "Hill Street", "road_type": 3, "note": [1.50, 2]},
   "geometry": {"type": "LineString", "coordinates": [[-1.0, 53.0], [-1.001, 53.0]]}},
  {"type": "Feature", "id": "bad", "properties": {"name": 7}, "geometry": null}]}"#;

fn tree(bytes: &[u8]) -> Value {
    serde_json::from_slice(bytes).unwrap()
}

#[test]
fn a_user_s_own_rows_stay_as_they_are_even_faulty_ones() {
    let merged = merge_streets(Some(OWN.as_bytes()), &streets("30 mph")).unwrap();
    assert_eq!((merged.added, merged.updated, merged.unchanged), (2, 0, 0));
    let (before, after) = (tree(OWN.as_bytes()), tree(&merged.bytes));
    for at in [0, 1] {
        assert_eq!(before["features"][at], after["features"][at]);
    }
    assert_eq!(after["name"], "mine");
    assert_eq!(after["features"][2]["id"], "osm-w10");
}

#[test]
fn importing_again_changes_no_byte() {
    let first = merge_streets(Some(OWN.as_bytes()), &streets("30 mph")).unwrap();
    let again = merge_streets(Some(&first.bytes), &streets("30 mph")).unwrap();
    assert_eq!((again.added, again.updated, again.unchanged), (0, 0, 2));
    assert_eq!(again.bytes, first.bytes);
    assert_eq!(again.findings, []);
}

#[test]
fn what_the_map_changes_follows_and_what_the_user_changed_stays() {
    let first = merge_streets(None, &streets("30 mph")).unwrap();
    let mut edited = tree(&first.bytes);
    edited["features"][0]["properties"]["name"] = json!("Alder Close");
    edited["features"][0]["properties"]["road_type"] = json!(3);
    edited["features"][1]["geometry"]["coordinates"][0] = json!([-1.0, 53.5]);
    let edited = serde_json::to_vec(&edited).unwrap();
    for _ in 0..2 {
        let again = merge_streets(Some(&edited), &streets("20 mph")).unwrap();
        let after = tree(&again.bytes);
        let alder = &after["features"][0]["properties"];
        assert_eq!(
            (&alder["name"], &alder["road_type"]),
            (&json!("Alder Close"), &json!(3))
        );
        assert_eq!(alder["speed_limit_mph"], 20);
        assert_eq!(
            after["features"][1]["geometry"]["coordinates"][0],
            json!([-1.0, 53.5])
        );
        let codes: Vec<_> = again
            .findings
            .iter()
            .map(|found| found.code.as_str())
            .collect();
        assert_eq!(codes, ["S-CHANGED"]);
        assert!(again.findings[0].text.starts_with("2 properties or lines"));
        let third = merge_streets(Some(&again.bytes), &streets("20 mph")).unwrap();
        assert_eq!(third.bytes, again.bytes);
    }
}

#[test]
fn a_row_that_only_borrows_the_id_and_a_street_that_is_gone_stay() {
    let own = OWN.replace("\"S1\"", "\"osm-w10\"");
    let merged = merge_streets(Some(own.as_bytes()), &streets("30 mph")).unwrap();
    assert_eq!(
        (merged.added, merged.findings[0].code.as_str()),
        (1, "S-OWN")
    );
    let less = merge_streets(Some(&merged.bytes), &streets("30 mph")[..1]).unwrap();
    let codes: Vec<_> = less
        .findings
        .iter()
        .map(|found| found.code.as_str())
        .collect();
    assert_eq!(codes, ["S-OWN", "S-GONE"]);
    assert_eq!(tree(&less.bytes)["features"].as_array().unwrap().len(), 3);
}

#[test]
fn a_file_that_can_t_be_read_is_not_written_over() {
    for bytes in ["", "{", "[]", "{\"type\": \"FeatureCollection\"}"] {
        let faults = merge_streets(Some(bytes.as_bytes()), &streets("30 mph")).unwrap_err();
        assert!(faults[0].is_fault(), "{bytes}");
    }
}

#[test]
fn the_rows_read_back_as_the_streets_without_a_fault() {
    let streets = streets("30 mph");
    let merged = merge_streets(None, &streets).unwrap();
    let parts = Parts {
        streets: Some(&merged.bytes),
        ..Parts::default()
    };
    let intake = read_programme("week", &parts);
    assert!(
        intake
            .findings
            .iter()
            .all(|found| found.place.file.as_deref() != Some("streets.geojson")),
        "{:?}",
        intake.findings
    );
    for (read, written) in intake.programme.streets.iter().zip(&streets) {
        assert_eq!(
            (&read.id, &read.name, &read.lines),
            (&written.id, &written.name, &written.lines)
        );
        assert_eq!(read.speed_limit_mph, written.speed_limit_mph);
        assert_eq!(read.extra["attribution"], gangday_files::ATTRIBUTION);
    }
}
