//! The gang has unloaded by the end of its shift and its overtime, on a day of which anything is still to be done.

use gangday_model::{Finding, VisitStatus};

use super::case::{Case, clock, minutes, on, span};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (route, gang) in case.crewed() {
        let done = route.back + span(case.brief.unload);
        let latest = on(route, gang.shift.until) + span(gang.overtime);
        let is_over = route
            .visits
            .iter()
            .all(|visit| visit.status == Some(VisitStatus::Done));
        if route.depart.date() == route.date && done > latest && !is_over {
            let text = format!(
                "it ends at {}, at the latest it may be {}",
                clock(done),
                clock(latest)
            );
            let remedy = format!("take {} min of work out", minutes(done - latest));
            found.push(case.of_route("R-SHIFTEND", route, text, remedy));
        }
    }
}
