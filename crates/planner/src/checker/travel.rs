//! The gang has time to drive from each job to the next, by way of the tip or depot where it halts.

use chrono::TimeDelta;
use gangday_model::Finding;

use super::case::{Case, minutes};
use super::legs::Leg;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (route, gang) in case.crewed() {
        for pair in route.visits.windows(2) {
            let [before, visit] = pair else { continue };
            let places = (case.job(&before.job), case.job(&visit.job));
            let (Some(from), Some(to)) = places else {
                continue;
            };
            let leg = Leg {
                route,
                gang,
                from: (from.at, before.finish),
                to: (to.at, visit.arrive),
            };
            let (takes, given) = leg.takes_and_given(case);
            // Less than nothing is another rule's: the gang would be in two places.
            if given >= TimeDelta::zero() && given < takes {
                let (given, takes) = (minutes(given), minutes(takes));
                let text = format!("the way from {} takes {takes} min, not {given}", from.id);
                let remedy = format!("arrive {} min later", takes - given);
                found.push(case.of_visit("R-TRAVEL", route, &to.id, text, remedy));
            }
        }
    }
}
