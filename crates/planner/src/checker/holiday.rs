//! Nobody works on a holiday.

use gangday_model::Finding;

use super::case::Case;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let holidays = &case.programme.week.holidays;
    for route in case
        .plan
        .routes
        .iter()
        .filter(|route| holidays.contains(&route.date))
    {
        let remedy = "move it to another day, or take the day off the holidays";
        found.push(case.of_route("R-HOLIDAY", route, "the date is a holiday", remedy));
    }
}
