//! All sets of tasks that one gang-day could serve, gone through for those that prices are unfair to.

use super::chains::{Chains, Tried};
use super::classes::{Class, kinds};
use super::cuts::{Cut, is_in};
use super::effort::Effort;
use super::ground::Ground;
use super::known::{Answer, Known};
use super::metric::Metric;
use super::prices::Prices;
use super::walk::{Sums, Walk};
use crate::setting::Setting;
use crate::timing::by_begun_hour;
use smallvec::SmallVec;
use std::rc::Rc;

/// Of one class, so many unfair sets are enough for one round.
const ENOUGH: usize = 12;

/// Filling in so many numbers counts as one step.
const NUMBERS: usize = 512;

/// Of one class, so many steps are gone in one round, to begin with.
const STEPS: u64 = 1_000_000;

/// What a set costs is found out up to this part above what makes it unfair, so that it needn't be found
/// out again for each proposal.
const BEYOND: i64 = 50;

/// Tasks that one gang-day of a class could serve, and what that costs at the least.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Set {
    pub(super) class: usize,
    pub(super) tasks: Vec<u32>,
    pub(super) cost: i64,
}

/// How unfair sets are looked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Look {
    /// By what sets cost at the least where only tables are looked up: always done soon.
    Rough,
    /// The same, and what these sets really cost.
    Likely,
    /// All sets are gone through.
    All,
}

/// Unfair sets.
#[derive(Default)]
pub(super) struct Unfair {
    pub(super) sets: Vec<Set>,
    /// For each class what no set is less than over its prices, not above nothing.
    pub(super) least: Vec<i64>,
    /// Whether that is what the most unfair set is.
    pub(super) exact: bool,
}

/// Goes through sets; a set of buffers.
pub(super) struct Sets<'a> {
    setting: &'a Setting<'a>,
    classes: &'a [Class],
    kinds: Vec<usize>,
    metric: &'a Metric,
    grounds: Rc<Vec<Ground>>,
    known: Known,
    /// What prices of cuts are for.
    pub(super) cuts: Vec<Cut>,
    pub(super) effort: Effort<'a>,
    /// Of one class, so many steps are gone in one round.
    pub(super) most: u64,
}

impl<'a> Sets<'a> {
    /// Nothing where the effort is used up.
    pub(super) fn new(
        setting: &'a Setting<'a>,
        classes: &'a [Class],
        metric: &'a Metric,
        effort: Effort<'a>,
    ) -> Option<Self> {
        let mut sets = Self {
            setting,
            classes,
            kinds: kinds(classes),
            metric,
            grounds: Rc::default(),
            known: Known::default(),
            cuts: Vec::new(),
            effort,
            most: STEPS,
        };
        let mut grounds: Vec<Ground> = Vec::new();
        for (at, class) in classes.iter().enumerate() {
            let mut tasks = Vec::new();
            for &task in &class.tasks {
                if sets.cheapest(at, &[task], WHATEVER)? != Answer::Never {
                    tasks.push(task);
                }
            }
            grounds.push(Ground::of(setting, class, metric, &tasks));
        }
        sets.grounds = Rc::new(grounds);
        Some(sets)
    }

    /// Sets that these prices are unfair to, some of each class. With `All`, the most unfair one of each
    /// class is among them, unless they were not all gone through. Nothing where the effort is used up.
    pub(super) fn unfair(&mut self, prices: &Prices, look: Look) -> Option<Unfair> {
        let mut unfair = Unfair {
            exact: look == Look::All,
            ..Unfair::default()
        };
        let grounds = Rc::clone(&self.grounds);
        for own in grounds.iter().enumerate() {
            self.unfair_of(own, prices, (look, &mut unfair))?;
        }
        Some(unfair)
    }

