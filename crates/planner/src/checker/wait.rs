//! The waits between the stages of a job are kept on each day.

use chrono::NaiveDateTime;
use gangday_model::{Finding, Route, StageWork, Visit, WaitKind};

use super::case::{Case, clock, span};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for pair in case.pairs() {
        let (before, route, visit) = (pair.before, pair.route, pair.visit);
        // Over a night it is another rule's.
        if before.finish.date() != visit.start.date() {
            continue;
        }
        let ready = ready(case, route, before, pair.stage_on(case, route));
        if visit.start >= before.start && visit.start < ready {
            let (stage, ready) = (visit.stage, clock(ready));
            let text = format!("{stage:?} starts at {}, before {ready}", clock(visit.start));
            let remedy = format!("start it at {ready} at the earliest: the wait must pass");
            found.push(case.of_visit("R-WAIT", route, pair.job, text, remedy));
        }
    }
}

/// When the next stage may start: along the day's temperatures where the week states them by the hour,
/// else after the stage's wait.
fn ready(case: &Case<'_>, route: &Route, before: &Visit, stage: &StageWork) -> NaiveDateTime {
    let plainly = before.finish + span(stage.wait());
    let day = case.programme.week.temperature_on(route.date);
    let kind = stage.then.map(|wait| wait.kind);
    let Some(kind) = kind.filter(|kind| day.is_curve() && *kind != WaitKind::Hold) else {
        return plainly;
    };
    case.brief
        .curing
        .ready(kind, &|_| day.clone(), before.finish)
        .unwrap_or(plainly)
}
