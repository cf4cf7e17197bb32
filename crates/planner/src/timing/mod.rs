//! When everything in a gang-day happens, if its steps come in a given order.
//!
//! Two passes. Forwards, everything as early as it can be, which makes the day end as early as the
//! order allows. Backwards ([`Timing::settle`]), every task's last block stays where it is and what
//! comes before it moves as late as it can without moving it: closures get as short as they can for
//! these ends, and the gang leaves the depot no sooner than it must.

mod price;
mod settle;
mod simulate;

pub(crate) use price::{by_begun_hour, by_hour, crew};
pub(crate) use simulate::bears;
pub use simulate::simulate;

use crate::GangDay;
use crate::setting::{FOREVER, Setting};

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
    /// Travel to it.
    pub(crate) leg: u32,
    /// The turn of the task's block before this one, or [`NONE`].
    pub(crate) prev: u32,
    /// Which window it is in, and that window.
    pub(crate) window: u32,
    pub(crate) open: u32,
    pub(crate) until: u32,
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
    /// All travel.
    pub(crate) travel: u32,
    /// Travel from the last turn to the depot.
    pub(crate) home_leg: u32,
    pub(crate) back: u32,
    pub(crate) end: u32,
}

/// What comes after one turn of the forward pass.
enum Next {
    On,
    /// Its task has to go to a later window: from its first turn again.
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
        self.turns.clear();
        self.turns.extend(steps.map(|step| Turn {
            step,
            node: setting.problem.tasks[step.task as usize].node,
            ..Turn::default()
        }));
        let mut at = 0;
        while at < self.turns.len() {
            match self.forward(setting, day, at) {
                Next::On => at += 1,
                Next::Again(first) => at = first,
                Next::Never => return false,
            }
        }
        self.go_home(setting, day)
    }

    fn forward(&mut self, setting: &Setting<'_>, day: &GangDay, at: usize) -> Next {
        let (from, left) = self.before(day, at);
        let mut turn = self.turns[at];
        turn.leg = setting.travel(day, from, turn.node);
        let arrive = left + turn.leg;
        if turn.step.block == 0 {
            turn.prev = NONE;
            let Some(window) = setting.facts(turn.step.task).window(turn.window, arrive) else {
                return Next::Never;
            };
            (turn.window, turn.open, turn.until) = (window.index, window.open, window.until);
            turn.start = arrive.max(window.open);
        } else {
            let prev = self.find(turn.step.task, at);
            let before = self.turns[prev];
            let wait = setting.block(before.step.task, before.step.block).wait;
            (turn.prev, turn.open, turn.until) = (prev as u32, 0, before.until);
            turn.start = arrive.max(before.finish.saturating_add(wait));
        }
        turn.finish = turn
            .start
            .saturating_add(setting.block(turn.step.task, turn.step.block).work);
        self.turns[at] = turn;
        self.verdict(setting, day, at)
    }

    fn verdict(&mut self, setting: &Setting<'_>, day: &GangDay, at: usize) -> Next {
        let turn = self.turns[at];
        if turn.finish > day.latest.min(FOREVER) {
            return Next::Never;
        }
        if turn.finish <= turn.until || !setting.is_last(turn.step.task, turn.step.block) {
            return Next::On;
        }
        let first = self.first(at);
        self.turns[first].window += 1;
        Next::Again(first)
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
        self.home_leg = if self.turns.is_empty() {
            0
        } else {
            setting.travel(day, from, day.depot)
        };
        self.travel = self.turns.iter().map(|turn| turn.leg).sum::<u32>() + self.home_leg;
        self.back = left + self.home_leg;
        self.end = self.back.saturating_add(day.unload);
        self.end <= day.latest.min(FOREVER)
    }
}
