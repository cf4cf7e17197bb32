//! Every explanation comes to the quantity that it explains, by its own numbers.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use chrono::NaiveDate;
use common::{POSITIONS, job, materials, method, mm, taken};
use gangday_calc::{Buying, Conditions, Explaining, Explanation, StageRules, Vehicle, take_off};
use gangday_model::{
    DayTemperature, Job, Nation, Parameter, ParameterTable, Position, WaitKind, Work,
};
use serde_json::{Map, json};

/// A function by the text that opens it.
type Named = (&'static str, fn(f64) -> f64);

/// Reads arithmetic as a person does: products before sums, brackets first.
struct Sum<'a> {
    rest: &'a str,
}

impl Sum<'_> {
    fn of(text: &str) -> f64 {
        let mut sum = Sum { rest: text };
        let value = sum.terms();
        assert_eq!(sum.rest.trim(), "", "left over of {text}");
        value
    }

    fn eat(&mut self, token: &str) -> bool {
        let rest = self.rest.trim_start();
        let found = rest.strip_prefix(token);
        self.rest = found.unwrap_or(rest);
        found.is_some()
    }

    fn terms(&mut self) -> f64 {
        let mut value = self.factors();
        loop {
            if self.eat("+") {
                value += self.factors();
            } else if self.eat("- ") {
                value -= self.factors();
            } else {
                return value;
            }
        }
    }

    fn factors(&mut self) -> f64 {
        let mut value = self.one();
        loop {
            if self.eat("x ") {
                value *= self.one();
            } else if self.eat("/ ") {
                value /= self.one();
            } else {
                return value;
            }
        }
    }

    fn one(&mut self) -> f64 {
        let functions: [Named; 3] = [
            ("up(", |value| (value - 1e-6).ceil()),
            ("exp(", f64::exp),
            ("(", |value| value),
        ];
        for (name, function) in functions {
            if self.eat(name) {
                let value = self.terms();
                assert!(self.eat(")"), "a bracket is open before {}", self.rest);
                return function(value);
            }
        }
        let end = self
            .rest
            .find(|c: char| !(c.is_ascii_digit() || ".-e".contains(c)));
        let (number, rest) = self.rest.split_at(end.unwrap_or(self.rest.len()));
        self.rest = rest;
        number.parse().expect("a number")
    }
}

/// Explanations by these tables at 10 C in England, on a street whose type nobody knows.
fn by<'a>(
    method: &'a ParameterTable,
    materials: &'a ParameterTable,
    rules: &'a StageRules,
) -> Explaining<'a> {
    Explaining {
        method,
        materials,
        rules,
        conditions: Conditions::at(10.0),
        road_type: None,
        nation: Nation::England,
        buying: Buying::default(),
    }
}

fn explained(job: &Job, conditions: Conditions, own: &[(&str, f64)]) -> Explanation {
    let (method, materials) = (method(&[]), materials(own));
    let rules = StageRules::read(&method, &materials).unwrap();
    let explaining = Explaining {
        conditions,
        ..by(&method, &materials, &rules)
    };
    explaining.explain(job, &taken(job)).unwrap()
}

