//! No job is both planned and not planned, or listed more than once.

use std::collections::HashSet;

use gangday_model::Finding;

use super::case::{Case, of_job};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let mut listed = HashSet::new();
    for left in &case.plan.unplanned {
        if case.visits.contains_key(&left.job) {
            let text = "it is in a gang-day and also among those not planned";
            let remedy = "take it off the list, or out of the gang-day";
            found.push(of_job("R-TWICE", &left.job, text, remedy));
        }
        if !listed.insert(&left.job) {
            let text = "it is listed more than once among those not planned";
            found.push(of_job(
                "R-TWICE",
                &left.job,
                text,
                "list it once, with all its reasons",
            ));
        }
    }
}
