//! Foreign files of points as jobs.

use std::collections::HashSet;

use gangday_files::{
    CODES, Parts, PointMapping, guess_mapping, read_points, read_points_beside, read_programme,
};
use gangday_model::{Finding, Job, JobId, LonLat, Position, Severity, Work};
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

fn loud(findings: &[Finding]) -> Vec<Finding> {
    let more_than_notes = |found: &&Finding| found.severity != Severity::Note;
    findings.iter().filter(more_than_notes).cloned().collect()
}

fn texts<'f>(findings: &'f [Finding], code: &str) -> Vec<&'f str> {
    assert!(CODES.iter().any(|(listed, _)| *listed == code), "{code}");
    let of_code = findings.iter().filter(|found| found.code == code);
    of_code.map(|found| found.text.as_str()).collect()
}

fn ids(jobs: &[Job]) -> Vec<&str> {
    jobs.iter().map(|job| job.id.as_str()).collect()
}

#[test]
fn sound_rows_become_jobs_and_every_other_row_is_named_with_its_line() {
    let intake = read_points(CSV.as_bytes(), &mapping(), &[]);
    let expected = [
        ("J-REPEAT", "", None),
        ("J-SIZE", "C1", Some(2)),
        ("J-SWAP", "C3", Some(4)),
        ("J-GEOM", "C5", Some(6)),
        ("F-CSV", "", Some(7)),
        ("J-VALUE", "C7", Some(8)),
    ];
    let loud = loud(&intake.findings);
    assert_eq!(summary(&loud), expected);
    assert!(loud[1].remedy.contains("600 mm"), "{}", loud[1].remedy);
    assert_eq!(
        loud[2].remedy,
        "Write -1.552 in `Longitude` and 53.802 in `Latitude`."
    );
    assert!(loud[3].remedy.contains("decimal comma"));
    assert_eq!(
        loud[0].text,
        "The column of ids, `ref`, repeats \"C1\" and is empty for 1 point; made instead: P1, P2."
    );
    let [west, repeated, made] = &intake.jobs[..] else {
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
        (repeated.id.as_str(), repeated.permit.as_deref()),
        ("P1", Some("19"))
    );
    assert_eq!(
        (made.id.as_str(), made.permit.as_deref()),
        ("P2", Some("22"))
    );
}

#[test]
fn reading_the_same_file_twice_refuses_known_ids_and_warns_of_known_places() {
    let first = read_points(CSV.as_bytes(), &mapping(), &[]);
    let second = read_points(CSV.as_bytes(), &mapping(), &first.jobs);
    let there: Vec<_> = second
        .findings
        .iter()
        .filter(|found| found.code == "J-THERE")
        .collect();
    assert_eq!(there.len(), 1);
    assert_eq!(there[0].place.feature.as_deref(), Some("C2"));
    assert_eq!(ids(&second.jobs), ["P3", "P4"]);
    assert_eq!(
        texts(&second.findings, "J-SAME-PLACE"),
        [
            "The point is exactly where the job P1 already is.",
            "The point is exactly where the job P2 already is."
        ]
    );
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
        (Some("id"), Some("name"))
    );
    mapping.columns.remove("position");
    let footway = json!("footway");
    mapping.constants.insert("position".to_owned(), footway);
    let intake = read_points(&bytes, &mapping, &[]);
    assert_eq!(
        summary(&loud(&intake.findings)),
        [("J-REPEAT", "", None), ("J-GEOM", "point 3", None)]
    );
    assert_eq!(texts(&intake.findings, "J-NUMBER").len(), 1);
    assert_eq!(
        texts(&intake.findings, "J-IGNORED"),
        ["Columns kept but not used: height, position (as original_position)."]
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
    assert_eq!(loud(&intake.findings), []);
    assert_eq!(intake.jobs.len(), 2);
    let twice = csv.replace("2;Tap", "1;Tap");
    let mapping = guess_mapping(twice.as_bytes());
    let intake = read_points(twice.as_bytes(), &mapping, &[]);
    assert_eq!(summary(&loud(&intake.findings)), [("J-REPEAT", "", None)]);
    assert_eq!(ids(&intake.jobs), ["1", "P1"]);
    let kinds = "code,lon,lat\nMH,-1.55,53.80\nMH,-1.56,53.81\nMH,-1.57,53.82\n";
    assert_eq!(guess_mapping(kinds.as_bytes()).id, None);
}

