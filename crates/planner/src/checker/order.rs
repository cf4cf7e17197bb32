//! The stages of a job come in their order.

use gangday_model::Finding;

use super::case::{Case, of_visit};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits, work) in case.worked() {
        let start = |at: usize| {
            let stage = work.stages[at].stage;
            visits.iter().find(|(_, visit)| visit.stage == stage)
        };
        for at in 1..work.stages.len() {
            let (Some((_, before)), Some((route, visit))) = (start(at - 1), start(at)) else {
                continue;
            };
            if visit.start < before.start {
                let text = format!("{:?} starts before {:?}", visit.stage, before.stage);
                let remedy = "plan the stages in their order";
                found.push(of_visit("R-ORDER", route, id, text, remedy));
            }
        }
    }
}
