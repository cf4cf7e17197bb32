//! Prices of tasks, gang-days and cuts, in whole pence.

use super::classes::Class;
use super::nights::Night;
use crate::setting::Setting;

/// Ways from prices to others are counted in so many parts.
pub(super) const PARTS: i64 = 64;

/// Prices of tasks, of a gang-day of each class, and of cuts.
#[derive(Clone, Debug)]
pub(super) struct Prices {
    pub(super) tasks: Vec<i64>,
    pub(super) days: Vec<i64>,
    pub(super) cuts: Vec<i64>,
    /// How many tasks are whole; they come first, and parts of them after.
    pub(super) wholes: usize,
}

impl Prices {
    /// What is plain: a task costs at least its own work and closure, and its part by work of what
    /// every gang-day costs before any work.
    pub(super) fn by_hand(setting: &Setting<'_>, classes: &[Class]) -> Self {
        let days = &setting.problem.gang_days;
        let price = |task: u32| {
            let left_out = setting.left_out(task).max(0);
            let least = classes.iter().map(|class| class.least(setting, task)).min();
            let can = days.iter().any(|day| setting.may(task, day));
            least
                .filter(|_| can)
                .map_or(left_out, |least| least.min(left_out))
        };
        Self {
            tasks: (0..setting.facts.len() as u32).map(price).collect(),
            days: vec![0; classes.len()],
            cuts: Vec::new(),
            wholes: setting.wholes().len(),
        }
    }

    /// With no whole task worth more than its parts and the nights between them.
    pub(super) fn over(mut self, nights: &[Night]) -> Self {
        for night in nights {
            let parts = night.parts.map(|part| self.tasks[part as usize]);
            let whole = &mut self.tasks[night.whole as usize];
            *whole = (*whole).min(parts[0] + parts[1] + night.cost);
        }
        self
    }

    /// The bound that these prices are, if they are fair.
    pub(super) fn sum(&self, classes: &[Class]) -> i64 {
        let days = self.days.iter().zip(classes);
        let days: i64 = days.map(|(price, class)| price * class.count).sum();
        let tasks = self.tasks.iter().take(self.wholes);
        tasks.sum::<i64>() - days - self.cuts.iter().sum::<i64>()
    }

    /// So many parts of the way to other prices.
    pub(super) fn towards(&self, other: &Self, parts: i64) -> Self {
        let part = |(own, its): (&i64, &i64)| own + (its - own) * parts / PARTS;
        Self {
            tasks: self.tasks.iter().zip(&other.tasks).map(part).collect(),
            days: self.days.iter().zip(&other.days).map(part).collect(),
            cuts: self.cuts.iter().zip(&other.cuts).map(part).collect(),
            wholes: self.wholes,
        }
    }

    /// With gang-days so much dearer that prices are fair to sets that cost so much over them.
    pub(super) fn made_fair(&self, least: &[i64]) -> Self {
        let mut fair = self.clone();
        for (day, over) in fair.days.iter_mut().zip(least) {
            *day -= over;
        }
        fair
    }
}
