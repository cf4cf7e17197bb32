//! Changes by hand: what may be asked, and what one would do before it is made.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::Column;

/// A change to the plan by hand.
///
/// Gang-days are named by `gang@date`, those with no work in them yet too.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(tag = "do", rename_all = "snake_case")]
#[ts(tag = "do", rename_all = "snake_case")]
pub enum ChangeByHand {
    /// The whole job goes to this gang-day; from another, from none, or within it.
    MoveJob {
        /// The job.
        job: String,
        /// `gang@date`.
        to: String,
        /// Minutes from midnight: it begins after every visit that starts before then; where absent, it
        /// goes where it costs least.
        at: Option<u32>,
    },
    /// One visit goes to another place in its own gang-day; the job's others follow.
    MoveVisit {
        /// The job.
        job: String,
        /// The stage.
        stage: String,
        /// Minutes from midnight: it comes after every visit that starts before then.
        at: u32,
    },
    /// The job is taken out of the plan.
    LeaveOut {
        /// The job.
        job: String,
    },
    /// Several jobs go to this gang-day, from wherever they are; in the order that they have, or each
    /// where it costs least, whichever breaks and costs less.
    MoveJobs {
        /// The jobs.
        jobs: Vec<String>,
        /// `gang@date`.
        to: String,
    },
    /// A gang-day is split: the jobs whose first visit is not before that of a job go to another one,
    /// beside what is there.
    Split {
        /// `gang@date`.
        day: String,
        /// The first job that goes.
        from: String,
        /// `gang@date`.
        to: String,
    },
    /// Each of two gang-days does what the other did.
    Swap {
        /// `gang@date`.
        one: String,
        /// `gang@date`.
        other: String,
    },
    /// A gang more, in all as this one, for jobs that are left out. It can be tried, not made.
    AddGang {
        /// Id of the gang.
        like: String,
    },
}

/// What a change by hand would do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct WhatIfView {
    /// In one line: `Move J-014 to Gang Oak on Wed 3 Mar: costs £12.40 more`.
    pub words: String,
    /// Whether it breaks no rule.
    pub sound: bool,
    /// The rules that it breaks, in words: one line for each rule and gang-day.
    pub broken: Vec<BrokenView>,
    /// What the plan costs more, in pence; less where negative.
    pub added_pence: f64,
    /// The same as money with its sign: `+£12.40`.
    pub added: String,
    /// The cost by part, now and then, the total last.
    pub costs: Vec<CostChange>,
    /// The gang-days touched that have work in them then, without the way driven.
    pub columns: Vec<Column>,
    /// Keys of the gang-days touched that have nothing in them then.
    pub emptied: Vec<String>,
    /// What the gang-days touched take and carry, now and then; those that take the same are left out.
    pub takes: Vec<TakesChange>,
    /// How many jobs are left out then; what is done or stands as issued is not.
    pub left_out: u32,
    /// How many are now.
    pub left_out_now: u32,
    /// Where a time was asked for, every time that does the same.
    pub alike: Option<TimesAlike>,
}

/// The first and the last time at which a change would do the same, minutes from midnight.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
pub struct TimesAlike {
    /// The first.
    pub first: u32,
    /// The last.
    pub last: u32,
}

/// A rule that a change by hand breaks on a gang-day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
pub struct BrokenView {
    /// The checker's code for it.
    pub code: String,
    /// The gang-day: `gang@date`.
    pub key: String,
    /// Every job that it is about; none where it is about the gang-day.
    pub jobs: Vec<String>,
    /// What is the matter; of many jobs a few are named and the rest counted.
    pub text: String,
}

/// What one gang-day takes and carries, now and after a change: what differs, each by itself, so that packs
/// and leftovers that days share are not in it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
pub struct TakesChange {
    /// `gang@date`.
    pub key: String,
    /// What its vehicle carries, by the stream: `Out to the jobs`.
    pub carried: Vec<Becomes>,
    /// Materials, net in place.
    pub materials: Vec<Becomes>,
}

/// A figure that would become another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Becomes {
    /// What it is a figure of.
    pub label: String,
    /// Now, rounded as a foreman would write it; empty for nothing.
    pub now: String,
    /// Then.
    pub then: String,
    /// The unit of both.
    pub unit: String,
}

/// One part of the cost, now and after a change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct CostChange {
    /// What for.
    pub label: String,
    /// As money, now.
    pub now: String,
    /// As money, then.
    pub then: String,
    /// The difference with its sign; empty where there is none.
    pub added: String,
    /// The difference, in pence.
    pub added_pence: f64,
}
