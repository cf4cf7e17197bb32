//! Concrete and mortar are placed on no day that is too cold for them.

use gangday_model::{Finding, WaitKind};

use super::case::{Case, of_visit};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let Some(least) = case.brief.least_celsius else {
        return;
    };
    for (id, visits, work) in case.worked() {
        for (route, visit) in visits {
            let celsius = case.programme.week.celsius_on(route.date);
            let stage = work.stages.iter().find(|stage| stage.stage == visit.stage);
            let then = stage.and_then(|stage| stage.then);
            let placed = then.is_some_and(|wait| wait.kind != WaitKind::Hold);
            if placed && celsius < least {
                let date = route.date;
                let text = format!(
                    "{:?} places concrete or mortar on {date} at {celsius} C, below {least} C",
                    visit.stage
                );
                let remedy = "move it to a warmer day";
                found.push(of_visit("R-COLD", route, id, text, remedy));
            }
        }
    }
}
