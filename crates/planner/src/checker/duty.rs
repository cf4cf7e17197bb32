//! Nobody who drives is on duty longer than a driver may, unless every day of the week has little driving.
//!
//! # Source
//! GB domestic drivers' hours, gov.uk: 11 h of duty; not for drivers who drive no more than 4 h on each
//! day of the week.

use chrono::TimeDelta;
use gangday_model::{Finding, Gang, Route};

use super::case::{Case, minutes, on, span};
use super::legs;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let Some((most, little)) = case.brief.limits.duty else {
        return;
    };
    let drives_more = |(route, gang): (&Route, &Gang)| {
        let legs = legs::legs(case, route, gang);
        let driving = legs
            .iter()
            .fold(TimeDelta::zero(), |sum, leg| sum + leg.drive(case));
        driving > span(little)
    };
    for (route, gang) in case.crewed() {
        let length = route.back + span(case.brief.unload) - on(route, gang.shift.from);
        let own = case.crewed().filter(|(_, other)| other.id == gang.id);
        if length > span(most) && own.into_iter().any(drives_more) {
            let (length, most) = (minutes(length), minutes(span(most)));
            let text =
                format!("{length} min of duty, and {most} are the most where one drives far");
            let remedy = "end it sooner, or drive less on every day of the week";
            found.push(case.of_route("R-DUTY", route, text, remedy));
        }
    }
}
