//! A halt is at a known place, lasts as long as it takes, and lies between two visits.

use gangday_model::{Finding, HaltKind};

use super::case::{Case, clock, minutes, span};
use super::legs;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let limits = &case.brief.limits;
    for (route, gang) in case.crewed() {
        for halt in &route.halts {
            let (kind, at) = (halt.kind, clock(halt.arrive));
            let mut fault = |text: String, remedy: &str| {
                found.push(case.of_route("R-HALT", route, text, remedy));
            };
            if kind != HaltKind::Break && legs::place(case, gang, halt).is_none() {
                let text = format!("nobody knows the tip of its halt at {at}");
                fault(text, "name a tip of the programme");
            }
            let takes = match kind {
                HaltKind::Tip => span(limits.tipping),
                HaltKind::Reload => span(limits.reloading),
                HaltKind::Break => chrono::TimeDelta::zero(),
            };
            if halt.leave - halt.arrive < takes {
                let text = format!("its halt at {at} takes {} min", minutes(takes));
                fault(text, "leave later");
            }
            let between = legs::legs(case, route, gang);
            if !between
                .iter()
                .any(|leg| leg.halts().any(|other| other == halt))
            {
                let text = format!("its halt at {at} is not between two visits");
                fault(text, "put it where the gang is not at work");
            }
        }
    }
}
