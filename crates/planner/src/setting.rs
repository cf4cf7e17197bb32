//! The problem with what is worked out from it once, before the search.

use crate::parts::Parts;
use crate::rules::{bonds, haul, locked, shake};
use crate::timing::{Step, whole_day};
use crate::{Block, GangDay, Problem, Task, Travel};

/// Longer than any day: times are cut here so that sums can't run over.
pub(crate) const FOREVER: u32 = 100_000_000;

/// From midnight to midnight.
pub(crate) const DAY: u32 = 24 * 3_600;

/// Up to so many travel times are kept in tables, one for each sort of vehicle: 3,000 nodes for one.
const TABLE_TIMES: usize = 9_000_000;

/// What is worked out from one task.
#[derive(Clone, Debug, Default)]
pub(crate) struct Facts {
    /// From first start to last end if nobody is ever late.
    pub(crate) shortest: u32,
    /// The gang's own work.
    pub(crate) work: u32,
    /// For each block, the least time from its start to the chain's end.
    pub(crate) tail: Vec<u32>,
    /// Windows in order of opening.
    pub(crate) windows: Vec<(u32, u32)>,
    /// Whether there is anything to plan, and it ends some day.
    pub(crate) sound: bool,
}

impl Facts {
    fn of(task: &Task, blocks: &[Block]) -> Self {
        let mut tail = vec![0; blocks.len()];
        let mut later = 0_u32;
        for (at, block) in blocks.iter().enumerate().rev() {
            let wait = if at + 1 == blocks.len() {
                0
            } else {
                block.wait
            };
            later = later.saturating_add(wait).saturating_add(block.work);
            tail[at] = later;
        }
        let mut windows = task.windows.clone();
        windows.sort_unstable();
        Self {
            shortest: later,
            work: blocks
                .iter()
                .fold(0, |sum: u32, block| sum.saturating_add(block.work)),
            tail,
            windows,
            sound: !blocks.is_empty() && later < FOREVER,
        }
    }

    /// The first window, from the `from`-th on, that holds the whole task if it starts at `arrive`
    /// or when the window opens.
    pub(crate) fn window(&self, from: u32, arrive: u32) -> Option<Window> {
        if self.windows.is_empty() {
            return (from == 0).then_some(Window {
                index: 0,
                open: 0,
                until: u32::MAX,
            });
        }
        let fits = |open: u32, until: u32| arrive.max(open).saturating_add(self.shortest) <= until;
        let later = self.windows.iter().enumerate().skip(from as usize);
        later
            .filter(|&(_, &(open, until))| fits(open, until))
            .map(|(index, &(open, until))| Window {
                index: index as u32,
                open,
                until,
            })
            .next()
    }
}

/// What leaving works over nights costs, but for what each gang-day's own closure does.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Night {
    /// The nights.
    pub(crate) price: i64,
    /// The closure on days between on which nobody works there.
    pub(crate) closure: i64,
}

impl Night {
    pub(crate) fn total(self) -> i64 {
        self.price + self.closure
    }
}

/// One of a task's windows.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Window {
    pub(crate) index: u32,
    pub(crate) open: u32,
    pub(crate) until: u32,
}

/// The problem and its facts.
pub(crate) struct Setting<'a> {
    pub(crate) problem: &'a Problem,
    /// At the usual pace.
    pub(crate) facts: Vec<Facts>,
    /// Whether loads matter, whether an earlier plan does, and each task's clashes if there are any.
    pub(crate) hauls: bool,
    pub(crate) keeps: bool,
    /// Whether any closure costs more at some times.
    pub(crate) busy: bool,
    pub(crate) bonds: Vec<bonds::Bonds>,
    /// Which tasks are parts of others, left over a night.
    pub(crate) parts: Parts,
    /// At the others, where a task has any.
    paced: Vec<Vec<Facts>>,
    /// One for each sort of vehicle, or none at all.
    tables: Vec<Table>,
    /// Whether a journey takes as long at any hour; and where it does not.
    flat: bool,
    by_hour: ByHour,
}

struct Table {
    nodes: usize,
    seconds: Vec<u32>,
}

