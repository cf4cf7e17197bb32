//! What is bought, carried and aged comes to its value by its own numbers.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use chrono::NaiveDate;
use common::arithmetic::{by, hold};
use common::{job, materials, method, mm, taken};
use gangday_calc::{Buying, Explaining, Explanation, StageRules, Vehicle, wait_as_planned};
use gangday_model::{DayTemperature, Position, WaitKind, Work};

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
            .any(|row| row.key == "volume_m3" && (row.value - 0.9).abs() < 1e-9)
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
        let mut whole = explaining.explain(&job, &taken(&job)).unwrap();
        wait_as_planned(&mut whole.quantities, WaitKind::BaseCure, (610, 660));
        wait_as_planned(&mut whole.quantities, WaitKind::Hold, (610, 660));
        hold(&whole, "waits as planned");
        let of = |name| whole.quantities.iter().find(|one| one.quantity == name);
        let cures = of("base cures").unwrap();
        assert_eq!(
            (cures.value.to_string(), cures.numbers.as_str()),
            ("50".into(), "660 - 610")
        );
        assert!(of("held from traffic").unwrap().numbers.starts_with("up("));
        assert!(aged(WaitKind::Hold).is_none());
    }
}
