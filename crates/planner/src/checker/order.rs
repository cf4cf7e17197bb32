//! The stages of a job come in their order.

use gangday_model::Finding;

use super::case::Case;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for pair in case.pairs() {
        let (before, visit) = (pair.before, pair.visit);
        if visit.start < before.start {
            let text = format!("{:?} starts before {:?}", visit.stage, before.stage);
            let remedy = "plan the stages in their order";
            found.push(case.of_visit("R-ORDER", pair.route, pair.job, text, remedy));
        }
    }
}
