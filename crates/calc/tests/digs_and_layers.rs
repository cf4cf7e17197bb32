//! Sheeted and battered digs, the classes of openings, and the user's own layers.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use common::{job, materials, method, mm, refused, taken, told};
use gangday_calc::{OpeningClass, TakeOffRules, opening, review};
use gangday_model::{DigShape, Job, Position, Street, TakeOff, Work};
use serde_json::json;

fn street(road_type: u8) -> Street {
    Street {
        id: "S1".into(),
        name: None,
        road_type: Some(road_type),
        speed_limit_mph: None,
        width_m: None,
        one_way: false,
        flow_per_3_min: None,
        traffic_sensitive: Vec::new(),
        restricted_until: None,
        lines: Vec::new(),
        extra: serde_json::Map::new(),
    }
}

fn with(job: &Job, name: &str, value: serde_json::Value) -> Job {
    let mut job = job.clone();
    job.extra.insert(name.to_owned(), value);
    job
}

fn in_street(job: &Job, street: &Street, rows: &[(&str, f64)]) -> Result<TakeOff, Vec<String>> {
    let rules = TakeOffRules::read(&method(rows), &materials(&[])).unwrap();
    rules
        .take_off_in(job, Some(street))
        .map_err(|faults| faults.into_iter().map(|fault| fault.code).collect())
}

/// Common practice, no source: 900 mm outside, 250 mm of space and 100 mm of sheets each side make
/// 1600 x 1600; by hand 2.56 m2 x 1.15 m.
#[test]
fn a_sheeted_dig_is_wider_by_its_sheets() {
    let taken = taken(&with(
        &job(Work::New, Position::Verge),
        "dig",
        "sheeted".into(),
    ));
    assert_eq!(taken.dig_shape, DigShape::Sheeted);
    assert_eq!(
        (taken.dig_length.mm(), taken.foot_length.mm()),
        (1_600, 1_600)
    );
    assert_eq!(taken.volumes.excavation.mm3(), 2_560_000 * 1_150);
}

/// By the prismoidal rule: foot 1400, sides out 1150 mm on 1150 mm, so 3700 at the surface;
/// 1150 / 6 x (1400^2 + 4 x 2550^2 + 3700^2) mm3.
#[test]
fn a_battered_dig_is_prismoidal() {
    let job = with(&job(Work::New, Position::Verge), "dig", "battered".into());
    let taken = taken(&job);
    assert_eq!(
        (taken.dig_length.mm(), taken.foot_length.mm()),
        (3_700, 1_400)
    );
    let six_times: i64 = 1_150 * (1_400 * 1_400 + 4 * 2_550 * 2_550 + 3_700 * 3_700);
    assert_eq!(taken.volumes.excavation.mm3(), (six_times + 3) / 6);
    assert_eq!(taken.volumes.filled(), taken.volumes.excavation);
    let told: Vec<_> = review(&job, &taken, &method(&[]))
        .into_iter()
        .map(|f| f.code)
        .collect();
    assert!(told.contains(&"C-SIDES".to_owned()), "{told:?}");
}

#[test]
fn a_dig_that_says_nothing_is_refused() {
    let new = job(Work::New, Position::Verge);
    let slope = with(
        &with(&new, "dig", "battered".into()),
        "batter_mm_per_m",
        9_000.into(),
    );
    let odd = with(
        &with(&new, "dig", "round".into()),
        "sheeting_mm",
        "wide".into(),
    );
    assert_eq!(told(&refused(&slope)), [("C-SIZE", "batter_mm_per_m")]);
    assert_eq!(
        told(&refused(&odd)),
        [("C-DIG", "dig"), ("C-DIG", "sheeting_mm")]
    );
}

/// SROH 4th edition, S1.5: small up to 2 m2 on types 0 to 2, 4 m2 on types 3 and 4 and in
/// footways, less the apparatus; 3rd edition (England), from memory: 2 m2 or less everywhere.
#[test]
fn the_edition_decides_what_is_small() {
    let mut footway = job(Work::New, Position::Footway);
    footway.sizes.clear_length = mm(1_000);
    let taken = taken(&footway);
    // 1.8 x 1.4 = 2.52 m2 of opening, less 1.3 x 0.9 of cover.
    let class = |edition: f64| {
        let found = opening(&taken, None, &method(&[("opening.edition", edition)])).unwrap();
        (found.class, found.area_mm2)
    };
    assert_eq!(class(4.0), (OpeningClass::Small, 1_350_000));
    assert_eq!(class(3.0), (OpeningClass::Other, 2_520_000));
    let refused = opening(&taken, None, &method(&[("opening.edition", 5.0)])).unwrap_err();
    assert_eq!(refused[0].code, "C-EDITION");
}

