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
}

/// The plan's gang-days, these in the place of what they were.
pub fn with_days(board: &Board<'_>, days: &[DaySolution]) -> Vec<Route> {
    let routes = board.plan.routes.iter();
    let keyed = routes.map(|route| ((route.date, &route.gang), route));
    let mut old: BTreeMap<(NaiveDate, &GangId), &Route> = keyed.collect();
    let new: Vec<Route> = days
        .iter()
        .map(|day| planning::route(board.prepared, &board.posed, day))
        .collect();
    let mut all: Vec<Route> = Vec::with_capacity(old.len());
    for route in &new {
        let was = old.remove(&(route.date, &route.gang));
        all.extend((!route.visits.is_empty()).then(|| marked(route, was)));
    }
    all.extend(old.into_values().cloned());
    all.sort_by(|a, b| (a.date, &a.gang).cmp(&(b.date, &b.gang)));
    all
}

/// The gang-day with what was done or locked there still so.
fn marked(route: &Route, was: Option<&Route>) -> Route {
    let mut route = route.clone();
    for visit in &mut route.visits {
        let was = was.iter().flat_map(|was| &was.visits);
        let mut was = was.filter(|was| (&was.job, was.stage) == (&visit.job, visit.stage));
        visit.status = was.next().and_then(|was| was.status);
    }
    route
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
