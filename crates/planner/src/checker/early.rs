//! Work starts when the gang is on the spot.

use gangday_model::Finding;

use super::case::{Case, clock};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for route in &case.plan.routes {
        for visit in route
            .visits
            .iter()
            .filter(|visit| visit.start < visit.arrive)
        {
            let (start, arrive) = (clock(visit.start), clock(visit.arrive));
            let text = format!(
                "{:?} starts at {start}, the gang comes at {arrive}",
                visit.stage
            );
            let remedy = format!("start it at {arrive} or later");
            found.push(case.of_visit("R-EARLY", route, &visit.job, text, remedy));
        }
    }
}
