//! All times of a gang-day are on its date.

use gangday_model::Finding;

use super::case::{Case, day};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for route in &case.plan.routes {
        let visits = route
            .visits
            .iter()
            .flat_map(|visit| [visit.arrive, visit.start, visit.finish]);
        let mut times = visits.chain([route.depart, route.back]);
        if let Some(time) = times.find(|time| time.date() != route.date) {
            let text = format!("it has a time on {}", day(time.date()));
            found.push(case.of_route(
                "R-DATE",
                route,
                text,
                "put its times on its date, or date it so",
            ));
        }
    }
}
