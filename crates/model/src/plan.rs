//! A plan: who goes where on which day, and why some jobs don't.

use chrono::{NaiveDate, NaiveDateTime};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{Finding, GangId, JobId, Stage};

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
    /// Hours during which the public is shut out.
    pub closure_pence: i64,
    /// Jobs left out, by priority.
    pub left_out_pence: i64,
    /// All of it.
    pub total_pence: i64,
}

/// A planned week.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Plan {
    /// Gang-days with work in them.
    pub routes: Vec<Route>,
    /// Jobs in no route.
    pub unplanned: Vec<Unplanned>,
    /// What it costs.
    pub costs: Costs,
    /// What somebody should look at.
    pub findings: Vec<Finding>,
}
