//! The plan follows the programme: after an edit its times, costs and jobs are those of what is there now.
//!
//! Nothing goes to another gang-day by itself. Gang-days keep their order and are timed anew, with the rules
//! that they break named by the checker; what is new, or can't stand where it stood, is not planned until
//! somebody plans it.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use gangday_model::{Bound, Job, JobId, Plan, Reason, Unplanned};

use crate::by_hand;
use crate::changes::State;
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::pricing;

/// Why a job is not planned that came, or was changed, after the week was planned.
const SINCE: &str = "U-SINCE";

/// With more jobs gang-days are timed anew only where an edit touches what they do or cost.
const SMALL: usize = 1_000;

/// The state after an edit, its plan brought up to what it is for.
pub fn follow(before: &State, after: State) -> State {
    let (was, now) = (&before.opened.prepared, &after.opened.prepared);
    let Some(plan) = after.plan.as_ref().filter(|_| !Arc::ptr_eq(was, now)) else {
        return after;
    };
    let followed = followed(was, &after.opened, plan);
    let plan = if followed == **plan {
        Arc::clone(plan)
    } else {
        Arc::new(followed)
    };
    State {
        plan: Some(plan),
        ..after
    }
}

fn followed(was: &Prepared, opened: &Opened, plan: &Plan) -> Plan {
    let now = &opened.prepared;
    let planned: HashSet<&JobId> = planned(plan).collect();
    let fresh = fresh(was, now, plan);
    let all = !is_alike_but_for_jobs(was, now) || has_lost(was, now, plan);
    if fresh.is_empty() && !all {
        return plan.clone();
    }
    let mut next = Plan {
        unplanned: unplanned(plan, &planned, &fresh),
        bound: plan.bound.as_ref().map(no_bound),
        findings: opened.faults().cloned().collect(),
        ..plan.clone()
    };
    if all || now.programme.jobs.len() <= SMALL || !fresh.is_disjoint(&planned) {
        let why = since("Its work is another since the week was planned");
        return by_hand::timed_anew(now, &next, &why);
    }
    let left_out = pricing::left_out(now, &planned);
    next.costs.total_pence += left_out - next.costs.left_out_pence;
    next.costs.left_out_pence = left_out;
    next
}

fn planned(plan: &Plan) -> impl Iterator<Item = &JobId> {
    let visits = plan.routes.iter().flat_map(|route| &route.visits);
    visits.map(|visit| &visit.job)
}

/// Jobs that the plan doesn't know, and those that ask for something else than before.
fn fresh<'a>(was: &Prepared, now: &'a Prepared, plan: &Plan) -> HashSet<&'a JobId> {
    let known = known(plan);
    let jobs = now.programme.jobs.iter().enumerate();
    let is_fresh = |(at, job): &(usize, &Job)| match was.index_near(*at, &job.id) {
        Some(before) => !known.contains(&job.id) || !asks_alike((was, before), (now, *at)),
        // Under another id it is the same job.
        None => !known.contains(&job.id),
    };
    jobs.filter(is_fresh).map(|(_, job)| &job.id).collect()
}

/// Whether two jobs are the same to whoever plans them.
fn asks_alike((was, before): (&Prepared, usize), (now, at): (&Prepared, usize)) -> bool {
    let asked = |job: &Job| Job {
        permit: None,
        extra: serde_json::Map::new(),
        ..job.clone()
    };
    let (old, new) = (&was.programme.jobs[before], &now.programme.jobs[at]);
    was.works[before] == now.works[at]
        && was.points[before] == now.points[at]
        && was.closures[before].kind == now.closures[at].kind
        && was.streets[before] == now.streets[at]
        && (old == new || asked(old) == asked(new))
}

/// Whether nothing differs but jobs.
fn is_alike_but_for_jobs(was: &Prepared, now: &Prepared) -> bool {
    let (old, new) = (&was.programme, &now.programme);
    Arc::ptr_eq(&was.travel, &now.travel)
        && (&old.gangs, &old.tips, &old.week) == (&new.gangs, &new.tips, &new.week)
        && (&old.method, &old.materials) == (&new.method, &new.materials)
        && old.streets == new.streets
}

/// Whether a job is there no more: others may have its time and its set-up.
fn has_lost(was: &Prepared, now: &Prepared, plan: &Plan) -> bool {
    let known = known(plan);
    let missing = |these: &Prepared, those: &Prepared, of: &dyn Fn(&JobId) -> bool| {
        let jobs = those.programme.jobs.iter().enumerate();
        let gone = jobs.filter(|(at, job)| these.index_near(*at, &job.id).is_none());
        gone.filter(|(_, job)| of(&job.id)).count()
    };
    // What the plan knows already under an id that is new was renamed.
    missing(now, was, &|_| true) > missing(was, now, &|job| known.contains(job))
}

/// The jobs that the plan tells of.
fn known(plan: &Plan) -> HashSet<&JobId> {
    let unplanned = plan.unplanned.iter().map(|one| &one.job);
    planned(plan).chain(unplanned).collect()
}

/// The jobs that are not planned, each with its reasons as far as they still stand.
fn unplanned(plan: &Plan, planned: &HashSet<&JobId>, fresh: &HashSet<&JobId>) -> Vec<Unplanned> {
    let mut all: HashMap<&JobId, Vec<Reason>> = plan
        .unplanned
        .iter()
        .map(|one| (&one.job, one.reasons.clone()))
        .collect();
    for job in fresh.iter().filter(|job| !planned.contains(**job)) {
        let text = match all.contains_key(*job) {
            true => "It was changed since the week was planned",
            false => "It came after the week was planned",
        };
        all.insert(job, vec![since(text)]);
    }
    let mut all: Vec<Unplanned> = all
        .into_iter()
        .map(|(job, reasons)| Unplanned {
            job: job.clone(),
            reasons,
        })
        .collect();
    all.sort_by(|one, other| one.job.cmp(&other.job));
    all
}

fn since(what: &str) -> Reason {
    Reason {
        code: SINCE.to_owned(),
        text: format!("{what}; plan the rest, or carry it to a gang-day."),
    }
}

/// A bound holds for what it was worked out for.
fn no_bound(before: &Bound) -> Bound {
    if before.least_pence.is_none() {
        return before.clone();
    }
    Bound {
        least_pence: None,
        text: "No lower bound: the programme has changed since one was worked out. How far the plan is from \
               the cheapest is not known."
            .to_owned(),
    }
}
