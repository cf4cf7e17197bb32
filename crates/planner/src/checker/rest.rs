//! A long day has an uninterrupted break, after the first visit has begun and before the return.
//!
//! # Source
//! Working Time Regulations 1998, regulation 12, from memory.

use gangday_model::{Finding, HaltKind};

use super::case::{Case, minutes, on, span};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let Some((after, lasts)) = case.brief.limits.rest else {
        return;
    };
    for (route, gang) in case.crewed() {
        let Some(first) = route.visits.first() else {
            continue;
        };
        let length = route.back + span(case.brief.unload) - on(route, gang.shift.from);
        let rested = route.halts.iter().any(|halt| {
            let within = halt.arrive >= first.start && halt.leave <= route.back;
            halt.kind == HaltKind::Break && within && halt.leave - halt.arrive >= span(lasts)
        });
        if length > span(after) && !rested {
            let (length, lasts) = (minutes(length), minutes(span(lasts)));
            let text = format!("it lasts {length} min and has no break of {lasts} min");
            let remedy = "put a break in between two visits";
            found.push(case.of_route("R-BREAK", route, text, remedy));
        }
    }
}
