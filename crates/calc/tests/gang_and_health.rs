//! What a gang records of itself, and what its day does to whoever holds the tools.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use common::{job, materials, method, mm, taken, told};
use gangday_calc::{Conditions, StageRules, as_recorded, day_vibration, handling, shipped_method};
use gangday_model::{Gang, Hours, LonLat, Position, Seconds, Stage, Work};
use serde_json::json;

fn gang(outputs: serde_json::Value) -> Gang {
    let seven = chrono::NaiveTime::from_hms_opt(7, 0, 0).unwrap();
    let mut extra = serde_json::Map::new();
    extra.insert("outputs".to_owned(), outputs);
    Gang {
        id: "G1".into(),
        name: "Gang 1".to_owned(),
        depot: LonLat::new(0.0, 52.0),
        people: 3,
        tickets: Vec::new(),
        payload: None,
        volume_m3: None,
        shift: Hours {
            from: seven,
            until: seven,
        },
        overtime: Seconds::ZERO,
        days: None,
        extra,
    }
}

/// By hand: 1.96 x (1.15 - 0.1) = 2.058 m3 at 2 m3/h instead of 3 is 20.58 min longer.
#[test]
fn recorded_outputs_replace_the_usual_ones_for_one_gang() {
    let recorded = json!([{ "key": "output.excavate.soil", "value": 2.0, "unit": "m3/h",
        "source": "recorded over ten digs", "date": "2027-02-01" }]);
    let own = as_recorded(&shipped_method(), &gang(recorded)).unwrap();
    let job = job(Work::New, Position::Carriageway);
    let dig = |method| {
        let rules = StageRules::read(method, &materials(&[])).unwrap();
        let work = rules
            .stage_work(&job, &taken(&job), Conditions::at(10.0))
            .unwrap();
        work.stages
            .into_iter()
            .find(|stage| stage.stage == Stage::Dig)
            .unwrap()
            .work
    };
    assert_eq!(dig(&own), Seconds::from_minutes(102));
    assert_eq!(dig(&shipped_method()), Seconds::from_minutes(81));
}

#[test]
fn outputs_that_are_none_are_refused() {
    let refused = |outputs| as_recorded(&shipped_method(), &gang(outputs)).unwrap_err();
    let row =
        |key: &str, value: f64, unit: &str| json!([{ "key": key, "value": value, "unit": unit }]);
    assert_eq!(told(&refused(json!("fast"))), [("C-OUTPUTS", "outputs")]);
    assert_eq!(
        told(&refused(row("chamber.base", 1.0, "mm"))),
        [("C-OUTPUTS", "outputs")]
    );
    assert_eq!(
        told(&refused(row("output.type1", 1.0, "t/h"))),
        [("P-UNIT", "outputs")]
    );
    assert_eq!(
        told(&refused(row("output.type1", -1.0, "m3/h"))),
        [("P-RANGE", "outputs")]
    );
    let law = row("vibration.limit_value", 50.0, "m/s2 A(8)");
    assert_eq!(told(&refused(law)), [("C-OUTPUTS", "outputs")]);
    let fine = as_recorded(&shipped_method(), &gang(json!([]))).unwrap();
    assert_eq!(fine, shipped_method());
}

/// By hand, carriageway: 1.96 m2 broken out at 12 m2/h is 9.8 min of the breaker; 5 lifts of 8
/// passes over 1.15 m2 and 2 of 5, at 2.7 m2/min, are 21.3 min of the vibrotamper.
#[test]
fn the_machine_times_of_a_chamber() {
    let job = job(Work::New, Position::Carriageway);
    let rules = StageRules::read(&method(&[]), &materials(&[])).unwrap();
    let taken = taken(&job);
    let activities = rules.activities(&job, &taken, None).unwrap();
    let held = activities
        .iter()
        .filter_map(|activity| Some((activity.tool?, activity.minutes)));
    let day = day_vibration(held, 3, &shipped_method()).unwrap();
    let minutes: Vec<_> = day
        .tools
        .iter()
        .map(|tool| (tool.tool.as_str(), tool.minutes))
        .collect();
    assert_eq!(minutes.len(), 2);
    assert!(minutes[0].0 == "breaker" && (minutes[0].1 - 9.8).abs() < 1e-9);
    let tamped = 1.15 * (5.0 * 8.0 + 2.0 * 5.0) / 2.7;
    assert!(minutes[1].0 == "vibrotamper_50" && (minutes[1].1 - tamped).abs() < 1e-9);
}

#[test]
fn more_hands_share_the_shaking() {
    let shared = method(&[("vibration.sharing", 2.0)]);
    let points = |people, method| {
        day_vibration([("breaker", 60.0)], people, method)
            .unwrap()
            .points
    };
    assert!((points(3, &shared) - 144.0).abs() < 1e-9);
    assert!((points(1, &shared) - 288.0).abs() < 1e-9);
    assert!((points(3, &shipped_method()) - 288.0).abs() < 1e-9);
}

/// HSE L23 and INDG143, from memory: 25 kg and 16 kg at knuckle height, a filter and not a limit.
/// By hand: 2 x (630 x 630 - 600 x 600) mm2 x 150 mm at 2400 kg/m3.
#[test]
fn a_section_is_held_against_the_filter_by_its_mass() {
    let mut light = job(Work::New, Position::Footway);
    light.sizes.wall = mm(15);
    let light = taken(&light);
    assert!((light.section_mass.kg() - 36_900.0 * 150.0 * 2_400.0 / 1e9).abs() < 1e-9);
    assert_eq!(handling(&light, &method(&[])), None);
    let heavy = handling(&taken(&job(Work::New, Position::Footway)), &method(&[])).unwrap();
    assert!(heavy.text.contains("162 kg") && heavy.remedy.contains("not a limit"));
    assert_eq!(
        handling(&taken(&job(Work::Adjust, Position::Footway)), &method(&[])),
        None
    );
}
