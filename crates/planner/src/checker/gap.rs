//! No stage comes later after the one before than it may.

use gangday_model::Finding;

use super::case::{Case, clock, span};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for gap in case.brief.limits.gaps {
        let (Some(visits), Some(work)) = (case.visits.get(&gap.job), case.work(&gap.job)) else {
            continue;
        };
        let Some(at) = work
            .stages
            .iter()
            .position(|stage| stage.stage == gap.stage)
        else {
            continue;
        };
        let planned = |at: usize| {
            let stage = work.stages.get(at)?.stage;
            visits.iter().find(|(_, visit)| visit.stage == stage)
        };
        let (Some((_, before)), Some((route, next))) = (planned(at), planned(at + 1)) else {
            continue;
        };
        let latest = before.finish + span(gap.most);
        if next.start > latest {
            let text = format!(
                "{:?} starts at {}, after {}",
                next.stage,
                clock(next.start),
                clock(latest)
            );
            let remedy = "bring it forward, or put the stage before it off";
            found.push(case.of_visit("R-GAP", route, &gap.job, text, remedy));
        }
    }
}
