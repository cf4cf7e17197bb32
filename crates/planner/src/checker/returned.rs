//! The gang has time to drive from its last job to its depot.

use gangday_model::Finding;

use super::case::{Case, minutes};
use super::legs::Leg;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (route, gang) in case.crewed() {
        let Some(visit) = route.visits.last() else {
            continue;
        };
        let Some(job) = case.job(&visit.job) else {
            continue;
        };
        let leg = Leg {
            route,
            gang,
            from: (job.at, visit.finish),
            to: (gang.depot, route.back),
        };
        let (takes, given) = leg.takes_and_given(case);
        if given < takes {
            let (given, takes) = (minutes(given), minutes(takes));
            let text = format!("the drive back to the depot takes {takes} min, not {given}");
            let remedy = format!("return {} min later", takes - given);
            found.push(case.of_visit("R-RETURN", route, &job.id, text, remedy));
        }
    }
}
