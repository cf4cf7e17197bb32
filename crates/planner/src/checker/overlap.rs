//! A gang is in one place at a time.

use gangday_model::Finding;

use super::case::{Case, clock};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for route in &case.plan.routes {
        for pair in route.visits.windows(2) {
            let [before, visit] = pair else { continue };
            if visit.arrive < before.finish {
                let (arrive, busy) = (clock(visit.arrive), clock(before.finish));
                let other = &before.job;
                let text = format!("the gang comes at {arrive}, but is at {other} until {busy}");
                let remedy = "move one of the two, or give it to another gang";
                found.push(case.of_visit("R-OVERLAP", route, &visit.job, text, remedy));
            }
        }
    }
}
