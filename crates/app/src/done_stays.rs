//! What is done stays in the plan through every edit, at its place and time.

use std::collections::{BTreeSet, HashSet};

use gangday_model::{JobId, Plan, Visit, VisitStatus};

use crate::by_hand::key;
use crate::opened::Opened;
use crate::reports;

/// The plan after an edit, with each gang-day put back as it was of which something that is done would be lost; the
/// checker names the rules that it breaks. A stage that its job has no more is lost for good.
#[must_use]
pub fn kept(opened: &Opened, was: &Plan, next: Plan) -> Plan {
    let lost = lost(opened, was, &next);
    if lost.is_empty() {
        return next;
    }
    let mut plan = next;
    let has_lost = |route: &&gangday_model::Route| {
        let mut visits = route.visits.iter();
        visits.any(|visit| lost.contains(&visit.job))
    };
    for route in was.routes.iter().filter(has_lost) {
        plan.routes.retain(|other| key(other) != key(route));
        plan.routes.push(route.clone());
    }
    plan.routes.sort_by_key(key);
    let placed: HashSet<JobId> = plan.visits().map(|visit| visit.job.clone()).collect();
    plan.unplanned.retain(|one| !placed.contains(&one.job));
    // Nobody times such a day: its costs are what its visits come to.
    if let Some(costs) = reports::costs_as_it_stands(opened, &plan) {
        plan.costs = costs;
    }
    plan
}

/// The jobs of which something is done and is not where and when it was.
fn lost<'a>(opened: &Opened, was: &'a Plan, next: &Plan) -> BTreeSet<&'a JobId> {
    let still = next.routes.iter().flat_map(|route| {
        let visits = route.visits.iter();
        visits.map(move |visit| (&route.gang, &visit.job, visit.stage, visit.start))
    });
    let still: HashSet<_> = still.collect();
    let done = was.routes.iter().flat_map(|route| {
        let visits = route.visits.iter();
        visits.map(move |visit| (&route.gang, visit))
    });
    let done = done.filter(|(_, visit)| visit.status == Some(VisitStatus::Done));
    let lost = done.filter(|(gang, visit)| {
        !still.contains(&(*gang, &visit.job, visit.stage, visit.start)) && has(opened, visit)
    });
    lost.map(|(_, visit)| &visit.job).collect()
}

/// Whether a job is there and has this stage.
fn has(opened: &Opened, visit: &Visit) -> bool {
    let prepared = &opened.prepared;
    let work = prepared
        .index_of(&visit.job)
        .and_then(|at| prepared.works[at].as_deref());
    work.is_some_and(|work| work.stages.iter().any(|own| own.stage == visit.stage))
}
