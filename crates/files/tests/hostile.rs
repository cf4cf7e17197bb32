//! Nothing that a file can hold makes reading panic, run for ever or answer with a false place.

use std::fmt::Write as _;

use gangday_files::{
    CODES, Parts, PointMapping, guess_mapping, read_plan, read_points, read_programme,
    write_programme,
};
use proptest::prelude::*;

const JOBS: &str = r#"{"type": "FeatureCollection", "features": [
 {"type": "Feature", "id": "A", "geometry": {"type": "Point", "coordinates": [-1.55, 53.80]},
  "properties": {"work": "new", "position": "footway", "clear_length_mm": 600, "clear_width_mm": 450,
   "sections": 6, "earliest": "2027-03-01", "site_hours": [["09:30", "15:30"]], "tickets": ["a"]}},
 {"type": "Feature", "id": 7, "geometry": {"type": "Point", "coordinates": [-1.56, 53.81, 12]},
  "properties": {"work": "adjust", "position": "verge", "clear_length_mm": 600, "clear_width_mm": 450}}]}"#;
const STREETS: &str = r#"{"type": "FeatureCollection", "features": [{"type": "Feature", "id": "S",
 "geometry": {"type": "MultiLineString", "coordinates": [[[-1.55, 53.80], [-1.56, 53.80]]]},
 "properties": {"road_type": 2, "width_m": 6.5, "traffic_sensitive": [["07:30", "09:30"]]}}]}"#;
const GANGS: &str = r#"{"gangs": [{"id": "G", "depot": [-1.5, 53.8], "people": 2,
 "shift": ["07:30", "16:30"], "payload_kg": 1200, "days": ["2027-03-01"]}], "tips": [{"id": "T", "at": [-1.5, 53.8]}]}"#;
const ROWS: &str =
    r#"{"parameters": [{"key": "a", "value": 1.5, "unit": "m", "source": "s", "date": "d"}]}"#;
const WEEK: &str = r#"{"nation": "Wales", "first_day": "2027-03-01", "days": 5, "temperature_c": 7.5,
 "rates": {"crew": {"value": 120, "unit": "GBP/h", "source": "ours"}}}"#;
const PLAN: &str = r#"{"routes": [{"gang": "G", "date": "2027-03-01", "depart": "2027-03-01T07:30",
 "return": "2027-03-01T12:00", "visits": [{"job": "A", "stage": "dig", "arrive": "2027-03-01T08:00",
 "start": "2027-03-01T08:00", "finish": "2027-03-01T09:00"}]}], "unplanned": [], "costs": {}, "findings": []}"#;
const CSV: &str = "id,name,lon,lat\n1,\"a, b\",-1.55,53.80\n2,c,-1.56,53.81\n";
const WORDS: &[&str] = &[
    "null",
    "1e308",
    "-1e308",
    "-0.0",
    "\"\"",
    "[]",
    "{}",
    "[[[[[]]]]]",
    "NaN",
    "\"\\ud800\"",
    "18446744073709551616",
    "\u{0}",
    "\"",
    "}",
    ",",
    "\u{feff}",
    "-1",
    "true",
    "\"Feature\"",
    "\"24:00\"",
    "\"2027-02-30\"",
    "1e-400",
];

/// Reads the same bytes as every kind of file, and holds what comes out to what is always true.
fn read_as_everything(bytes: &[u8]) {
    let part = Some(bytes);
    let parts = Parts {
        jobs: part,
        gangs: part,
        streets: part,
        method: part,
        materials: part,
        week: part,
    };
    let intake = read_programme("hostile", &parts);
    for found in &intake.findings {
        assert!(
            CODES.iter().any(|(code, _)| *code == found.code),
            "{}",
            found.code
        );
        assert!(
            found.text.len() < 1000 && found.remedy.len() < 1000,
            "{found:?}"
        );
    }
    for job in &intake.programme.jobs {
        assert!(job.at.lon().abs() <= 180.0 && job.at.lat().abs() <= 90.0);
        assert!((1..=5).contains(&job.priority));
    }
    let first = write_programme(&intake.programme, &intake.kept);
    assert!(
        first
            .iter()
            .all(|(_, bytes)| serde_json::from_slice::<serde_json::Value>(bytes).is_ok())
    );
    let mapping = guess_mapping(bytes);
    let _ = read_points(bytes, &mapping, &[]);
    let _ = read_points(bytes, &PointMapping::default(), &intake.programme.jobs);
    let _ = read_plan(bytes);
}

fn cut_at(text: &str, at: usize) -> usize {
    (0..=at.min(text.len()))
        .rev()
        .find(|at| text.is_char_boundary(*at))
        .unwrap_or(0)
}

fn sound_file() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![JOBS, STREETS, GANGS, ROWS, WEEK, PLAN, CSV])
}

proptest! {
    #[test]
    fn any_bytes_at_all(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        read_as_everything(&bytes);
    }

    #[test]
    fn sound_files_with_pieces_cut_out_and_put_in(
        file in sound_file(), cuts in prop::collection::vec((0..900usize, 0..12usize, prop::sample::select(WORDS)), 1..4),
    ) {
        let mut text = file.to_owned();
        for (at, length, word) in cuts {
            let (from, until) = (cut_at(&text, at), cut_at(&text, at + length));
            text.replace_range(from..until.max(from), word);
        }
        read_as_everything(text.as_bytes());
    }

    #[test]
    fn sound_files_with_one_value_of_another_kind(file in sound_file(), at in 0..60usize, word in prop::sample::select(WORDS)) {
        // A value begins after a colon, a comma or a bracket; the piece up to the next such mark goes.
        let starts: Vec<usize> = file.match_indices([':', ',', '[']).map(|(at, _)| at + 1).collect();
        let from = starts[at % starts.len()];
        let until = file[from..].find([',', ']', '}']).map_or(file.len(), |length| from + length);
        let text = format!("{}{word}{}", &file[..from], &file[until..]);
        read_as_everything(text.as_bytes());
    }
}

