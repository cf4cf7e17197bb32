//! A gang-day has something in it.

use gangday_model::Finding;

use super::case::Case;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for route in case
        .plan
        .routes
        .iter()
        .filter(|route| route.visits.is_empty())
    {
        found.push(case.of_route(
            "R-EMPTY",
            route,
            "nothing is done on it",
            "take it out of the plan",
        ));
    }
}
