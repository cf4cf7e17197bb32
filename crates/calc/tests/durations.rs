//! Stages, minutes and waits.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use common::{POSITIONS, job, materials, method, mm, taken};
use gangday_calc::stage_work;
use gangday_model::{
    Finding, Job, JobWork, ParameterTable, Position, Seconds, Stage, WaitKind, Work,
};

fn worked(job: &Job, celsius: f64) -> JobWork {
    stage_work(
        job,
        &taken(job),
        &method(&[]),
        &materials(&[]),
        celsius,
        None,
    )
    .unwrap()
}

fn refused(job: &Job, method: &ParameterTable, celsius: f64, people: u32) -> Vec<Finding> {
    stage_work(
        job,
        &taken(job),
        method,
        &materials(&[]),
        celsius,
        Some(people),
    )
    .unwrap_err()
}

fn minutes(work: &JobWork, kind: WaitKind) -> Option<i64> {
    let waits = work.stages.iter().filter_map(|stage| stage.then);
    waits
        .into_iter()
        .find(|wait| wait.kind == kind)
        .map(|wait| wait.time.minutes_up())
}

fn chain(work: &JobWork) -> Vec<(Stage, Option<WaitKind>)> {
    work.stages
        .iter()
        .map(|stage| (stage.stage, stage.then.map(|wait| wait.kind)))
        .collect()
}

#[test]
fn the_chain_of_each_position_and_kind_of_work() {
    use Stage::{Base, Build, Dig, Reopen, Surface, Surround};
    use WaitKind::{BaseCure, Hold, InitialSet, MortarSet};
    for position in POSITIONS {
        let verge = position == Position::Verge;
        let after = if verge {
            vec![(Surround, None), (Reopen, None)]
        } else {
            vec![
                (Surround, Some(InitialSet)),
                (Surface, Some(Hold)),
                (Reopen, None),
            ]
        };
        for (bedding, set) in [(0, None), (15, Some(MortarSet))] {
            for work in [Work::New, Work::Replace, Work::Adjust] {
                let mut job = job(work, position);
                job.sizes.bedding = mm(bedding);
                let mut expected = vec![(Dig, None)];
                if work != Work::Adjust {
                    expected.push((Base, Some(BaseCure)));
                }
                expected.push((Build, set));
                expected.extend(&after);
                assert_eq!(
                    chain(&worked(&job, 10.0)),
                    expected,
                    "{work:?} {position:?}"
                );
            }
        }
    }
}

/// Own arithmetic on the equivalent age factors against 20 C at 5000 K: 0.3986 at 5 C, 0.5475 at
/// 10 C, 1.7553 at 30 C; the hold is the same at any temperature.
#[test]
fn waits_follow_the_temperature() {
    let mut job = job(Work::New, Position::Carriageway);
    job.sizes.bedding = mm(20);
    for (celsius, expected) in [
        (5.0, [76, 51, 38]),
        (10.0, [55, 37, 28]),
        (20.0, [30, 20, 15]),
        (30.0, [18, 12, 9]),
    ] {
        let work = worked(&job, celsius);
        let waits = [
            WaitKind::BaseCure,
            WaitKind::MortarSet,
            WaitKind::InitialSet,
        ];
        assert_eq!(
            waits.map(|kind| minutes(&work, kind)),
            expected.map(Some),
            "{celsius}"
        );
        assert_eq!(minutes(&work, WaitKind::Hold), Some(60));
    }
}

/// Common practice, no source: a usual carriageway chamber is a good half day of work.
#[test]
fn a_usual_chamber_fits_a_shift_and_an_adjustment_fits_a_morning() {
    let work = worked(&job(Work::New, Position::Carriageway), 10.0);
    let hours = |time: Seconds| time.seconds() as f64 / 3_600.0;
    assert!(
        (3.25..=4.5).contains(&hours(work.work())),
        "{}",
        hours(work.work())
    );
    let waits = hours(work.shortest() - work.work());
    assert!((2.0..=2.5).contains(&waits), "{waits}");
    let adjust = worked(&job(Work::Adjust, Position::Carriageway), 10.0);
    assert!(
        (1.5..=2.0).contains(&hours(adjust.work())),
        "{}",
        hours(adjust.work())
    );
}

#[test]
fn work_is_whole_minutes_and_grows_with_the_chamber() {
    let small = job(Work::New, Position::Footway);
    let mut deep = small.clone();
    deep.sizes.sections = Some(9);
    let (small, deep) = (worked(&small, 10.0), worked(&deep, 10.0));
    assert!(small.work() < deep.work());
    for stage in small.stages.iter().chain(&deep.stages) {
        assert_eq!(stage.work, stage.work.up_to_minute());
        assert!(stage.work > Seconds::ZERO);
        assert_eq!(stage.wait(), stage.wait().up_to_minute());
    }
}