/// As people of the trade head their lists; a job's own name for a property goes before them.
#[test]
fn a_guess_knows_the_usual_headings_of_the_trade() {
    let csv = "Ref,Lon,Lat,Job type,Position in street,No. of sections,Not before,Complete by,Working hours,Permit no.\n\
               A,-1.55,53.80,Replace,Footway,4,01/03/2027,5 Mar 2027,09:30-15:30,P17\n";
    let mapping = guess_mapping(csv.as_bytes());
    for (name, column) in [
        ("work", "Job type"),
        ("position", "Position in street"),
        ("sections", "No. of sections"),
        ("earliest", "Not before"),
        ("latest", "Complete by"),
        ("site_hours", "Working hours"),
        ("permit", "Permit no."),
    ] {
        assert_eq!(mapping.columns.get(name).map(String::as_str), Some(column));
        assert!(!mapping.constants.contains_key(name), "{name}");
    }
    let intake = read_points(csv.as_bytes(), &mapping, &[]);
    assert_eq!(loud(&intake.findings), []);
    let job = &intake.jobs[0];
    assert_eq!((job.work, job.position), (Work::Replace, Position::Footway));
    let dates = [job.earliest, job.latest].map(|date| date.unwrap().to_string());
    assert_eq!(dates, ["2027-03-01", "2027-03-05"]);
    for heading in [
        "Type of work",
        "WORK-TYPE",
        "Start after",
        "earliest_start",
        "Due date",
        "Finish by",
    ] {
        let csv = format!("Ref,Lon,Lat,{heading}\nA,-1.55,53.80,x\n");
        let columns = guess_mapping(csv.as_bytes()).columns;
        assert!(columns.values().any(|own| own == heading), "{heading}");
    }
    let both = "Ref,Lon,Lat,Deadline,Latest\nA,-1.55,53.80,1/3/2027,2/3/2027\n";
    let columns = guess_mapping(both.as_bytes()).columns;
    assert_eq!(columns["latest"], "Latest");
    assert!(columns.values().all(|column| column != "Deadline"));
    // What only sounds alike is left to the user.
    let other = "Ref,Lon,Lat,Start,Finished before,Job\nA,-1.55,53.80,1,2,3\n";
    assert!(guess_mapping(other.as_bytes()).columns.is_empty());
}

const OWN: &str = "\
Ref,Lon,Lat,WORK,Position,Clear length mm,clear_width_mm,Sections,Load class,Ground,Closure,\
Earliest,Latest,Site hours,Tickets,Priority,Permit,street,Clear lenght mm
A,-1.55,53.80,Replace,Cycle track,600,450,6,d400,soft,Lane,\
2027-03-01,2027-03-05,09:30-12:00; 13:00-15:30,street works; confined space,2,17,S1,x
";

#[test]
fn headings_that_are_a_jobs_own_fill_its_properties() {
    let mapping = guess_mapping(OWN.as_bytes());
    assert!(mapping.constants.is_empty(), "{:?}", mapping.constants);
    let intake = read_points(OWN.as_bytes(), &mapping, &[]);
    assert_eq!(loud(&intake.findings), []);
    let feature = json!({"type": "FeatureCollection", "features": [{"type": "Feature", "id": "A",
        "geometry": {"type": "Point", "coordinates": [-1.55, 53.80]},
        "properties": {"work": "replace", "position": "cycle_track", "clear_length_mm": 600,
            "clear_width_mm": 450, "sections": 6, "load_class": "D400", "ground": "soft",
            "closure": "lane", "earliest": "2027-03-01", "latest": "2027-03-05",
            "site_hours": [["09:30", "12:00"], ["13:00", "15:30"]],
            "tickets": ["street works", "confined space"], "priority": 2, "permit": "17",
            "street": "S1", "Ref": "A", "Clear lenght mm": "x"}}]});
    assert_eq!(intake.jobs, opened(&feature));
    assert_eq!(
        texts(&intake.findings, "J-IGNORED"),
        ["Columns kept but not used: Clear lenght mm."]
    );
}

