//! The plain integer problem that the search works on; `app` builds it from a programme.
//!
//! # Units
//! Times are seconds, those of a day counted from its midnight; money is pence; places are nodes.

use std::fmt::Debug;
use std::sync::Arc;

/// Everything the search knows.
#[derive(Clone, Debug, Default)]
pub struct Problem {
    /// The jobs.
    pub tasks: Vec<Task>,
    /// Every gang on every day it works.
    pub gang_days: Vec<GangDay>,
    /// How long it takes from node to node.
    pub travel: Travel,
    /// The same for other vehicles, counted from 1 by `GangDay::vehicle`.
    pub other_travel: Vec<Travel>,
    /// For each task, others near it, nearest first.
    pub near: Vec<Vec<u32>>,
    /// What things cost.
    pub rates: Rates,
}

impl Problem {
    /// How the vehicle of a gang-day gets about; as the usual one does where it has no table.
    #[must_use]
    pub fn travel_of(&self, day: &GangDay) -> &Travel {
        let other = day.vehicle.checked_sub(1).map(|at| at as usize);
        let other = other.and_then(|at| self.other_travel.get(at));
        other.unwrap_or(&self.travel)
    }
}

/// One job as a chain of blocks on one spot, all served by one gang on one day.
#[derive(Clone, Debug, Default)]
pub struct Task {
    /// Where it is.
    pub node: u32,
    /// Its blocks, in order.
    pub blocks: Vec<Block>,
    /// Whether each day, by `GangDay::day`, is allowed by the job's own dates; empty means any day,
    /// a day past its end is not allowed.
    pub days: Vec<bool>,
    /// Everything from first start to last end lies within one of these; empty means any time.
    pub windows: Vec<(u32, u32)>,
    /// Tickets needed, a bit each.
    pub tickets: u64,
    /// What leaving it out costs.
    pub left_out: i64,
    /// Tasks of the same street share one traffic-management set-up on one gang-day.
    pub street: Option<u32>,
    /// What each begun hour of its closure costs.
    pub closure_hour: i64,
    /// What setting out its traffic management costs.
    pub set_up: i64,
    /// What it weighs on the vehicle, in the unit of `GangDay::payload`.
    pub weight: u32,
}

/// A stretch of work that is done in one go, and the wait after it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Block {
    /// How long the gang works.
    pub work: u32,
    /// The least time from its end to the start of the next block; 0 after the last.
    pub wait: u32,
}

/// One gang on one day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct GangDay {
    /// Which gang.
    pub gang: u32,
    /// Which day.
    pub day: u32,
    /// Where it starts and ends.
    pub depot: u32,
    /// Shift starts.
    pub start: u32,
    /// Shift ends.
    pub end: u32,
    /// The latest that it may be done, overtime used up.
    pub latest: u32,
    /// Loading, between the shift's start and leaving.
    pub load: u32,
    /// Unloading, after return.
    pub unload: u32,
    /// Tickets held, a bit each.
    pub tickets: u64,
    /// The most that its tasks may weigh together; none means no limit.
    pub payload: Option<u32>,
    /// How it gets about: 0 by `Problem::travel`, else by one of `Problem::other_travel`.
    pub vehicle: u32,
}

/// Travel times between nodes.
#[derive(Clone, Debug)]
pub enum Travel {
    /// Straight distance times a detour factor at a speed, up to the whole minute.
    Plane {
        /// Places, in whole decimetres east and north.
        places: Vec<(i64, i64)>,
        /// Seconds for 1,000 km of straight distance, detour and speed in it.
        seconds_per_1000_km: i64,
    },
    /// A square table, row by row.
    Matrix {
        /// How many nodes.
        nodes: u32,
        /// Seconds from row to column.
        seconds: Vec<u32>,
    },
    /// Asked one by one, where a table of all would not fit.
    Asked(Arc<dyn Journeys>),
}

/// Journeys that somebody else works out; the same question must always get the same answer.
pub trait Journeys: Debug + Send + Sync {
    /// How long from one node to another.
    fn seconds(&self, from: u32, to: u32) -> u32;
}

impl Default for Travel {
    fn default() -> Self {
        Self::Matrix {
            nodes: 0,
            seconds: Vec::new(),
        }
    }
}

impl Travel {
    /// How long from one node to another.
    #[must_use]
    pub fn seconds(&self, from: u32, to: u32) -> u32 {
        match self {
            Self::Plane {
                places,
                seconds_per_1000_km,
            } => plane_seconds(
                places[from as usize],
                places[to as usize],
                *seconds_per_1000_km,
            ),
            Self::Matrix { nodes, seconds } => {
                seconds[from as usize * *nodes as usize + to as usize]
            }
            Self::Asked(journeys) => journeys.seconds(from, to),
        }
    }
}

/// Seconds between two places, up to the whole minute; nothing where they are the same.
fn plane_seconds(from: (i64, i64), to: (i64, i64), seconds_per_1000_km: i64) -> u32 {
    let (east, north) = (to.0 - from.0, to.1 - from.1);
    let square = east * east + north * north;
    let whole = square.isqrt();
    let decimetres = whole + i64::from(whole * whole < square);
    let seconds = (decimetres * seconds_per_1000_km).div_ceil_by(10_000_000);
    u32::try_from(seconds.div_ceil_by(60) * 60).unwrap_or(u32::MAX)
}

/// Division rounded up, for numbers that are not negative.
trait DivCeil {
    fn div_ceil_by(self, by: Self) -> Self;
}

impl DivCeil for i64 {
    fn div_ceil_by(self, by: Self) -> Self {
        (self + by - 1) / by
    }
}

/// What things cost.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Rates {
    /// An hour of a gang, from the shift's start to the end of unloading, overtime included.
    pub crew_hour: i64,
    /// The extra for an hour past the shift, on top of `crew_hour`.
    pub overtime_hour: i64,
    /// An hour of a vehicle on the road.
    pub travel_hour: i64,
    /// A gang-day begun.
    pub gang_day: i64,
}
