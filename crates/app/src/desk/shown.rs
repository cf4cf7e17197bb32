//! What a door was last told of the sheet, and what has changed since.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use chrono::NaiveDate;
use gangday_model::{GangId, JobId, Plan, Route};

use super::marks::Marks;
use super::table::Table;
use crate::changes::State;
use crate::columns::{column, route_key};
use crate::nights::routes_of_jobs;
use crate::sheet;
use crate::view::{Column, JobView, SheetPatch};

/// More rows than this are told as a whole sheet.
const MANY: usize = 1_000;

/// What a door was told.
pub struct Shown {
    /// Under which number.
    pub edition: u32,
    /// Of which state.
    pub state: State,
    /// In which rows.
    pub marks: Marks,
    /// Whether everything of it was worked out.
    pub settled: bool,
}

/// Routes by gang and date.
type Routes<'a> = HashMap<(&'a GangId, NaiveDate), &'a Route>;

fn routes(plan: Option<&Plan>) -> Routes<'_> {
    let all = plan.into_iter().flat_map(|plan| &plan.routes);
    all.map(|route| ((&route.gang, route.date), route))
        .collect()
}

impl Shown {
    /// What has changed at once: jobs, and gang-days with other jobs or times in them. None where
    /// more has changed than can be told so.
    pub fn quick(&mut self, now: &State, table: &Table) -> Option<SheetPatch> {
        let mut patch = SheetPatch {
            from: self.edition,
            ..SheetPatch::default()
        };
        let was = std::mem::replace(&mut self.state, now.clone());
        self.rows(&was, &mut patch)?;
        let same = Arc::ptr_eq(&was.opened.prepared, &now.opened.prepared)
            && same_plan(&was, now)
            && Arc::ptr_eq(&was.opened.diary, &now.opened.diary)
            && Arc::ptr_eq(&was.opened.intake, &now.opened.intake)
            && Arc::ptr_eq(&was.opened.on_opening, &now.opened.on_opening);
        self.settled &= same;
        patch.settled = self.settled;
        let members = self.marks.fill(table.of_desk());
        let members = members
            .into_iter()
            .map(|(name, value)| (name.to_owned(), value));
        patch.sheet.extend(members);
        (self.edition, patch.edition) = (table.edition(), table.edition());
        patch
            .sheet
            .insert("edition".to_owned(), patch.edition.into());
        Some(patch)
    }

    fn rows(&mut self, was: &State, patch: &mut SheetPatch) -> Option<()> {
        let now = self.state.clone();
        let (old, new) = (&was.opened.prepared, &now.opened.prepared);
        if !new.is_kin_of(old) || was.plan.is_some() != now.plan.is_some() {
            return None;
        }
        let (mut touched, gone) = jobs_between(was, &now);
        let (before, after) = (routes(was.plan.as_deref()), routes(now.plan.as_deref()));
        let changed = routes_between(was, &now, &touched);
        let out: Vec<String> = before
            .iter()
            .filter(|(key, _)| !after.contains_key(*key))
            .map(|(_, route)| route_key(route))
            .collect();
        if !same_plan(was, &now) {
            touched.extend(jobs_elsewhere(&before, &after));
        }
        if touched.len() + changed.len() > MANY {
            return None;
        }
        let serving = routes_of_jobs(after.values().copied(), |job| touched.contains(job));
        let mut places: Vec<usize> = touched.iter().filter_map(|id| new.index_of(id)).collect();
        places.sort_unstable();
        let jobs = &new.programme.jobs;
        let put: Vec<(usize, JobView)> = places
            .into_iter()
            .map(|at| {
                let routes = serving.get(&jobs[at].id);
                let routes = routes.map_or(&[][..], Vec::as_slice);
                (at, sheet::job_of(new, at, routes))
            })
            .collect();
        if !put.is_empty() || !gone.is_empty() {
            let keys = jobs.iter().map(|job| job.id.as_str());
            patch.lists.push(self.marks.change(gone, &put, keys)?);
        }
        let all = now.plan.as_deref().map_or(&[][..], |plan| &plan.routes);
        let column_of = |at: usize| Some((at, column(new, &all[at])?));
        let put: Vec<(usize, Column)> =
            changed.into_iter().map(column_of).collect::<Option<_>>()?;
        if !put.is_empty() || !out.is_empty() {
            let keys = all.iter().map(route_key);
            patch.lists.push(self.marks.change(out, &put, keys)?);
        }
        Some(())
    }
}

fn same_plan(one: &State, other: &State) -> bool {
    match (&one.plan, &other.plan) {
        (Some(one), Some(other)) => Arc::ptr_eq(one, other),
        (None, None) => true,
        _ => false,
    }
}

/// Jobs that are new or others than before, and those that are gone.
fn jobs_between(was: &State, now: &State) -> (HashSet<JobId>, Vec<String>) {
    let (old, new) = (&was.opened.prepared, &now.opened.prepared);
    if Arc::ptr_eq(old, new) {
        return Default::default();
    }
    let is_other = |(at, job): &(usize, &gangday_model::Job)| {
        let at = old.index_near(*at, &job.id);
        at.is_none_or(|at| old.programme.jobs[at] != **job)
    };
    let touched = new.programme.jobs.iter().enumerate().filter(is_other);
    let touched = touched.map(|(_, job)| job.id.clone()).collect();
    let gone = old.programme.jobs.iter().enumerate();
    let gone = gone.filter(|(at, job)| new.index_near(*at, &job.id).is_none());
    (touched, gone.map(|(_, job)| job.id.to_string()).collect())
}

/// Routes of the new plan, by their place in it, that are others than before or have touched jobs.
fn routes_between(was: &State, now: &State, touched: &HashSet<JobId>) -> Vec<usize> {
    let Some(plan) = &now.plan else {
        return Vec::new();
    };
    let before = routes(was.plan.as_deref());
    let same = same_plan(was, now);
    let is_other = |route: &Route| {
        !same
            && before
                .get(&(&route.gang, route.date))
                .is_none_or(|old| **old != *route)
    };
    let is_touched = |route: &Route| {
        !touched.is_empty()
            && route
                .visits
                .iter()
                .any(|visit| touched.contains(&visit.job))
    };
    let all = plan.routes.iter().enumerate();
    let other = all.filter(|(_, route)| is_other(route) || is_touched(route));
    other.map(|(at, _)| at).collect()
}

/// Jobs that another route serves than before, or none does any more.
fn jobs_elsewhere(before: &Routes<'_>, after: &Routes<'_>) -> HashSet<JobId> {
    let serving = |routes: &Routes<'_>| -> HashMap<JobId, Vec<(GangId, NaiveDate)>> {
        let own = routes_of_jobs(routes.values().copied(), |_| true).into_iter();
        own.map(|(job, routes)| {
            let whose = routes.iter().map(|route| (route.gang.clone(), route.date));
            (job.clone(), whose.collect())
        })
        .collect()
    };
    let (old, new) = (serving(before), serving(after));
    let moved = new
        .iter()
        .filter(|(job, route)| old.get(*job) != Some(*route));
    let left = old.keys().filter(|job| !new.contains_key(*job));
    moved.map(|(job, _)| job).chain(left).cloned().collect()
}