fn opened(jobs: &Value) -> Vec<Job> {
    let bytes = jobs.to_string().into_bytes();
    let parts = Parts {
        jobs: Some(&bytes),
        ..Parts::default()
    };
    read_programme("test", &parts).programme.jobs
}

#[test]
fn features_that_are_jobs_already_arrive_as_they_are() {
    let jobs = json!({"type": "FeatureCollection", "generator": "a survey", "features": [
        {"type": "Feature", "id": "J1", "geometry": {"type": "Point", "coordinates": [-1.55, 53.80]},
         "properties": {"work": "adjust", "position": "footway", "clear_length_mm": 600,
            "clear_width_mm": 600, "name": "Mill Lane", "id": 4, "colour": [1, null]}},
        {"type": "Feature", "id": "J2", "geometry": {"type": "Point", "coordinates": [-1.56, 53.80]},
         "properties": {"work": "new", "position": "verge", "clear_length_mm": 1200, "sections": 4,
            "clear_width_mm": 600, "tickets": ["a; b"], "priority": 1, "title": "By the gate",
            "site_hours": [["09:30", "15:30"]]}},
    ]});
    let bytes = jobs.to_string().into_bytes();
    let intake = read_points(&bytes, &guess_mapping(&bytes), &[]);
    assert_eq!(intake.jobs.len(), 2);
    assert_eq!(intake.jobs, opened(&jobs));
    assert_eq!(loud(&intake.findings), []);
    assert_eq!(
        texts(&intake.findings, "J-DROPPED"),
        ["Not taken over, since no job has a place for it: generator."]
    );
}

#[test]
fn every_constant_that_stands_in_is_a_note() {
    let csv = "lon,lat,Position,note\n-1.55,53.80,verge,a\n-1.56,53.81,,b\n-1.57,53.82,verge,c\n";
    let mut mapping = guess_mapping(csv.as_bytes());
    let strict = read_points(csv.as_bytes(), &mapping, &[]);
    assert_eq!(
        summary(&loud(&strict.findings)),
        [("J-NEED", "point 2", Some(3))]
    );
    let footway = json!("footway");
    mapping.constants.insert("position".to_owned(), footway);
    let intake = read_points(csv.as_bytes(), &mapping, &[]);
    assert_eq!(loud(&intake.findings), []);
    assert_eq!(intake.jobs.len(), 3);
    assert_eq!(
        texts(&intake.findings, "J-ASSUMED"),
        [
            "Ids are made (P1, P2, P3), since no column gives them.",
            "`clear_length_mm` is taken as `600` for all 3 points, since no column says it.",
            "`clear_width_mm` is taken as `600` for all 3 points, since no column says it.",
            "`position` is taken as `footway` for 1 of 3 points, since `Position` is empty there.",
            "`priority` is taken as `3` for all 3 points, since no column says it.",
            "`sections` is taken as `0` for all 3 points, since no column says it.",
            "`work` is taken as `adjust` for all 3 points, since no column says it.",
        ]
    );
}

fn existing(places: &[[f64; 2]]) -> Vec<Job> {
    let job = |(index, [lon, lat]): (usize, &[f64; 2])| {
        let at = LonLat::new(*lon, *lat);
        Job::new(format!("E{index}").as_str(), at, Work::New, Position::Verge)
    };
    places.iter().enumerate().map(job).collect()
}

