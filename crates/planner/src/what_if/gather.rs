//! Several tasks brought together in one gang-day.

use std::collections::BTreeSet;

use super::arrange::rank;
use super::levels::Level;
use super::{Touched, WhatIf};
use crate::search::Route;
use crate::timing::Step;

impl WhatIf<'_> {
    pub(super) fn gather(&self, tasks: &[u32], to: u32) -> Option<Touched> {
        let target = self.routes.get(to as usize)?;
        let mut touched = Touched::default();
        let mut moving: Vec<u32> = Vec::new();
        // What is left over a night is done in one day there.
        let mut cut: Vec<u32> = Vec::new();
        for &task in tasks {
            let home = *self.home.get(task as usize)?;
            let placed = self.placed(task);
            if home != Some(to) && !moving.contains(&task) {
                moving.push(task);
                let parts = placed.iter().map(|own| own.0);
                cut.extend(parts.filter(|&own| own != task));
            }
        }
        let homes: BTreeSet<u32> = moving
            .iter()
            .chain(&cut)
            .filter_map(|&task| self.home[task as usize])
            .collect();
        let mut taken: Vec<Step> = Vec::new();
        let mut target = target.clone();
        for from in homes {
            let route = &self.routes[from as usize];
            let goes = |task: u32| moving.contains(&task) || cut.contains(&task);
            let (out, rest): (Vec<Step>, Vec<Step>) =
                route.steps().partition(|step| goes(step.task));
            taken.extend(out.into_iter().filter(|step| !cut.contains(&step.task)));
            let set = self.timed.set(route, &rest)?;
            if from == to {
                target = set.0;
            } else {
                touched.add(set);
            }
        }
        let absent = moving.iter().filter(|&&task| self.placed(task).is_empty());
        for &task in absent {
            touched.left_out -= self.timed.strict.task(task).left_out;
            touched.count -= 1;
        }
        touched.add(self.brought(&target, &moving, taken)?);
        Some(touched)
    }

    /// The gang-day with all of them in it: in the order in which they were worked, those that nobody
    /// worked where each adds least; or all of them where each adds least.
    fn brought(&self, target: &Route, tasks: &[u32], taken: Vec<Step>) -> Option<(Route, Level)> {
        let (planned, absent): (Vec<u32>, Vec<u32>) = tasks
            .iter()
            .partition(|&&task| self.home[task as usize].is_some());
        let after: Vec<Step> = target.steps().chain(taken).collect();
        let after = self.timed.set(target, &after);
        let after = after.and_then(|after| self.each(after, &absent));
        let begun = self
            .timed
            .set(target, &target.steps().collect::<Vec<_>>())?;
        let among = self.each(begun, &[planned, absent].concat());
        after.into_iter().chain(among).min_by_key(rank)
    }

    /// One after the other where it adds least.
    fn each(&self, begun: (Route, Level), tasks: &[u32]) -> Option<(Route, Level)> {
        tasks
            .iter()
            .try_fold(begun, |(route, _), &task| self.timed.with(&route, task))
    }
}
