//! What was placed before the plan's first day is ready when the work goes on.

use super::case::{Case, of_visit};

use gangday_model::Finding;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (job, ready) in case.brief.limits.ready {
        let visits = case.visits.get(job).into_iter().flatten();
        let Some((route, visit)) = visits.min_by_key(|(_, visit)| visit.start) else {
            continue;
        };
        if visit.start < *ready {
            let (stage, ready) = (visit.stage, ready.format("%H:%M on %-d %B"));
            let text = format!(
                "{stage:?} starts at {}, and what was placed in an earlier week is ready at {ready}",
                visit.start.format("%H:%M on %-d %B")
            );
            let remedy = format!("start it at {ready} at the earliest: the wait must pass");
            found.push(of_visit("R-READY", route, job, text, remedy));
        }
    }
}
