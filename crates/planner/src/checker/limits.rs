//! What a plan is held to beyond order, times and tickets: figures that the programme's tables give.

use chrono::NaiveDateTime;
use gangday_model::{Barred, JobId, Plan, Route, Seconds, Stage, WaitKind};

use super::prices::Prices;

/// What one job takes out and brings back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Burden {
    /// The job.
    pub job: JobId,
    /// Loaded for it, kg, and set down at its first visit.
    pub out_kg: u32,
    /// The same, loose, in litres.
    pub out_litres: u32,
    /// Taken on at its first visit, kg.
    pub back_kg: u32,
    /// The same, loose, in litres.
    pub back_litres: u32,
}

/// The most time between the end of a stage and the start of the next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The job.
    pub job: JobId,
    /// The stage before.
    pub stage: Stage,
    /// The most.
    pub most: Seconds,
}

/// What was placed last of a job before the plan's first day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlacedBefore {
    /// The job.
    pub job: JobId,
    /// What is waited for after it, if anything.
    pub wait: Option<WaitKind>,
    /// When it was placed.
    pub at: NaiveDateTime,
}

/// The exposure of one operative of a gang-day to hand-arm vibration, A(8) in m/s2; none where it is not
/// known.
pub type Exposure<'a> = &'a dyn Fn(&Route) -> Option<f64>;

/// The figures; by default none, and then their rules ask for nothing.
#[derive(Clone, Copy, Default)]
pub struct Limits<'a> {
    /// Loads, where vehicles have a payload.
    pub burdens: &'a [Burden],
    /// How long tipping takes.
    pub tipping: Seconds,
    /// How long loading anew at the depot takes.
    pub reloading: Seconds,
    /// A day longer than the first has a break as long as the second.
    pub rest: Option<(Seconds, Seconds)>,
    /// The most driving in a day.
    pub driving: Option<Seconds>,
    /// The most duty in a day, and the driving up to which it does not apply if no day of the week has
    /// more.
    pub duty: Option<(Seconds, Seconds)>,
    /// Vibration, and its limit value.
    pub vibration: Option<(Exposure<'a>, f64)>,
    /// Jobs whose closures must not be there at once.
    pub clashes: &'a [(JobId, JobId)],
    /// Jobs whose street's authority bars them at times.
    pub barred: &'a [(JobId, Barred)],
    /// What each night costs over which works are left, pence; none where nobody says.
    pub night: Option<i64>,
    /// The most time between stages.
    pub gaps: &'a [Gap],
    /// Jobs of which a part is done and another is left, in order of their ids: they may be left over nights.
    pub open: &'a [JobId],
    /// What was placed of jobs before the plan's first day.
    pub before: &'a [PlacedBefore],
    /// A plan whose done and locked visits stay.
    pub issued: Option<&'a Plan>,
    /// What things cost; where nobody says, a plan's costs only have to add up.
    pub prices: Option<&'a Prices>,
}
