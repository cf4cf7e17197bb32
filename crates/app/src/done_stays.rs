//! What is done stays in the plan through every edit, at its place and time.

use std::collections::{BTreeSet, HashSet};

use chrono::NaiveDateTime;
use gangday_model::{GangId, JobId, Plan, Stage, Visit, VisitStatus};

use crate::by_hand::key;
use crate::opened::Opened;
use crate::reports;

/// The plan after an edit, with each gang-day put back as it was of which something that is done would be lost; the
/// checker names the rules that it breaks. A stage that its job has no more is lost for good.
#[must_use]
pub fn kept(opened: &Opened, was: &Plan, next: Plan) -> Plan {
    let lost = undone(was, &next).into_iter();
    let lost = lost.filter(|visit| has(opened, visit));
    let lost: BTreeSet<&JobId> = lost.map(|visit| &visit.job).collect();
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

/// The visits of a plan that are done and have another place or time in the next one, or none.
#[must_use]
pub fn undone<'a>(before: &'a Plan, after: &Plan) -> Vec<&'a Visit> {
    let is_done = |one: &(&GangId, &Visit)| one.1.status == Some(VisitStatus::Done);
    let done: Vec<(&GangId, &Visit)> = by_gang(before).filter(is_done).collect();
    if done.is_empty() {
        return Vec::new();
    }
    let still: HashSet<_> = by_gang(after).map(place).collect();
    let done = done.into_iter();
    done.filter(|one| !still.contains(&place(*one)))
        .map(|(_, visit)| visit)
        .collect()
}

/// Which stage of which job a gang does when.
fn place<'a>(
    (gang, visit): (&'a GangId, &'a Visit),
) -> (&'a GangId, &'a JobId, Stage, NaiveDateTime) {
    (gang, &visit.job, visit.stage, visit.start)
}

/// Every visit with the gang that makes it.
fn by_gang(plan: &Plan) -> impl Iterator<Item = (&GangId, &Visit)> {
    let routes = plan.routes.iter();
    routes.flat_map(|route| route.visits.iter().map(move |visit| (&route.gang, visit)))
}

/// Whether a job is there and has this stage.
fn has(opened: &Opened, visit: &Visit) -> bool {
    let prepared = &opened.prepared;
    let work = prepared
        .index_of(&visit.job)
        .and_then(|at| prepared.works[at].as_deref());
    work.is_some_and(|work| work.stages.iter().any(|own| own.stage == visit.stage))
}
