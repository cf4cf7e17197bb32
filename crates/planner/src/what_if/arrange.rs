//! A task put where somebody wants it in a gang-day, the rest of it where that adds least.

use super::levels::{Level, Timed};
use crate::search::{Positions, Route, merged};
use crate::timing::Step;

/// So often the task's other blocks are gone through at most.
const ROUNDS: usize = 4;

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
