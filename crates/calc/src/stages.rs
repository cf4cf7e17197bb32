//! The stages of one job, how long each lasts and what is waited for after it.

use gangday_model::{
    ClosureKind, CubicMillimetres, Finding, Job, JobWork, ParameterTable, Position, Stage,
    StageWork, TakeOff, Wait, WaitKind, Work,
};

use crate::durations::Durations;
use crate::waits::Waits;

/// What a position usually takes from the public, where nobody has said or proposed it.
///
/// Only the time that signing takes follows from it here; which closure is right is a competent
/// person's decision.
#[must_use]
pub fn likely_closure(position: Position) -> ClosureKind {
    match position {
        Position::Verge => ClosureKind::None,
        Position::Footway | Position::CycleTrack => ClosureKind::Footway,
        Position::Carriageway => ClosureKind::Lane,
    }
}

/// The stages of one job with their work and waits.
///
/// Work is rounded up to a whole minute once per stage, and so is each wait. A wait is the
/// material's time at its reference temperature over the equivalent age factor; the hold before
/// traffic is the same at any temperature.
///
/// # Units
/// `temperature_c` in degrees Celsius; `people` in the gang, or the gang that the outputs stand
/// for; the answer in whole minutes.
///
/// # Errors
/// A figure that is missing, ground without an output, a lift that is not permitted, or a
/// temperature below the material's minimum.
///
/// # Source
/// Stages and outputs: common practice, no source. Temperature: see
/// [`equivalent_age_factor`](crate::equivalent_age_factor).
///
/// ```
/// use gangday_calc::{shipped_materials, shipped_method, stage_work, take_off};
/// use gangday_model::{Job, LonLat, Position, Stage, Work};
///
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Verge);
/// let taken = take_off(&job, &method, &materials).unwrap();
/// let work = stage_work(&job, &taken, &method, &materials, 10.0, None).unwrap();
/// let stages: Vec<_> = work.stages.iter().map(|stage| stage.stage).collect();
/// assert_eq!(stages, [Stage::Dig, Stage::Base, Stage::Build, Stage::Surround, Stage::Reopen]);
/// ```
pub fn stage_work(
    job: &Job,
    take_off: &TakeOff,
    method: &ParameterTable,
    materials: &ParameterTable,
    temperature_c: f64,
    people: Option<u32>,
) -> Result<JobWork, Vec<Finding>> {
    let waits = Waits::read(materials, take_off, temperature_c);
    let work = Durations::work_out(job, take_off, method, materials, people);
    match (waits, work) {
        (Ok(waits), Ok(work)) => Ok(JobWork {
            job: job.id.clone(),
            stages: chain(take_off, &work, &waits),
        }),
        (waits, work) => {
            let mut faults = waits.err().unwrap_or_default();
            faults.extend(work.err().unwrap_or_default());
            Err(faults)
        }
    }
}

fn chain(take_off: &TakeOff, work: &Durations, waits: &Waits) -> Vec<StageWork> {
    let volumes = &take_off.volumes;
    let after = |volume: CubicMillimetres, kind, time| {
        (volume > CubicMillimetres::ZERO).then_some(Wait { kind, time })
    };
    let mut stages = vec![StageWork {
        stage: Stage::Dig,
        work: work.dig,
        then: None,
    }];
    if take_off.work != Work::Adjust {
        let then = after(volumes.base_concrete, WaitKind::BaseCure, waits.base);
        stages.push(StageWork {
            stage: Stage::Base,
            work: work.base,
            then,
        });
    }
    let then = after(volumes.mortar, WaitKind::MortarSet, waits.mortar);
    stages.push(StageWork {
        stage: Stage::Build,
        work: work.build,
        then,
    });
    let then = after(
        volumes.surround_concrete,
        WaitKind::InitialSet,
        waits.surround,
    );
    stages.push(StageWork {
        stage: Stage::Surround,
        work: work.surround,
        then,
    });
    if take_off.position != Position::Verge {
        let then = Some(Wait {
            kind: WaitKind::Hold,
            time: waits.hold,
        });
        stages.push(StageWork {
            stage: Stage::Surface,
            work: work.surface,
            then,
        });
    }
    stages.push(StageWork {
        stage: Stage::Reopen,
        work: work.reopen,
        then: None,
    });
    stages
}
