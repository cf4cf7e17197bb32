//! Every gang-day is in the week.

use gangday_model::Finding;

use super::case::{Case, day};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for route in &case.plan.routes {
        let mut week = case.programme.week.calendar_days();
        if !week.any(|day| day == route.date) {
            let (first, days) = (case.programme.week.first_day, case.programme.week.days);
            let text = format!("the week has {days} days from {}", day(first));
            found.push(case.of_route("R-WEEK", route, text, "move it to a day of the week"));
        }
    }
}
