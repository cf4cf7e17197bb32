//! The waits between the stages of a job are kept.

use gangday_model::Finding;

use super::case::{Case, clock, of_visit, span};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits, work) in case.worked() {
        let planned = |at: usize| {
            let stage = work.stages[at].stage;
            visits.iter().find(|(_, visit)| visit.stage == stage)
        };
        for at in 1..work.stages.len() {
            let (Some((_, before)), Some((route, visit))) = (planned(at - 1), planned(at)) else {
                continue;
            };
            let ready = before.finish + span(work.stages[at - 1].wait());
            if visit.start >= before.start && visit.start < ready {
                let (stage, ready) = (visit.stage, clock(ready));
                let text = format!("{stage:?} starts at {}, before {ready}", clock(visit.start));
                let remedy = format!("start it at {ready} at the earliest: the wait must pass");
                found.push(of_visit("R-WAIT", route, id, text, remedy));
            }
        }
    }
}
