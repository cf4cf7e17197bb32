//! What the search answers.

use crate::Step;

/// A planned week in the problem's own numbers: every task is in one day, in two with nights between where
/// it may be left over them, or in `left_out`.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Solution {
    /// Gang-days with work in them, in the problem's order.
    pub days: Vec<DaySolution>,
    /// Tasks in no day, in order.
    pub left_out: Vec<u32>,
    /// What it costs, by part.
    pub costs: CostParts,
}

/// One gang-day with work in it.
///
/// # Units
/// Seconds from the day's midnight.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DaySolution {
    /// Which of `Problem::gang_days`.
    pub gang_day: u32,
    /// When the gang leaves the depot, loaded.
    pub depart: u32,
    /// What it does, in order of time.
    pub steps: Vec<StepTime>,
    /// Tips, reloads and the break, in order of time.
    pub halts: Vec<Halt>,
    /// When it is back at the depot.
    pub back: u32,
    /// When it has unloaded.
    pub end: u32,
    /// What the day costs, by part; nothing is left out in it.
    pub costs: CostParts,
}

/// One block of one task, with its times.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StepTime {
    /// Which task.
    pub task: u32,
    /// Which of its blocks.
    pub block: u32,
    /// When the gang is on the spot.
    pub arrive: u32,
    /// When work starts.
    pub start: u32,
    /// When work ends.
    pub finish: u32,
}

impl StepTime {
    /// The step without its times.
    #[must_use]
    pub fn step(&self) -> Step {
        Step {
            task: self.task,
            block: self.block,
        }
    }
}

/// Why the gang halts between two steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HaltKind {
    /// It tips spoil at this node.
    Tip(u32),
    /// It tips spoil at its depot and loads for what comes.
    Reload,
    /// It has its break, where it is.
    Break,
}

/// Something between two steps that takes time.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Halt {
    /// Before which of the day's steps; as many as there are steps means before the drive home.
    pub before: u32,
    /// What for.
    pub kind: HaltKind,
    /// From when.
    pub from: u32,
    /// Until when.
    pub until: u32,
}

/// What a plan or one day of it costs, by part.
///
/// # Units
/// Whole pence; a part of an hour is charged to the nearest penny per gang-day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CostParts {
    /// Crews within their shifts.
    pub crew: i64,
    /// Crews past their shifts, the extra included.
    pub overtime: i64,
    /// Vehicles on the road.
    pub travel: i64,
    /// Traffic management set out, once per street and gang-day.
    pub set_ups: i64,
    /// Begun hours of closures.
    pub closure: i64,
    /// Gang-days begun.
    pub gang_days: i64,
    /// Nights over which works are left.
    pub nights: i64,
    /// Kept tasks that another gang-day does, or at another time.
    pub changes: i64,
    /// Closures that are there at once and should not be.
    pub clashes: i64,
    /// Tasks left out.
    pub left_out: i64,
}

impl CostParts {
    /// All of it.
    #[must_use]
    pub fn total(&self) -> i64 {
        self.crew
            + self.overtime
            + self.travel
            + self.set_ups
            + self.closure
            + self.gang_days
            + self.nights
            + self.changes
            + self.clashes
            + self.left_out
    }

    /// Takes another's parts from these.
    pub const fn take(&mut self, other: &Self) {
        self.crew -= other.crew;
        self.overtime -= other.overtime;
        self.travel -= other.travel;
        self.set_ups -= other.set_ups;
        self.closure -= other.closure;
        self.gang_days -= other.gang_days;
        self.nights -= other.nights;
        self.changes -= other.changes;
        self.clashes -= other.clashes;
        self.left_out -= other.left_out;
    }

    /// Adds another's parts to these.
    pub const fn add(&mut self, other: &Self) {
        self.crew += other.crew;
        self.overtime += other.overtime;
        self.travel += other.travel;
        self.set_ups += other.set_ups;
        self.closure += other.closure;
        self.gang_days += other.gang_days;
        self.nights += other.nights;
        self.changes += other.changes;
        self.clashes += other.clashes;
        self.left_out += other.left_out;
    }
}
