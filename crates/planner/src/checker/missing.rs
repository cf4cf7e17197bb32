//! Every job of the programme is in the plan, planned or not.

use std::collections::HashSet;

use gangday_model::Finding;

use super::case::{Case, of_job};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let listed: HashSet<_> = case.plan.unplanned.iter().map(|left| &left.job).collect();
    let sound = case.programme.jobs.iter().map(|job| &job.id);
    for id in sound.chain(case.brief.refused) {
        if !case.visits.contains_key(id) && !listed.contains(id) {
            let remedy = "plan it, or list it as not planned with the reason";
            let text = "it is neither in a gang-day nor among those not planned";
            found.push(of_job("R-MISSING", id, text, remedy));
        }
    }
}
