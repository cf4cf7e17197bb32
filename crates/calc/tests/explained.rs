//! Every explanation comes to the quantity that it explains, by its own numbers.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use common::arithmetic::{by, hold};
use common::{POSITIONS, job, materials, method, mm, taken};
use gangday_calc::{Conditions, Explaining, Explanation, StageRules, take_off};
use gangday_model::{Job, Parameter, ParameterTable, Position, Work};
use serde_json::{Map, json};

fn explained(job: &Job, conditions: Conditions, own: &[(&str, f64)]) -> Explanation {
    let (method, materials) = (method(&[]), materials(own));
    let rules = StageRules::read(&method, &materials).unwrap();
    let explaining = Explaining {
        conditions,
        ..by(&method, &materials, &rules)
    };
    explaining.explain(job, &taken(job)).unwrap()
}

#[test]
fn numbers_come_to_the_quantity_for_every_kind_of_job() {
    for work in [Work::New, Work::Replace, Work::Adjust] {
        for position in POSITIONS {
            for shape in ["vertical", "sheeted", "battered"] {
                let mut job = job(work, position);
                job.extra.insert("dig".to_owned(), shape.into());
                job.extra.insert("batter_mm_per_m".to_owned(), 333.into());
                let sizes = &mut job.sizes;
                (sizes.clear_length, sizes.bedding) = (mm(1_210), mm(15));
                (sizes.ironwork_length, sizes.ironwork_width) = (mm(1_300), mm(1_000));
                let told = explained(&job, Conditions::at(7.0), &[]);
                hold(&told, &format!("{work:?} {position:?} {shape}"));
            }
        }
    }
}

#[test]
fn numbers_come_to_the_quantity_for_layers_gangs_and_either_maturity() {
    let mut layered = job(Work::New, Position::Carriageway);
    let layers = json!([{ "mixture": "ac10_close_surf", "mm": 40 }, { "mixture": "ac20_dense_bin", "mm": 60 }]);
    layered.extra.insert("layers".to_owned(), layers);
    let conditions = Conditions {
        people: Some(2),
        ..Conditions::at(12.0)
    };
    let told = explained(&layered, conditions, &[("wait.maturity", 1.0)]);
    hold(&told, "layers");
    let names: Vec<_> = told
        .quantities
        .iter()
        .map(|told| told.quantity.as_str())
        .collect();
    for name in [
        "surfacing, ac20_dense_bin",
        "Surfacing, ac10_close_surf, ordered",
        "base cures",
    ] {
        assert!(names.contains(&name), "{name} is not among {names:?}");
    }
}

/// Nothing that a take-off measures, orders or times goes unexplained.
#[test]
fn every_quantity_is_explained() {
    let told = explained(
        &job(Work::New, Position::Footway),
        Conditions::at(10.0),
        &[],
    );
    let names: Vec<_> = told
        .quantities
        .iter()
        .map(|told| told.quantity.as_str())
        .collect();
    for name in [
        "depth of the dig",
        "excavation",
        "base concrete",
        "type 1",
        "surround concrete",
        "surfacing",
        "inside the chamber",
        "all that goes back",
        "spoil away",
        "bituminous arisings away",
        "edges sealed",
        "mass of one section",
        "Base concrete, ordered",
        "Type 1, ordered",
        "Cold-lay surfacing, ordered",
        "bags in the base",
        "batches in the surround",
        "water in a batch of the base",
        "Dig: excavate",
        "Build: compact type 1",
        "Dig, work",
        "Reopen, work",
        "base cures",
        "held from traffic",
        "vibration of one operative from this job",
    ] {
        assert!(names.contains(&name), "{name} is not among {names:?}");
    }
    assert!(
        told.findings
            .iter()
            .any(|finding| finding.code == "C-HANDLING")
    );
}

#[test]
fn a_stated_size_is_traced_to_the_job() {
    let mut stated = job(Work::New, Position::Footway);
    stated.sizes.base = mm(150);
    let told = explained(&stated, Conditions::at(10.0), &[]);
    let depth = &told.quantities[0];
    assert_eq!(depth.numbers, "150 - 50 + 6 x 150 + 0 + 100");
    let base = &depth.parameters[0];
    assert_eq!((base.key.as_str(), base.value), ("base_mm", 150.0));
    assert!(base.source.contains("J1"));
}

/// What is sealed and compacted rests on the rows that its numbers are of: the depth of surfacing by
/// position and not the usual one, passes by plant and lift, each lift with its own.
#[test]
fn sealing_and_compacting_are_traced_to_the_rows_that_are_used() {
    let own = job(Work::New, Position::Carriageway);
    let deeper = Parameter {
        key: "chamber.surfacing.carriageway".to_owned(),
        value: 100.0,
        unit: "mm".to_owned(),
        source: "this test".to_owned(),
        date: "2027-03-01".to_owned(),
        extra: Map::new(),
    };
    let method = method(&[]).overlaid(&ParameterTable::new([deeper]));
    let materials = materials(&[]);
    let rules = StageRules::read(&method, &materials).unwrap();
    let explaining = by(&method, &materials, &rules);
    let taken = take_off(&own, &method, &materials).unwrap();
    let told = explaining.explain(&own, &taken).unwrap();
    hold(&told, "carriageway");
    let find = |quantity: &str| {
        let all = &told.quantities;
        all.iter().find(|told| told.quantity == quantity).unwrap()
    };
    let rows = |quantity: &str| {
        let rows = find(quantity).parameters.iter();
        rows.map(|row| (row.key.as_str(), row.value))
            .collect::<Vec<_>>()
    };
    let sealed = rows("edges sealed");
    assert!(
        sealed.contains(&("chamber.surfacing.carriageway", 100.0)),
        "{sealed:?}"
    );
    assert!(!sealed.iter().any(|(key, _)| *key == "chamber.surfacing"));
    let stone = find("Build: compact type 1");
    let mut passes = stone.parameters.iter();
    let passes = passes.find(|row| row.key.starts_with("lift.passes."));
    let passes = passes.unwrap();
    assert!(passes.source.contains("A8.1"), "{}", passes.source);
    let each = format!("{} x ", passes.value);
    assert!(stone.numbers.contains(&each), "{}", stone.numbers);
    let surfacing = rows("Surface: compact surfacing");
    assert!(
        surfacing.iter().all(|(key, _)| *key != "lift.thickness"),
        "{surfacing:?}"
    );
    assert!(
        surfacing
            .iter()
            .any(|(key, _)| *key == "lift.surfacing_passes")
    );
}

