//! The gang has time to drive from its depot to its first job.

use gangday_model::Finding;

use super::case::{Case, minutes};
use super::legs::Leg;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (route, gang) in case.crewed() {
        let Some(visit) = route.visits.first() else {
            continue;
        };
        let Some(job) = case.job(&visit.job) else {
            continue;
        };
        let leg = Leg {
            route,
            gang,
            from: (gang.depot, route.depart),
            to: (job.at, visit.arrive),
        };
        let (takes, given) = leg.takes_and_given(case);
        if given < takes {
            let (given, takes) = (minutes(given), minutes(takes));
            let text = format!("the drive from the depot takes {takes} min, not {given}");
            let remedy = format!("leave {} min sooner or arrive later", takes - given);
            found.push(case.of_visit("R-DEPART", route, &job.id, text, remedy));
        }
    }
}
