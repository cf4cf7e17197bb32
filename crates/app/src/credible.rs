//! Whether a stage can have ended when somebody says that it did.

use std::cmp::Ordering;

use chrono::{NaiveDateTime, TimeDelta, Timelike as _};
use gangday_model::{JobId, JobWork, Plan, Stage, StageWork};

use crate::diary::Record;
use crate::opened::Opened;
use crate::view::Refusal;
use crate::words;

/// A gang that begins so long before its shift is on no plan of that day.
///
/// # Source
/// Common practice, no source.
const EARLY: TimeDelta = TimeDelta::hours(1);

/// Refuses a time at which a planned stage can't have ended: the shift had not begun, or another stage
/// of the job was recorded on the wrong side of it.
///
/// # Errors
/// In words, with the time that does not go with it.
pub fn refuse_unless_possible(
    opened: &Opened,
    plan: &Plan,
    (job, stage): (&JobId, Stage),
    at: NaiveDateTime,
) -> Result<(), Refusal> {
    let is_own = |route: &&gangday_model::Route| {
        let mut visits = route.visits.iter();
        visits.any(|visit| visit.job == *job && visit.stage == stage)
    };
    let Some(route) = plan.routes.iter().find(is_own) else {
        return Ok(());
    };
    let work = opened.prepared.work_on(job, &route.gang, route.date);
    let blocks = work.map(JobWork::blocks).unwrap_or_default();
    let takes = blocks.iter().find_map(|block| until(block, stage));
    let takes = takes.unwrap_or_else(TimeDelta::zero);
    let gang = opened.prepared.programme.gang(&route.gang);
    let begins = gang.map_or(route.depart, |gang| route.date.and_time(gang.shift.from));
    if at - takes < begins - EARLY {
        return Err(Refusal::coded(
            "D-TIME",
            &format!(
                "{} of {job} can't have ended at {}: it takes {}, and the gang's shift begins at {}. Check the time, or \
             carry the job to where it was really done.",
                words::stage(stage),
                moment(at),
                words::lasting(takes.num_minutes().unsigned_abs() as u32),
                moment(begins),
            ),
        ));
    }
    let records = opened.diary.records.iter();
    refuse_out_of_turn(records, (job, stage), at)
}

/// Refuses a time that lies on the wrong side of another stage of the job that was recorded.
///
/// # Errors
/// In words, with the time that does not go with it.
pub fn refuse_out_of_turn<'a>(
    records: impl IntoIterator<Item = &'a Record>,
    (job, stage): (&JobId, Stage),
    at: NaiveDateTime,
) -> Result<(), Refusal> {
    for record in records.into_iter().filter(|record| record.job == *job) {
        let (told, side) = match record.stage.cmp(&stage) {
            Ordering::Less => (record.at > at, "comes before"),
            Ordering::Greater => (record.at < at, "comes after"),
            Ordering::Equal => (false, ""),
        };
        if told {
            return Err(Refusal::coded(
                "D-TIME",
                &format!(
                    "{} of {job} can't have ended at {}: {} was recorded as done at {}, and {side} it. Put that right \
                 first, or check the time.",
                    words::stage(stage),
                    moment(at),
                    words::stage(record.stage).to_lowercase(),
                    moment(record.at),
                ),
            ));
        }
    }
    Ok(())
}

/// How long a block takes from its start until a stage of it has ended; none where it has no such stage.
fn until(block: &[StageWork], stage: Stage) -> Option<TimeDelta> {
    let last = block.iter().position(|own| own.stage == stage)?;
    let lasts = |own: &StageWork| TimeDelta::seconds(own.work.seconds());
    Some(block[..=last].iter().map(lasts).sum())
}

/// `10:35 on Mon 1 Mar`.
fn moment(at: NaiveDateTime) -> String {
    let minutes = at.hour() * 60 + at.minute();
    format!("{} on {}", words::clock(minutes), words::day(at.date()))
}
