//! Every fault at once, with its place and remedy; what is sound beside it stays.

use gangday_files::{CODES, FileState, Intake, Parts, read_programme};
use gangday_model::{Finding, Severity};
use serde_json::{Value, json};

fn job(id: &str) -> Value {
    json!({
        "type": "Feature", "id": id,
        "geometry": {"type": "Point", "coordinates": [-1.55, 53.80]},
        "properties": {"work": "new", "position": "footway", "clear_length_mm": 600,
                       "clear_width_mm": 450, "sections": 6},
    })
}

/// A job whose property is this instead.
fn with(id: &str, property: &str, value: Value) -> Value {
    let mut job = job(id);
    job["properties"][property] = value;
    job
}

fn at(id: &str, coordinates: Value) -> Value {
    let mut job = job(id);
    job["geometry"]["coordinates"] = coordinates;
    job
}

fn without(mut thing: Value, member: &str) -> Value {
    thing.as_object_mut().unwrap().remove(member);
    thing
}

fn collection(features: Vec<Value>) -> Vec<u8> {
    json!({"type": "FeatureCollection", "features": features})
        .to_string()
        .into_bytes()
}

fn gang() -> Value {
    json!({"id": "G1", "name": "One", "depot": [-1.56, 53.81], "people": 3,
           "shift": ["07:30", "16:30"]})
}

fn gangs() -> Vec<u8> {
    json!({"gangs": [gang()]}).to_string().into_bytes()
}

fn read_jobs(features: Vec<Value>) -> Intake {
    let (jobs, gangs) = (collection(features), gangs());
    let parts = Parts {
        jobs: Some(&jobs),
        gangs: Some(&gangs),
        week: Some(br#"{"first_day": "2027-03-01"}"#),
        ..Parts::default()
    };
    let intake = read_programme("test", &parts);
    all_listed(&intake.findings);
    intake
}

fn all_listed(findings: &[Finding]) {
    for found in findings {
        assert!(
            CODES.iter().any(|(code, _)| *code == found.code),
            "{} is not listed",
            found.code
        );
        assert!(
            found.place.file.is_some() && !found.remedy.is_empty(),
            "{found:?}"
        );
    }
}

fn codes(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|found| found.code.as_str()).collect()
}

/// One job with this property beside two sound ones: the findings about it.
fn found_in(property: &str, value: Value) -> Vec<Finding> {
    let intake = read_jobs(vec![job("A"), with("B", property, value), job("C")]);
    let faulty = intake.findings.iter().any(Finding::is_fault);
    assert_eq!(intake.programme.jobs.len(), if faulty { 2 } else { 3 });
    assert!(
        intake
            .findings
            .iter()
            .all(|found| found.place.feature.as_deref() == Some("B"))
    );
    intake.findings
}

#[test]
fn each_bad_property_of_a_job_has_its_code_and_place() {
    let cases = [
        ("work", json!("instal"), "J-VALUE"),
        ("work", Value::Null, "J-NEED"),
        ("position", json!(3), "J-TYPE"),
        ("clear_length_mm", json!(-600), "J-SIZE"),
        ("clear_length_mm", json!(600.5), "J-SIZE"),
        ("clear_length_mm", json!(1e300), "J-SIZE"),
        ("clear_length_mm", json!("600"), "J-TYPE"),
        ("clear_length_mm", json!("NaN"), "J-TYPE"),
        ("clear_width_mm", json!(200), "J-USUAL"),
        ("wall_mm", json!(true), "J-TYPE"),
        ("sections", json!(-1), "J-SIZE"),
        ("sections", json!(0), "J-SECTIONS"),
        ("load_class", json!("D-400"), "J-VALUE"),
        ("closure", json!("lain"), "J-VALUE"),
        ("earliest", json!("2027-02-29"), "J-DATE"),
        ("latest", json!(20270301), "J-DATE"),
        ("site_hours", json!([["15:30", "09:30"]]), "J-HOURS"),
        ("site_hours", json!([["9.30", "15:30"]]), "J-HOURS"),
        ("site_hours", json!(["09:30", "15:30"]), "J-HOURS"),
        ("site_hours", json!("09:30-15:30"), "J-TYPE"),
        ("tickets", json!(["street works", 4]), "J-TYPE"),
        ("tickets", json!("street works"), "J-TYPE"),
        ("priority", json!(0), "J-PRIORITY"),
        ("priority", json!(6), "J-PRIORITY"),
        ("priority", json!(2.5), "J-PRIORITY"),
        ("priority", json!("2"), "J-PRIORITY"),
        ("ground", json!(7), "J-TYPE"),
        ("permit", json!([]), "J-TYPE"),
        ("Priority", json!(2), "J-NAME"),
        ("sectons", json!(2), "J-NAME"),
    ];
    for (property, value, code) in cases {
        let findings = found_in(property, value.clone());
        assert_eq!(codes(&findings), [code], "{property}: {value}");
        assert_eq!(findings[0].place.property.as_deref(), Some(property));
        assert_eq!(findings[0].place.file.as_deref(), Some("jobs.geojson"));
    }
}

