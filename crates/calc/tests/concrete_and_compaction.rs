//! Pours, lifts and what a day does to a wait.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use chrono::NaiveDate;
use common::{job, materials, method, mm, taken};
use gangday_calc::{CompactionRules, Conditions, PourRules, StageRules, take_off};
use gangday_model::{Job, Position, Seconds, Stage, WaitKind, Work};
use serde_json::json;

fn rules(rows: &[(&str, f64)], own: &[(&str, f64)]) -> StageRules {
    StageRules::read(&method(rows), &materials(own)).unwrap()
}

fn layered(layers: serde_json::Value) -> Job {
    let mut job = job(Work::New, Position::Carriageway);
    job.extra.insert("layers".to_owned(), layers);
    job
}

/// SROR 3rd edition (Scotland), Table A8.1: vibrotamper, 8 passes on lifts up to 150 mm. By hand:
/// 625 mm in four lifts of 150 and one of 25, each 1.15 m2, 3.41 min by 0.225 m at 12 m/min.
#[test]
fn the_lifts_of_type_1() {
    let taken = taken(&job(Work::New, Position::Verge));
    let compaction = CompactionRules::read(&method(&[])).unwrap();
    let lifts = compaction.plan(&taken).unwrap();
    let thick: Vec<_> = lifts.iter().map(|lift| lift.thickness_mm).collect();
    assert_eq!(thick, [150, 150, 150, 150, 25]);
    for lift in &lifts {
        assert_eq!((lift.passes, lift.plant), (8, "vibrotamper_50"));
        assert!((lift.minutes - 8.0 * 1.15 / 2.7).abs() < 1e-9);
    }
    assert_eq!((lifts[0].top_mm, lifts[4].top_mm), (800, 325));
}

/// A battered ring widens upwards, so its upper lifts take the machine longer.
#[test]
fn a_battered_ring_takes_longer_further_up() {
    let mut job = job(Work::New, Position::Verge);
    job.extra.insert("dig".to_owned(), "battered".into());
    let taken = taken(&job);
    let compaction = CompactionRules::read(&method(&[])).unwrap();
    let lifts = compaction.plan(&taken).unwrap();
    assert!(lifts[..4].is_sorted_by(|lower, upper| lower.minutes < upper.minutes));
    let filled: f64 = lifts
        .iter()
        .map(|lift| lift.area_m2 * lift.thickness_mm as f64 / 1e3)
        .sum();
    assert!((filled - taken.volumes.type1.m3()).abs() < 1e-6);
}

/// SROH 4th edition, Table NGA8.1: vibrotamper 5 passes up to 40 mm and 7 up to 60, not
/// recommended beyond; a plate over 1800 kg/m2 takes 6 up to 80 mm.
#[test]
fn the_lifts_of_stated_layers() {
    let job = layered(json!([
        { "mixture": "ac10_close_surf", "mm": 40 }, { "mixture": "ac20_dense_bin", "mm": 60 },
    ]));
    let taken = taken(&job);
    let compaction = CompactionRules::read(&method(&[])).unwrap();
    let lifts = compaction.plan(&taken).unwrap();
    let bound: Vec<_> = lifts[5..]
        .iter()
        .map(|lift| (lift.material, lift.passes))
        .collect();
    assert_eq!(bound, [("ac20_dense_bin", 7), ("ac10_close_surf", 5)]);
}

#[test]
fn a_bituminous_lift_beyond_the_table_is_refused_and_named() {
    let job = layered(json!([{ "mixture": "ac20_dense_bin", "mm": 75 }]));
    let taken = taken(&job);
    let work = |rows| rules(rows, &[]).stage_work(&job, &taken, Conditions::at(10.0));
    let faults = work(&[]).unwrap_err();
    assert_eq!(faults[0].code, "C-LIFT");
    assert!(
        faults[0].text.contains("75 mm of ac20_dense_bin"),
        "{}",
        faults[0].text
    );
    assert!(
        faults[0].text.contains("vibrotamper_50"),
        "{}",
        faults[0].text
    );
    assert!(work(&[("lift.use.plate_1800", 1.0)]).is_ok());
}

