//! A gang works on its own days; if it states none, not at weekends.

use chrono::{Datelike, Weekday};
use gangday_model::Finding;

use super::case::{Case, day};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (route, gang) in case.crewed() {
        let works = match &gang.days {
            Some(days) => days.contains(&route.date),
            None => !matches!(route.date.weekday(), Weekday::Sat | Weekday::Sun),
        };
        if !works {
            let text = format!("{} is none of the gang's days", day(route.date));
            let remedy = "move it to one of the gang's days, or add the day to them";
            found.push(case.of_route("R-DAYOFF", route, text, remedy));
        }
    }
}
