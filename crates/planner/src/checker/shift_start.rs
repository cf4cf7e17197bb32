//! The gang leaves once its shift has started and the vehicle is loaded.

use gangday_model::Finding;

use super::case::{Case, clock, on, span};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (route, gang) in case.crewed() {
        let loaded = on(route, gang.shift.from) + span(case.brief.load);
        if route.depart.date() == route.date && route.depart < loaded {
            let (leaves, loaded) = (clock(route.depart), clock(loaded));
            let text = format!("it leaves at {leaves}, but is loaded at {loaded}");
            let remedy = format!("leave at {loaded} at the earliest");
            found.push(case.of_route("R-SHIFTSTART", route, text, remedy));
        }
    }
}
