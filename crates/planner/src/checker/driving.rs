//! Nobody drives longer than a driver may in a day.
//!
//! # Source
//! GB domestic drivers' hours, gov.uk.

use chrono::TimeDelta;
use gangday_model::Finding;

use super::case::{Case, minutes, span};
use super::legs;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let Some(most) = case.brief.limits.driving else {
        return;
    };
    for (route, gang) in case.crewed() {
        let legs = legs::legs(case, route, gang);
        let driving = legs
            .iter()
            .fold(TimeDelta::zero(), |sum, leg| sum + leg.drive(case));
        if driving > span(most) {
            let (driving, most) = (minutes(driving), minutes(span(most)));
            let text = format!("{driving} min of driving, and {most} are the most");
            let remedy = "give jobs that lie far off to a gang that is nearer";
            found.push(case.of_route("R-DRIVE", route, text, remedy));
        }
    }
}
