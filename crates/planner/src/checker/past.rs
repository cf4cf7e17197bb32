//! Nothing is planned on a day that is past: what stands there was done.

use gangday_model::Finding;

use super::case::{Case, day, days, last_done};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let week = &case.programme.week;
    let Some(from) = week.plan_from else { return };
    for (id, visits) in &case.visits {
        let last = last_done(visits);
        for route in days(visits) {
            let own = visits
                .iter()
                .filter(|(other, visit)| std::ptr::eq(*other, route) && Some(visit.stage) > last);
            let many = own.count();
            if week.is_past(route.date) && many > 0 {
                let text = format!(
                    "{many} of its stages are not recorded as done, and nothing is planned before {} any more",
                    day(from)
                );
                let remedy = "record what was done, unlock what is locked, and plan the rest";
                found.push(case.of_visit("R-PAST", route, id, text, remedy));
            }
        }
    }
}