/// The whole of Table NGA8.1 of the SROH 4th edition: 10 rows of four lifts.
#[test]
fn the_published_guidance_on_bituminous_lifts() {
    let table: [(&str, [u32; 4]); 10] = [
        ("vibrotamper_50", [5, 7, 0, 0]),
        ("roller_single_600", [10, 12, 0, 0]),
        ("roller_single_1000", [6, 10, 0, 0]),
        ("roller_single_2000", [5, 7, 8, 0]),
        ("roller_single_3500", [4, 6, 7, 0]),
        ("roller_twin_600", [5, 7, 0, 0]),
        ("roller_twin_1000", [4, 5, 6, 8]),
        ("roller_twin_2000", [3, 4, 4, 6]),
        ("plate_1400", [6, 0, 0, 0]),
        ("plate_1800", [3, 6, 6, 8]),
    ];
    for (plant, passes) in table {
        let on = format!("lift.use.{plant}");
        // Every plant of the table may compact fill in lifts of 100 mm.
        let mut rows = vec![("lift.thickness", 100.0), ("lift.use.vibrotamper_50", 0.0)];
        rows.push((&on, 1.0));
        let own = method(&rows);
        let compaction = CompactionRules::read(&own).unwrap();
        for (mm, passes) in [40, 60, 80, 100].into_iter().zip(passes) {
            let taken = taken(&layered(json!([{ "mixture": "own_mix", "mm": mm }])));
            let found = compaction.plan(&taken);
            let found = found.map_or(0, |lifts| lifts.last().unwrap().passes);
            assert_eq!(found, passes, "{plant} {mm}");
        }
    }
}

/// By hand: 1.2 m3/h for 10 min is 0.2 m3, so 17 bags of 0.0115 m3; half the mixing, 8 bags.
#[test]
fn batches_follow_the_gangs_mixing() {
    let taken = taken(&job(Work::New, Position::Footway));
    let pours = |rows: &[(&str, f64)], slower| {
        let rules = PourRules::read(&method(rows), &materials(&[])).unwrap();
        let pours = rules.pours(&taken, slower);
        pours
            .iter()
            .map(|pour| (pour.bags_per_batch, pour.batches))
            .collect::<Vec<_>>()
    };
    assert_eq!(pours(&[], 1.0), [(17, 2), (17, 2)]);
    assert_eq!(pours(&[], 2.0), [(8, 5), (8, 4)]);
    assert_eq!(pours(&[("mixer.count", 2.0)], 1.0), [(34, 1), (34, 1)]);
    let rules = PourRules::read(&method(&[]), &materials(&[])).unwrap();
    let base = &rules.pours(&taken, 1.0)[0];
    assert!((base.water_per_batch_l - 42.5).abs() < 1e-9);
    assert!((base.water_extra_per_batch_l - 4.25).abs() < 1e-9);
}

#[test]
fn a_pour_that_does_not_fit_is_told_and_another_mixer_helps() {
    let mut large = job(Work::New, Position::Footway);
    (large.sizes.clear_length, large.sizes.clear_width) = (mm(2_800), mm(1_500));
    let taken = taken(&large);
    let found = rules(&[], &[]).large_pours(&taken, None).unwrap();
    assert!(!found.is_empty() && found.iter().all(|finding| finding.code == "C-POUR"));
    let more = rules(&[("mixer.count", 3.0)], &[])
        .large_pours(&taken, None)
        .unwrap();
    assert!(more.len() < found.len());
    let usual = common::taken(&job(Work::New, Position::Footway));
    assert_eq!(rules(&[], &[]).large_pours(&usual, None).unwrap(), []);
}

#[test]
fn too_cold_names_the_day_and_the_temperature() {
    let job = job(Work::New, Position::Footway);
    let day = NaiveDate::from_ymd_opt(2027, 3, 2).unwrap();
    let faults = rules(&[], &[])
        .stage_work(&job, &taken(&job), Conditions::at(3.0).on(day))
        .unwrap_err();
    assert_eq!(faults[0].code, "C-TOO-COLD");
    assert!(
        faults[0].text.contains("3 °C on Tue 2 Mar"),
        "{}",
        faults[0].text
    );
}

