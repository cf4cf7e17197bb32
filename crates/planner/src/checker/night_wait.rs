//! The wait over a night is kept: it goes on along each date's own temperatures.

use chrono::NaiveDateTime;
use gangday_model::{Finding, StageWork, Visit, WaitKind};

use super::case::{Case, moment, span};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for pair in case.pairs() {
        let (left, next, visit) = (pair.left, pair.route, pair.visit);
        if left.date >= next.date {
            continue;
        }
        let ready = ready(case, pair.before, pair.stage_on(case, left));
        if visit.start < ready {
            let (stage, ready) = (visit.stage, moment(ready));
            let text = format!(
                "{stage:?} starts at {}, before {ready}",
                moment(visit.start)
            );
            let remedy = format!("start it at {ready} at the earliest: the wait must pass");
            found.push(case.of_visit("R-NIGHTWAIT", next, pair.job, text, remedy));
        }
    }
}

/// When the next stage may start: where a wait goes on past midnight, or along a day whose temperatures
/// are stated by the hour, by what each quarter-hour is worth on its own date; else after the stage's wait.
fn ready(case: &Case<'_>, before: &Visit, stage: &StageWork) -> NaiveDateTime {
    let plainly = before.finish + span(stage.wait());
    let week = &case.programme.week;
    let day = week.temperature_on(before.finish.date());
    let goes_on = plainly.date() > before.finish.date();
    let kind = stage.then.map(|wait| wait.kind);
    let aged = kind.filter(|kind| *kind != WaitKind::Hold && (day.is_curve() || goes_on));
    aged.and_then(|kind| {
        let by_date = |date| week.temperature_on(date);
        case.brief.curing.ready(kind, &by_date, before.finish)
    })
    .unwrap_or(plainly)
}
