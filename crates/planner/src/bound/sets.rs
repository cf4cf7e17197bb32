//! All sets of tasks that one gang-day could serve, gone through for those that prices are unfair to.

use super::chains::{Chains, SOON, Tried};
use super::classes::{Class, easier, kinds, order};
use super::cuts::{Cut, is_in};
use super::effort::Effort;
use super::ground::Ground;
use super::known::{Answer, Key, Known};
use super::metric::Metric;
use super::nights;
use super::prices::Prices;
use super::walk::{Sums, Walk};
use crate::rules::shake;
use crate::setting::Setting;
use crate::timing::by_begun_hour;
use smallvec::SmallVec;
use std::rc::Rc;

/// Of one class, so many unfair sets are enough for one round.
pub(super) const ENOUGH: usize = 12;

/// Filling in so many numbers counts as one step.
const NUMBERS: usize = 512;

/// Of one class, so many steps are gone in one round, to begin with.
const STEPS: u64 = 300_000;

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
    /// All sets are gone through.
    All,
}

/// Unfair sets.
#[derive(Default)]
pub(super) struct Unfair {
    pub(super) sets: Vec<Set>,
    /// For each class what no set is less than over its prices, not above nothing.
    pub(super) least: Vec<i64>,
    /// The classes of which not all sets were gone through.
    pub(super) unfinished: Vec<usize>,
    /// Whether the effort was used up.
    pub(super) ended: bool,
}

/// Goes through sets; a set of buffers.
pub(super) struct Sets<'a> {
    pub(super) setting: &'a Setting<'a>,
    pub(super) classes: &'a [Class],
    kinds: Vec<usize>,
    /// For each kind, others that are easier; and classes in order, the easier ones first.
    easier: Vec<Vec<usize>>,
    pub(super) order: Rc<Vec<usize>>,
    pub(super) metric: &'a Metric,
    /// What is short of fair by no more than this is not looked for.
    pub(super) tolerance: i64,
    pub(super) grounds: Rc<Vec<Ground>>,
    known: Known,
    /// What prices of cuts are for.
    pub(super) cuts: Vec<Cut>,
    pub(super) effort: Effort<'a>,
    /// Of one class, so many steps are gone in one round, and so many unfair sets are enough.
    pub(super) most: u64,
    pub(super) enough: usize,
}

