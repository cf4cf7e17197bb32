//! Small programmes, sound but for what a test puts in.

use gangday_files::{CODES, Intake, Parts, read_programme};
use gangday_model::Finding;
use serde_json::{Value, json};

pub fn job(id: &str) -> Value {
    json!({
        "type": "Feature", "id": id,
        "geometry": {"type": "Point", "coordinates": [-1.55, 53.80]},
        "properties": {"work": "new", "position": "footway", "clear_length_mm": 600,
                       "clear_width_mm": 450, "sections": 6},
    })
}

/// A job whose property is this instead.
pub fn with(id: &str, property: &str, value: Value) -> Value {
    let mut job = job(id);
    job["properties"][property] = value;
    job
}

pub fn at(id: &str, coordinates: Value) -> Value {
    let mut job = job(id);
    job["geometry"]["coordinates"] = coordinates;
    job
}

pub fn without(mut thing: Value, member: &str) -> Value {
    thing.as_object_mut().expect("an object").remove(member);
    thing
}

pub fn collection(features: &[Value]) -> Vec<u8> {
    json!({"type": "FeatureCollection", "features": features})
        .to_string()
        .into_bytes()
}

pub fn gang() -> Value {
    json!({"id": "G1", "name": "One", "depot": [-1.56, 53.81], "people": 3,
           "shift": ["07:30", "16:30"]})
}

pub fn gangs() -> Vec<u8> {
    json!({"gangs": [gang()]}).to_string().into_bytes()
}

pub fn read_jobs(features: &[Value]) -> Intake {
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

pub fn all_listed(findings: &[Finding]) {
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

pub fn codes(findings: &[Finding]) -> Vec<&str> {
    findings.iter().map(|found| found.code.as_str()).collect()
}
