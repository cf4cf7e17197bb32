//! Closures as GeoJSON, read back by the `geojson` library as any other program would.

use chrono::NaiveDateTime;
use gangday_files::{ClosureDetails, Parts, read_programme, write_closures};
use gangday_model::{
    Clash, ClashKind, ClashWeight, Closure, ClosureKind, Diversion, LonLat, WayRound,
};
use geojson::{FeatureCollection, GeometryValue};
use serde_json::json;

const STREETS: &str = r#"{"type": "FeatureCollection", "features": [{"type": "Feature", "id": "S1",
 "geometry": {"type": "LineString", "coordinates": [[-1.55, 53.80], [-1.56, 53.80]]},
 "properties": {"name": "Hill \"Top\" Street"}}]}"#;

fn at(text: &str) -> NaiveDateTime {
    text.parse().expect("a local time")
}

fn closure(street: Option<&str>, footprint: Vec<LonLat>) -> Closure {
    Closure {
        job: "A".into(),
        gang: "G1".into(),
        street: street.map(Into::into),
        kind: ClosureKind::Lane,
        closes_road: false,
        proposed: true,
        because: "a carriageway wide enough for one lane beside the works".to_owned(),
        worked: Some((at("2027-03-01T09:30:00"), at("2027-03-01T15:10:00"))),
        start: at("2027-03-01T09:30:00"),
        hold_from: at("2027-03-01T14:00:00"),
        end: at("2027-03-01T15:10:00"),
        footprint,
    }
}

#[test]
fn another_program_reads_the_closures() {
    let parts = Parts {
        streets: Some(STREETS.as_bytes()),
        ..Parts::default()
    };
    let programme = read_programme("test", &parts).programme;
    let corner = |lon, lat| LonLat::new(lon, lat);
    let ring = vec![
        corner(-1.55, 53.80),
        corner(-1.549, 53.80),
        corner(-1.549, 53.801),
        corner(-1.55, 53.80),
    ];
    let closures = [closure(Some("S1"), ring), closure(None, Vec::new())];
    let bytes = write_closures(&closures, &ClosureDetails::default(), &programme);
    let text = String::from_utf8(bytes).unwrap();
    let features = text.parse::<FeatureCollection>().unwrap().features;

    let property = |name: &str| features[0].property(name).cloned().unwrap();
    assert_eq!(property("street_name"), json!("Hill \"Top\" Street"));
    assert_eq!(
        (property("kind"), property("proposed")),
        (json!("lane"), json!(true))
    );
    assert_eq!(property("start"), json!("2027-03-01T09:30:00"));
    assert_eq!(property("hold_from"), json!("2027-03-01T14:00:00"));
    assert_eq!(property("end"), json!("2027-03-01T15:10:00"));
    let Some(GeometryValue::Polygon { coordinates }) = features[0]
        .geometry
        .as_ref()
        .map(|geometry| &geometry.value)
    else {
        panic!("no polygon")
    };
    assert_eq!(coordinates[0].len(), 4);
    assert_eq!(coordinates[0][0].as_slice(), [-1.55, 53.80]);

    assert!(features[1].geometry.is_none());
    assert_eq!(features[1].property("street_name"), Some(&json!(null)));
}

#[test]
fn a_closure_carries_its_way_round_and_both_parties_of_a_clash() {
    let programme = read_programme("test", &Parts::default()).programme;
    let other = Closure {
        job: "B".into(),
        ..closure(None, Vec::new())
    };
    let closures = [closure(None, Vec::new()), other];
    let line = vec![LonLat::new(-1.55, 53.80), LonLat::new(-1.56, 53.80)];
    let diversions = [Diversion {
        job: "A".into(),
        along: Some(WayRound {
            line,
            length_m: 400.123_456,
            extra_m: 200.0,
            extra_s: 15.0,
            streets: vec!["S1".into()],
        }),
        against: None,
        two_way: true,
        cut_off: vec!["S2".into()],
        cut_off_addresses: vec!["12 to 18 Oak Lane".to_owned()],
        words: "round by S1".to_owned(),
    }];
    let clashes = [Clash {
        kind: ClashKind::OnDiversion,
        job: "A".into(),
        other: "B".into(),
        from: at("2027-03-01T09:30:00"),
        until: at("2027-03-01T15:10:00"),
        weight: ClashWeight::Barred,
        text: "both".to_owned(),
        remedy: "one after the other".to_owned(),
    }];
    let details = ClosureDetails {
        diversions: &diversions,
        clashes: &clashes,
        ..ClosureDetails::default()
    };
    let text = String::from_utf8(write_closures(&closures, &details, &programme)).unwrap();
    let features = text.parse::<FeatureCollection>().unwrap().features;
    let diversion = features[0].property("diversion").unwrap();
    assert_eq!(diversion["along"]["geometry"]["type"], "LineString");
    assert_eq!(
        diversion["along"]["geometry"]["coordinates"][1],
        json!([-1.56, 53.80])
    );
    assert_eq!(
        diversion["along"]["length_m"],
        json!(400.12),
        "no surer than that"
    );
    assert_eq!(diversion["against"], json!(null));
    assert_eq!(features[0].property("cut_off"), Some(&json!(["S2"])));
    assert_eq!(
        features[0].property("cut_off_addresses"),
        Some(&json!(["12 to 18 Oak Lane"]))
    );
    assert_eq!(features[0].property("clashes").unwrap()[0]["with"], "B");
    assert_eq!(features[1].property("clashes").unwrap()[0]["with"], "A");
    assert_eq!(features[1].property("diversion"), None);
    assert_eq!(features[0].property("control"), None, "not asked for");
}

/// The Open Database Licence 1.0, 4.3: whoever shows what is made from the data names its source;
/// so where the roads come from an extract and no street does.
#[test]
fn whoever_the_roads_come_from_is_named_where_no_street_is() {
    let programme = read_programme("test", &Parts::default()).programme;
    let named = ["© OpenStreetMap contributors, ODbL 1.0".to_owned()];
    let details = ClosureDetails {
        attributions: &named,
        ..ClosureDetails::default()
    };
    let written = |details| -> serde_json::Value {
        serde_json::from_slice(&write_closures(&[], details, &programme)).unwrap()
    };
    assert_eq!(written(&details)["attribution"], json!(named[0]));
    let nobody = written(&ClosureDetails::default());
    assert_eq!(nobody.get("attribution"), None);
}
