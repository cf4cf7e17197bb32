//! The gang has time to drive from its depot to its first job.

use gangday_model::Finding;

use super::case::{Case, minutes, of_visit};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (route, gang) in case.crewed() {
        let Some(visit) = route.visits.first() else {
            continue;
        };
        let Some(job) = case.job(&visit.job) else {
            continue;
        };
        let (given, takes) = (
            visit.arrive - route.depart,
            case.travel(gang, gang.depot, job.at),
        );
        if given < takes {
            let (given, takes) = (minutes(given), minutes(takes));
            let text = format!("the drive from the depot takes {takes} min, not {given}");
            let remedy = format!("leave {} min sooner or arrive later", takes - given);
            found.push(of_visit("R-DEPART", route, &job.id, text, remedy));
        }
    }
}
