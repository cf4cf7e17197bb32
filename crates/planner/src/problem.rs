//! The plain integer problem that the search works on; `app` builds it from a programme.
//!
//! # Units
//! Times are seconds, those of a day counted from its midnight; money is pence; places are nodes.

use std::fmt::Debug;
use std::sync::Arc;

use gangday_model::CureTimes;

use crate::Nights;

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
    /// For each `GangDay::vehicle`, how a journey that begins in each hour of the day is made: 0 by
    /// `travel`, else by one of `other_travel`, counted from 1. Empty where the hour makes no
    /// difference.
    ///
    /// A gang that would be there sooner if it left at a later full hour waits for that: so whoever
    /// leaves first is there first.
    pub hours: Vec<[u32; 24]>,
    /// For each task, others near it, nearest first.
    pub near: Vec<Vec<u32>>,
    /// What things cost.
    pub rates: Rates,
    /// Where spoil goes and how long that takes.
    pub hauling: Hauling,
    /// Pairs of tasks whose closures should not be there at once.
    pub clashes: Vec<Clash>,
    /// The first day on which somebody works and that is not past; nobody works on the days between the last past
    /// one and this.
    pub from: u32,
    /// Steps of gang-days that the search begins with where they can still be done.
    pub begin: Vec<Begin>,
    /// When what is placed is ready on days whose temperature differs by the hour; see `Task::placed`.
    pub cures: Vec<CureTimes>,
}

impl Problem {
    /// How the vehicle of a gang-day gets about if it leaves then; as the usual one does where it
    /// has no table.
    ///
    /// # Units
    /// `left` in seconds from the day's midnight.
    #[must_use]
    pub fn travel_of(&self, day: &GangDay, left: u32) -> &Travel {
        let hours = self.hours.get(day.vehicle as usize);
        let by_hour = hours.map(|hours| hours[left as usize / 3_600 % 24]);
        self.travel_by(by_hour.unwrap_or(day.vehicle))
    }

    /// 0 is `travel`, others count from 1.
    pub(crate) fn travel_by(&self, table: u32) -> &Travel {
        let other = table.checked_sub(1).map(|at| at as usize);
        let other = other.and_then(|at| self.other_travel.get(at));
        other.unwrap_or(&self.travel)
    }
}

/// One job as a chain of blocks on one spot, all served by one gang on one day, but for nights over which
/// it may be left.
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
    /// Times of day in which its closure costs more, none of which meet.
    pub busy: Vec<(u32, u32)>,
    /// What an hour of its closure within them costs more.
    pub busy_hour: i64,
    /// What setting out its traffic management costs.
    pub set_up: i64,
    /// What it weighs on the vehicle from depot to depot, in the unit of `GangDay::payload`: for
    /// routing problems; what is set down and taken on is `out` and `back`.
    pub weight: u32,
    /// What is loaded for it and set down at its first visit.
    pub out: Load,
    /// What is taken on at its first visit, to the tip or back to the depot.
    pub back: Load,
    /// Its vibration for a gang-day, in the unit of `GangDay::shake`.
    pub shake: u32,
    /// For each block, the most time from its end to the start of the next; empty means any.
    pub most: Vec<Option<u32>>,
    /// Visits that stay where they are.
    pub locked: Option<Locked>,
    /// Where an earlier plan has it.
    pub kept: Option<Kept>,
    /// The same blocks as other gangs do them, or on a warmer day: one chain for each
    /// `GangDay::pace` from 1 on, each with as many blocks as `blocks`.
    pub paces: Vec<Vec<Block>>,
    /// For each pace from 0 on, and each block, what it places at its end where that cures by
    /// `Problem::cures`; its `Block::wait` is then the shortest of the day. Empty means none.
    pub placed: Vec<Vec<Option<Placed>>>,
    /// Over which nights its works may be left; none where they may not.
    pub nights: Option<Nights>,
    /// Whether its works stand open from before the first day, as they were left; what is here is the rest of them.
    pub open: bool,
}

impl Task {
    /// Its blocks at this pace; where none are stated for it, the usual ones.
    #[must_use]
    pub fn blocks_at(&self, pace: u32) -> &[Block] {
        let own = (pace as usize).checked_sub(1);
        own.and_then(|at| self.paces.get(at))
            .filter(|blocks| blocks.len() == self.blocks.len())
            .unwrap_or(&self.blocks)
    }
}

/// What a vehicle bears at once, or a part of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Load {
    /// Kilograms.
    pub kg: u32,
    /// Litres, loose.
    pub litres: u32,
}

/// Visits that stay at their times.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Locked {
    /// The gang.
    pub gang: u32,
    /// The day.
    pub day: u32,
    /// When each block starts; none where only the gang-day stays.
    pub starts: Vec<Option<u32>>,
}

/// Where an earlier plan has a task; another gang-day or time is a change, which has a price.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// The gang.
    pub gang: u32,
    /// The day.
    pub day: u32,
    /// When its first block starts.
    pub start: u32,
}

/// Two tasks whose closures should not be there at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Clash {
    /// One.
    pub one: u32,
    /// The other.
    pub other: u32,
    /// What it costs if they are; none means that they must not be.
    pub price: Option<i64>,
}

/// Where spoil goes, and how long it takes there.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Hauling {
    /// Tips; the gang's own depot takes spoil too.
    pub tips: Vec<u32>,
    /// How long tipping takes.
    pub tip: u32,
    /// How long loading anew at the depot takes, tipping included.
    pub reload: u32,
}

/// Steps of one gang-day to begin with.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Begin {
    /// Which of `Problem::gang_days`.
    pub gang_day: u32,
    /// Task and block, in order.
    pub steps: Vec<(u32, u32)>,
}

/// What a block places at its end, and cures along the day's temperatures.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Placed {
    /// Which of `Problem::cures`.
    pub cure: u32,
    /// For so long before the block's end it is being placed.
    pub placing: u32,
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
    /// The most that its vehicle bears at once, kg where tasks have loads; none means no limit.
    pub payload: Option<u32>,
    /// The most that its body holds at once, litres; none means no limit.
    pub body: Option<u32>,
    /// A day longer than this, loading and unloading included, has a break.
    pub break_after: u32,
    /// How long the break lasts; 0 means none.
    pub break_lasts: u32,
    /// The most driving; none means no limit.
    pub driving: Option<u32>,
    /// The most vibration of all its tasks together; none means no limit.
    pub shake: Option<u32>,
    /// At what pace it works: 0 for `Task::blocks`, else the one of `Task::paces` counted from 1.
    pub pace: u32,
    /// How it gets about: where `Problem::hours` has a row for it, by that; else 0 by
    /// `Problem::travel`, others by one of `Problem::other_travel`.
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
    /// A night over which a task's works are left: somebody looks after guards, signs and lamps.
    pub night: i64,
    /// A kept task that another gang or another day does.
    pub moved: i64,
    /// A kept task that begins more than `at_same_time` earlier or later on its own gang-day.
    pub retimed: i64,
    /// Up to so much earlier or later is no change.
    pub at_same_time: u32,
}
