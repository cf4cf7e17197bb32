//! Every job in the plan is in the programme.

use gangday_model::Finding;

use super::case::{Case, of_job};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits) in &case.visits {
        if case.job(id).is_none() {
            let remedy = "take it out of the plan, or add it to the programme";
            let text = "it is not in the programme";
            found.push(case.of_visit("R-JOB", visits[0].0, id, text, remedy));
        }
    }
    for left in case
        .plan
        .unplanned
        .iter()
        .filter(|left| case.job(&left.job).is_none() && !case.brief.refused.contains(&left.job))
    {
        let remedy = "take it off the list, or add it to the programme";
        let text = "it is listed as not planned, but it is not in the programme";
        found.push(of_job("R-JOB", &left.job, text, remedy));
    }
}
