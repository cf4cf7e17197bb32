//! All sets of tasks that one gang-day could serve, gone through for those that prices are unfair to.

use super::chains::Chains;
use super::classes::{Class, kinds};
use super::cuts::{Cut, is_in};
use super::known::{Answer, Known};
use super::metric::Metric;
use super::prices::Prices;
use super::walk::{Open, Sums, Walk};
use crate::setting::Setting;
use crate::stop::{Stop, WHOLE};
use crate::timing::by_begun_hour;

/// Of one class, so many unfair sets are enough for one round.
const ENOUGH: usize = 12;

/// Looking at so many pairs of tasks counts as one step.
const PAIRS: usize = 64;

/// After so many steps it is asked whether to stop.
const ASKING: u64 = 2_000;

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

/// Unfair sets.
#[derive(Default)]
pub(super) struct Unfair {
    pub(super) sets: Vec<Set>,
    /// For each class what the most unfair set costs over its prices, not above nothing; none where not
    /// all sets were gone through.
    pub(super) least: Option<Vec<i64>>,
}

/// Goes through sets; a set of buffers.
pub(super) struct Sets<'a> {
    setting: &'a Setting<'a>,
    classes: &'a [Class],
    kinds: Vec<usize>,
    metric: &'a Metric,
    known: Known,
    /// What prices of cuts are for.
    pub(super) cuts: Vec<Cut>,
    stop: &'a mut dyn Stop,
    /// Steps gone, and how many when it was last asked whether to stop.
    gone: u64,
    asked: u64,
}

impl<'a> Sets<'a> {
    pub(super) fn new(
        setting: &'a Setting<'a>,
        classes: &'a [Class],
        metric: &'a Metric,
        stop: &'a mut dyn Stop,
    ) -> Self {
        Self {
            setting,
            classes,
            kinds: kinds(classes),
            metric,
            known: Known::default(),
            cuts: Vec::new(),
            stop,
            gone: 0,
            asked: 0,
        }
    }

    /// Sets that these prices are unfair to, some of each class; none at all only if there are none. With
    /// `all`, the most unfair one of each class is among them. Nothing where the effort is used up.
    pub(super) fn unfair(&mut self, prices: &Prices, all: bool) -> Option<Unfair> {
        let mut unfair = Unfair::default();
        let mut least = Vec::new();
        for (at, class) in self.classes.iter().enumerate() {
            let mut walk = Walk::of(self.setting, (at, class), self.metric, prices);
            let open = walk.all();
            self.step(&mut walk, Sums::default(), (&open, all))?;
            walk.found.sort_by_key(|(over, _)| *over);
            if !walk.cut_short {
                least.push(walk.found.first().map_or(0, |(over, _)| *over));
            }
            let found = walk.found.into_iter().take(ENOUGH);
            unfair.sets.extend(found.map(|(_, set)| set));
        }
        unfair.least = (least.len() == self.classes.len()).then_some(least);
        Some(unfair)
    }

    /// Adds one more task to the chosen ones, each of the open ones in turn, and goes on with those after it.
    fn step(
        &mut self,
        walk: &mut Walk<'_>,
        sums: Sums,
        (open, all): (&[Open], bool),
    ) -> Option<()> {
        let open = walk.promising(&sums, open);
        self.spend(open.len() * open.len() / PAIRS + 1)?;
        for (at, &one) in open.iter().enumerate() {
            if !all && walk.found.len() >= ENOUGH {
                walk.cut_short = true;
                break;
            }
            let more = walk.with(&sums, one);
            walk.chosen.push(one.at);
            if !walk.tells(&more) || self.weigh(walk, &more, all)? {
                self.step(walk, more, (&open[at + 1..], all))?;
            }
            walk.chosen.pop();
        }
        Some(())
    }

    fn spend(&mut self, steps: usize) -> Option<()> {
        self.gone += steps as u64;
        if self.gone - self.asked < ASKING {
            return Some(());
        }
        self.asked = self.gone;
        (self.stop.used(self.gone) < WHOLE).then_some(())
    }

    /// Adds the chosen set if the prices are unfair enough to it; false where it can't be done at all.
    fn weigh(&mut self, walk: &mut Walk<'_>, sums: &Sums, all: bool) -> Option<bool> {
        let tasks = walk.tasks();
        let rates = &self.setting.problem.rates;
        let fixed = rates.gang_day + sums.closures + sums.set_ups;
        let fair = sums.price - self.cut(walk.prices, &tasks) - walk.day_price - fixed;
        let answer = self.cheapest(walk.class, &tasks, fair + walk.below)?;
        if let Answer::Less(cost) = answer {
            let over = cost - fair;
            if all {
                walk.below = walk.below.min(over / 2);
            }
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
        let tried = chains.cheapest(asked);
        self.spend(tried.steps as usize)?;
        self.known.remember(key, &tried, asked);
        Some(match tried.cost {
            Some(cost) if cost < most => Answer::Less(cost),
            None if tried.never => Answer::Never,
            _ => Answer::NotLess,
        })
    }

    /// These tasks on a gang-day of this class, whatever that costs; none where it can't do them.
    pub(super) fn set(&mut self, class: usize, tasks: Vec<u32>) -> Option<Set> {
        let own = &self.classes[class];
        let rates = &self.setting.problem.rates;
        let closure = |task: &u32| {
            let shortest = self.setting.facts_at(*task, own.day.pace).shortest;
            by_begun_hour(self.setting.task(*task).closure_hour, shortest)
        };
        let closures: i64 = tasks.iter().map(closure).sum();
        let fixed = rates.gang_day + closures + self.set_ups(&tasks);
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
