//! Done and locked visits of an earlier plan stay with their gang, on their day, at their times.

use gangday_model::Finding;

use super::case::{Case, clock};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let issued = case.brief.limits.issued.into_iter();
    for route in issued.flat_map(|plan| &plan.routes) {
        for visit in route.visits.iter().filter(|visit| visit.status.is_some()) {
            let own = case.visits.get(&visit.job).into_iter().flatten();
            let stays = own.into_iter().any(|(other, planned)| {
                (&other.gang, other.date) == (&route.gang, route.date)
                    && (planned.stage, planned.start) == (visit.stage, visit.start)
            });
            if !stays {
                let stage = visit.stage;
                let text = format!(
                    "{stage:?} stays with {} at {}, and is not there",
                    case.name(route),
                    clock(visit.start)
                );
                let remedy = "put it back, or unlock it in the earlier plan";
                found.push(case.of_visit("R-LOCKED", route, &visit.job, text, remedy));
            }
        }
    }
}
