//! The plan once a change by hand is made.

use std::collections::{BTreeMap, HashSet};

use chrono::NaiveDate;
use gangday_model::{Bound, GangId, JobId, Plan, Reason, Route, Unplanned};
use gangday_planner::{DaySolution, Outcome};

use super::board::Board;
use crate::planning;
use crate::words;

/// Why a job is not planned that somebody took out.
pub const BY_HAND: &str = "U-HAND";

/// The plan with the gang-days touched as they would be.
pub fn plan(board: &Board<'_>, outcome: &Outcome) -> Plan {
    let before = board.plan;
    let routes = with_days(board, &outcome.days);
    let taken_out = Reason {
        code: BY_HAND.to_owned(),
        text: "It was taken out by hand.".to_owned(),
    };
    let costs = planning::costs(&outcome.costs);
    Plan {
        unplanned: unplanned(before, &routes, &taken_out),
        routes,
        bound: before.bound.as_ref().and_then(bound),
        costs,
        attribution: crate::attributions::in_one_line(board.prepared),
        ..before.clone()
    }
    .tidied()
}

/// The plan's gang-days, these in the place of what they were.
pub fn with_days(board: &Board<'_>, days: &[DaySolution]) -> Vec<Route> {
    let routes = board.plan.routes.iter().cloned();
    let keyed = routes.map(|route| (key(&route), route));
    let mut all: BTreeMap<Key, Route> = keyed.collect();
    for day in days {
        let mut route = planning::route(board.prepared, &board.posed, day);
        let was = all.remove(&key(&route));
        if !route.visits.is_empty() {
            mark(&mut route, was.as_ref());
            all.insert(key(&route), route);
        }
    }
    all.into_values().collect()
}

/// A gang-day by date and gang, in the order of a plan.
pub type Key = (NaiveDate, GangId);

/// The gang-day of a route.
pub fn key(route: &Route) -> Key {
    (route.date, route.gang.clone())
}

/// Has what was done or locked there be so still.
pub fn mark(route: &mut Route, was: Option<&Route>) {
    for visit in &mut route.visits {
        let was = was.iter().flat_map(|was| &was.visits);
        let mut was = was.filter(|was| (&was.job, was.stage) == (&visit.job, visit.stage));
        visit.status = was.next().and_then(|was| was.status);
    }
}

/// Jobs that were not planned and are not yet, and those that were and are no more, with the reason.
pub fn unplanned(before: &Plan, routes: &[Route], reason: &Reason) -> Vec<Unplanned> {
    let planned = |routes: &[Route]| -> HashSet<JobId> {
        let visits = routes.iter().flat_map(|route| &route.visits);
        visits.map(|visit| visit.job.clone()).collect()
    };
    let now = planned(routes);
    let still = before.unplanned.iter();
    let mut all: Vec<Unplanned> = still
        .filter(|one| !now.contains(&one.job))
        .cloned()
        .collect();
    let taken_out = planned(&before.routes);
    let taken_out = taken_out.into_iter().filter(|job| !now.contains(job));
    all.extend(taken_out.map(|job| Unplanned {
        job,
        reasons: vec![reason.clone()],
    }));
    all.sort_by(|a, b| a.job.cmp(&b.job));
    all
}

/// What holds of the bound whatever the plan: no plan costs less.
fn bound(before: &Bound) -> Option<Bound> {
    let least = before.least_pence?;
    Some(Bound {
        least_pence: Some(least),
        text: format!(
            "No plan costs less than {}, worked out before changes were made by hand.",
            words::money(least)
        ),
    })
}
