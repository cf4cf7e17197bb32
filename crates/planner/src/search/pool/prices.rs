//! Prices of tasks to which the remembered gang-days are all fair, as high as may be: proposed by a linear
//! program that is given the unfair ones few at a time.

use microlp::{ComparisonOp, OptimizationDirection, Problem as Model, Solution, Variable};

use super::{Column, Pool};
use crate::setting::Setting;

/// So often unfair gang-days are given to the program, and so many at once.
const ROUNDS: usize = 40;
const AT_ONCE: usize = 40;

/// Prices in whole pence.
pub(super) struct Prices {
    pub(super) tasks: Vec<i64>,
    pub(super) classes: Vec<i64>,
}

impl Prices {
    /// What the gang-day costs more than its tasks' prices come to; less than nothing is unfair.
    pub(super) fn over(&self, column: &Column) -> i64 {
        let tasks = column.tasks.iter();
        let prices: i64 = tasks.map(|&task| self.tasks[task as usize]).sum();
        column.cost - prices + self.classes[column.class as usize]
    }
}

/// Prices that are fair or nearly so; none where the program fails.
pub(super) fn of(setting: &Setting<'_>, pool: &Pool) -> Option<Prices> {
    let mut model = Model::new(OptimizationDirection::Maximize);
    let stated = setting.problem.tasks.iter();
    let tasks: Vec<Variable> = stated
        .map(|task| model.add_var(1.0, (0.0, task.left_out.max(0) as f64)))
        .collect();
    let classes: Vec<Variable> = pool
        .classes
        .iter()
        .map(|own| model.add_var(-(own.len() as f64), (0.0, f64::INFINITY)))
        .collect();
    let mut solved = model.solve().ok()?.into_solution().ok()?;
    for _ in 0..ROUNDS {
        let prices = read(&solved, &tasks, &classes);
        let unfair = pool.columns.iter().enumerate();
        let mut unfair: Vec<(i64, usize)> = unfair
            .map(|(at, column)| (prices.over(column), at))
            .filter(|(over, _)| *over < 0)
            .collect();
        if unfair.is_empty() {
            return Some(prices);
        }
        unfair.sort_unstable();
        unfair.truncate(AT_ONCE);
        for (_, at) in unfair {
            let column = &pool.columns[at];
            let own = column.tasks.iter();
            let own = own.map(|&task| (tasks[task as usize], 1.0));
            let row: Vec<(Variable, f64)> = own
                .chain([(classes[column.class as usize], -1.0)])
                .collect();
            let outcome = solved.add_constraint(row, ComparisonOp::Le, column.cost as f64);
            solved = outcome.ok()?.into_solution().ok()?;
        }
    }
    None
}

fn read(solved: &Solution, tasks: &[Variable], classes: &[Variable]) -> Prices {
    let value = |variable: &Variable| solved.var_value(*variable).max(0.0);
    Prices {
        tasks: tasks
            .iter()
            .map(|task| value(task).floor() as i64)
            .collect(),
        classes: classes.iter().map(|day| value(day).ceil() as i64).collect(),
    }
}