impl<'a> Sets<'a> {
    /// Nothing where the effort is used up.
    pub(super) fn new(
        setting: &'a Setting<'a>,
        classes: &'a [Class],
        metric: &'a Metric,
        effort: Effort<'a>,
    ) -> Option<Self> {
        let kinds = kinds(classes);
        let easier = easier(setting, classes, &kinds);
        let mut sets = Self {
            setting,
            classes,
            order: Rc::new(order(&easier, &kinds)),
            kinds,
            easier,
            metric,
            tolerance: 0,
            grounds: Rc::default(),
            known: Known::default(),
            cuts: Vec::new(),
            effort,
            most: STEPS,
            enough: ENOUGH,
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
    /// class is among them, unless it is short of fair by no more than what is tolerated or the class is
    /// named as unfinished.
    pub(super) fn unfair(&mut self, prices: &Prices, look: Look) -> Unfair {
        let mut unfair = Unfair {
            least: vec![0; self.classes.len()],
            ..Unfair::default()
        };
        for &at in Rc::clone(&self.order).iter() {
            let least = self.unfair_of(at, prices, (look, &mut unfair));
            unfair.least[at] = least;
        }
        unfair
    }

    /// Goes through the sets of unfinished classes again, with so many times as many steps.
    pub(super) fn go_on(&mut self, prices: &Prices, unfair: &mut Unfair, times: u64) {
        let (before, gone) = (self.most, self.effort.gone());
        self.most = self.most.saturating_mul(times);
        for at in std::mem::take(&mut unfair.unfinished) {
            if self.effort.gone() > gone + gone / 2 {
                unfair.unfinished.push(at);
                continue;
            }
            let least = self.unfair_of(at, prices, (Look::All, unfair));
            unfair.least[at] = unfair.least[at].max(least);
        }
        self.most = before;
    }

    /// Finds unfair sets of one class, and says what none is less than.
    fn unfair_of(
        &mut self,
        at: usize,
        prices: &Prices,
        (look, unfair): (Look, &mut Unfair),
    ) -> i64 {
        let grounds = Rc::clone(&self.grounds);
        let ground = &grounds[at];
        let size = Walk::size(ground) / NUMBERS + 1;
        unfair.ended |= self.effort.spend(size).is_none();
        let class = (at, &self.classes[at]);
        let mut walk = Walk::of(self.setting, class, (ground, self.metric), prices);
        let mut least = walk.rough();
        if look == Look::Rough {
            walk.found = walk.likely();
        } else if least < -self.tolerance {
            unfair.ended |= self.effort.spend(size).is_none();
            walk.with_tours();
            least = self.all(&mut walk, unfair);
        }
        walk.found.sort_by_key(|(over, _)| *over);
        let found = walk.found.into_iter().take(ENOUGH);
        unfair.sets.extend(found.map(|(_, set)| set));
        least
    }

    /// Goes through all sets, and says what none is less than over its prices.
    fn all(&mut self, walk: &mut Walk<'_>, unfair: &mut Unfair) -> i64 {
        let until = self.effort.gone().saturating_add(self.most);
        let mut rest = 0;
        walk.below = -self.tolerance;
        for (over, at) in walk.firsts() {
            if over >= walk.below {
                break;
            }
            unfair.ended |= self.one_more(walk, Sums::default(), (at, until)).is_none();
            if walk.cut_short || unfair.ended {
                unfair.unfinished.push(walk.class);
                rest = over;
                break;
            }
        }
        let found = walk.found.iter().map(|(over, _)| *over).min();
        found.unwrap_or(0).min(rest).min(walk.below)
    }

    /// Adds this task to the chosen ones, and goes on with those after it.
    fn one_more(
        &mut self,
        walk: &mut Walk<'_>,
        sums: Sums,
        (at, until): (usize, u64),
    ) -> Option<()> {
        self.effort.spend(1)?;
        if self.effort.gone() > until || walk.found.len() >= self.enough {
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
    pub(super) fn cheapest(&mut self, class: usize, tasks: &[u32], most: i64) -> Option<Answer> {
        if most <= 0 {
            return Some(Answer::NotLess);
        }
        if self.never(class, tasks) {
            return Some(Answer::Never);
        }
        let key = Known::key(self.kinds[class], tasks);
        if let Some(known) = self.known.below(&key, most) {
            return Some(known);
        }
        if let Some(known) = self.by_easier(class, &key, most) {
            return Some(known);
        }
        let asked = most + most / BEYOND;
        let chains = Chains::new(self.setting, &self.classes[class], self.metric, tasks);
        let mut tried = chains.cheapest(asked);
        self.effort.spend(tried.steps as usize)?;
        if tried.given_up {
            self.at_least(class, tasks, (&mut tried, asked))?;
        }
        self.by_work(class, tasks, (&mut tried, asked));
        self.known.remember(key, &tried, asked);
        Some(match tried.cost {
            Some(cost) if cost < most => Answer::Less(cost),
            None if tried.never => Answer::Never,
            _ => Answer::NotLess,
        })
    }

    /// What is known of the set on gang-days that are easier, where it is no cheaper there either.
    fn by_easier(&self, class: usize, key: &Key, most: i64) -> Option<Answer> {
        let easier = self.easier[self.kinds[class]].iter();
        let known =
            easier.filter_map(|&kind| self.known.below(&(kind as u32, key.1.clone()), most));
        known
            .into_iter()
            .find(|known| !matches!(known, Answer::Less(_)))
    }

    /// Whether no gang-day of the class can have these, in whatever order.
    fn never(&self, class: usize, tasks: &[u32]) -> bool {
        let shaken = tasks
            .iter()
            .map(|&task| u64::from(self.setting.task(task).shake));
        !shake::keeps(&self.classes[class].day, shaken.sum()) || nights::clash(self.setting, tasks)
    }

    /// What the set's crew and way cost about, and its closures over their shortest; never less than at the
    /// least. None where no order is found soon.
    pub(super) fn about(&mut self, class: usize, tasks: &[u32]) -> Option<Option<i64>> {
        if self.never(class, tasks) {
            return Some(None);
        }
        let key = Known::key(self.kinds[class], tasks);
        if let Some(known) = self.known.about(&key) {
            return Some(known);
        }
        let chains = Chains::new(self.setting, &self.classes[class], self.metric, tasks);
        let cost = chains.soon(WHATEVER);
        self.effort.spend(SOON as usize)?;
        self.known.remember_about(key, cost);
        Some(cost)
    }

    /// Of a set of which not all orders were tried, what is certain without one of its tasks, if that is more.
    fn at_least(
        &mut self,
        class: usize,
        tasks: &[u32],
        (tried, asked): (&mut Tried, i64),
    ) -> Option<()> {
        let Some(cost) = tried.cost else {
            return Some(());
        };
        let mut cost = cost;
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

    /// What is certain by the set's work and way alone, its break in it, if that is more.
    fn by_work(&self, class: usize, tasks: &[u32], (tried, asked): (&mut Tried, i64)) {
        let (Some(cost), Some(ground)) = (tried.cost, self.grounds.get(class)) else {
            return;
        };
        let (rates, depot) = (&self.setting.problem.rates, self.classes[class].day.depot);
        match ground.crew_and_way(tasks, (rates, depot, self.metric)) {
            Some(least) => tried.cost = Some(cost.max(least)).filter(|cost| *cost < asked),
            None => (tried.never, tried.cost) = (true, None),
        }
    }

    /// What these tasks on a gang-day of this class cost, but for crew and way.
    pub(super) fn fixed(&self, class: usize, tasks: &[u32]) -> i64 {
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
    pub(super) fn cut(&self, prices: &Prices, tasks: &[u32]) -> i64 {
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
