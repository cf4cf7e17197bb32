//! A gang has one gang-day on a date.

use std::collections::HashSet;

use gangday_model::Finding;

use super::case::Case;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let mut seen = HashSet::new();
    for route in &case.plan.routes {
        if !seen.insert((&route.gang, route.date)) {
            let text = "the gang has another gang-day on this date";
            found.push(case.of_route("R-TWODAYS", route, text, "join the two, or give one away"));
        }
    }
}
