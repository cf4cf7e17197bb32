//! What things cost: figures that the programme's tables give.

use gangday_model::{Hours, JobId, Seconds};

/// What one job costs where it is done, and where it is not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobPrices {
    /// The job.
    pub job: JobId,
    /// Leaving it out.
    pub left_out: i64,
    /// Setting out its traffic management.
    pub set_up: i64,
    /// Its street, by any number; jobs of one street share a set-up on a gang-day.
    pub street: Option<usize>,
    /// Each begun hour of its closure.
    pub closure_hour: i64,
    /// Hours of the day in which it costs more.
    pub busy: Vec<Hours>,
    /// How much more an hour of it costs in them.
    pub busy_hour: i64,
}

/// What a plan's costs are made of.
///
/// # Units
/// Whole pence.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Prices {
    /// An hour of a gang, from the shift's start to the end of unloading.
    pub crew_hour: i64,
    /// The extra for an hour past the shift.
    pub overtime_hour: i64,
    /// An hour of a vehicle on the road.
    pub travel_hour: i64,
    /// A gang-day begun.
    pub gang_day: i64,
    /// A job of an earlier plan with another gang or on another day.
    pub moved: i64,
    /// A job of an earlier plan at another time of its gang-day.
    pub retimed: i64,
    /// Up to so much earlier or later is no change.
    pub same_time: Seconds,
    /// Every job that could be planned.
    pub jobs: Vec<JobPrices>,
    /// Jobs whose closures should not be there at once, and what it costs if they are; none where they
    /// must not be, which costs four times what leaving both out does.
    pub clashes: Vec<(JobId, JobId, Option<i64>)>,
}