#[test]
fn the_sound_files_are_sound() {
    let part = |text: &'static str| Some(text.as_bytes());
    let parts = Parts {
        jobs: part(JOBS),
        gangs: part(GANGS),
        streets: part(STREETS),
        method: part(ROWS),
        materials: part(ROWS),
        week: part(WEEK),
    };
    let intake = read_programme("sound", &parts);
    assert!(!intake.has_faults(), "{:?}", intake.findings);
    assert!(read_plan(PLAN.replace("\"costs\": {}, ", "").as_bytes()).is_ok());
    assert_eq!(intake.programme.jobs.len(), 2);
}

#[test]
fn deep_nesting_in_every_place() {
    for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
        let deep = format!("{}1{}", open.repeat(100_000), close.repeat(100_000));
        read_as_everything(deep.as_bytes());
        let shallow = format!("{}1{}", open.repeat(100), close.repeat(100));
        read_as_everything(JOBS.replacen("-1.55", &shallow, 1).as_bytes());
        read_as_everything(JOBS.replacen("600", &shallow, 1).as_bytes());
    }
}

#[test]
fn a_very_long_text_is_kept_but_not_repeated_in_messages() {
    let long = "x".repeat(10_000_000);
    for place in ["\"new\"", "\"A\"", "\"a\"", "\"2027-03-01\"", "\"tickets\""] {
        let text = JOBS.replacen(place, &format!("\"{long}\""), 1);
        let parts = Parts {
            jobs: Some(text.as_bytes()),
            ..Parts::default()
        };
        let intake = read_programme("long", &parts);
        assert!(intake.findings.iter().all(|found| found.text.len() < 500));
    }
}

#[test]
fn a_hundred_thousand_faulty_jobs_are_each_named() {
    let mut text = String::from("{\"type\":\"FeatureCollection\",\"features\":[");
    for n in 0..100_000 {
        let comma = if n == 0 { "" } else { "," };
        write!(text, "{comma}{{\"type\":\"Feature\",\"id\":\"J{n}\",\"geometry\":null,\"properties\":{{\"Work{n}\":1}}}}").unwrap();
    }
    text.push_str("]}");
    let parts = Parts {
        jobs: Some(text.as_bytes()),
        ..Parts::default()
    };
    let intake = read_programme("many", &parts);
    let missing = intake
        .findings
        .iter()
        .filter(|found| found.code == "J-GEOM")
        .count();
    assert_eq!(missing, 100_000);
    assert_eq!(intake.kept.jobs.set_aside["features"].len(), 100_000);
}

#[test]
fn a_name_stated_twice_is_a_warning_and_the_later_one_counts() {
    let text = JOBS.replacen("\"sections\": 6", "\"sections\": 6, \"sections\": 4", 1);
    let parts = Parts {
        jobs: Some(text.as_bytes()),
        gangs: Some(GANGS.as_bytes()),
        week: Some(WEEK.as_bytes()),
        ..Parts::default()
    };
    let intake = read_programme("twice", &parts);
    assert_eq!(intake.findings[0].code, "F-TWICE");
    assert!(
        intake.findings[0]
            .text
            .contains("features[0].properties.sections")
    );
    assert_eq!(intake.programme.jobs[0].sizes.sections, Some(4));
}

/// Of a text of ten megabytes, wherever it stands in a programme, a few words are told, and it is no job's.
#[test]
fn a_text_of_ten_megabytes_is_a_fault_in_few_words_and_is_kept() {
    let long = "a".repeat(10_000_000);
    let changed = [
        JOBS.replacen("\"A\"", &format!("\"{long}\""), 1),
        JOBS.replacen("\"sections\": 6", &format!("\"title\": \"{long}\""), 1),
        JOBS.replacen("[\"a\"]", &format!("[\"{long}\"]"), 1),
        JOBS.replacen("\"sections\": 6", &format!("\"{long}\": 6"), 1),
    ];
    for text in changed {
        let parts = Parts {
            jobs: Some(text.as_bytes()),
            ..Parts::default()
        };
        let intake = read_programme("long", &parts);
        let long = intake.findings.iter().filter(|one| one.code == "F-LONG");
        let told: Vec<_> = long.collect();
        assert_eq!(told.len(), 1, "{}", intake.findings.len());
        let place = &told[0].place;
        let words = [
            Some(&told[0].text),
            place.feature.as_ref(),
            place.property.as_ref(),
        ];
        assert!(words.into_iter().flatten().all(|words| words.len() < 200));
        assert!(
            told[0].text.contains("10,000,000 bytes"),
            "{}",
            told[0].text
        );
        assert_eq!(intake.programme.jobs.len(), 1, "the other one is there");
        let files = write_programme(&intake.programme, &intake.kept);
        let jobs = files.iter().find(|(name, _)| *name == "jobs.geojson");
        assert!(
            jobs.unwrap().1.len() > 10_000_000,
            "it is kept word for word"
        );
    }
    let gangs = GANGS.replacen("\"G\"", &format!("\"{long}\""), 1);
    let parts = Parts {
        gangs: Some(gangs.as_bytes()),
        ..Parts::default()
    };
    let intake = read_programme("long", &parts);
    assert!(intake.findings.iter().any(|one| one.code == "F-LONG"));
    assert!(intake.programme.gangs.is_empty());
}