/// Nurse and Saul, datum -10 C: at 5 C a material ages at half its pace at 20 C, so that a cure of
/// 30 min takes 60; by equivalent age (5000 K, factor 0.3986) it takes 76.
#[test]
fn the_maturity_chosen_decides_the_wait() {
    let job = job(Work::New, Position::Footway);
    let cure = |own: &[(&str, f64)]| {
        let work = rules(&[], own)
            .stage_work(&job, &taken(&job), Conditions::at(5.0))
            .unwrap();
        let base = work
            .stages
            .iter()
            .find(|stage| stage.stage == Stage::Base)
            .unwrap();
        let wait = base.then.unwrap();
        assert_eq!(wait.kind, WaitKind::BaseCure);
        wait.time
    };
    assert_eq!(cure(&[("wait.maturity", 1.0)]), Seconds::from_minutes(60));
    assert_eq!(cure(&[]), Seconds::from_minutes(76));
}

/// EN 1992-1-1 Annex B (B.10), from memory, is 0.998 at 20 C and would make a wait at the reference
/// temperature longer than the material's own; waits here are exact there.
#[test]
fn at_the_reference_temperature_a_wait_is_the_materials_own() {
    let job = job(Work::New, Position::Footway);
    let work = rules(&[], &[])
        .stage_work(&job, &taken(&job), Conditions::at(20.0))
        .unwrap();
    let base = work
        .stages
        .iter()
        .find(|stage| stage.stage == Stage::Base)
        .unwrap();
    assert_eq!(base.wait(), Seconds::from_minutes(30));
    let code = (13.65_f64 - 4_000.0 / 293.0).exp();
    assert!((code - 0.998).abs() < 5e-4 && (30.0 / code).ceil() > 30.0);
}

/// What the activities of each stage add up to is what the stage lasts.
#[test]
fn activities_add_up_to_their_stages() {
    for (work, position) in [
        (Work::New, Position::Carriageway),
        (Work::Adjust, Position::Verge),
    ] {
        let job = job(work, position);
        let (rules, taken) = (rules(&[], &[]), taken(&job));
        let activities = rules.activities(&job, &taken, Some(2)).unwrap();
        let conditions = Conditions {
            people: Some(2),
            ..Conditions::at(10.0)
        };
        for stage in rules.stage_work(&job, &taken, conditions).unwrap().stages {
            let own = activities
                .iter()
                .filter(|activity| activity.stage == stage.stage);
            let minutes: f64 = own.map(|activity| activity.minutes).sum();
            assert_eq!(stage.work.minutes_up(), (minutes - 1e-6).ceil() as i64);
        }
    }
}

/// SROH 4th edition, Table NGA8.1 has a vibrotamper on 30 mm, by its column of 40 mm; a plant that is
/// not recommended there is refused.
#[test]
fn surfacing_that_nobody_states_is_held_to_the_bituminous_table_too() {
    let chamber = taken(&job(Work::New, Position::Footway));
    let of = |rows: &[(&str, f64)]| {
        let rules = CompactionRules::read(&method(rows)).unwrap();
        let planned = rules.plan(&chamber);
        planned.map(|lifts| (lifts.last().unwrap().plant.to_owned(), lifts.len()))
    };
    assert_eq!(of(&[]).unwrap(), ("vibrotamper_50".to_owned(), 7));
    let none = [40, 60, 80, 100].map(|mm| format!("lift.bituminous.vibrotamper_50.{mm}"));
    let not_recommended: Vec<_> = none.iter().map(|key| (key.as_str(), 0.0)).collect();
    let faults = of(&not_recommended).unwrap_err();
    assert_eq!(faults[0].code, "C-LIFT");
    assert!(
        faults[0].text.contains("30 mm of surfacing"),
        "{}",
        faults[0].text
    );
}

/// 120 mm in one lift is past the last column.
#[test]
fn one_thick_lift_of_surfacing_is_refused() {
    let thick = [
        ("chamber.surfacing", 120.0),
        ("chamber.surfacing_lift", 120.0),
    ];
    let tables = method(&thick);
    let footway = job(Work::New, Position::Footway);
    let chamber = take_off(&footway, &tables, &materials(&[])).unwrap();
    let rules = CompactionRules::read(&tables).unwrap();
    let faults = rules.plan(&chamber).unwrap_err();
    assert!(faults[0].code == "C-LIFT" && faults[0].text.contains("120 mm of surfacing"));
}
