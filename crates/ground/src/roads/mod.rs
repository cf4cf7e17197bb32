//! Travel by road: a network made ready, places brought to it, journeys, detours.
//!
//! A **run** is a link driven one way. What a vehicle may do next depends on the run it is on, for
//! turns over more than two links on what it drove before, and on whether it has left the open
//! roads for its destination; that is a **state**. All searches go from state to state, so
//! forbidden turns, turning round and roads for destinations only are exact and not afterthoughts.
//!
//! The rules, each stated once:
//! * Times are whole milliseconds, lengths whole millimetres. A journey is rounded once, when it
//!   enters a plan: [`journey_time`].
//! * Turning round at a junction: dead ends only. At a place where it stops, a gang may leave
//!   either way.
//! * A road for destinations only may begin a journey or end it, never be passed through.
//! * A place is brought to the nearest link that vehicles can come to and leave, within
//!   [`REACH_M`]; the way between the place and the road is not counted.
//! * Where a place is farther from any road, both its journeys are by the straight line with a
//!   detour factor ([`Straight`](crate::Straight)), and that is said.

mod bans;
mod climb;
mod component;
mod contract;
mod detour;
mod doors;
mod finger;
mod graph;
mod hierarchy;
mod journey;
mod kept;
mod line;
mod places;
mod runs;
mod search;
mod speeds;
mod states;
mod stops;
mod streets;
mod witness;

pub use detour::{CutOff, Detour, WayRound};
pub use doors::Doors;
use finger::Finger;
pub use graph::RoadGraph;
pub use hierarchy::Hierarchy;
pub use journey::{Journey, OnRoad, WHOLE_LINK};
pub use places::{REACH_M, RoadIndex, Snapped};
pub use runs::{Run, back_of, length_mm, link_of, time_ms};
pub use speeds::{ONE, Speeds, shipped_roads};
pub use stops::{NO_WAY, Stops};
pub use streets::{JOIN_M, network_of_streets};

use gangday_model::Seconds;

/// How a journey was reckoned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Travelled {
    /// Over the roads.
    Road,
    /// By the straight line with a detour factor, since an end is far from any road.
    Straight,
}

/// How long a journey takes in a plan: its time by road, times the factors of the gang's vehicle
/// and of the hour, up to the next whole minute.
///
/// This is the one place where times by road are rounded; the search and the checker both count by
/// it.
///
/// # Units
/// `ms` whole milliseconds; `factor` in parts of [`ONE`].
///
/// ```
/// use gangday_ground::roads::journey_time;
/// use gangday_model::Seconds;
/// // 4 min 30 s by road, a lorry that takes a fifth longer: 5 min 24 s, so 6 minutes.
/// assert_eq!(journey_time(270_000, 1_200), Seconds::from_minutes(6));
/// ```
#[must_use]
pub fn journey_time(ms: u32, factor: u32) -> Seconds {
    let ms = (u64::from(ms) * u64::from(factor)).div_ceil(u64::from(ONE));
    let seconds = i64::try_from(ms.div_ceil(1_000)).unwrap_or(i64::MAX);
    Seconds::from_seconds(seconds).up_to_minute()
}