fn hold(told: &Explanation, about: &str) {
    for quantity in &told.quantities {
        let (name, numbers) = (&quantity.quantity, &quantity.numbers);
        let worked = Sum::of(numbers);
        let close = (worked - quantity.value).abs() <= 1e-8 + quantity.value.abs() * 1e-9;
        assert!(
            close,
            "{about}, {name}: {numbers} = {worked}, not {}",
            quantity.value
        );
        assert!(
            !quantity.parameters.is_empty(),
            "{about}, {name} rests on nothing"
        );
        let digits = |number: &str| number.chars().filter(char::is_ascii_digit).count();
        let noisy = |number: &&str| number.contains('.') && digits(number) > 14;
        assert_eq!(numbers.split([' ', '(', ')']).find(noisy), None, "{name}");
        for traced in &quantity.parameters {
            assert!(
                !traced.unit.is_empty(),
                "{name}: {} has no unit",
                traced.key
            );
            assert!(
                !traced.source.is_empty(),
                "{name}: {} has no source",
                traced.key
            );
            let stated = traced.source.starts_with("stated by ");
            assert!(
                stated || traced.date.len() == 10,
                "{name}: {} has no date",
                traced.key
            );
        }
    }
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

/// What is bought and carried: a large base ready-mixed, prices, the last day to order, loads of the gang's
/// own vehicle, old ironwork and loose arisings, each by its own numbers.
#[test]
fn what_is_bought_and_carried_is_explained() {
    let mut own = job(Work::Replace, Position::Carriageway);
    own.sizes.clear_length = mm(2_800);
    own.sizes.clear_width = mm(2_800);
    let method = method(&[]);
    let materials = materials(&[("price.base_concrete", 625.0), ("price.type1", 2_450.0)]);
    let rules = StageRules::read(&method, &materials).unwrap();
    let day = |day| NaiveDate::from_ymd_opt(2027, 3, day).unwrap();
    let week = common::week();
    let vehicle = Vehicle {
        payload_t: Some(1.2),
        volume_m3: Some(0.9),
    };
    let explaining = Explaining {
        buying: Buying {
            needed: Some((day(1), &week)),
            vehicle,
        },
        ..by(&method, &materials, &rules)
    };
    let told = explaining.explain(&own, &taken(&own)).unwrap();
    hold(&told, "bought");
    let all = &told.quantities;
    let find = |name: &str| {
        let found = all.iter().find(|told| told.quantity == name);
        found.unwrap_or_else(|| panic!("{name} is not told"))
    };
    for name in [
        "ready-mixed concrete in place of its bags",
        "more water permitted in a batch of the base",
        "Base concrete, price",
        "Type 1, price",
        "price of all that is ordered",
        "old ironwork away",
        "Sections, ordered",
        "Ironwork, ordered",
        "bituminous arisings, loose on the wagon",
        "carried out to the job",
        "carried out to the job, trips",
        "carried back to the tip, trips",
        "bituminous arisings carried back, trips",
    ] {
        find(name);
    }
    // Two working days before Monday 1 March 2027 is Thursday 25 February: two and a weekend.
    let by = find("Type 1, to be ordered by 2027-02-25");
    assert_eq!((by.value, by.numbers.as_str()), (4.0, "2 + 2"));
    let stone = find("Type 1, ordered");
    assert!(
        (stone.value * 2.0).fract() == 0.0,
        "{} t is no half tonne",
        stone.value
    );
    let trips = &find("carried back to the tip, trips").parameters;
    assert!(
        trips
            .iter()
            .any(|row| row.key == "volume_m3" && row.value == 0.9)
    );
}

/// From 10:10 to 11:00 of a morning that warms up: 5, 15, 15 and 15 minutes, by either maturity.
#[test]
fn ageing_along_a_curve_is_explained() {
    let job = job(Work::New, Position::Footway);
    let day = DayTemperature::along(&[(360, 2.0), (720, 8.0)]).unwrap();
    for saul in [0.0, 1.0] {
        let (method, materials) = (method(&[]), materials(&[("wait.maturity", saul)]));
        let rules = StageRules::read(&method, &materials).unwrap();
        let explaining = by(&method, &materials, &rules);
        let aged = |kind| explaining.aged_along(&job, kind, &day, (610, 660));
        let base = aged(WaitKind::BaseCure).unwrap();
        assert!(base.numbers.starts_with("5 x ") && base.numbers.matches("15 x ").count() == 3);
        assert_eq!(base.quantity, "base ages from 10:10 to 11:00");
        let told = Explanation {
            job: "J1".to_owned(),
            quantities: vec![base],
            findings: Vec::new(),
        };
        hold(&told, "along a curve");
        assert!(aged(WaitKind::Hold).is_none());
    }
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
