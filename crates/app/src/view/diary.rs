//! What was issued, what was done, and two plans side by side.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Column, CostLine};

/// A plan that was issued.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct IssueView {
    /// Its number, from 1.
    pub number: u32,
    /// The date that it carries, ISO.
    pub on: String,
    /// One line: `58 of 64 jobs in 23 gang-days`.
    pub summary: String,
    /// Whether it is the plan on the desk, unchanged.
    pub current: bool,
}

/// A stage that was recorded as done.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct RecordView {
    /// The job.
    pub job: String,
    /// The stage.
    pub stage: String,
    /// ISO date of the day on which it ended.
    pub date: String,
    /// When it ended on that day, minutes from midnight.
    pub at: u32,
    /// How many minutes later than planned, fewer than none where earlier; none where that is not known.
    pub late: Option<i32>,
}

/// Work of the plan that is recorded as done in one go.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(tag = "what", rename_all = "snake_case")]
#[ts(tag = "what", rename_all = "snake_case")]
pub enum PlannedWork {
    /// Whole jobs, on whichever gang-days they are.
    Jobs {
        /// Their ids.
        ids: Vec<String>,
    },
    /// What one gang does on one day, and nothing of its jobs on another.
    GangDay {
        /// `gang@date`.
        key: String,
    },
    /// What all gangs do on one day, and nothing of their jobs on another.
    Day {
        /// ISO date.
        date: String,
    },
}

/// What became of one job from one plan to another.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ChangeView {
    /// The job.
    pub job: String,
    /// `added`, `dropped`, `gang`, `day` or `time`.
    pub kind: String,
    /// From what to what, in words.
    pub text: String,
}

/// One of two plans.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct SideView {
    /// `Issue 2, Thu 25 Feb` or `On the desk`.
    pub name: String,
    /// One line: `58 of 64 jobs in 23 gang-days`.
    pub summary: String,
    /// Its gang-days.
    pub columns: Vec<Column>,
    /// Jobs in none of them.
    pub unplanned: Vec<String>,
    /// Its cost by part, the total last.
    pub costs: Vec<CostLine>,
}

/// One figure of two plans.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct DifferenceView {
    /// What it is: `Gang-days`.
    pub label: String,
    /// Of the one, with its unit.
    pub one: String,
    /// Of the other.
    pub other: String,
    /// The other less the one, with its sign and unit; empty where they are equal.
    pub by: String,
}

/// Two plans, side by side.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ComparisonView {
    /// The one.
    pub one: SideView,
    /// The other.
    pub other: SideView,
    /// Their figures.
    pub differences: Vec<DifferenceView>,
    /// What became of each job from the one to the other.
    pub changes: Vec<ChangeView>,
}
