//! Faults of jobs.

use gangday_model::{Finding, Severity};
use serde_json::{Value, json};

use crate::made::{at, codes, job, read_jobs, with, without};

/// One job with this property beside two sound ones: the findings about it.
fn found_in(property: &str, value: Value) -> Vec<Finding> {
    let intake = read_jobs(&[job("A"), with("B", property, value), job("C")]);
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
    let intake = read_jobs(&[job("A"), worst.clone(), job("C")]);
    assert_eq!(
        codes(&intake.findings),
        ["J-GEOM", "J-SIZE", "J-ORDER", "J-PRIORITY"]
    );
    assert_eq!(
        intake.findings[2].text,
        "`latest` is Mon 1 Mar 2027, before `earliest` on Tue 2 Mar 2027."
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
        let intake = read_jobs(&[job("A"), at("B", place.clone()), job("C"), job("D")]);
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
    let intake = read_jobs(&[swapped("A"), swapped("B"), swapped("C")]);
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
    let intake = read_jobs(&features);
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
    let intake = read_jobs(&features);
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
    let intake = read_jobs(&[
        adjust("A", json!(0)),
        adjust("B", Value::Null),
        adjust("C", json!(2)),
    ]);
    assert_eq!(codes(&intake.findings), ["J-SECTIONS"]);
    assert_eq!(intake.findings[0].severity, Severity::Warning);
    assert_eq!(intake.programme.jobs.len(), 3);
}

#[test]
fn findings_come_in_the_order_of_the_files_and_of_their_features() {
    let many: Vec<Value> = (0..500)
        .map(|n| with(&format!("J{n}"), "priority", json!(9)))
        .collect();
    let intake = read_jobs(&many);
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
