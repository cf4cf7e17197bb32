//! Several tasks brought together in one gang-day.

use std::collections::BTreeSet;

use super::arrange::rank;
use super::done::Rest;
use super::levels::Level;
use super::{Touched, WhatIf};
use crate::search::Route;
use crate::timing::Step;

/// Tasks that go to one gang-day, by what is put there.
#[derive(Default)]
struct Going {
    /// Whole tasks that go, and those of which only the rest does.
    wholes: Vec<u32>,
    rests: Vec<(u32, Rest)>,
    /// Those that go in the order that they have where they are.
    ordered: Vec<u32>,
    /// Those that go where they add least.
    free: Vec<u32>,
}

impl Going {
    fn has(&self, whole: u32) -> bool {
        self.wholes.contains(&whole) || self.rests.iter().any(|own| own.0 == whole)
    }

    fn rest(&self, whole: u32) -> Option<Rest> {
        let own = self.rests.iter().find(|own| own.0 == whole);
        own.map(|own| own.1)
    }
}

impl WhatIf<'_> {
    pub(super) fn gather(&self, tasks: &[u32], to: u32) -> Option<Touched> {
        let mut target = self.routes.get(to as usize)?.clone();
        let mut touched = Touched::default();
        let going = self.going(tasks, to)?;
        let all = going
            .wholes
            .iter()
            .chain(going.rests.iter().map(|own| &own.0));
        let homes = all.flat_map(|&task| self.placed(task));
        let homes: BTreeSet<u32> = homes.map(|own| own.1).collect();
        let mut taken: Vec<Step> = Vec::new();
        for from in homes {
            let rest = self.taken_out(&going, from, &mut taken);
            let set = self.timed.set(&self.routes[from as usize], &rest)?;
            if from == to {
                target = set.0;
            } else {
                touched.add(set);
            }
        }
        let absent = going.wholes.iter();
        for &task in absent.filter(|&&task| self.placed(task).is_empty()) {
            touched.left_out -= self.timed.strict.task(task).left_out;
            touched.count -= 1;
        }
        touched.add(self.brought(&target, &going, taken)?);
        Some(touched)
    }

    /// What goes of these tasks; what is left over a night and not done is done in one day there.
    fn going(&self, tasks: &[u32], to: u32) -> Option<Going> {
        let mut going = Going::default();
        for &task in tasks {
            let home = *self.home.get(task as usize)?;
            if home == Some(to) || going.has(task) || self.stays(task, to) {
                continue;
            }
            let (own, home) = match self.rest_to(task, to) {
                None => {
                    going.wholes.push(task);
                    (task, home)
                }
                Some(rest) => {
                    let (own, home) = self.left_in(task, rest);
                    if home == Some(to) {
                        continue;
                    }
                    going.rests.push((task, rest));
                    (own, home)
                }
            };
            match home {
                Some(_) => going.ordered.push(own),
                None => going.free.push(own),
            }
        }
        Some(going)
    }

    /// What stays in a gang-day; of what goes, that which keeps its order is put to the rest of it.
    fn taken_out(&self, going: &Going, from: u32, taken: &mut Vec<Step>) -> Vec<Step> {
        let parts = &self.timed.strict.parts;
        let mut stays = Vec::new();
        for step in self.routes[from as usize].steps() {
            let whole = parts.whole(step.task);
            let (step, goes) = match going.rest(whole) {
                Some(rest) => self.of_rest(rest, step),
                None => (step, going.wholes.contains(&whole)),
            };
            if !goes {
                stays.push(step);
            } else if going.ordered.contains(&step.task) {
                taken.push(step);
            }
        }
        stays
    }

    /// The gang-day with all of them in it: in the order in which they were worked, those that nobody
    /// worked where each adds least; or all of them where each adds least.
    fn brought(&self, target: &Route, going: &Going, taken: Vec<Step>) -> Option<(Route, Level)> {
        let (ordered, free) = (&going.ordered, &going.free);
        let after: Vec<Step> = target.steps().chain(taken).collect();
        let after = self.timed.set(target, &after);
        let after = after.and_then(|after| self.each(after, free));
        let begun = self
            .timed
            .set(target, &target.steps().collect::<Vec<_>>())?;
        let among = self.each(begun, &[&ordered[..], free].concat());
        after.into_iter().chain(among).min_by_key(rank)
    }

    /// One after the other where it adds least.
    fn each(&self, begun: (Route, Level), tasks: &[u32]) -> Option<(Route, Level)> {
        tasks
            .iter()
            .try_fold(begun, |(route, _), &task| self.timed.with(&route, task))
    }
}