#[test]
fn points_are_judged_among_the_jobs_of_the_programme() {
    let csv = "id,lon,lat\nA,-1.55,53.80\nB,2.35,48.85\nC,2.36,48.85\nD,0,0\n";
    let mapping = guess_mapping(csv.as_bytes());
    let mut there = existing(&[[-1.55, 53.80], [-1.56, 53.81], [-1.57, 53.80], [0.0, 0.0]]);
    let read = |there: &[Job]| read_points(csv.as_bytes(), &mapping, there);
    let intake = read(&there);
    assert_eq!(
        summary(&loud(&intake.findings)),
        [
            ("J-SAME-PLACE", "A", Some(2)),
            ("J-FAR", "B", Some(3)),
            ("J-FAR", "C", Some(4)),
            ("J-FAR", "D", Some(5)),
        ]
    );
    assert_eq!(ids(&intake.jobs), ["A"]);
    there.drain(..3);
    let alone = read(&there);
    assert_eq!(texts(&alone.findings, "J-SAME-PLACE"), [""; 0]);
    assert_eq!(read(&[]).findings, alone.findings);
}

#[test]
fn two_columns_of_one_name_are_not_silently_one() {
    let csv = "id,lon,lat,note,note\nA,-1.55,53.80,one,two\n";
    let intake = read_points(csv.as_bytes(), &guess_mapping(csv.as_bytes()), &[]);
    assert_eq!(
        texts(&intake.findings, "F-TWICE"),
        ["Two columns are called `note`; the later one counts."]
    );
    assert_eq!(intake.jobs[0].extra["note"], "two");
}

#[test]
fn beside_a_programme_ids_may_be_stated_again_and_are_never_made_again() {
    let csv = "ref,lon,lat\nP2,-1.55,53.80\n,-1.56,53.80\nP2,-1.57,53.80\n,0,200\n";
    let mut mapping = guess_mapping(csv.as_bytes());
    mapping.id = Some("ref".to_owned());
    let spoken = ["P1", "P2", "P4"].map(JobId::new);
    let intake = read_points_beside(csv.as_bytes(), &mapping, &spoken, &[], &mut |_, _| true);
    assert_eq!(ids(&intake.jobs), ["P2", "P3", "P5"]);
    assert_eq!(intake.made, [false, true, true]);
    assert_eq!(intake.stated, HashSet::from(["P2".to_owned()]));
    assert_eq!(texts(&intake.findings, "J-THERE"), [""; 0]);
}

#[test]
fn whoever_is_told_how_far_it_is_may_end_it() {
    let csv = "ref,lon,lat\nP1,-1.55,53.80\nP2,-1.56,53.80\nP3,-1.57,53.80\n";
    let mapping = guess_mapping(csv.as_bytes());
    let mut told = Vec::new();
    let mut goes_on = |at, of| {
        told.push((at, of));
        at < 1
    };
    let intake = read_points_beside(csv.as_bytes(), &mapping, &[], &[], &mut goes_on);
    assert_eq!(told, [(0, 3), (1, 3)]);
    assert_eq!((intake.jobs.len(), intake.points), (1, 3));
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

#[test]
fn columns_that_gave_the_place_are_used_and_many_points_are_counted_in_threes() {
    let row = |n: usize| format!("{n},-1.55,53.80,430000,{}\n", 433_000 + n);
    let rows: String = (0..10_000).map(row).collect();
    let csv = format!("Ref,Longitude,Latitude,Easting,Northing\n{rows}");
    let mut mapping = guess_mapping(csv.as_bytes());
    (mapping.easting, mapping.northing) = (Some("Easting".into()), Some("Northing".into()));
    let intake = read_points(csv.as_bytes(), &mapping, &[]);
    assert_eq!(texts(&intake.findings, "J-IGNORED"), Vec::<&str>::new());
    let assumed = texts(&intake.findings, "J-ASSUMED");
    assert!(
        assumed
            .iter()
            .any(|text| text.contains("all 10,000 points")),
        "{assumed:?}"
    );
}
