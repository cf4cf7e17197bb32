//! Sets near those that the program's mixture takes: with one task more, fewer or other.

use std::rc::Rc;

use rustc_hash::FxHashSet;
use smallvec::SmallVec;

use super::classes::Class;
use super::known::Answer;
use super::prices::Prices;
use super::sets::{ENOUGH, Set, Sets};

/// How sets are weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Near {
    /// By what the first few orders of their blocks cost.
    About,
    /// By what they cost at the least.
    Really,
}

type Tasks = SmallVec<[u32; 8]>;

impl Sets<'_> {
    /// Sets near these that the prices are unfair to, the most unfair of each class. Nothing where the effort
    /// is used up.
    pub(super) fn near(&mut self, prices: &Prices, these: &[Set], near: Near) -> Option<Vec<Set>> {
        let mut all = Vec::new();
        for &at in Rc::clone(&self.order).iter() {
            let mut found = self.near_of(at, prices, (these, near))?;
            found.sort_by_key(|(over, _)| *over);
            found.truncate(ENOUGH);
            all.extend(found.into_iter().map(|(_, set)| set));
        }
        Some(all)
    }

    fn near_of(
        &mut self,
        at: usize,
        prices: &Prices,
        (these, near): (&[Set], Near),
    ) -> Option<Vec<(i64, Set)>> {
        let mut hopeful = self.hopeful(at, prices, these)?;
        hopeful.sort_unstable();
        let mut found = Vec::new();
        for (_, tasks) in hopeful {
            if found.len() >= ENOUGH {
                break;
            }
            let fixed = self.fixed(at, &tasks);
            let most = self.fair(at, prices, &tasks) - fixed - self.tolerance;
            let cost = match near {
                Near::About => self.about(at, &tasks)?.filter(|cost| *cost < most),
                Near::Really => match self.cheapest(at, &tasks, most)? {
                    Answer::Less(cost) => Some(cost),
                    _ => None,
                },
            };
            let set = |cost: i64| Set {
                class: at,
                tasks: tasks.to_vec(),
                cost: fixed + cost,
            };
            found.extend(cost.map(|cost| (cost - most, set(cost))));
        }
        Some(found)
    }

    /// Sets near these to which the prices could be unfair, and by how much.
    fn hopeful(&mut self, at: usize, prices: &Prices, these: &[Set]) -> Option<Vec<(i64, Tasks)>> {
        let class = &self.classes[at];
        let rates = &self.setting.problem.rates;
        let mut hopeful = Vec::new();
        let mut seen: FxHashSet<Tasks> = FxHashSet::default();
        for set in these {
            let own = set.tasks.iter().copied();
            let own: Tasks = own.filter(|task| may(class, *task)).collect();
            for tasks in neighbours(class, &own) {
                self.effort.spend(1)?;
                let fair = self.fair(at, prices, &tasks);
                if fair - self.tolerance <= rates.gang_day || !seen.insert(tasks.clone()) {
                    continue;
                }
                let by_work =
                    self.grounds[at].crew_and_way(&tasks, (rates, class.day.depot, self.metric));
                let least = by_work.map(|cost| cost + self.fixed(at, &tasks) - fair);
                let over = least.filter(|over| *over < -self.tolerance);
                hopeful.extend(over.map(|over| (over, tasks)));
            }
        }
        Some(hopeful)
    }

    /// What a gang-day with these tasks may cost to be fair.
    fn fair(&self, at: usize, prices: &Prices, tasks: &[u32]) -> i64 {
        let price = tasks.iter().map(|&task| prices.tasks[task as usize]);
        price.sum::<i64>() - self.cut(prices, tasks) - prices.days[at]
    }
}

fn may(class: &Class, task: u32) -> bool {
    class.tasks.binary_search(&task).is_ok()
}

/// The set itself, and with one task more, fewer or other; tasks in order.
fn neighbours(class: &Class, own: &Tasks) -> Vec<Tasks> {
    let mut all = vec![own.clone()];
    for &more in class.tasks.iter().filter(|task| !own.contains(task)) {
        let mut with = own.clone();
        with.push(more);
        all.push(with.clone());
        for without in 0..own.len() {
            let mut other = with.clone();
            other.swap_remove(without);
            all.push(other);
        }
    }
    for without in 0..own.len() {
        let mut fewer = own.clone();
        fewer.remove(without);
        all.push(fewer);
    }
    all.retain(|tasks| !tasks.is_empty());
    all.iter_mut().for_each(|tasks| tasks.sort_unstable());
    all
}