/// By hand, with round outputs: service check 10, set out 16, formation 4; 1.96 m2 broken out at
/// 12 m2/h is 9.8 min; 1.96 x (1.15 - 0.1) = 2.058 m3 at 2 m3/h is 61.74 min; in all 101.54.
#[test]
fn the_minutes_of_a_dig() {
    let job = job(Work::New, Position::Carriageway);
    let own = method(&[("output.excavate.soil", 2.0)]);
    let work = stage_work(&job, &taken(&job), &own, &materials(&[]), 10.0, None).unwrap();
    assert_eq!(work.stages[0].work, Seconds::from_minutes(102));
}

/// By hand: 625 mm of type 1 in 5 lifts of 8 passes over 1.15 m2 by a plate of 0.225 m at
/// 12 m/min run 17.04 min; 0.71875 m3 at 3.5 m3/h take 12.32 min; 5 further sections 15 and
/// bedding 12 min; in all 56.36.
#[test]
fn the_minutes_of_a_build() {
    let work = worked(&job(Work::New, Position::Carriageway), 10.0);
    let build = work
        .stages
        .iter()
        .find(|stage| stage.stage == Stage::Build)
        .unwrap();
    assert_eq!(build.work, Seconds::from_minutes(57));
}

#[test]
fn a_larger_gang_is_faster_up_to_a_point() {
    let job = job(Work::New, Position::Carriageway);
    let work = |people| {
        let taken = taken(&job);
        stage_work(&job, &taken, &method(&[]), &materials(&[]), 10.0, people)
            .unwrap()
            .work()
    };
    assert_eq!(work(Some(3)), work(None));
    assert!(work(Some(2)) > work(Some(3)) && work(Some(3)) > work(Some(4)));
    assert_eq!(work(Some(4)), work(Some(9)));
}

#[test]
fn what_no_gang_can_do_is_refused_by_name() {
    let job = job(Work::New, Position::Footway);
    let codes = |faults: &[Finding]| -> Vec<String> {
        faults.iter().map(|fault| fault.code.clone()).collect()
    };
    let usual = method(&[]);
    assert_eq!(codes(&refused(&job, &usual, 4.9, 3)), ["C-TOO-COLD"]);
    assert_eq!(
        codes(&refused(&job, &usual, f64::NAN, 3)),
        ["C-TEMPERATURE"]
    );
    assert_eq!(codes(&refused(&job, &usual, 1e308, 3)), ["C-TEMPERATURE"]);
    assert_eq!(codes(&refused(&job, &usual, 10.0, 0)), ["C-GANG"]);
    let thick = method(&[("lift.thickness", 151.0)]);
    assert_eq!(
        codes(&refused(&job, &thick, 4.9, 3)),
        ["C-TOO-COLD", "C-LIFT"]
    );
    let still = method(&[("output.concrete", 0.0)]);
    assert!(
        codes(&refused(&job, &still, 10.0, 3))
            .iter()
            .all(|code| code == "P-RANGE")
    );
    let mut peat = job.clone();
    peat.ground = Some("peat".to_owned());
    let faults = refused(&peat, &usual, 10.0, 3);
    assert_eq!(codes(&faults), ["C-GROUND"]);
    assert!(faults[0].remedy.contains("clay"), "{}", faults[0].remedy);
    assert_eq!(faults[0].place.feature.as_deref(), Some("J1"));
}

#[test]
fn ground_may_be_named_with_or_without_its_prefix() {
    let with = |ground: &str| {
        let mut job = job(Work::New, Position::Footway);
        job.ground = Some(ground.to_owned());
        worked(&job, 10.0).work()
    };
    assert_eq!(with("clay"), with("output.excavate.clay"));
    assert!(with("clay") > with("sand"));
}

/// In frost a verge adjustment without mortar places nothing that has to set.
#[test]
fn what_needs_no_setting_may_be_done_in_the_cold() {
    let mut job = job(Work::Adjust, Position::Verge);
    job.sizes.bedding = mm(0);
    assert_eq!(worked(&job, 0.0).stages.len(), 4);
}

/// New surfacing is held from traffic; a verge has none, whatever its job closes.
#[test]
fn a_verge_that_closes_a_lane_has_no_hold() {
    let kinds = |position| {
        let mut own = job(Work::New, position);
        own.closure = Some(gangday_model::ClosureKind::Lane);
        let (method, materials) = (method(&[]), materials(&[]));
        let work = stage_work(&own, &taken(&own), &method, &materials, 10.0, None).unwrap();
        let then = work.stages.into_iter().filter_map(|stage| stage.then);
        then.map(|wait| wait.kind).collect::<Vec<_>>()
    };
    use gangday_model::WaitKind::{BaseCure, Hold, InitialSet, MortarSet};
    let verge = kinds(Position::Verge);
    assert!(
        !verge.contains(&Hold) && verge.starts_with(&[BaseCure]),
        "{verge:?}"
    );
    let all = [BaseCure, MortarSet, InitialSet, Hold];
    let road = kinds(Position::Carriageway);
    assert!(road.iter().all(|kind| all.contains(kind)) && road.contains(&Hold));
}