/// SROH 4th edition, S1.5: 2 m2 on type 2, 4 m2 on type 3; by hand 2.6 x 1.8 less 2.1 x 1.3 is
/// 1.95 m2, and 3.1 x 1.8 less 2.6 x 1.3 is 2.2 m2.
#[test]
fn the_road_type_decides_the_limit() {
    let class = |length: i64, road_type: u8| {
        let mut job = job(Work::New, Position::Carriageway);
        (job.sizes.clear_length, job.sizes.clear_width) = (mm(length), mm(1_000));
        opening(&taken(&job), Some(road_type), &method(&[]))
            .unwrap()
            .class
    };
    assert_eq!(class(1_800, 2), OpeningClass::Small);
    assert_eq!(class(2_300, 2), OpeningClass::Other);
    assert_eq!(class(2_300, 3), OpeningClass::Small);
}

#[test]
fn layers_come_from_the_job_then_its_street_then_the_method() {
    let rows = [
        ("layers.carriageway.1.ac10_close_surf", 40.0),
        ("layers.carriageway.2.ac20_dense_bin", 60.0),
        ("layers.carriageway_1.1.hra_35_14", 50.0),
    ];
    let built = job(Work::New, Position::Carriageway);
    let stack = |job: &Job, street: &Street| -> Vec<(String, i64)> {
        let taken = in_street(job, street, &rows).unwrap();
        let layers = taken.layers.iter();
        layers
            .map(|layer| (layer.mixture.clone(), layer.thickness.mm()))
            .collect()
    };
    let usual = [
        ("ac10_close_surf".to_owned(), 40),
        ("ac20_dense_bin".to_owned(), 60),
    ];
    assert_eq!(stack(&built, &street(3)), usual);
    assert_eq!(stack(&built, &street(1)), [("hra_35_14".to_owned(), 50)]);
    let mut own = street(3);
    own.extra.insert(
        "layers".to_owned(),
        json!([{ "mixture": "sma_10", "mm": 30 }]),
    );
    assert_eq!(stack(&built, &own), [("sma_10".to_owned(), 30)]);
    let stated = with(&built, "layers", json!([{ "mixture": "sma_6", "mm": 25 }]));
    assert_eq!(stack(&stated, &own), [("sma_6".to_owned(), 25)]);
}

/// SROH 4th edition, Table A2.5: AC10 close surf lifts are 25 to 50 mm.
#[test]
fn a_layer_thinner_than_its_least_lift_is_refused() {
    let thin = json!([{ "mixture": "ac10_close_surf", "mm": 24 }]);
    let job = with(&job(Work::New, Position::Footway), "layers", thin);
    let faults = refused(&job);
    assert_eq!(told(&faults), [("C-LAYER-LIFT", "layers")]);
    assert!(faults[0].text.contains("25 to 50 mm"), "{}", faults[0].text);
}

#[test]
fn road_type_0_takes_stated_layers_only() {
    let built = job(Work::New, Position::Carriageway);
    assert_eq!(
        in_street(&built, &street(0), &[]).unwrap_err(),
        ["C-TYPE-0"]
    );
    assert!(in_street(&built, &street(4), &[]).is_ok());
    let own = [("layers.carriageway_0.1.sma_10", 40.0)];
    assert_eq!(in_street(&built, &street(0), &own).unwrap().layers.len(), 1);
    let footway = job(Work::New, Position::Footway);
    assert!(in_street(&footway, &street(0), &[]).is_ok());
}

#[test]
fn layers_that_say_nothing_are_refused_and_unknown_mixtures_are_told() {
    let built = job(Work::New, Position::Footway);
    let nonsense = with(&built, "layers", json!([{ "mixture": "", "mm": -3 }]));
    assert_eq!(told(&refused(&nonsense)), [("C-LAYERS", "layers")]);
    let rows = method(&[("layers.footway.top", 30.0)]);
    let faults = TakeOffRules::read(&rows, &materials(&[])).unwrap_err();
    assert_eq!(faults[0].code, "C-LAYERS");
    let own = with(
        &built,
        "layers",
        json!([{ "mixture": "quarry_mix", "mm": 45 }]),
    );
    let told = review(&own, &taken(&own), &method(&[]));
    assert!(
        told.iter().any(|finding| finding.code == "C-MIXTURE"),
        "{told:?}"
    );
    let deep = with(
        &built,
        "layers",
        json!([{ "mixture": "quarry_mix", "mm": 900 }]),
    );
    assert_eq!(refused(&deep)[0].code, "C-SURFACING");
}

#[test]
fn a_streets_layers_that_say_nothing_are_a_fault() {
    let job = job(Work::New, Position::Footway);
    let told = |layers: serde_json::Value| {
        let mut odd = street(3);
        odd.extra.insert("layers".to_owned(), layers);
        in_street(&job, &odd, &[])
    };
    let list = serde_json::json!([{ "mixture": "ac6_dense_surf", "mm": 30 }]);
    for sound in [list.clone(), serde_json::json!({ "footway": list.clone() })] {
        assert!(told(sound).is_ok());
    }
    let odd = [
        serde_json::json!("thick"),
        serde_json::json!(7),
        serde_json::json!({ "pavement": list }),
    ];
    for layers in odd {
        assert_eq!(told(layers.clone()).unwrap_err(), ["C-LAYERS"], "{layers}");
    }
}