#[test]
fn remedies_say_what_was_probably_meant() {
    let remedy = |property, value| found_in(property, value).remove(0).remedy;
    assert_eq!(
        remedy("position", json!("carrigeway")),
        "Write `carriageway` if that is meant."
    );
    assert_eq!(
        remedy("position", json!("pavement")),
        "Write `footway` if that is meant."
    );
    assert_eq!(
        remedy("load_class", json!("b125")),
        "Write `B125` if that is meant."
    );
    assert_eq!(
        remedy("clear_length_mm", json!(0.9)),
        "It looks like metres: 0.9 m is 900 mm."
    );
    assert_eq!(
        remedy("clear_length_mm", json!("900")),
        "Write 900 without quotes."
    );
    assert!(remedy("latest", json!("05/03/2027")).contains("2027-03-05"));
    assert!(remedy("sectons", json!(2)).starts_with("Rename it `sections`"));
}

#[test]
fn several_faults_of_one_job_are_all_named_and_hide_no_other() {
    let mut worst = with("B", "priority", json!(9));
    worst["properties"]["wall_mm"] = json!(-1);
    worst["properties"]["latest"] = json!("2027-03-01");
    worst["properties"]["earliest"] = json!("2027-03-02");
    worst["geometry"] = json!({"type": "LineString", "coordinates": [[0, 0], [1, 1]]});
    let intake = read_jobs(vec![job("A"), worst.clone(), job("C")]);
    assert_eq!(
        codes(&intake.findings),
        ["J-GEOM", "J-SIZE", "J-ORDER", "J-PRIORITY"]
    );
    let ids: Vec<&str> = intake
        .programme
        .jobs
        .iter()
        .map(|job| job.id.as_str())
        .collect();
    assert_eq!(ids, ["A", "C"]);
    assert_eq!(intake.kept.jobs.set_aside["features"], [worst]);
}

#[test]
fn bad_positions_are_told_apart() {
    let places = [
        (
            json!([53.80, -1.55]),
            "J-SWAP",
            "Write longitude first: [-1.55, 53.8].",
        ),
        (
            json!([429157, 434234]),
            "J-GLOBE",
            "It looks like metres of a grid",
        ),
        (json!([1e308, 1e308]), "J-GLOBE", "Write degrees"),
        (json!([-1.55, 153.8]), "J-GLOBE", "Write degrees"),
        (json!([0, 0]), "J-FAR", "Set its position"),
        (json!([2.35, 48.85]), "J-FAR", "Correct its position"),
        (json!([-1.55]), "J-GEOM", "Draw it on the map"),
        (json!([]), "J-GEOM", "Draw it on the map"),
        (json!(["-1.55", "53.80"]), "J-GEOM", "Draw it on the map"),
        (json!([[-1.55, 53.80]]), "J-GEOM", "Draw it on the map"),
    ];
    for (place, code, remedy) in places {
        let intake = read_jobs(vec![job("A"), at("B", place.clone()), job("C"), job("D")]);
        assert_eq!(codes(&intake.findings), [code], "{place}");
        assert!(
            intake.findings[0].remedy.starts_with(remedy),
            "{}",
            intake.findings[0].remedy
        );
        assert_eq!(intake.findings[0].place.feature.as_deref(), Some("B"));
        assert_eq!(intake.programme.jobs.len(), 3);
    }
}

