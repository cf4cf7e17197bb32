//! A plan: who goes where on which day, and why some jobs don't.

use std::collections::HashSet;

use chrono::{NaiveDate, NaiveDateTime};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Finding, GangId, JobId, Stage, TipId};

/// One stage of one job, as planned.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Visit {
    /// The job.
    pub job: JobId,
    /// The stage.
    pub stage: Stage,
    /// When the gang is on the spot.
    pub arrive: NaiveDateTime,
    /// When work starts.
    pub start: NaiveDateTime,
    /// When work ends.
    pub finish: NaiveDateTime,
    /// Whether it stays where it is when the week is planned again; none where it need not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub status: Option<VisitStatus>,
}

/// Why a visit stays where it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum VisitStatus {
    /// The work is done.
    Done,
    /// Gang, day and times were promised.
    Locked,
}

/// Why a gang halts between two visits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum HaltKind {
    /// It tips spoil.
    Tip,
    /// It tips spoil at its depot and loads for what comes.
    Reload,
    /// It has its break, where it is.
    Break,
}

/// Something between two visits that takes time.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Halt {
    /// What for.
    pub kind: HaltKind,
    /// The tip's id; none for the gang's own depot and for a break.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tip: Option<TipId>,
    /// When the gang is there.
    pub arrive: NaiveDateTime,
    /// When it goes on.
    pub leave: NaiveDateTime,
}

/// One gang-day: depot, visits in order of time, depot.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Route {
    /// The gang.
    pub gang: GangId,
    /// The day.
    pub date: NaiveDate,
    /// The visits, in order of time.
    pub visits: Vec<Visit>,
    /// When it leaves the depot, loaded.
    pub depart: NaiveDateTime,
    /// When it is back at the depot.
    #[serde(rename = "return")]
    pub back: NaiveDateTime,
    /// Tips, reloads and the break, in order of time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub halts: Vec<Halt>,
}

/// Why a job is not planned.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Reason {
    /// Stable code, listed in `docs/codes.md`.
    pub code: String,
    /// The reason in words, with what would make the job fit.
    pub text: String,
}

/// A job that is in no route.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Unplanned {
    /// The job.
    pub job: JobId,
    /// Why, the tightest first; never empty.
    pub reasons: Vec<Reason>,
}

/// What the plan costs, by part.
///
/// # Units
/// Whole pence.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Costs {
    /// Crews within their shifts, from leaving the depot to return.
    pub crew_pence: i64,
    /// The extra for time past the shift.
    pub overtime_pence: i64,
    /// Vehicles on the road.
    pub travel_pence: i64,
    /// Traffic management set out, once per street and gang-day.
    pub set_ups_pence: i64,
    /// Gang-days begun.
    #[serde(default)]
    pub gang_days_pence: i64,
    /// Nights over which works are left.
    #[serde(default, skip_serializing_if = "is_nothing")]
    pub nights_pence: i64,
    /// Hours during which the public is shut out.
    pub closure_pence: i64,
    /// Changes to an earlier plan.
    #[serde(default, skip_serializing_if = "is_nothing")]
    pub changes_pence: i64,
    /// Closures that are there at once and should not be.
    #[serde(default, skip_serializing_if = "is_nothing")]
    pub clashes_pence: i64,
    /// Jobs left out, by priority.
    pub left_out_pence: i64,
    /// All of it.
    pub total_pence: i64,
}

fn is_nothing(pence: &i64) -> bool {
    *pence == 0
}

/// What no plan can cost less than.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Bound {
    /// The least that any plan of this week costs, as far as it was worked out; none where nothing
    /// was.
    ///
    /// # Units
    /// Whole pence.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub least_pence: Option<i64>,
    /// How it was worked out and what it leaves out.
    pub text: String,
}

/// What became of one job since an earlier plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ChangeKind {
    /// It is planned and was not.
    Added,
    /// It was planned and is not.
    Dropped,
    /// Another gang does it, on the same day.
    Gang,
    /// Another day, whichever gang.
    Day,
    /// The same gang and day, at another time.
    Time,
}

/// A change to an earlier plan.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Change {
    /// The job.
    pub job: JobId,
    /// What changed.
    pub kind: ChangeKind,
    /// The change in words, from what to what.
    pub text: String,
}

/// A planned week.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Plan {
    /// Gang-days with work in them.
    pub routes: Vec<Route>,
    /// Jobs in no route.
    pub unplanned: Vec<Unplanned>,
    /// Jobs that were begun and of which only what was done is in a route: what is left found no day.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unfinished: Vec<Unplanned>,
    /// What it costs.
    pub costs: Costs,
    /// What somebody should look at.
    pub findings: Vec<Finding>,
    /// What no plan can cost less than; none where nobody asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bound: Option<Bound>,
    /// What changed since the plan that was kept to.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<Change>,
    /// Who is to be named wherever it is shown, where its travel or its closures rest on the data of
    /// somebody who asks for that; none where nobody does.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub attribution: Option<String>,
}

impl Plan {
    /// Every visit, gang-day by gang-day.
    pub fn visits(&self) -> impl Iterator<Item = &Visit> {
        self.routes.iter().flat_map(|route| &route.visits)
    }

    /// Without what is said of jobs that are in no route to be left unfinished.
    #[must_use]
    pub fn tidied(mut self) -> Self {
        if !self.unfinished.is_empty() {
            let placed: HashSet<JobId> = self.visits().map(|visit| visit.job.clone()).collect();
            self.unfinished.retain(|one| placed.contains(&one.job));
        }
        self
    }
}