    fn unfair_of(
        &mut self,
        (at, ground): (usize, &Ground),
        prices: &Prices,
        (look, unfair): (Look, &mut Unfair),
    ) -> Option<()> {
        let size = Walk::size(ground);
        self.effort.spend(size / NUMBERS + 1)?;
        let class = (at, &self.classes[at]);
        let mut walk = Walk::of(self.setting, class, (ground, self.metric), prices);
        let mut least = walk.rough(0);
        if look == Look::All && least < 0 {
            self.effort.spend(size / NUMBERS + 1)?;
            walk.with_tours();
            least = self.all(&mut walk)?;
            unfair.exact &= !walk.cut_short;
            walk.found.sort_by_key(|(over, _)| *over);
        }
        let likely = if look == Look::All {
            Vec::new()
        } else {
            walk.likely()
        };
        for (over, set) in likely {
            if walk.found.len() >= ENOUGH {
                break;
            }
            let exact = if look == Look::Rough {
                Some((over, set))
            } else {
                self.really(&walk, &set)?
            };
            walk.found.extend(exact);
        }
        unfair.least.push(least);
        let found = walk.found.into_iter().take(ENOUGH);
        unfair.sets.extend(found.map(|(_, set)| set));
        Some(())
    }

    /// The set with what it really costs, if prices are unfair to it then.
    fn really(&mut self, walk: &Walk<'_>, set: &Set) -> Option<Option<(i64, Set)>> {
        let Some(set) = self.set_below(set, walk)? else {
            return Some(None);
        };
        let over = set.cost - self.worth(walk, &set.tasks);
        Some((over < 0).then_some((over, set)))
    }

    /// What a gang-day with these tasks may cost to be fair.
    fn worth(&self, walk: &Walk<'_>, tasks: &[u32]) -> i64 {
        let prices = tasks.iter().map(|&task| walk.prices.tasks[task as usize]);
        prices.sum::<i64>() - self.cut(walk.prices, tasks) - walk.day_price
    }

    fn set_below(&mut self, set: &Set, walk: &Walk<'_>) -> Option<Option<Set>> {
        let fixed = self.fixed(set.class, &set.tasks);
        let most = self.worth(walk, &set.tasks) - fixed;
        let answer = self.cheapest(set.class, &set.tasks, most)?;
        Some(match answer {
            Answer::Less(cost) => Some(Set {
                cost: fixed + cost,
                ..set.clone()
            }),
            _ => None,
        })
    }

    /// Goes through all sets, and says what none is less than over its prices.
    fn all(&mut self, walk: &mut Walk<'_>) -> Option<i64> {
        let until = self.effort.gone() + self.most;
        let mut rest = 0;
        for at in 0..walk.len() {
            if !walk.promises(&Sums::default(), at) {
                break;
            }
            self.one_more(walk, Sums::default(), (at, until))?;
            if walk.cut_short {
                rest = walk.rough(at);
                break;
            }
        }
        let found = walk.found.iter().map(|(over, _)| *over).min();
        Some(found.unwrap_or(0).min(rest))
    }

    /// Adds this task to the chosen ones, and goes on with those after it.
    fn one_more(
        &mut self,
        walk: &mut Walk<'_>,
        sums: Sums,
        (at, until): (usize, u64),
    ) -> Option<()> {
        self.effort.spend(1)?;
        if self.effort.gone() > until {
            walk.cut_short = true;
            return Some(());
        }
        let mut more = walk.with(&sums, at);
        walk.chosen.push(at);
        if walk.promises(&more, at + 1)
            && walk.promises_by_tour(&mut more, at + 1)
            && (!walk.tells(&more) || self.weigh(walk, &more)?)
        {
            for next in at + 1..walk.len() {
                if walk.cut_short || !walk.promises(&more, next) {
                    break;
                }
                self.one_more(walk, more, (next, until))?;
            }
        }
        walk.chosen.pop();
        Some(())
    }

    /// Adds the chosen set if the prices are unfair enough to it; false where it can't be done at all.
    fn weigh(&mut self, walk: &mut Walk<'_>, sums: &Sums) -> Option<bool> {
        let tasks = walk.tasks();
        let rates = &self.setting.problem.rates;
        let fixed = rates.gang_day + sums.closures + sums.set_ups;
        let fair = sums.price - self.cut(walk.prices, &tasks) - walk.day_price - fixed;
        let answer = self.cheapest(walk.class, &tasks, fair + walk.below)?;
        if let Answer::Less(cost) = answer {
            let over = cost - fair;
            walk.below = walk.below.min(over / 2);
            let (class, cost) = (walk.class, fixed + cost);
            walk.found.push((over, Set { class, tasks, cost }));
        }
        Some(answer != Answer::Never)
    }

