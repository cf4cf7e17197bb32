//! Tasks that are left over a night, in a plan that is changed by hand.

use smallvec::SmallVec;

use super::{Broken, Touched, WhatIf};
use crate::CostParts;
use crate::timing::Step;

impl WhatIf<'_> {
    /// The gang-day of a task or of a part.
    pub(super) fn home_of(&self, task: u32) -> Option<u32> {
        self.home.get(task as usize).copied().flatten()
    }

    /// Where a whole task is: itself, or each of its parts, with its gang-day.
    pub(super) fn placed(&self, whole: u32) -> SmallVec<[(u32, u32); 2]> {
        let cuts = self.timed.strict.parts.cuts(whole).iter().copied();
        let all = std::iter::once(whole).chain(cuts.flat_map(|cut| [cut, cut + 1]));
        all.filter_map(|task| Some((task, self.home_of(task)?)))
            .collect()
    }

    /// The block of a whole task as a step of what is in the plan.
    pub(super) fn step_of(&self, task: u32, block: u32) -> Option<Step> {
        let (own, _) = *self.placed(task).first()?;
        let parts = &self.timed.strict.parts;
        Some(match parts.both(own) {
            Some((_, [first, _])) => parts.within(first, block),
            None => Step { task, block },
        })
    }

    pub(super) fn day(&self, gang_day: u32) -> u32 {
        self.routes[gang_day as usize].day.day
    }

    /// Every task that is left over a night, by its first part, with its two gang-days.
    fn left_over(&self, home: impl Fn(u32) -> Option<u32>) -> Vec<(u32, u32, u32)> {
        let parts = &self.timed.strict.parts;
        let all = parts.with_cuts().flat_map(|whole| parts.cuts(whole));
        all.filter_map(|&first| Some((first, home(first)?, home(first + 1)?)))
            .collect()
    }

    /// What all nights cost where tasks and parts are at home so.
    pub(super) fn nights(&self, home: impl Fn(u32) -> Option<u32>) -> CostParts {
        let mut costs = CostParts::default();
        for (first, left, next) in self.left_over(home) {
            let days = (self.day(left), self.day(next));
            let night = self.timed.strict.night_price(first, days);
            costs.nights += night.price;
            costs.closure += night.closure;
        }
        costs
    }

    /// Puts what the nights cost after a change into the costs, and tells those that may not be.
    pub(super) fn nights_after(&self, touched: &Touched, costs: &mut CostParts) -> Vec<Broken> {
        let parts = &self.timed.strict.parts;
        if parts.is_empty() {
            return Vec::new();
        }
        let changed = |at: u32| touched.routes.iter().any(|route| route.gang_day == at);
        let home = |task: u32| {
            let mut routes = touched.routes.iter();
            let now = routes.find(|route| route.tasks().any(|own| own == task));
            let was = || self.home_of(task).filter(|at| !changed(*at));
            now.map(|route| route.gang_day).or_else(was)
        };
        costs.take(&self.nights(|task| self.home_of(task)));
        costs.add(&self.nights(home));
        let left_over = self.left_over(home).into_iter();
        let touched = left_over.filter(|(_, left, next)| changed(*left) || changed(*next));
        let mut broken = Vec::new();
        for (first, left, next) in touched {
            let days = (self.day(left), self.day(next));
            if !parts.may(first, days) {
                let code = if days.0 < days.1 {
                    "R-NIGHTS"
                } else {
                    "R-ORDER"
                };
                broken.push(Broken::of(code, next, first));
            }
            // A closure that keeps to hours of the day would be there all night.
            if !self
                .timed
                .strict
                .task(parts.whole(first))
                .windows
                .is_empty()
            {
                broken.push(Broken::of("R-HOURS", next, first));
            }
        }
        broken
    }
}