/// SROH 4th edition, S1.5: 2 m2 on type 2 and 4 m2 on type 3; by hand 1.4 x 1.4 less 0.9 x 0.9.
#[test]
fn the_opening_is_traced_to_the_limit_of_its_road_type() {
    let job = job(Work::New, Position::Carriageway);
    let (method, materials) = (method(&[]), materials(&[]));
    let rules = StageRules::read(&method, &materials).unwrap();
    let rows = [(2, "opening.4.small_heavy"), (3, "opening.4.small_light")];
    for (road_type, row) in rows {
        let explaining = Explaining {
            road_type: Some(road_type),
            ..by(&method, &materials, &rules)
        };
        let told = explaining.explain(&job, &taken(&job)).unwrap();
        let opening = told
            .quantities
            .iter()
            .find(|quantity| quantity.quantity == "area of the opening, a small one");
        let opening = opening.unwrap();
        assert!((opening.value - 1.15).abs() < 1e-12);
        assert!(opening.parameters.iter().any(|traced| traced.key == row));
    }
}

/// How the dig stands and which layers are laid are traced to the job that states them.
#[test]
fn a_stated_dig_and_stated_layers_are_traced_to_the_job() {
    let mut stated = job(Work::New, Position::Carriageway);
    let extra = &mut stated.extra;
    extra.insert("dig".to_owned(), "battered".into());
    extra.insert("batter_mm_per_m".to_owned(), 333.into());
    let layers = json!([{ "mixture": "ac10_close_surf", "mm": 40 }, { "mixture": "ac20_dense_bin", "mm": 60 }]);
    extra.insert("layers".to_owned(), layers);
    let told = explained(&stated, Conditions::at(10.0), &[]);
    let figures = |quantity: &str| {
        let told = told
            .quantities
            .iter()
            .find(|told| told.quantity == quantity);
        let figures = told.unwrap().parameters.iter();
        let own = figures.filter(|figure| figure.source == "stated by job J1");
        own.map(|figure| (figure.key.as_str(), figure.value))
            .collect::<Vec<_>>()
    };
    let side = figures("width of the dig at the surface");
    assert_eq!(side, [("batter_mm_per_m", 333.0), ("dig", 2.0)]);
    assert!(figures("surfacing, ac20_dense_bin").contains(&("layers", 60.0)));
}

#[test]
fn layers_of_the_table_and_of_the_street_are_traced_to_them() {
    let row = Parameter {
        key: "layers.carriageway.1.ac10_close_surf".to_owned(),
        value: 40.0,
        unit: "mm".to_owned(),
        source: "the client's own detail".to_owned(),
        date: "2027-03-01".to_owned(),
        extra: Map::new(),
    };
    let table = method(&[]).overlaid(&ParameterTable::new([row]));
    let own = job(Work::New, Position::Carriageway);
    let materials = materials(&[]);
    let rules = StageRules::read(&table, &materials).unwrap();
    let taken = take_off(&own, &table, &materials).unwrap();
    let source = |method: &ParameterTable| {
        let explaining = by(method, &materials, &rules);
        let told = explaining.explain(&own, &taken).unwrap().quantities;
        let layer = told
            .into_iter()
            .find(|told| told.quantity == "surfacing, ac10_close_surf");
        let mut figures = layer.unwrap().parameters.into_iter();
        figures
            .find(|figure| figure.key.contains("layers"))
            .unwrap()
            .source
    };
    assert_eq!(source(&table), "the client's own detail");
    assert_eq!(source(&method(&[])), "stated by its street");
}

/// No depth is safe by itself; a job that only adjusts its ironwork digs none.
#[test]
fn every_dig_of_a_chamber_is_told_to_be_assessed_however_its_sides_stand() {
    let (method, materials) = (method(&[]), materials(&[]));
    let rules = StageRules::read(&method, &materials).unwrap();
    let explaining = by(&method, &materials, &rules);
    let sides = |work: Work, dig: &str| {
        let mut job = job(work, Position::Verge);
        job.extra.insert("dig".to_owned(), json!(dig));
        let told = explaining.explain(&job, &taken(&job)).unwrap();
        let found = told
            .findings
            .into_iter()
            .find(|finding| finding.code == "C-SIDES");
        let found = found?;
        assert!(found.remedy.contains("competent person"), "{found:?}");
        Some(found.text)
    };
    for work in [Work::New, Work::Replace] {
        for (dig, what) in [
            ("vertical", "vertical"),
            ("sheeted", "sheets"),
            ("battered", "slopes"),
        ] {
            let text = sides(work, dig).unwrap();
            assert!(
                text.contains(what) && text.contains("no depth is taken as safe"),
                "{text}"
            );
        }
    }
    assert_eq!(sides(Work::Adjust, "vertical"), None);
}
