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
}

impl Closed {
    /// Whether both are there at once.
    pub(crate) fn meets(&self, other: &Self) -> bool {
        self.day == other.day && self.from < other.until && other.from < self.until
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
    /// Each task's closure once the day is settled.
    pub(crate) fn closures_of(
        &self,
        setting: &Setting<'_>,
        day: u32,
    ) -> impl Iterator<Item = (u32, Closed)> {
        let last = |&at: &usize| {
            let step = self.turns[at].step;
            setting.is_last(step.task, step.block)
        };
        (0..self.turns.len()).filter(last).map(move |at| {
            let task = self.turns[at].step.task;
            let (from, until) = (self.turns[self.first(at)].settled, self.settled_finish(at));
            let (from, until) = setting.parts.stands(task, from, until);
            (task, Closed { day, from, until })
        })
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
    let (from, until) = setting.parts.stands(task, from, until);
    Some(Closed { day, from, until })
}

/// Shown when it bites.
pub(crate) fn words() -> String {
    "On every gang-day that could do it, its closure would be there at once with one that it clashes \
     with; another day for either would do."
        .to_owned()
}
