//! What is placed is placed, and cures, at no time that is too cold for it.

use gangday_model::{Finding, WaitKind};

use super::case::{Case, day, span};
use super::curing::lowest;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let curing = case.brief.curing;
    for (id, visits, work) in case.worked() {
        for (route, visit) in visits {
            let work = case.work_on(id, route).unwrap_or(work);
            let stage = work.stages.iter().find(|stage| stage.stage == visit.stage);
            let Some(then) = stage.and_then(|stage| stage.then) else {
                continue;
            };
            let least = curing.material(then.kind).and_then(|own| own.least_celsius);
            let Some(least) = least else {
                continue;
            };
            let air = case.programme.week.temperature_on(route.date);
            let along = air.is_curve() && then.kind != WaitKind::Hold;
            let plainly = visit.finish + span(then.time);
            let by_date = |date| case.programme.week.temperature_on(date);
            let goes_on = plainly.date() > route.date && then.kind != WaitKind::Hold;
            let aged = (along || goes_on).then(|| curing.ready(then.kind, &by_date, visit.finish));
            let ready = aged.flatten().unwrap_or(plainly);
            let celsius = lowest(&by_date, visit.start, ready);
            if celsius < least {
                let (stage, date, what) = (visit.stage, day(route.date), name(then.kind));
                let text = format!(
                    "{stage:?} places {what} on {date} at {} °C, below {least} °C",
                    (celsius * 10.0).round() / 10.0
                );
                let remedy = "move it to when it is warmer";
                found.push(case.of_visit("R-COLD", route, id, text, remedy));
            }
        }
    }
}

const fn name(kind: WaitKind) -> &'static str {
    match kind {
        WaitKind::BaseCure => "base concrete",
        WaitKind::MortarSet => "mortar",
        WaitKind::InitialSet => "surround concrete",
        WaitKind::Hold => "surfacing",
    }
}
