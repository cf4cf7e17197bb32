//! The linear program that proposes prices.

use rustc_hash::FxHashMap;

use super::classes::Class;
use super::cuts::{Cut, is_in};
use super::effort::Effort;
use super::nights::Night;
use super::prices::Prices;
use super::sets::Set;
use super::simplex::{Entries, Simplex};
use crate::setting::Setting;

/// The cheapest mixture of the sets that are known, in which every task is in a set or left out, or both its
/// parts are in sets, as much of one as of the other; its rows are the tasks, the classes and the cuts, and what these are worth are the prices.
pub(super) struct Program {
    tasks: usize,
    days: usize,
    wholes: usize,
    cuts: Vec<Cut>,
    known: Vec<Set>,
    has: FxHashMap<(usize, Vec<u32>), i64>,
    simplex: Simplex,
    /// The number of the first known set's column.
    first: usize,
}

impl Program {
    /// With the sets that are known so far; with none, every task at what leaving it out costs.
    pub(super) fn new(
        setting: &Setting<'_>,
        classes: &[Class],
        nights: &[Night],
        (known, cuts): (Vec<Set>, &[Cut]),
    ) -> Self {
        let stated = &setting.problem.tasks;
        let wholes = setting.wholes().len();
        let all = 0..stated.len() as u32;
        let left_out = all.map(|task| setting.left_out(task).max(0) as f64);
        let counts = classes.iter().map(|class| class.count as f64);
        let rest = classes.len() + cuts.len();
        let needs: Vec<f64> = std::iter::repeat_n(1.0, wholes)
            .chain(std::iter::repeat_n(0.0, stated.len() - wholes))
            .chain(counts)
            .chain(std::iter::repeat_n(1.0, cuts.len()))
            .collect();
        let costs: Vec<f64> = left_out.chain(std::iter::repeat_n(0.0, rest)).collect();
        let mut simplex = Simplex::new(&needs, &costs);
        // A task may be in more sets than one.
        for task in 0..stated.len() as u32 {
            simplex.add(0.0, Entries::from_slice(&[(task, -1.0)]));
        }
        for night in nights {
            let [first, rest] = night.parts;
            let entries = [(night.whole, 1.0), (first, -1.0), (rest, -1.0)];
            simplex.add(night.cost as f64, Entries::from_slice(&entries));
        }
        let mut program = Self {
            wholes,
            tasks: stated.len(),
            days: classes.len(),
            cuts: cuts.to_vec(),
            known: Vec::new(),
            has: FxHashMap::default(),
            simplex,
            first: needs.len() + stated.len() + nights.len(),
        };
        program.add(known);
        program
    }

    /// The sets that are known so far.
    pub(super) fn known(&self) -> &[Set] {
        &self.known
    }

    /// How much of each known set the cheapest mixture takes.
    pub(super) fn parts(&self) -> Vec<f64> {
        self.simplex.parts().split_off(self.first)
    }

    /// The known sets of which the cheapest mixture takes any.
    pub(super) fn mixture(&self) -> Vec<Set> {
        let known = self.known.iter().zip(self.parts());
        let taken = known.filter(|(_, part)| *part > 1e-9);
        taken.map(|(set, _)| set.clone()).collect()
    }

    /// Whether it does not know the set yet.
    pub(super) fn wants(&self, set: &Set) -> bool {
        self.has
            .get(&identity(set))
            .is_none_or(|cost| set.cost < *cost)
    }

    /// What a set takes: its tasks, a gang-day and the cuts that it is in.
    fn column(&self, set: &Set) -> Entries {
        let tasks = set.tasks.iter().map(|&task| (task, 1.0));
        let day = ((self.tasks + set.class) as u32, 1.0);
        let cuts = (0..).zip(&self.cuts);
        let cuts = cuts.filter(|(_, cut)| is_in(cut, &set.tasks));
        let before = (self.tasks + self.days) as u32;
        let cuts = cuts.map(|(at, _): (u32, _)| (before + at, 1.0));
        tasks.chain([day]).chain(cuts).collect()
    }

    /// The best sum of prices that is fair to the sets known so far.
    pub(super) fn value(&self) -> f64 {
        self.simplex.value()
    }

    /// The prices of that, in whole pence.
    pub(super) fn prices(&self) -> Prices {
        let (tasks, rest) = self.simplex.prices().split_at(self.tasks);
        let (days, cuts) = rest.split_at(self.days);
        let dear = |worth: &f64| (-worth).max(0.0).ceil() as i64;
        Prices {
            tasks: tasks
                .iter()
                .map(|worth| worth.max(0.0).floor() as i64)
                .collect(),
            days: days.iter().map(dear).collect(),
            cuts: cuts.iter().map(dear).collect(),
            wholes: self.wholes,
        }
    }

    /// Adds sets that prices have to be fair to.
    pub(super) fn add(&mut self, sets: Vec<Set>) {
        for set in sets {
            let column = self.column(&set);
            self.simplex.add(set.cost as f64, column);
            self.has.insert(identity(&set), set.cost);
            self.known.push(set);
        }
    }

    /// Goes on to the best prices; nothing where the effort is used up or the program fails.
    pub(super) fn solve(&mut self, effort: &mut Effort<'_>) -> Option<()> {
        self.simplex.solve(&mut |steps| effort.spend(steps))
    }
}

/// What makes a set the same as another.
fn identity(set: &Set) -> (usize, Vec<u32>) {
    let mut tasks = set.tasks.clone();
    tasks.sort_unstable();
    (set.class, tasks)
}
