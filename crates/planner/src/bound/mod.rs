//! What no plan can cost less than.
//!
//! Every task is given a price; a set of prices is fair if no gang-day could serve tasks whose
//! prices come to more than the gang-day costs. The sum of fair prices is a lower bound (it is a
//! solution of the dual of choosing gang-days that serve every task once). Fair prices are first
//! worked out by hand, and then raised, beginning with what each gang-day of a plan costs, parted
//! among its tasks: a linear program over the sets of tasks that are known proposes prices, sets of tasks
//! that one gang-day could serve are gone through, and those that the proposal is unfair to are added to the
//! program. A proposal that is not fair still gives a bound: with each gang-day so much dearer that the most
//! unfair set is not.
//!
//! That is done twice. First a set counts what is certain of it by its work and its ways alone (`ways`), and
//! the most unfair one is looked up in a table (`fill`), which takes the same short time however many sets
//! there are: so there is a bound soon. Then a set counts what it really costs at the least, found by trying
//! the orders of its blocks (`chains`), once for all gang-days that cost the same; all sets are gone through,
//! task by task, and no more tasks are added where the tables say that nothing that is left could make the
//! set unfair (`walk`). Where that takes too many steps, the tables answer for the rest, and the next
//! proposal lies nearer to the best fair prices.
//!
//! The program works in floating point, but only proposes: that prices are fair is found in whole
//! pence, so the bound holds whatever the program got wrong.
//!
//! What it leaves out, so that the true least may be higher: breaks, tips and reloads, drivers' hours,
//! most times between stages, clashes, busy hours, changes to an earlier plan; closures are counted as
//! long as what is done in between asks for, at the least; tasks that may be left over a night, which
//! count as if they cost nothing; and that plans are made of whole gang-days, but for cuts.
//!
//! # Source
//! Set partitioning and its dual: common knowledge of vehicle routing; Ben-Ameur and Neto,
//! "Acceleration of Cutting-Plane and Column Generation Algorithms", Networks 49(1), 2007, for proposing
//! prices between the best fair ones and the program's; Lübbecke and Desrosiers, "Selected
//! Topics in Column Generation", Operations Research 53(6), 2005, for bounds from prices that are not fair;
//! Kellerer, Pferschy and Pisinger, "Knapsack Problems", 2004, for the tables.

mod centre;
mod chains;
mod classes;
mod cuts;
mod effort;
mod fill;
mod ground;
mod known;
mod labels;
mod metric;
mod prices;
mod program;
mod raise;
mod sets;
mod simplex;
mod spans;
mod walk;
mod ways;

#[cfg(test)]
mod rough_tests;

use crate::setting::Setting;
use crate::{Problem, Solution, Stop, Task};
use prices::Prices;

/// Up to so many tasks, prices are raised by going through all sets.
pub const RAISED_UP_TO: usize = 130;

/// A lower bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bound {
    /// What no plan can cost less than, in pence.
    pub least: i64,
    /// How far the prices were raised.
    pub reach: Reach,
}

/// How far prices were raised.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// Not at all: they are as worked out by hand, which is rough.
    ByHand,
    /// Until the effort was used up.
    Part,
    /// As far as they go within a fifth of a per cent, but for cuts.
    Whole,
}

/// Works out a lower bound on the cost of any plan, until it is stopped: what it is stopped by counts steps
/// of going through sets and orders of work as iterations.
///
/// A good plan of the problem tells what prices to begin with; an empty one does too, but not so well. The
/// same problem, plan and number of steps give the same bound.
///
/// ```
/// use gangday_planner::*;
/// let problem = Problem {
///     tasks: vec![Task { node: 1, blocks: vec![Block { work: 7_200, wait: 0 }], left_out: 90_000, ..Task::default() }],
///     gang_days: vec![GangDay { start: 27_000, end: 59_400, latest: 59_400, load: 1_200, ..GangDay::default() }],
///     travel: Travel::Matrix { nodes: 2, seconds: vec![0, 600, 600, 0] },
///     rates: Rates { crew_hour: 6_000, gang_day: 5_000, ..Rates::default() },
///     ..Problem::default()
/// };
/// // 20 min loading, 10 min out, 2 h, 10 min back at £60 an hour, and £50 for the gang-day: £210,
/// // and the bound is at most a fifth of a per cent below.
/// let bound = bound(&problem, &Solution::default(), &mut Iterations(1_000_000));
/// assert!(bound.reach == Reach::Whole && (20_958..=21_000).contains(&bound.least));
/// ```
#[must_use]
pub fn bound(problem: &Problem, plan: &Solution, stop: &mut dyn Stop) -> Bound {
    let in_a_day = in_a_day(problem, plan);
    let (problem, plan) = match &in_a_day {
        Some((problem, plan)) => (problem, plan),
        None => (problem, plan),
    };
    let setting = Setting::light(problem);
    let few = problem.tasks.len() <= RAISED_UP_TO;
    let classes = classes::of(&setting, few);
    let mut fair = Prices::by_hand(&setting, &classes);
    let mut reach = Reach::ByHand;
    if few && !classes.is_empty() {
        reach = raise::raise(&setting, &classes, (plan, &mut fair), stop);
    }
    Bound {
        least: fair.sum(&classes),
        reach,
    }
}

/// The problem and its plan without the tasks that may be left over a night, where there are any: work
/// that is left out of a gang-day makes it no dearer.
fn in_a_day(problem: &Problem, plan: &Solution) -> Option<(Problem, Solution)> {
    let may = |task: &Task| task.nights.as_ref().is_some_and(|own| !own.cuts.is_empty());
    problem.tasks.iter().find(|task| may(task))?;
    let mut number = 0;
    let renamed = problem.tasks.iter().map(|task| {
        let new = (!may(task)).then_some(number);
        number += u32::from(new.is_some());
        new
    });
    let renamed: Vec<Option<u32>> = renamed.collect();
    let tasks = problem.tasks.iter().filter(|task| !may(task));
    let problem = Problem {
        tasks: tasks.cloned().collect(),
        near: Vec::new(),
        clashes: Vec::new(),
        begin: Vec::new(),
        ..problem.clone()
    };
    Some((problem, among(plan, &renamed)))
}

/// The plan's gang-days with the tasks that have a new number, by it.
fn among(plan: &Solution, renamed: &[Option<u32>]) -> Solution {
    let mut plan = plan.clone();
    for day in &mut plan.days {
        day.steps
            .retain(|step| renamed[step.task as usize].is_some());
        for step in &mut day.steps {
            step.task = renamed[step.task as usize].unwrap_or(step.task);
        }
    }
    plan.days.retain(|day| !day.steps.is_empty());
    let left_out = plan.left_out.iter();
    plan.left_out = left_out
        .filter_map(|&task| renamed[task as usize])
        .collect();
    plan
}