impl<'a> Setting<'a> {
    /// For a few questions: no table of travel times.
    pub(crate) fn light(problem: &'a Problem) -> Self {
        let usual = |task: &Task| Facts::of(task, &task.blocks);
        let others = |task: &Task| {
            let paces = 1..=task.paces.len() as u32;
            paces
                .map(|pace| Facts::of(task, task.blocks_at(pace)))
                .collect()
        };
        let loaded = |task: &Task| !task.out.is_nothing() || !task.back.is_nothing();
        let limited = |day: &GangDay| day.payload.is_some() || day.body.is_some();
        Self {
            problem,
            facts: problem.tasks.iter().map(usual).collect(),
            paced: problem.tasks.iter().map(others).collect(),
            hauls: problem.tasks.iter().any(loaded) && problem.gang_days.iter().any(limited),
            busy: problem.tasks.iter().any(|task| task.busy_hour != 0),
            keeps: problem.tasks.iter().any(|task| task.kept.is_some()),
            bonds: bonds::of(problem),
            parts: Parts::none(problem.tasks.len()),
            tables: Vec::new(),
            flat: problem.hours.is_empty(),
            by_hour: ByHour::of(problem),
        }
    }

    /// For a search.
    pub(crate) fn full(problem: &'a Problem) -> Self {
        let mut setting = Self::light(problem);
        setting.tables = Table::all(problem);
        setting
    }

    /// Of a problem whose tasks were taken apart so.
    pub(crate) fn apart(mut self, parts: &Parts) -> Self {
        self.parts = parts.clone();
        self
    }

    /// The whole tasks.
    pub(crate) fn wholes(&self) -> std::ops::Range<u32> {
        0..self.parts.wholes()
    }

    /// What leaving the whole task out costs that this one is, or is a part of.
    pub(crate) fn left_out(&self, task: u32) -> i64 {
        self.task(self.parts.whole(task)).left_out
    }

    /// What leaving a task over the nights between two days costs, cut so; none where it may not be.
    pub(crate) fn night(&self, first: u32, days: (u32, u32)) -> Option<Night> {
        self.parts
            .may(first, days)
            .then(|| self.night_price(first, days))
    }

    /// The same whether it may be or not.
    pub(crate) fn night_price(&self, first: u32, (left, next): (u32, u32)) -> Night {
        let nights = i64::from(next.saturating_sub(left));
        Night {
            price: nights * self.problem.rates.night,
            closure: (nights - 1).max(0) * self.day_closure(first),
        }
    }

    /// What the task's closure costs on a whole day.
    pub(crate) fn day_closure(&self, task: u32) -> i64 {
        let task = self.task(task);
        whole_day(task.closure_hour, task.busy_hour, &task.busy)
    }

    /// From when to when the task's closure is there on the day that it begins and ends so.
    pub(crate) fn stands(&self, task: u32, from: u32, until: u32) -> (u32, u32) {
        let (from, until) = self.parts.stands(task, from, until);
        (if self.task(task).open { 0 } else { from }, until)
    }