#[test]
fn a_whole_file_of_swapped_positions_is_seen() {
    let swapped = |id| at(id, json!([53.80, -1.55]));
    let intake = read_jobs(vec![swapped("A"), swapped("B"), swapped("C")]);
    assert_eq!(codes(&intake.findings), ["J-SWAP", "J-SWAP", "J-SWAP"]);
}

#[test]
fn ids_are_texts_and_each_is_used_once() {
    let mut by_property = without(job("x"), "id");
    by_property["properties"]["id"] = json!("P7");
    let mut number = job("x");
    number["id"] = json!(7);
    let features = vec![
        job("A"),
        job("A"),
        without(job("x"), "id"),
        by_property,
        number,
        job(""),
    ];
    let intake = read_jobs(features);
    assert_eq!(
        codes(&intake.findings),
        ["J-NUMBER", "J-DUP", "J-ID", "J-ID"]
    );
    assert_eq!(
        intake.findings[2].place.feature.as_deref(),
        Some("feature 3")
    );
    let ids: Vec<&str> = intake
        .programme
        .jobs
        .iter()
        .map(|job| job.id.as_str())
        .collect();
    assert_eq!(ids, ["A", "P7", "7"]);
}

#[test]
fn what_is_no_feature_is_named_by_its_number() {
    let features = vec![
        job("A"),
        json!(7),
        json!({"type": "feature"}),
        json!({"type": "Feature", "id": "D", "properties": null, "geometry": null}),
        json!({"type": "Feature", "id": "E", "properties": [], "geometry": null}),
    ];
    let intake = read_jobs(features);
    let expected = [
        "F-FEATURE",
        "F-FEATURE",
        "J-GEOM",
        "J-NEED",
        "J-NEED",
        "J-NEED",
        "J-NEED",
        "J-NEED",
        "F-FEATURE",
    ];
    assert_eq!(codes(&intake.findings), expected);
    assert_eq!(
        intake.findings[1].place.feature.as_deref(),
        Some("feature 3")
    );
}

#[test]
fn an_adjustment_needs_no_sections_and_wants_none() {
    let adjust = |id, sections| {
        let mut job = with(id, "work", json!("adjust"));
        job["properties"]["sections"] = sections;
        job
    };
    let intake = read_jobs(vec![
        adjust("A", json!(0)),
        adjust("B", Value::Null),
        adjust("C", json!(2)),
    ]);
    assert_eq!(codes(&intake.findings), ["J-SECTIONS"]);
    assert_eq!(intake.findings[0].severity, Severity::Warning);
    assert_eq!(intake.programme.jobs.len(), 3);
}

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
fn missing_files_are_faults_only_where_every_programme_needs_them() {
    let intake = read_programme("test", &Parts::default());
    all_listed(&intake.findings);
    assert_eq!(
        codes(&intake.findings),
        ["F-MISSING", "F-MISSING", "W-ABSENT"]
    );
    let files: Vec<_> = intake
        .findings
        .iter()
        .map(|found| found.place.file.clone().unwrap())
        .collect();
    assert_eq!(files, ["jobs.geojson", "gangs.json", "week.json"]);
}

fn others(parts: Parts<'_>) -> Intake {
    let jobs = collection(vec![
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
    let streets = collection(vec![
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

#[test]
fn findings_come_in_the_order_of_the_files_and_of_their_features() {
    let many: Vec<Value> = (0..500)
        .map(|n| with(&format!("J{n}"), "priority", json!(9)))
        .collect();
    let intake = read_jobs(many);
    let places: Vec<String> = intake
        .findings
        .iter()
        .filter_map(|found| found.place.feature.clone())
        .collect();
    assert_eq!(
        places,
        (0..500).map(|n| format!("J{n}")).collect::<Vec<_>>()
    );
    assert!(intake.programme.jobs.is_empty());
}
