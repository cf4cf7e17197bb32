//! Ways round a closed road, and works that get in one another's way.

use chrono::{NaiveDate, NaiveDateTime};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{JobId, LonLat, StreetId};

/// The way round for one direction of traffic.
#[derive(Clone, Debug, PartialEq)]
pub struct WayRound {
    /// Its line.
    pub line: Vec<LonLat>,
    /// Its length, m.
    pub length_m: f64,
    /// How much longer it is than the way through, m.
    pub extra_m: f64,
    /// How much more time it takes, s.
    pub extra_s: f64,
    /// The streets that it follows, each once, in order.
    pub streets: Vec<StreetId>,
}

/// What a road closure does to the streets about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Diversion {
    /// The job whose closure it is.
    pub job: JobId,
    /// For traffic along the street's line; none where there is no way round.
    pub along: Option<WayRound>,
    /// For traffic against it; none where there is no way round, or no such traffic.
    pub against: Option<WayRound>,
    /// Whether traffic went against the line before.
    pub two_way: bool,
    /// Streets that can't be reached, or not be left, by vehicle while the closure stands.
    pub cut_off: Vec<StreetId>,
    /// The addresses there, street by street, such as "12 to 18 Oak Lane".
    pub cut_off_addresses: Vec<String>,
    /// All of it in words.
    pub words: String,
}

/// How works get in one another's way.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ClashKind {
    /// One takes the road that the other's diversion follows.
    OnDiversion,
    /// Both ends of one street at once.
    BothEnds,
    /// Two works on one street at once.
    OneStreet,
    /// Sites on one road nearer to one another than the code has it.
    Near,
}

/// How much a clash weighs in planning.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ClashWeight {
    /// Said, and no more.
    Warned,
    /// It costs, so the plan avoids it where it can.
    Priced,
    /// It may not be.
    Barred,
}

/// Two jobs that get in one another's way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Clash {
    /// How.
    pub kind: ClashKind,
    /// One party: the one that gives way in the words.
    pub job: JobId,
    /// The other.
    pub other: JobId,
    /// When both stand: from.
    pub from: NaiveDateTime,
    /// When both stand: until.
    pub until: NaiveDateTime,
    /// How much it weighs.
    pub weight: ClashWeight,
    /// What is the matter, with both named.
    pub text: String,
    /// What to do.
    pub remedy: String,
}

/// Two jobs that must not stand at the same time, whenever they are planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ClashPair {
    /// One job, by its place among the programme's.
    pub one: usize,
    /// The other; always a later one.
    pub other: usize,
    /// How they clash.
    pub kind: ClashKind,
    /// How much it weighs.
    pub weight: ClashWeight,
    /// What it costs where it is priced, whole pence.
    pub pence: i64,
    /// Whether one gang may have both at once, as one set-up.
    pub one_gang_may: bool,
}

/// The street authority's terms for one job: when it may not be on the street.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Barred {
    /// Not within these hours.
    pub hours: Vec<crate::Hours>,
    /// Not before this date.
    pub before: Option<NaiveDate>,
    /// Within these hours at a price.
    pub priced: Vec<crate::Hours>,
    /// What an hour within them costs, whole pence.
    pub pence_an_hour: i64,
}
