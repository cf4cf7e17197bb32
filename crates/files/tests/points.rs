//! Foreign files of points as jobs.

use gangday_files::{PointMapping, guess_mapping, read_points};
use gangday_model::{Finding, Position, Work};
use serde_json::{Value, json};

const CSV: &str = "\
ref,Name,Longitude,Latitude,surface,size,priority,permit_no
C1,\"Mill Lane, east\",-1.5501,53.8010,paved,0.6,high,17
C2,Mill Lane west,-1.5512,53.8011,grass,600,low,
C3,Hill Street,53.8020,-1.5520,paved,600,low,18
C1,Hill Street,-1.5522,53.8021,paved,600,low,19
C5,Foundry Row,\"-1,5530\",53.8030,paved,600,low,20
C6,Foundry Row,-1.5531
C7,Foundry Row,-1.5532,53.8031,gravel,600,low,21
,Foundry Row,-1.5533,53.8032,paved,600,low,22
";

fn mapping() -> PointMapping {
    serde_json::from_value(json!({
        "id": "ref", "lon": "Longitude", "lat": "Latitude", "title": "Name",
        "columns": {"position": "surface", "clear_length_mm": "size", "permit": "permit_no"},
        "words": {"position": {"paved": "footway", "grass": "verge"}},
        "constants": {"work": "adjust", "clear_width_mm": 600, "clear_length_mm": 450},
    }))
    .expect("a mapping")
}

fn summary(findings: &[Finding]) -> Vec<(&str, &str, Option<u32>)> {
    findings
        .iter()
        .map(|found| {
            (
                found.code.as_str(),
                found.place.feature.as_deref().unwrap_or(""),
                found.place.line,
            )
        })
        .collect()
}

#[test]
fn sound_rows_become_jobs_and_every_other_row_is_named_with_its_line() {
    let intake = read_points(CSV.as_bytes(), &mapping(), &[]);
    let expected = [
        ("J-SIZE", "C1", Some(2)),
        ("J-SWAP", "C3", Some(4)),
        ("J-DUP", "C1", Some(5)),
        ("J-GEOM", "C5", Some(6)),
        ("F-CSV", "", Some(7)),
        ("J-VALUE", "C7", Some(8)),
    ];
    assert_eq!(summary(&intake.findings), expected);
    assert!(
        intake.findings[0].remedy.contains("600 mm"),
        "{}",
        intake.findings[0].remedy
    );
    assert!(intake.findings[3].remedy.contains("decimal comma"));
    let [west, made] = &intake.jobs[..] else {
        panic!("{:?}", intake.jobs)
    };
    assert_eq!(
        (west.id.as_str(), west.work, west.position),
        ("C2", Work::Adjust, Position::Verge)
    );
    assert_eq!((west.permit.as_deref(), west.priority), (None, 3));
    assert_eq!(west.extra["title"], "Mill Lane west");
    assert_eq!(west.extra["original_priority"], "low");
    assert_eq!(
        (made.id.as_str(), made.permit.as_deref()),
        ("P1", Some("22"))
    );
}

#[test]
fn reading_the_same_file_twice_doubles_nothing_and_made_ids_pass_over_taken_ones() {
    let first = read_points(CSV.as_bytes(), &mapping(), &[]);
    let second = read_points(CSV.as_bytes(), &mapping(), &first.jobs);
    let there: Vec<_> = second
        .findings
        .iter()
        .filter(|found| found.code == "J-THERE")
        .collect();
    assert_eq!(there.len(), 1);
    assert_eq!(there[0].place.feature.as_deref(), Some("C2"));
    let ids: Vec<&str> = second.jobs.iter().map(|job| job.id.as_str()).collect();
    assert_eq!(ids, ["P2"]);
}

#[test]
fn points_of_any_collection_become_jobs_by_the_guessed_mapping() {
    let point = |id: Value, place: Value| {
        json!({"type": "Feature", "id": id, "geometry": {"type": "Point", "coordinates": place},
               "properties": {"name": "Pump", "position": 4, "height": 2.5}})
    };
    let points = json!({"type": "FeatureCollection", "features": [
        point(json!("a"), json!([9.51, 47.15])), point(json!(2), json!([9.52, 47.14])),
        {"type": "Feature", "properties": {}, "geometry": {"type": "Polygon", "coordinates": []}},
    ]});
    let bytes = points.to_string().into_bytes();
    let mut mapping = guess_mapping(&bytes);
    assert_eq!(
        (mapping.id.as_deref(), mapping.title.as_deref()),
        (None, Some("name"))
    );
    mapping.id = Some("id".to_owned());
    let intake = read_points(&bytes, &mapping, &[]);
    assert_eq!(
        summary(&intake.findings),
        [("J-NUMBER", "", None), ("J-GEOM", "point 3", None)]
    );
    assert_eq!((intake.points, intake.jobs.len()), (3, 2));
    let job = &intake.jobs[1];
    assert_eq!((job.id.as_str(), job.position), ("2", Position::Footway));
    assert_eq!(
        (&job.extra["original_position"], &job.extra["height"]),
        (&json!(4), &json!(2.5))
    );
}

#[test]
fn a_guess_finds_the_columns_of_a_table_with_semicolons() {
    let csv = "OBJECTID;Title;X;Y\n1;Pump;-1.55;53.80\n2;Tap;-1.56;53.81\n";
    let mapping = guess_mapping(csv.as_bytes());
    assert_eq!(
        (mapping.lon.as_deref(), mapping.lat.as_deref()),
        (Some("X"), Some("Y"))
    );
    assert_eq!(
        (mapping.id.as_deref(), mapping.title.as_deref()),
        (Some("OBJECTID"), Some("Title"))
    );
    let intake = read_points(csv.as_bytes(), &mapping, &[]);
    assert!(intake.findings.is_empty(), "{:?}", intake.findings);
    assert_eq!(intake.jobs.len(), 2);
    let twice = csv.replace("2;Tap", "1;Tap");
    assert_eq!(guess_mapping(twice.as_bytes()).id, None);
}

#[test]
fn a_mapping_that_does_not_fit_is_a_fault_with_the_nearest_name() {
    let mut wrong = mapping();
    wrong.id = Some("reff".to_owned());
    wrong.constants.insert("priorty".to_owned(), json!(2));
    let intake = read_points(CSV.as_bytes(), &wrong, &[]);
    let whole: Vec<_> = intake
        .findings
        .iter()
        .filter(|found| found.place.line.is_none())
        .collect();
    assert_eq!(
        (whole[0].code.as_str(), whole[0].remedy.as_str()),
        ("F-MAPPING", "Write `priority` if that is meant.")
    );
    assert_eq!(
        (whole[1].code.as_str(), whole[1].remedy.as_str()),
        ("F-COLUMN", "Write `ref` if that is meant.")
    );
    let intake = read_points(CSV.as_bytes(), &PointMapping::default(), &[]);
    assert_eq!(
        summary(&intake.findings),
        [("F-COLUMN", "", None), ("F-COLUMN", "", None)]
    );
}

#[test]
fn a_mapping_comes_back_from_its_json() {
    let text = serde_json::to_string(&mapping()).unwrap();
    assert_eq!(
        serde_json::from_str::<PointMapping>(&text).unwrap(),
        mapping()
    );
    assert!(serde_json::from_str::<PointMapping>("{\"longitude\": \"x\"}").is_err());
}
