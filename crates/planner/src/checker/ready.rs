//! What was placed before the plan's first day is ready when the work goes on, by what each quarter-hour since is
//! worth on its own date.

use chrono::{NaiveDateTime, TimeDelta};
use gangday_model::{Finding, WaitKind};

use super::case::{Case, moment};
use super::limits::PlacedBefore;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for before in case.brief.limits.before {
        let visits = case.visits.get(&before.job).into_iter().flatten();
        let Some((route, visit)) = visits.min_by_key(|(_, visit)| visit.start) else {
            continue;
        };
        let ready = ready(case, before);
        if visit.start < ready {
            let (stage, ready) = (visit.stage, moment(ready));
            let text = format!(
                "{stage:?} starts at {}, and what was placed in an earlier week is ready at {ready}",
                moment(visit.start)
            );
            let remedy = format!("start it at {ready} at the earliest: the wait must pass");
            found.push(case.of_visit("R-READY", route, &before.job, text, remedy));
        }
    }
}

/// When it is ready; what is not within two days, after its time at the reference temperature at the least.
fn ready(case: &Case<'_>, before: &PlacedBefore) -> NaiveDateTime {
    let Some(kind) = before.wait else {
        return before.at;
    };
    let curing = case.brief.curing;
    let minutes = curing
        .material(kind)
        .map_or(0.0, |material| material.minutes);
    let plainly = before.at + TimeDelta::seconds((minutes * 60.0) as i64);
    let week = &case.programme.week;
    let by_date = |date| week.temperature_on(date);
    let aged = (kind != WaitKind::Hold).then(|| curing.ready(kind, &by_date, before.at));
    aged.flatten().unwrap_or(plainly)
}