    /// What the set's crew and way cost at the least, and its closures over their shortest, if that is less
    /// than `most`. Nothing at all where the effort is used up.
    fn cheapest(&mut self, class: usize, tasks: &[u32], most: i64) -> Option<Answer> {
        if most <= 0 {
            return Some(Answer::NotLess);
        }
        let key = Known::key(self.kinds[class], tasks);
        if let Some(known) = self.known.below(&key, most) {
            return Some(known);
        }
        let asked = most + most / BEYOND;
        let chains = Chains::new(self.setting, &self.classes[class], self.metric, tasks);
        let mut tried = chains.cheapest(asked);
        self.effort.spend(tried.steps as usize)?;
        if tried.given_up {
            self.at_least(class, tasks, (&mut tried, asked))?;
        }
        self.known.remember(key, &tried, asked);
        Some(match tried.cost {
            Some(cost) if cost < most => Answer::Less(cost),
            None if tried.never => Answer::Never,
            _ => Answer::NotLess,
        })
    }

    /// Of a set of which not all orders were tried, what is certain by its work and way alone, or without one
    /// of its tasks, if that is more.
    fn at_least(
        &mut self,
        class: usize,
        tasks: &[u32],
        (tried, asked): (&mut Tried, i64),
    ) -> Option<()> {
        let Some(cost) = tried.cost else {
            return Some(());
        };
        let (rates, depot) = (&self.setting.problem.rates, self.classes[class].day.depot);
        let ground = self.grounds.get(class);
        let least = ground.map(|ground| ground.crew_and_way(tasks, (rates, depot, self.metric)));
        let mut cost = cost.max(least.flatten().unwrap_or(cost));
        for without in tasks {
            let others = tasks.iter().copied().filter(|task| task != without);
            let others: SmallVec<[u32; 8]> = others.collect();
            match self.cheapest(class, &others, asked)? {
                Answer::Less(other) => cost = cost.max(other),
                Answer::NotLess => cost = asked,
                Answer::Never => (tried.never, cost) = (true, asked),
            }
            if cost >= asked {
                break;
            }
        }
        tried.cost = Some(cost).filter(|cost| *cost < asked);
        Some(())
    }

    /// What these tasks on a gang-day of this class cost, but for crew and way.
    fn fixed(&self, class: usize, tasks: &[u32]) -> i64 {
        let pace = self.classes[class].day.pace;
        let closure = |task: &u32| {
            let shortest = self.setting.facts_at(*task, pace).shortest;
            by_begun_hour(self.setting.task(*task).closure_hour, shortest)
        };
        let closures: i64 = tasks.iter().map(closure).sum();
        self.setting.problem.rates.gang_day + closures + self.set_ups(tasks)
    }

    /// These tasks on a gang-day of this class, whatever that costs; none where it can't do them.
    pub(super) fn set(&mut self, class: usize, tasks: Vec<u32>) -> Option<Set> {
        let fixed = self.fixed(class, &tasks);
        match self.cheapest(class, &tasks, WHATEVER)? {
            Answer::Less(cost) => Some(Set {
                class,
                tasks,
                cost: fixed + cost,
            }),
            _ => None,
        }
    }

    /// The prices of the cuts of which the chosen set has two tasks or three.
    fn cut(&self, prices: &Prices, tasks: &[u32]) -> i64 {
        let cuts = self.cuts.iter().zip(&prices.cuts);
        let own = cuts.filter(|(cut, price)| **price > 0 && is_in(cut, tasks));
        own.map(|(_, price)| price).sum()
    }

    /// Once per street, the dearest.
    fn set_ups(&self, tasks: &[u32]) -> i64 {
        let dearer = |one: u32, other: u32| {
            let (a, b) = (self.setting.task(one), self.setting.task(other));
            a.street.is_some() && a.street == b.street && (b.set_up, other) > (a.set_up, one)
        };
        let own = tasks
            .iter()
            .filter(|&&task| !tasks.iter().any(|&other| dearer(task, other)));
        own.map(|&task| self.setting.task(task).set_up.max(0)).sum()
    }
}

/// More than any gang-day costs.
const WHATEVER: i64 = i64::MAX / 1_000;
