//! A job that is not planned says why.

use gangday_model::Finding;

use super::case::{Case, of_job};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for left in case.plan.unplanned.iter().chain(&case.plan.unfinished) {
        let said = left
            .reasons
            .iter()
            .any(|reason| !reason.code.trim().is_empty() && !reason.text.trim().is_empty());
        if !said {
            let text = "it is not planned, and no reason is given";
            found.push(of_job(
                "R-NOREASON",
                &left.job,
                text,
                "state the reason with its code",
            ));
        }
    }
}
