//! What closures that are there at once cost, on whichever gang-days they are.

use super::route::Route;
use super::state::State;
use crate::rules::bonds::Closed;
use crate::setting::Setting;
use crate::timing::Timing;

impl State<'_> {
    /// Remembers the closures of the gang-day's tasks.
    pub(super) fn note_closed(&mut self, at: u32) {
        if self.setting.bonds.is_empty() {
            return;
        }
        let route = &self.routes[at as usize];
        for (task, closed) in route.timing.closures_of(self.setting, route.day.day) {
            self.closed[task as usize] = closed;
        }
    }

    /// What the clashes of the gang-day's tasks cost, with one another and with others.
    pub(super) fn clashes_of(&self, at: u32) -> i64 {
        if self.setting.bonds.is_empty() {
            return 0;
        }
        let tasks = self.routes[at as usize].tasks();
        tasks
            .map(|task| self.clashes_with(at, task, &self.closed))
            .sum()
    }

    /// What the task's clashes cost; of two in one gang-day, the lower one counts.
    fn clashes_with(&self, at: u32, task: u32, closed: &[Closed]) -> i64 {
        let own = closed[task as usize];
        let clashes = self.setting.bonds(task).iter().filter(|&&(other, _)| {
            let home = self.route_of(other);
            let counts = home.is_some() && (home != Some(at) || task < other);
            counts && own.meets(&closed[other as usize])
        });
        clashes.map(|&(_, price)| price).sum()
    }

    /// Whether clashes are worth asking for where the task goes into the gang-day.
    pub(super) fn is_bonded(&self, at: u32, task: u32) -> bool {
        let bonded = |task: u32| !self.setting.bonds(task).is_empty();
        !self.setting.bonds.is_empty()
            && (bonded(task) || self.routes[at as usize].tasks().any(bonded))
    }

    /// What the clashes of the gang-day would cost with these times.
    pub(super) fn clashes_if(&self, at: u32, timing: &Timing) -> i64 {
        let day = self.routes[at as usize].day.day;
        let closures: Vec<(u32, Closed)> = timing.closures_of(self.setting, day).collect();
        let mut cost = 0;
        for &(task, own) in &closures {
            for &(other, price) in self.setting.bonds(task) {
                let here = closures.iter().find(|closure| closure.0 == other);
                let there = || self.route_of(other).map(|_| &self.closed[other as usize]);
                let meets = match here {
                    Some((_, closed)) => task < other && own.meets(closed),
                    None => there().is_some_and(|closed| own.meets(closed)),
                };
                cost += if meets { price } else { 0 };
            }
        }
        cost
    }

    /// Takes out what must not be there at once with another: of two, the one that costs less to
    /// leave out.
    pub(super) fn part_clashes(&mut self) {
        let clashes = self.setting.problem.clashes.iter();
        let never = clashes.filter(|clash| clash.price.is_none());
        for clash in never {
            let homes = (self.route_of(clash.one), self.route_of(clash.other));
            let (Some(one), Some(other)) = homes else {
                continue;
            };
            let closed = [clash.one, clash.other].map(|task| self.closed[task as usize]);
            if closed[0].meets(&closed[1]) {
                let left_out = |task| self.setting.task(task).left_out;
                if left_out(clash.one) < left_out(clash.other) {
                    self.take_whole(one, &[clash.one]);
                } else {
                    self.take_whole(other, &[clash.other]);
                }
            }
        }
    }
}

/// What the clashes of a whole plan cost.
pub(super) fn clashes(setting: &Setting<'_>, routes: &[Route]) -> i64 {
    if setting.bonds.is_empty() {
        return 0;
    }
    let mut closed: Vec<Option<Closed>> = vec![None; setting.facts.len()];
    for route in routes {
        for (task, own) in route.timing.closures_of(setting, route.day.day) {
            closed[task as usize] = Some(own);
        }
    }
    let mut cost = 0;
    for (task, own) in (0..).zip(&closed) {
        for &(other, price) in setting.bonds(task) {
            let both = own.as_ref().zip(closed[other as usize].as_ref());
            if task < other && both.is_some_and(|(own, other)| own.meets(other)) {
                cost += price;
            }
        }
    }
    cost
}
