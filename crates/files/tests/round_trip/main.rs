//! What is written comes back the same, and writing it again gives the same bytes.

mod made;

use gangday_files::{Intake, Kept, KeptFile, Parts, read_programme, write_jobs, write_programme};
use gangday_model::{ParameterTable, Programme};
use proptest::prelude::*;
use serde_json::json;

fn read(files: &[(&'static str, Vec<u8>)]) -> Intake {
    let bytes = |wanted: &str| {
        files
            .iter()
            .find(|(name, _)| *name == wanted)
            .map(|(_, bytes)| bytes.as_slice())
    };
    let parts = Parts {
        jobs: bytes(gangday_files::JOBS),
        gangs: bytes(gangday_files::GANGS),
        streets: bytes(gangday_files::STREETS),
        method: bytes(gangday_files::METHOD),
        materials: bytes(gangday_files::MATERIALS),
        week: bytes(gangday_files::WEEK),
    };
    read_programme("made", &parts)
}

/// Things with ids, each id once.
fn each_once<T>(mut things: Vec<T>, id: impl Fn(&T) -> String) -> Vec<T> {
    let mut seen = std::collections::HashSet::new();
    things.retain(|thing| seen.insert(id(thing)));
    things
}

fn programme() -> impl Strategy<Value = Programme> {
    let jobs = prop::collection::vec(made::job(), 0..6);
    let streets = prop::collection::vec(made::street(), 0..4);
    let gangs = prop::collection::vec(made::gang(), 1..4);
    let tips = prop::collection::vec(made::tip(), 0..3);
    let tables = (made::parameters(), made::parameters());
    (jobs, streets, gangs, tips, tables, made::week()).prop_map(
        |(jobs, streets, gangs, tips, (method, materials), week)| Programme {
            name: "made".to_owned(),
            jobs: each_once(jobs, |job| job.id.to_string()),
            streets: each_once(streets, |street| street.id.to_string()),
            gangs: each_once(gangs, |gang| gang.id.to_string()),
            tips: each_once(tips, |tip| tip.id.to_string()),
            method: ParameterTable::new(method),
            materials: ParameterTable::new(materials),
            week,
        },
    )
}

proptest! {
    #[test]
    fn a_programme_comes_back_the_same(programme in programme()) {
        let files = write_programme(&programme, &Kept::default());
        let intake = read(&files);
        let faults: Vec<_> = intake.findings.iter().filter(|found| found.is_fault()).collect();
        prop_assert!(faults.is_empty(), "{faults:?}");
        prop_assert_eq!(&intake.programme, &programme);
        prop_assert_eq!(write_programme(&intake.programme, &intake.kept), files);
    }
}

#[test]
fn everything_unknown_and_everything_faulty_survives_saving() {
    let sound = json!({"type": "Feature", "id": "A", "surveyed": {"by": "W. Hale"},
        "geometry": {"type": "Point", "coordinates": [-1.55, 53.80]},
        "properties": {"work": "adjust", "position": "verge", "clear_length_mm": 600,
                       "clear_width_mm": 600, "priority": 3, "colour": [1, {"deep": null}]}});
    let mut faulty = sound.clone();
    faulty["id"] = json!("B");
    faulty["properties"]["priority"] = json!("urgent");
    let jobs = json!({"type": "FeatureCollection", "name": "north", "bbox": [0, 0, 1, 1],
                      "features": [sound, faulty]});
    let method = json!({"edition": "third", "outputs": [{"key": "dig.clay", "value": 1.5, "unit": "m3/h"}],
                        "chamber": [{"key": "chamber.base", "value": 150, "unit": "mm", "checked": true}, {"key": 4}]});
    let gangs = json!({"yard": "Mill Lane", "gangs": [{"id": "G", "name": "One", "depot": [-1.5, 53.8],
                       "people": 2, "shift": ["07:30", "16:30"], "overtime_min": 30, "van": "blue"}, {"id": "H"}]});
    let week = json!({"first_day": "2027-03-01", "weather": "dry"});
    let text = |value: &serde_json::Value| value.to_string().into_bytes();
    let files = [
        (gangday_files::JOBS, text(&jobs)),
        (gangday_files::METHOD, text(&method)),
        (gangday_files::GANGS, text(&gangs)),
        (gangday_files::WEEK, text(&week)),
    ];
    let intake = read(&files);
    let written = write_programme(&intake.programme, &intake.kept);
    let value = |name: &str| -> serde_json::Value {
        let (_, bytes) = written
            .iter()
            .find(|(written, _)| *written == name)
            .unwrap();
        serde_json::from_slice(bytes).unwrap()
    };
    let mut expected = jobs;
    // A box round the old positions is left out, because it would be wrong after an edit.
    expected.as_object_mut().unwrap().remove("bbox");
    assert_eq!(value(gangday_files::JOBS), expected);
    assert_eq!(value(gangday_files::GANGS)["yard"], "Mill Lane");
    assert_eq!(value(gangday_files::GANGS)["gangs"][0], gangs["gangs"][0]);
    assert_eq!(value(gangday_files::GANGS)["gangs"][1], json!({"id": "H"}));
    let table = value(gangday_files::METHOD);
    assert_eq!(
        (&table["edition"], &table["chamber"][1]),
        (&json!("third"), &json!({"key": 4}))
    );
    assert_eq!(
        (&table["outputs"][0]["key"], &table["chamber"][0]["checked"]),
        (&json!("dig.clay"), &json!(true))
    );
    assert_eq!(value(gangday_files::WEEK)["weather"], "dry");
    assert!(
        written
            .iter()
            .all(|(name, _)| *name != gangday_files::STREETS)
    );

    let again = read(&written);
    assert_eq!(again.programme, intake.programme);
    assert_eq!(write_programme(&again.programme, &again.kept), written);
}

#[test]
fn a_place_comes_back_to_the_last_bit() {
    // Seventeen digits, of which none may be lost.
    let awkward = [-1.549_077_300_000_000_3, -1.550_000_000_000_000_3];
    for lon in awkward {
        let at = gangday_model::LonLat::new(lon, 53.8);
        let mut job = gangday_model::Job::new(
            "A",
            at,
            gangday_model::Work::Adjust,
            gangday_model::Position::Verge,
        );
        job.sizes.clear_length = Some(gangday_model::Millimetres::from_mm(600));
        job.sizes.clear_width = Some(gangday_model::Millimetres::from_mm(600));
        let bytes = write_jobs(&[job.clone()], &KeptFile::default());
        let intake = read(&[(gangday_files::JOBS, bytes)]);
        assert_eq!(intake.programme.jobs, [job]);
    }
}
