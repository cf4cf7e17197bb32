//! Clashes: pairs of closures that should not be there at once, on whichever gang-days they are.
//!
//! Hard where no price is stated, and then dearer than leaving both out; else it costs its price.

use smallvec::SmallVec;

use crate::setting::Setting;
use crate::timing::Timing;
use crate::{Problem, StepTime};

/// The others that one task clashes with, and what it costs.
pub(crate) type Bonds = SmallVec<[(u32, i64); 2]>;

/// From when to when a closure is there, on which day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Closed {
    pub(crate) day: u32,
    pub(crate) from: u32,
    pub(crate) until: u32,
    pub(crate) how: How,
}

/// How a closure is there beside the times of its day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum How {
    /// On that day only, or from it on over the night.
    #[default]
    Then,
    /// On all days before as well.
    Before,
    /// As it was left the day before.
    Left,
}

impl Closed {
    /// When the closure of this task is there that is worked at from one time of a day to another.
    fn of(setting: &Setting<'_>, task: u32, day: u32, (from, until): (u32, u32)) -> Self {
        let (from, until) = setting.stands(task, from, until);
        let how = match setting.parts.both(task) {
            _ if setting.task(task).open => How::Before,
            Some((_, [_, rest])) if rest == task => How::Left,
            _ => How::Then,
        };
        Self {
            day,
            from,
            until,
            how,
        }
    }

    /// Whether both are there at once and a plan can do something about it: of two that stand from before the first
    /// day none can. What meets a closure that was left, and was left itself or stands from before, meets the
    /// part before the night too: that counts once.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        let at_once = self.from < other.until && other.from < self.until;
        match (self.how, other.how) {
            (How::Before, How::Before | How::Left) | (How::Left, How::Before | How::Left) => false,
            _ if self.day == other.day => at_once,
            (How::Before, How::Then) => other.day < self.day,
            (How::Then, How::Before) => self.day < other.day,
            _ => false,
        }
    }
}

/// Each task's clashes; nothing at all where there are none.
pub(crate) fn of(problem: &Problem) -> Vec<Bonds> {
    if problem.clashes.is_empty() {
        return Vec::new();
    }
    let mut bonds = vec![Bonds::new(); problem.tasks.len()];
    for clash in &problem.clashes {
        let both = [clash.one, clash.other].map(|task| problem.tasks[task as usize].left_out);
        let never = 4 * (both[0] + both[1]).max(1);
        let price = clash.price.unwrap_or(never);
        bonds[clash.one as usize].push((clash.other, price));
        bonds[clash.other as usize].push((clash.one, price));
    }
    bonds
}

impl Timing {
    /// The last turn of each task.
    pub(crate) fn ends(&self, setting: &Setting<'_>) -> impl Iterator<Item = usize> {
        let last = |&at: &usize| {
            let step = self.turns[at].step;
            setting.is_last(step.task, step.block)
        };
        (0..self.turns.len()).filter(last)
    }

    /// From when to when the task of a last turn is worked once the day is settled, waits between its blocks included.
    pub(crate) fn worked(&self, last: usize) -> (u32, u32) {
        (
            self.turns[self.first(last)].settled,
            self.settled_finish(last),
        )
    }

    /// The same of each task.
    pub(crate) fn worked_of(
        &self,
        setting: &Setting<'_>,
    ) -> impl Iterator<Item = (u32, (u32, u32))> {
        let all = self.ends(setting);
        all.map(|at| (self.turns[at].step.task, self.worked(at)))
    }

    /// Each task's closure once the day is settled.
    pub(crate) fn closures_of(
        &self,
        setting: &Setting<'_>,
        day: u32,
    ) -> impl Iterator<Item = (u32, Closed)> {
        let worked = self.worked_of(setting);
        worked.map(move |(task, worked)| (task, Closed::of(setting, task, day, worked)))
    }
}

/// A planned task's closure from its steps.
pub(crate) fn closed(
    setting: &Setting<'_>,
    steps: &[StepTime],
    task: u32,
    day: u32,
) -> Option<Closed> {
    let own = || steps.iter().filter(|step| step.task == task);
    let from = own().map(|step| step.start).min()?;
    let until = own().map(|step| step.finish).max()?;
    Some(Closed::of(setting, task, day, (from, until)))
}

/// Shown when it bites.
pub(crate) fn words() -> String {
    "On every gang-day that could do it, its closure would be there at once with one that it clashes \
     with; another day for either would do."
        .to_owned()
}
