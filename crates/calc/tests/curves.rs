//! Waits along a day's temperatures: by hand, against one temperature all day, and on random curves.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use gangday_calc::{Conditions, DayCures, Maturity, StageRules, shipped_materials, shipped_method};
use gangday_model::{DayTemperature, NOT_THAT_DAY, Seconds, Stage, WaitKind, Work};
use proptest::prelude::*;

use common::{job, materials, method, taken};
use gangday_model::Position;

fn rules(rows: &[(&str, f64)], own: &[(&str, f64)]) -> StageRules {
    StageRules::read(&method(rows), &materials(own)).unwrap()
}

const KINDS: [WaitKind; 3] = [
    WaitKind::BaseCure,
    WaitKind::MortarSet,
    WaitKind::InitialSet,
];

fn shipped() -> StageRules {
    StageRules::read(&shipped_method(), &shipped_materials()).unwrap()
}

fn wait(cures: &DayCures, kind: WaitKind, minute: u32) -> u32 {
    let end = minute * 60;
    cures.of(kind).unwrap().ready(end) - end
}

/// Own arithmetic on Nurse and Saul over -10 C: the base needs 30 min at 20 C, 900 degree-minutes.
/// From 12:00 at 5 C in each quarter-hour, 60 min; where it is 5 C until 12:30 and 20 C from then on,
/// 30 x 15 = 450 are there by 12:30, the others take 450 / 30 = 15 min: 45.
#[test]
fn a_cure_that_begins_in_the_cold_and_ends_in_the_warm() {
    let rules = rules(&[], &[("wait.maturity", 1.0)]);
    let step = DayTemperature::along(&[(0, 5.0), (749, 5.0), (750, 20.0)]).unwrap();
    let cures = rules.along(&step);
    assert_eq!(wait(&cures, WaitKind::BaseCure, 720), 45 * 60);
    assert_eq!(wait(&cures, WaitKind::BaseCure, 600), 60 * 60);
    assert_eq!(wait(&cures, WaitKind::BaseCure, 760), 30 * 60);
    let work = rules
        .stage_work_along(
            &job(Work::New, Position::Footway),
            &taken(&job(Work::New, Position::Footway)),
            None,
            &cures,
        )
        .unwrap();
    let base = work.stages.iter().find(|stage| stage.stage == Stage::Base);
    assert_eq!(
        base.unwrap().wait(),
        Seconds::from_minutes(30),
        "the day's shortest"
    );
}

/// By the shipped rows: 5 C for what hardens, 0 C for what is laid.
#[test]
fn each_material_has_its_own_cold_hours() {
    let day = DayTemperature::along(&[(360, -1.0), (480, 3.0), (600, 9.0)]).unwrap();
    let own = rules(&[], &[("wait.min_temperature.mortar", 1.0)]);
    let first = |cures: &DayCures, kind| cures.of(kind).map(|cure| cure.warm_end(0, 0));
    let (usual, changed) = (shipped().along(&day), own.along(&day));
    // -1 C at 06:00 to 3 C at 08:00: 0 C at 06:30, 1 C at 07:00; 5 C at 08:40, passed in the middle of
    // the quarter-hour from 08:45 on.
    assert_eq!(first(&usual, WaitKind::Hold), Some(6 * 3_600 + 30 * 60));
    assert_eq!(
        first(&usual, WaitKind::MortarSet),
        Some(8 * 3_600 + 45 * 60)
    );
    assert_eq!(first(&changed, WaitKind::MortarSet), Some(7 * 3_600));
    assert_eq!(
        first(&changed, WaitKind::BaseCure),
        Some(8 * 3_600 + 45 * 60)
    );
    let warm = DayTemperature::along(&[(360, 7.0), (600, 9.0)]).unwrap();
    assert_eq!(shipped().along(&warm).of(WaitKind::Hold), None);
}

/// A programme that states one least temperature means it for all that hardens.
#[test]
fn one_least_temperature_still_stands_for_all_that_hardens() {
    let job = job(Work::New, Position::Footway);
    let refused = |own: &[(&str, f64)], celsius| {
        let told = rules(&[], own).stage_work(&job, &taken(&job), Conditions::at(celsius));
        told.err().map(|faults| faults[0].text.clone())
    };
    assert_eq!(refused(&[("wait.min_temperature", 2.0)], 3.0), None);
    let told = refused(&[("wait.min_temperature.mortar", 1.0)], 3.0).unwrap();
    assert!(
        told.contains("Base places base concrete, which needs 5 °C"),
        "{told}"
    );
    assert!(told.contains("Surround places surround concrete"), "{told}");
    assert!(
        !told.contains("mortar") && !told.contains("surfacing"),
        "{told}"
    );
    let told = refused(&[], -2.0).unwrap();
    assert!(
        told.contains("Surface places bituminous surfacing, which needs 0 °C"),
        "{told}"
    );
}

fn curve() -> impl Strategy<Value = DayTemperature> {
    let point = (0_u32..1_440, -5_i32..35);
    prop::collection::vec(point, 1..8).prop_map(|points| {
        let points: Vec<(u32, f64)> = points
            .into_iter()
            .map(|(minute, celsius)| (minute, f64::from(celsius)))
            .collect();
        DayTemperature::along(&points).expect("points")
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever is placed later is never ready earlier, and what is ready has aged enough, summed here
    /// minute by minute.
    #[test]
    fn later_is_never_ready_earlier(day in curve(), saul in any::<bool>()) {
        let own = [("wait.maturity", f64::from(u8::from(saul)))];
        let cures = rules(&[], &own).along(&day);
        let maturity = if saul {
            Maturity::NurseSaul { datum_c: -10.0 }
        } else {
            Maturity::EquivalentAge { e_over_r: 5_000.0 }
        };
        for (kind, needed) in KINDS.into_iter().zip([30.0, 20.0, 15.0]) {
            let cure = cures.of(kind).unwrap();
            let mut before = 0;
            for minute in 0..1_300_u32 {
                let ready = cure.ready(minute * 60);
                prop_assert!(ready >= before && ready < NOT_THAT_DAY);
                before = ready;
                let age = |until: u32| -> f64 {
                    let minutes = (minute..until).map(|at| at.min(1_439) / 15);
                    minutes.map(|quarter| maturity.factor(day.in_quarter(quarter), 20.0)).sum()
                };
                prop_assert!(age(ready / 60) >= needed - 1e-5);
                prop_assert!(age(ready / 60 - 1) < needed);
            }
        }
    }

    /// One temperature all day: what a job waits is what it waits without a curve, from any minute on.
    #[test]
    fn a_flat_day_waits_as_one_temperature_does(celsius in 5_i32..35, minute in 0_u32..1_300, saul in any::<bool>()) {
        let rules = rules(&[], &[("wait.maturity", f64::from(u8::from(saul)))]);
        let job = job(Work::New, Position::Footway);
        let celsius = f64::from(celsius);
        let flat = rules.along(&DayTemperature::figure(celsius));
        let work = rules.stage_work(&job, &taken(&job), Conditions::at(celsius)).unwrap();
        for stage in work.stages {
            let Some(then) = stage.then.filter(|then| then.kind != WaitKind::Hold) else { continue };
            prop_assert_eq!(i64::from(wait(&flat, then.kind, minute)), then.time.seconds());
        }
    }
}
