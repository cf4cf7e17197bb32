//! Faults of whole files, and of all that is no job.

use gangday_files::{FileState, Intake, Parts, read_programme};
use gangday_model::Severity;
use serde_json::{Value, json};

use crate::made::{all_listed, codes, collection, gang, gangs, job, with};

#[test]
fn a_file_that_is_no_collection_says_so_and_is_never_written_over() {
    let cases: [(&[u8], &str); 6] = [
        (b"", "F-EMPTY"),
        (b"[]", "F-COLLECTION"),
        (b"{\"type\": \"Feature\"}", "F-COLLECTION"),
        (
            b"{\"type\": \"FeatureCollection\", \"features\": {}}",
            "F-COLLECTION",
        ),
        (
            b"{\"type\": \"FeatureCollection\",\n\"features\": [}",
            "F-JSON",
        ),
        (b"\xFF\xFE{", "F-UTF8"),
    ];
    let gangs = gangs();
    for (bytes, code) in cases {
        let parts = Parts {
            jobs: Some(bytes),
            gangs: Some(&gangs),
            week: Some(b"{\"first_day\": \"2027-03-01\"}"),
            ..Parts::default()
        };
        let intake = read_programme("test", &parts);
        assert_eq!(codes(&intake.findings), [code]);
        assert_eq!(intake.kept.jobs.state, FileState::Unreadable);
        assert_eq!(intake.programme.gangs.len(), 1);
        let files = gangday_files::write_programme(&intake.programme, &intake.kept);
        assert!(files.iter().all(|(name, _)| *name != "jobs.geojson"));
    }
}

#[test]
fn an_empty_folder_is_a_new_programme_and_says_what_it_needs() {
    let intake = read_programme("test", &Parts::default());
    all_listed(&intake.findings);
    assert_eq!(
        codes(&intake.findings),
        ["F-MISSING", "F-MISSING", "W-ABSENT"]
    );
    assert!(!intake.has_faults());
    assert_eq!(intake.findings[0].severity, Severity::Warning);
    assert!(intake.findings[0].remedy.contains("Import a list"));
    assert!(intake.findings[1].remedy.contains("Put gangs.json"));
    let files: Vec<_> = intake
        .findings
        .iter()
        .map(|found| found.place.file.clone().unwrap())
        .collect();
    assert_eq!(files, ["jobs.geojson", "gangs.json", "week.json"]);
}

