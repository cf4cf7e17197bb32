//! Gang-days that the search came by, and whole plans put together from them anew.
//!
//! A plan that is good in one half of the week and another that is good in the other half were perhaps
//! never there at once; but all their gang-days were. A linear program over the gang-days that are
//! remembered proposes prices of tasks; what plan of them is cheaper than the best so far is then
//! looked for in whole pence, within a stated number of tries.

mod choice;
mod prices;

use rustc_hash::FxHashMap;
use smallvec::SmallVec;

use super::route::Route;
use crate::GangDay;
use crate::setting::Setting;
use crate::timing::Step;

/// Above so many tasks nothing is remembered.
pub(super) const MOST_TASKS: usize = 128;

/// So many gang-days are remembered at most.
const MOST_COLUMNS: usize = 150_000;

/// A gang-day that some gang-days could be.
pub(super) struct Column {
    class: u32,
    tasks: SmallVec<[u32; 6]>,
    steps: SmallVec<[Step; 16]>,
    cost: i64,
}

/// What is remembered.
pub(crate) struct Pool {
    /// For each gang-day its class, and the gang-days of each: they cost and allow the same.
    class_of: Vec<u32>,
    classes: Vec<Vec<u32>>,
    columns: Vec<Column>,
    known: FxHashMap<u64, u32>,
}

impl Pool {
    /// For a problem in which gang-days cost what they cost by themselves.
    pub(crate) fn of(setting: &Setting<'_>) -> Option<Self> {
        // What is locked, or stands open until it is gone on with, costs something else on each day.
        let mut tasks = setting.problem.tasks.iter();
        let dated = tasks.any(|task| task.locked.is_some() || task.open);
        let tied = setting.keeps || dated || !setting.bonds.is_empty() || !setting.parts.is_empty();
        if tied || setting.facts.len() > MOST_TASKS {
            return None;
        }
        let mut kinds: Vec<(GangDay, u128)> = Vec::new();
        let mut pool = Self {
            class_of: Vec::new(),
            classes: Vec::new(),
            columns: Vec::new(),
            known: FxHashMap::default(),
        };
        for (at, day) in (0..).zip(&setting.problem.gang_days) {
            let all = (0..setting.facts.len() as u32).filter(|&task| setting.may(task, day));
            let may = all.fold(0, |may: u128, task| may | 1 << task);
            let kind = (
                GangDay {
                    gang: 0,
                    day: 0,
                    ..*day
                },
                may,
            );
            let class = kinds.iter().position(|known| *known == kind);
            let class = class.unwrap_or_else(|| {
                kinds.push(kind);
                pool.classes.push(Vec::new());
                kinds.len() - 1
            });
            pool.classes[class].push(at);
            pool.class_of.push(class as u32);
        }
        Some(pool)
    }

    /// Remembers a gang-day; of those with the same tasks the cheapest.
    pub(crate) fn remember(&mut self, route: &Route) {
        let class = self.class_of[route.gang_day as usize];
        let sum = route.tasks().map(|task| mixed(u64::from(task)));
        let sum = sum.fold(0_u64, u64::wrapping_add);
        let key = mixed(sum ^ u64::from(class));
        if let Some(&at) = self.known.get(&key) {
            let column = &mut self.columns[at as usize];
            let same = || route.tasks().all(|task| column.tasks.contains(&task));
            if route.total < column.cost && same() {
                column.cost = route.total;
                column.steps = route.steps().collect();
            }
        } else if self.columns.len() < MOST_COLUMNS && !route.is_empty() {
            self.known.insert(key, self.columns.len() as u32);
            self.columns.push(Column {
                class,
                tasks: route.tasks().collect(),
                steps: route.steps().collect(),
                cost: route.total,
            });
        }
    }

    /// A plan of what is remembered that costs less than this, if one is found.
    pub(crate) fn cheaper(&self, setting: &Setting<'_>, than: i64) -> Option<Vec<Route>> {
        let prices = prices::of(setting, self)?;
        let chosen = choice::cheaper(setting, self, &prices, than)?;
        let days = (0..).zip(&setting.problem.gang_days);
        let mut routes: Vec<Route> = days.map(|(at, day)| Route::empty(at, *day)).collect();
        let mut used = vec![0; self.classes.len()];
        for at in chosen {
            let column = &self.columns[at as usize];
            let class = column.class as usize;
            let own = self.classes[class][used[class]];
            used[class] += 1;
            if !routes[own as usize].set(setting, &column.steps, 0) {
                return None;
            }
        }
        Some(routes)
    }
}

/// Numbers that have nothing to do with one another for numbers that have.
fn mixed(number: u64) -> u64 {
    let mut bits = number.wrapping_add(0x9E37_79B9_7F4A_7C15);
    bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    bits ^ (bits >> 31)
}
