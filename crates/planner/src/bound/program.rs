//! The linear program that proposes prices.

use microlp::{
    ComparisonOp, OptimizationDirection, Problem as Model, Solution as Solved, Variable,
};
use rustc_hash::FxHashSet;

use super::classes::Class;
use super::cuts::{Cut, is_in};
use super::prices::Prices;
use super::sets::Set;
use crate::setting::Setting;

/// The program as far as it is known, solved.
pub(super) struct Program {
    tasks: Vec<Variable>,
    days: Vec<Variable>,
    cuts: Vec<(Cut, Variable)>,
    known: Vec<Set>,
    has: FxHashSet<(usize, Vec<u32>)>,
    solved: Option<Solved>,
}

impl Program {
    /// With the sets that are known so far; with none, every task at what leaving it out costs.
    pub(super) fn new(
        setting: &Setting<'_>,
        classes: &[Class],
        (known, cuts): (Vec<Set>, &[Cut]),
    ) -> Option<Self> {
        let mut model = Model::new(OptimizationDirection::Maximize);
        let left_out = setting
            .problem
            .tasks
            .iter()
            .map(|task| task.left_out.max(0) as f64);
        let tasks = left_out
            .map(|most| model.add_var(1.0, (0.0, most)))
            .collect();
        let days = classes
            .iter()
            .map(|class| model.add_var(-(class.count as f64), (0.0, f64::INFINITY)))
            .collect();
        let price = |model: &mut Model| model.add_var(-1.0, (0.0, f64::INFINITY));
        let cuts = cuts.iter().map(|cut| (*cut, price(&mut model)));
        let mut program = Self {
            tasks,
            cuts: cuts.collect(),
            days,
            known: Vec::new(),
            has: FxHashSet::default(),
            solved: None,
        };
        for set in &known {
            model.add_constraint(program.row(set), ComparisonOp::Le, set.cost as f64);
        }
        program.has = known.iter().map(identity).collect();
        program.known = known;
        program.solved = model.solve().ok()?.into_solution().ok();
        Some(program)
    }

    /// The sets that are known so far.
    pub(super) fn known(&self) -> &[Set] {
        &self.known
    }

    /// Whether it does not know the set yet.
    pub(super) fn wants(&self, set: &Set) -> bool {
        !self.has.contains(&identity(set))
    }

    /// What a set's tasks come to, less what the gang-day and the cuts take.
    fn row(&self, set: &Set) -> Vec<(Variable, f64)> {
        let tasks = set.tasks.iter();
        let tasks = tasks.map(|&task| (self.tasks[task as usize], 1.0));
        let cuts = self.cuts.iter().filter(|cut| is_in(&cut.0, &set.tasks));
        let cuts = cuts.map(|cut| (cut.1, -1.0));
        tasks
            .chain([(self.days[set.class], -1.0)])
            .chain(cuts)
            .collect()
    }

    /// The best sum of prices that is fair to the sets known so far.
    pub(super) fn value(&self) -> f64 {
        self.solved
            .as_ref()
            .map_or(f64::INFINITY, Solved::objective)
    }

    /// The prices of that, in whole pence.
    pub(super) fn prices(&self) -> Option<Prices> {
        let solved = self.solved.as_ref()?;
        let value = |variable: &Variable| solved.var_value(*variable).max(0.0);
        Some(Prices {
            tasks: self
                .tasks
                .iter()
                .map(|task| value(task).floor() as i64)
                .collect(),
            days: self
                .days
                .iter()
                .map(|day| value(day).ceil() as i64)
                .collect(),
            cuts: self
                .cuts
                .iter()
                .map(|(_, cut)| value(cut).ceil() as i64)
                .collect(),
        })
    }

    /// Adds sets that prices have to be fair to; false where the program fails.
    pub(super) fn add(&mut self, sets: &[Set]) -> bool {
        for set in sets {
            let Some(solved) = self.solved.take() else {
                return false;
            };
            let row = self.row(set);
            self.has.insert(identity(set));
            self.known.push(set.clone());
            let outcome = solved.add_constraint(row, ComparisonOp::Le, set.cost as f64);
            self.solved = outcome
                .ok()
                .and_then(|outcome| outcome.into_solution().ok());
        }
        self.solved.is_some()
    }
}

/// What makes a set the same as another.
fn identity(set: &Set) -> (usize, Vec<u32>) {
    let mut tasks = set.tasks.clone();
    tasks.sort_unstable();
    (set.class, tasks)
}
