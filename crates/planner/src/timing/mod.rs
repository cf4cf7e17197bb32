//! When everything in a gang-day happens, if its steps come in a given order.
//!
//! Two passes. Forwards, everything as early as it can be, which makes the day end as early as the
//! order allows. Backwards ([`Timing::settle`]), every task's last block stays where it is and what
//! comes before it moves as late as it can without moving it: closures get as short as they can for
//! these ends, and the gang leaves the depot no sooner than it must.

mod price;
mod settle;
mod simulate;

pub use price::whole_day;
pub(crate) use price::{by_begun_hour, by_hour, crew};
pub(crate) use simulate::bears;
pub use simulate::simulate;

use crate::rules::haul::{self, Call};
use crate::rules::{cure, driving, gap, locked, shake};
use crate::setting::{FOREVER, Setting};
use crate::{Block, GangDay};

/// One block of one task, in the order in which the gang does them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Step {
    /// Which task.
    pub task: u32,
    /// Which of its blocks.
    pub block: u32,
}

/// No turn before this one.
pub(crate) const NONE: u32 = u32::MAX;

/// The gang's turn at one block, with its times.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Turn {
    pub(crate) step: Step,
    pub(crate) node: u32,
    /// From the end of the turn before to being there: the drive, calls and the break on the way.
    pub(crate) leg: u32,
    /// Of that, driving, and what calls and the break take; any rest is waiting for a quicker hour.
    pub(crate) drive: u32,
    pub(crate) stay: u32,
    /// Of that, the break.
    pub(crate) pause: u32,
    /// Where the gang calls on the way.
    pub(crate) call: Call,
    /// The turn of the task's block before this one, or [`NONE`].
    pub(crate) prev: u32,
    /// Which window it is in, and that window.
    pub(crate) window: u32,
    pub(crate) open: u32,
    pub(crate) until: u32,
    /// No start before this, so that what follows is not too late after it.
    pub(crate) least: u32,
    /// No settled start after this; 0 where nothing is said.
    pub(crate) cap: u32,
    /// Earliest times.
    pub(crate) start: u32,
    pub(crate) finish: u32,
    /// Start after settling.
    pub(crate) settled: u32,
    /// The latest start that leaves what follows possible.
    pub(crate) latest: u32,
    /// The latest start that leaves the day's end where it is.
    pub(crate) float: u32,
}

/// A gang-day's times; a buffer that is used again and again.
#[derive(Clone, Debug, Default)]
pub(crate) struct Timing {
    pub(crate) turns: Vec<Turn>,
    /// All driving; once it is settled, at the settled times.
    pub(crate) travel: u32,
    /// Return to the depot: the drive and the break before it.
    pub(crate) home_leg: u32,
    pub(crate) home_drive: u32,
    pub(crate) home_pause: u32,
    pub(crate) back: u32,
    pub(crate) end: u32,
    pulls: usize,
    /// Of the gang-day.
    pub(crate) pace: u32,
    /// The gang-day, where the hour makes a difference; and whether the gang has to leave the depot
    /// as early as it can, since by later hours it would drive too much.
    day: GangDay,
    early: bool,
}

/// What comes after one turn of the forward pass.
enum Next {
    On,
    /// Its task has to go to a later window, or a turn has to be put off: from there again.
    Again(usize),
    Never,
}

impl Timing {
    /// The earliest times of these steps, if there are any that keep the rules; each task's blocks
    /// must be complete and in order.
    pub(crate) fn run(
        &mut self,
        setting: &Setting<'_>,
        day: &GangDay,
        steps: impl Iterator<Item = Step>,
    ) -> bool {
        self.pace = day.pace;
        if !setting.is_flat() {
            (self.day, self.early) = (*day, false);
        }
        self.turns.clear();
        self.turns.extend(steps.map(|step| Turn {
            step,
            node: setting.problem.tasks[step.task as usize].node,
            ..Turn::default()
        }));
        (self.home_pause, self.pulls) = (0, 0);
        (!setting.hauls || haul::plan_calls(setting, day, &mut self.turns))
            && self.run_from(setting, day, 0)
            && self.take_break(setting, day)
            && driving::keeps(day, self.travel)
            && (day.shake.is_none() || shake::keeps(day, self.shaken(setting)))
    }

    /// The same from one turn on, what comes before it being timed.
    pub(crate) fn run_from(&mut self, setting: &Setting<'_>, day: &GangDay, mut at: usize) -> bool {
        while at < self.turns.len() {
            match self.forward(setting, day, at) {
                Next::On => at += 1,
                Next::Again(first) => at = first,
                Next::Never => return false,
            }
        }
        self.go_home(setting, day)
    }

