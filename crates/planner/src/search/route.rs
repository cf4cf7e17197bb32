//! A gang-day while it is being planned.

use crate::setting::Setting;
use crate::timing::{Step, Timing, bears};
use crate::{CostParts, GangDay};

/// One gang-day, its steps timed and priced.
#[derive(Clone, Debug, Default)]
pub(crate) struct Route {
    pub(crate) gang_day: u32,
    pub(crate) day: GangDay,
    /// Differs whenever the steps differ, so that what was tried on a route can be remembered.
    pub(crate) stamp: u64,
    pub(crate) timing: Timing,
    pub(crate) costs: CostParts,
    /// All of `costs`.
    pub(crate) total: i64,
    /// Work of all steps.
    pub(crate) work: u32,
    /// Weight of all tasks, and their vibration.
    pub(crate) weight: u32,
    pub(crate) shaken: u64,
}

impl Route {
    /// A gang-day with nothing in it.
    pub(crate) fn empty(gang_day: u32, day: GangDay) -> Self {
        let mut route = Self {
            gang_day,
            day,
            stamp: u64::from(gang_day),
            ..Self::default()
        };
        route.timing.back = day.start.saturating_add(day.load);
        route.timing.end = route.timing.back.saturating_add(day.unload);
        route
    }

    /// Whether nothing is in it.
    pub(crate) fn is_empty(&self) -> bool {
        self.timing.turns.is_empty()
    }

    pub(crate) fn steps(&self) -> impl Iterator<Item = Step> + '_ {
        self.timing.turns.iter().map(|turn| turn.step)
    }

    /// The tasks in it, in order of their first blocks.
    pub(crate) fn tasks(&self) -> impl Iterator<Item = u32> + '_ {
        self.steps()
            .filter(|step| step.block == 0)
            .map(|step| step.task)
    }

    /// Gives it other steps; false, and empty, if they can't be done.
    pub(crate) fn set(&mut self, setting: &Setting<'_>, steps: &[Step], stamp: u64) -> bool {
        if steps.is_empty() {
            *self = Self::empty(self.gang_day, self.day);
            return true;
        }
        if !bears(setting, &self.day, steps)
            || !self.timing.run(setting, &self.day, steps.iter().copied())
        {
            *self = Self::empty(self.gang_day, self.day);
            return false;
        }
        self.timing.settle(setting);
        self.timing.slack(setting, &self.day);
        self.costs = self.timing.price(setting, &self.day);
        self.total = self.costs.total();
        self.work = self
            .timing
            .turns
            .iter()
            .map(|turn| turn.finish - turn.start)
            .sum();
        self.weight = self
            .tasks()
            .fold(0, |sum, task| sum.saturating_add(setting.task(task).weight));
        self.shaken = self
            .tasks()
            .map(|task| u64::from(setting.task(task).shake))
            .sum();
        self.stamp = stamp;
        true
    }
}
