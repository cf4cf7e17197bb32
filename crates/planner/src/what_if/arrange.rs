//! A task put where somebody wants it in a gang-day, the rest of it where that adds least.

use std::ops::RangeInclusive;

use super::levels::{Level, Timed};
use super::{Change, WhatIf};
use crate::search::{Positions, Route, merged};
use crate::timing::Step;

/// So often the task's other blocks are gone through at most.
const ROUNDS: usize = 4;

impl WhatIf<'_> {
    /// Every other time, s, at which a task that is moved would come after the same steps, so that moving it
    /// would do the same; nothing for a change without a time, or of one block.
    #[must_use]
    pub fn alike(&self, change: &Change) -> Option<RangeInclusive<u32>> {
        let Change::Move {
            task,
            gang_day,
            at: Some(at),
        } = *change
        else {
            return None;
        };
        let mut target = self.routes.get(gang_day as usize)?.clone();
        for (part, _) in self
            .placed(task)
            .into_iter()
            .filter(|own| own.1 == gang_day)
        {
            target = self.without(gang_day, part).0;
        }
        let starts = target.timing.turns.iter().map(|turn| turn.settled);
        let (before, after): (Vec<u32>, Vec<u32>) = starts.partition(|start| *start < at);
        let first = before.into_iter().max().map_or(0, |start| start + 1);
        Some(first..=after.into_iter().min().unwrap_or(u32::MAX))
    }
}

impl Timed<'_> {
    /// The gang-day with the task, whose block comes after every step that starts before `at`.
    pub(super) fn arranged(
        &self,
        route: &Route,
        (task, block): (u32, u32),
        at: u32,
    ) -> Option<(Route, Level)> {
        let blocks = self.strict.task(task).blocks.len();
        let turns = &route.timing.turns;
        let held = turns.iter().filter(|turn| turn.settled < at).count() as u16;
        let fixed = block as usize;
        if fixed >= blocks {
            return None;
        }
        let mut places = Positions::from_elem(held, blocks);
        let mut best = self.tried(route, task, &places)?;
        for _ in 0..ROUNDS {
            let before = rank(&best);
            for moving in (0..blocks).filter(|moving| *moving != fixed) {
                let least = moving.checked_sub(1).map_or(0, |before| places[before]);
                let most = places.get(moving + 1).copied();
                for place in least..=most.unwrap_or(turns.len() as u16) {
                    let mut other = places.clone();
                    other[moving] = place;
                    let Some(tried) = self.tried(route, task, &other) else {
                        continue;
                    };
                    if rank(&tried) < rank(&best) {
                        (best, places) = (tried, other);
                    }
                }
            }
            if rank(&best) == before {
                break;
            }
        }
        Some(best)
    }

    fn tried(&self, route: &Route, task: u32, places: &Positions) -> Option<(Route, Level)> {
        let steps: Vec<Step> = merged(route, task, places).collect();
        self.set(route, &steps)
    }
}

/// What is better comes first: more rules kept, then less cost.
pub(super) fn rank((route, level): &(Route, Level)) -> (Level, i64) {
    (*level, route.total)
}