    fn shaken(&self, setting: &Setting<'_>) -> u64 {
        let begun = self.turns.iter().filter(|turn| turn.step.block == 0);
        begun
            .map(|turn| u64::from(setting.task(turn.step.task).shake))
            .sum()
    }

    fn forward(&mut self, setting: &Setting<'_>, day: &GangDay, at: usize) -> Next {
        let (from, left) = self.before(day, at);
        let mut turn = self.turns[at];
        let way = turn
            .call
            .way(setting, day, (from, turn.node), left + turn.pause);
        (turn.drive, turn.stay) = (way.drive, way.stay + turn.pause);
        turn.leg = way.arrive - left;
        let arrive = way.arrive.max(turn.least);
        let fixed = locked::start(setting, turn.step);
        if turn.step.block == 0 {
            turn.prev = NONE;
            if fixed.is_some() {
                (turn.open, turn.until, turn.start) = (0, u32::MAX, arrive);
            } else {
                let facts = setting.facts_at(turn.step.task, self.pace);
                let Some(window) = facts.window(turn.window, arrive) else {
                    return Next::Never;
                };
                (turn.window, turn.open, turn.until) = (window.index, window.open, window.until);
                turn.start = arrive.max(window.open);
            }
        } else {
            let prev = self.find(turn.step.task, at);
            let before = self.turns[prev];
            let ready = cure::of(setting, before.step, self.pace).ready(before.finish);
            (turn.prev, turn.open, turn.until) = (prev as u32, 0, before.until);
            turn.start = arrive.max(ready);
        }
        let curing = cure::of(setting, turn.step, self.pace);
        if let Some(start) = fixed {
            if turn.start > start || curing.start(start) > start {
                return Next::Never;
            }
            (turn.start, turn.open) = (start, start);
        }
        turn.start = curing.start(turn.start);
        let work = self.block(setting, turn.step).work;
        turn.finish = turn.start.saturating_add(work);
        self.turns[at] = turn;
        self.verdict(setting, day, at)
    }

    fn verdict(&mut self, setting: &Setting<'_>, day: &GangDay, at: usize) -> Next {
        let turn = self.turns[at];
        if turn.finish > day.latest.min(FOREVER) {
            return Next::Never;
        }
        if let Some((earlier, start)) = gap::pull(setting, &self.turns, at) {
            self.pulls += 1;
            if self.pulls > gap::PULLS * self.turns.len() {
                return Next::Never;
            }
            self.turns[earlier].least = start;
            return Next::Again(earlier);
        }
        if turn.finish <= turn.until || !setting.is_last(turn.step.task, turn.step.block) {
            return Next::On;
        }
        let first = self.first(at);
        self.turns[first].window += 1;
        Next::Again(first)
    }

    /// The block of a step at the day's pace.
    pub(crate) fn block(&self, setting: &Setting<'_>, step: Step) -> Block {
        setting.block(step.task, step.block, self.pace)
    }

    /// Where the gang comes from, and when it left there.
    fn before(&self, day: &GangDay, at: usize) -> (u32, u32) {
        match at.checked_sub(1) {
            Some(last) => (self.turns[last].node, self.turns[last].finish),
            None => (day.depot, day.start.saturating_add(day.load).min(FOREVER)),
        }
    }

    /// The task's turn last before this one.
    fn find(&self, task: u32, at: usize) -> usize {
        let earlier = self.turns[..at]
            .iter()
            .rposition(|turn| turn.step.task == task);
        earlier.expect("blocks come in order")
    }

    /// The first turn of this turn's task.
    pub(crate) fn first(&self, mut at: usize) -> usize {
        while self.turns[at].prev != NONE {
            at = self.turns[at].prev as usize;
        }
        at
    }

    fn go_home(&mut self, setting: &Setting<'_>, day: &GangDay) -> bool {
        let (from, left) = self.before(day, self.turns.len());
        (self.home_drive, self.back) = (0, left + self.home_pause);
        if !self.turns.is_empty() {
            let home = setting.drive(day, (from, day.depot), self.back);
            (self.home_drive, self.back) = (home.lasts, home.arrive);
        }
        self.home_leg = self.back - left;
        self.travel = self.turns.iter().map(|turn| turn.drive).sum::<u32>() + self.home_drive;
        self.end = self.back.saturating_add(day.unload);
        self.end <= day.latest.min(FOREVER)
    }
}