fn others(parts: Parts<'_>) -> Intake {
    let jobs = collection(&[
        job("A"),
        with("B", "street", json!("S1")),
        with("C", "street", json!("S9")),
    ]);
    let gangs = gangs();
    let parts = Parts {
        jobs: Some(&jobs),
        gangs: parts.gangs.or(Some(&gangs)),
        week: parts.week.or(Some(br#"{"first_day": "2027-03-01"}"#)),
        ..parts
    };
    let intake = read_programme("test", &parts);
    all_listed(&intake.findings);
    assert_eq!(intake.programme.jobs.len(), 3);
    intake
}

#[test]
fn streets_have_their_faults_and_jobs_their_warnings_about_streets() {
    let street = |id: &str, properties: Value, coordinates: Value| {
        json!({"type": "Feature", "id": id, "properties": properties,
               "geometry": {"type": "LineString", "coordinates": coordinates}})
    };
    let line = json!([[-1.55, 53.80], [-1.56, 53.80]]);
    let streets = collection(&[
        street(
            "S1",
            json!({"name": "Hill Street", "road_type": 4}),
            line.clone(),
        ),
        street("S2", json!({"road_type": 5}), line.clone()),
        street("S3", json!({"width_m": -7, "one_way": "yes"}), line.clone()),
        street("S4", json!({}), json!([[-1.55, 53.80]])),
        street("S5", json!({}), json!([[53.80, -1.55], [53.81, -1.55]])),
        street("S6", json!({"Road_Type": 2}), line.clone()),
        street("S6", json!({}), line),
        job("S7"),
    ]);
    let intake = others(Parts {
        streets: Some(&streets),
        ..Parts::default()
    });
    let expected = [
        "J-STREET", "S-SIZE", "S-SIZE", "S-TYPE", "S-LINE", "S-SWAP", "S-NAME", "S-DUP", "S-GEOM",
    ];
    assert_eq!(codes(&intake.findings)[..expected.len()], expected);
    let ids: Vec<&str> = intake
        .programme
        .streets
        .iter()
        .map(|street| street.id.as_str())
        .collect();
    assert_eq!(ids, ["S1", "S6"]);
    assert_eq!(intake.findings[0].place.feature.as_deref(), Some("C"));
}

#[test]
fn gangs_and_tips_have_their_faults() {
    let gang_with = |id: &str, member: &str, value: Value| {
        let mut gang = gang();
        gang["id"] = json!(id);
        gang[member] = value;
        gang
    };
    let gangs = json!({
        "gangs": [
            gang(),
            gang_with("G1", "people", json!(2)),
            gang_with("G2", "depot", Value::Null),
            gang_with("G3", "depot", json!([53.81, -1.56])),
            gang_with("G4", "shift", json!(["16:30", "07:30"])),
            gang_with("G5", "people", json!(0)),
            gang_with("G6", "payload_kg", json!(-1)),
            gang_with("G7", "days", json!(["2027-03-01", "tomorrow"])),
            gang_with("G8", "depot", json!("the yard")),
            gang_with("G9", "Shift", json!([])),
            7,
        ],
        "tips": [{"id": "T1", "at": [-1.5, 53.8]}, {"id": "T2"}],
    });
    let gangs = gangs.to_string().into_bytes();
    let intake = others(Parts {
        gangs: Some(&gangs),
        ..Parts::default()
    });
    let expected = [
        "G-DUP", "G-NEED", "G-SWAP", "G-HOURS", "G-SIZE", "G-SIZE", "G-DATE", "G-GEOM", "G-NAME",
        "G-TYPE", "G-NEED",
    ];
    assert_eq!(codes(&intake.findings), expected);
    assert_eq!(intake.programme.gangs.len(), 2);
    assert_eq!(intake.programme.tips.len(), 1);

    let intake = others(Parts {
        gangs: Some(b"{\"gangs\": 3}"),
        ..Parts::default()
    });
    assert_eq!(codes(&intake.findings), ["F-SHAPE", "G-NONE"]);
}

#[test]
fn the_week_has_its_faults_and_its_defaults() {
    let week = json!({
        "nation": "Whales", "first_day": "1 March", "days": 0, "holidays": ["2027-03-02", "2"],
        "temperature_c": 90, "Today": "2027-02-01", "rates": {"crew": 120,
        "travel": {"value": 40, "unit": "GBP/h", "source": "ours"}},
    });
    let week = week.to_string().into_bytes();
    let intake = others(Parts {
        week: Some(&week),
        ..Parts::default()
    });
    let expected = [
        "W-VALUE", "W-DATE", "W-SIZE", "W-DATE", "W-SIZE", "P-TYPE", "W-NAME",
    ];
    assert_eq!(codes(&intake.findings), expected);
    assert_eq!(intake.findings[0].remedy, "Write `Wales` if that is meant.");
    let week = intake.programme.week;
    assert_eq!(
        (week.days, week.holidays.len(), week.rates.len()),
        (5, 1, 1)
    );

    let intake = others(Parts {
        week: Some(b"{\"days\": 61}"),
        ..Parts::default()
    });
    assert_eq!(codes(&intake.findings), ["W-FIRST", "W-SIZE"]);
}

#[test]
fn rows_of_figures_have_their_faults_in_either_shape() {
    let rows = json!([
        {"key": "chamber.base", "value": 150, "unit": "mm", "source": "drawing 7", "date": "2027-01-04"},
        {"key": "chamber.base", "value": 200, "unit": "mm", "source": "drawing 7"},
        {"key": "chamber.wall", "value": "70", "unit": "mm", "source": "drawing 7"},
        {"key": "chamber.margin", "value": 250, "source": "drawing 7"},
        {"value": 250, "unit": "mm", "source": "drawing 7"},
        {"key": "chamber.embed", "value": 50, "unit": "mm"},
        3,
    ]);
    let expected = ["P-DUP", "P-TYPE", "P-NEED", "P-ID", "P-SOURCE", "P-TYPE"];
    for table in [rows.clone(), json!({"parameters": rows, "edition": 2})] {
        let table = table.to_string().into_bytes();
        let intake = others(Parts {
            method: Some(&table),
            ..Parts::default()
        });
        assert_eq!(codes(&intake.findings), expected);
        assert_eq!(intake.programme.method.value("chamber.base"), Some(150.0));
        assert_eq!(intake.programme.method.rows().count(), 2);
    }
    let intake = others(Parts {
        materials: Some(b"{\"density\": 2100}"),
        ..Parts::default()
    });
    assert_eq!(codes(&intake.findings), ["F-SHAPE"]);
    let intake = others(Parts {
        materials: Some(b"[{\"key\": \"a\", \"value\": 1e999}]"),
        ..Parts::default()
    });
    assert_eq!(codes(&intake.findings), ["F-JSON"]);
}
