//! The stages of a planned job are known.

use gangday_model::Finding;

use super::case::Case;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits) in &case.visits {
        if case.job(id).is_some() && case.work(id).is_none() {
            let text = "it is planned, but its stages could not be worked out";
            let remedy = "put the job's own faults right, or take it out of the plan";
            found.push(case.of_visit("R-NOWORK", visits[0].0, id, text, remedy));
        }
    }
}