    pub(crate) fn task(&self, task: u32) -> &'a Task {
        &self.problem.tasks[task as usize]
    }

    /// What is worked out from a task at the usual pace.
    pub(crate) fn facts(&self, task: u32) -> &Facts {
        &self.facts[task as usize]
    }

    /// The same for a gang-day of this pace.
    pub(crate) fn facts_at(&self, task: u32, pace: u32) -> &Facts {
        let own = (pace as usize).checked_sub(1);
        own.and_then(|at| self.paced[task as usize].get(at))
            .unwrap_or(&self.facts[task as usize])
    }

    pub(crate) fn block(&self, task: u32, block: u32, pace: u32) -> Block {
        self.problem.tasks[task as usize].blocks_at(pace)[block as usize]
    }

    /// The most time from the step's end to the start of its task's next.
    pub(crate) fn most(&self, step: Step) -> Option<u32> {
        let most = &self.task(step.task).most;
        most.get(step.block as usize).copied().flatten()
    }

    /// The task's clashes.
    pub(crate) fn bonds(&self, task: u32) -> &[(u32, i64)] {
        self.bonds.get(task as usize).map_or(&[], |own| own)
    }

    pub(crate) fn is_last(&self, task: u32, block: u32) -> bool {
        block as usize + 1 == self.problem.tasks[task as usize].blocks.len()
    }

    /// How long it takes from node to node by the quickest vehicle that any gang-day has, at the
    /// quickest hour that any has it.
    pub(crate) fn least_travel(&self, from: u32, to: u32) -> u32 {
        if !self.is_flat() {
            return self.least_of(&self.by_hour.used, from, to);
        }
        let vehicles = std::iter::once(&self.problem.travel).chain(&self.problem.other_travel);
        let least = vehicles.map(|travel| travel.seconds(from, to)).min();
        least.map_or(FOREVER, |seconds| seconds.min(FOREVER))
    }

    /// How long this gang-day's vehicle takes from node to node, at its quickest hour; cut at
    /// [`FOREVER`].
    pub(crate) fn travel(&self, day: &GangDay, from: u32, to: u32) -> u32 {
        if !self.is_flat() {
            let own = self.by_hour.of_vehicle.get(day.vehicle as usize);
            return self.least_of(own.map_or(&[day.vehicle], |own| own), from, to);
        }
        self.travel_by(day.vehicle, from, to)
    }

    /// Whether a journey takes as long at any hour.
    #[inline]
    pub(crate) fn is_flat(&self) -> bool {
        self.flat
    }

    /// How long one that begins in this hour takes.
    pub(crate) fn travel_in(&self, vehicle: u32, hour: u32, from: u32, to: u32) -> u32 {
        let hours = self.problem.hours.get(vehicle as usize);
        let table = hours.map_or(vehicle, |hours| hours[hour as usize % 24]);
        self.travel_by(table, from, to)
    }

    /// How long it takes by one of the tables.
    #[inline]
    pub(crate) fn travel_by(&self, table: u32, from: u32, to: u32) -> u32 {
        match self.tables.get(table as usize) {
            Some(table) => table.seconds[from as usize * table.nodes + to as usize],
            None => self.problem.travel_by(table).seconds(from, to).min(FOREVER),
        }
    }

    fn least_of(&self, tables: &[u32], from: u32, to: u32) -> u32 {
        let times = tables.iter().map(|&table| self.travel_by(table, from, to));
        times.min().unwrap_or(FOREVER)
    }

    /// Whether the gang of this day may do the task at all: tickets, dates, and something to do.
    pub(crate) fn may(&self, task: u32, day: &GangDay) -> bool {
        let stated = self.task(task);
        self.facts_at(task, day.pace).sound
            && stated.tickets & !day.tickets == 0
            && locked::may(stated, day)
            && haul::bears(day, stated.out)
            && haul::bears(day, stated.back)
            && shake::keeps(day, u64::from(stated.shake))
            && (stated.days.is_empty()
                || stated.days.get(day.day as usize).copied().unwrap_or(false))
    }
}

/// Which tables of travel times are those of some hour; all empty where no hour differs.
#[derive(Debug, Default)]
struct ByHour {
    /// For each vehicle, those of any hour.
    of_vehicle: Vec<Vec<u32>>,
    /// Those of any hour of any gang-day.
    used: Vec<u32>,
}

impl ByHour {
    fn of(problem: &Problem) -> Self {
        if problem.hours.is_empty() {
            return Self::default();
        }
        let distinct = |mut tables: Vec<u32>| {
            tables.sort_unstable();
            tables.dedup();
            tables
        };
        let used = problem.gang_days.iter().flat_map(|day| {
            let (first, last) = (day.start / 3_600, day.latest / 3_600);
            let hours = first..=last.min(first.saturating_add(23));
            let own = problem.hours.get(day.vehicle as usize);
            hours.map(move |hour| own.map_or(day.vehicle, |own| own[hour as usize % 24]))
        });
        Self {
            used: distinct(used.collect()),
            of_vehicle: problem
                .hours
                .iter()
                .map(|hours| distinct(hours.to_vec()))
                .collect(),
        }
    }
}

impl Table {
    /// The tables of all vehicles; none where they would be too large together.
    fn all(problem: &Problem) -> Vec<Self> {
        let nodes = problem.tasks.iter().map(|task| task.node);
        let depots = problem.gang_days.iter().map(|day| day.depot);
        let tips = problem.hauling.tips.iter().copied();
        let nodes = nodes.chain(depots).chain(tips).max();
        let nodes = nodes.map_or(0, |last| last as usize + 1);
        let times = nodes.saturating_mul(nodes);
        if times.saturating_mul(problem.other_travel.len() + 1) > TABLE_TIMES {
            return Vec::new();
        }
        let vehicles = std::iter::once(&problem.travel).chain(&problem.other_travel);
        vehicles.map(|travel| Self::of(travel, nodes)).collect()
    }

    fn of(travel: &Travel, nodes: usize) -> Self {
        let mut seconds = Vec::with_capacity(nodes * nodes);
        for from in 0..nodes as u32 {
            seconds.extend((0..nodes as u32).map(|to| travel.seconds(from, to).min(FOREVER)));
        }
        Self { nodes, seconds }
    }
}
