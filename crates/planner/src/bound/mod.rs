//! What no plan can cost less than.
//!
//! Every task is given a price; a set of prices is fair if no gang-day could serve tasks whose
//! prices come to more than the gang-day costs. The sum of fair prices is a lower bound (it is a
//! solution of the dual of choosing gang-days that serve every task once). Fair prices are first
//! worked out by hand, and then raised: a linear program proposes prices, every set of tasks that
//! one gang-day could serve is gone through, and the sets that the proposal is unfair to are added
//! to the program, until the proposal is fair or the effort is used up.
//!
//! The program works in floating point, but only proposes: that prices are fair is found in whole
//! pence, so the bound holds whatever the program got wrong.
//!
//! What it leaves out, so that the true least may be higher: breaks, tips and reloads, drivers' hours,
//! most times between stages, clashes, changes to an earlier plan; closures are counted as long as
//! what is done in between asks for, at the least; tasks that may be left over a night, which count as if
//! they cost nothing; and that plans are made of whole gang-days, but for cuts.
//!
//! # Source
//! Set partitioning and its dual: common knowledge of vehicle routing; Ben-Ameur and Neto,
//! "Acceleration of Cutting-Plane and Column Generation Algorithms", Networks 49(1), 2007, for proposing
//! prices between the best fair ones and the program's.

mod chains;
mod classes;
mod cuts;
mod program;
mod sets;
mod spans;

use crate::setting::Setting;
use crate::{Problem, Task};
use classes::Class;
use program::Program;
use sets::Sets;

/// Up to so many tasks, prices are raised by going through all sets.
const MOST_TASKS: usize = 130;

/// So often cuts are added.
const CUTTINGS: usize = 40;

/// The best fair prices are good enough within this part of the program's.
const CLOSE: f64 = 0.002;

/// A lower bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bound {
    /// What no plan can cost less than, in pence.
    pub least: i64,
    /// Whether the prices were raised as far as they go, within a fifth of a per cent.
    pub raised: bool,
}

/// Works out a lower bound on the cost of any plan, with so much effort: sets and steps gone through.
///
/// The same problem and effort give the same bound.
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
/// let bound = bound(&problem, 1_000_000);
/// assert!(bound.raised && (20_958..=21_000).contains(&bound.least));
/// ```
#[must_use]
pub fn bound(problem: &Problem, effort: u64) -> Bound {
    let in_a_day = in_a_day(problem);
    let problem = in_a_day.as_ref().unwrap_or(problem);
    let setting = Setting::light(problem);
    let few = problem.tasks.len() <= MOST_TASKS;
    let classes = classes::of(&setting, few);
    let mut fair = Prices::by_hand(&setting, &classes);
    let mut raised = false;
    if few && !classes.is_empty() {
        raised = raise(&setting, &classes, &mut fair, effort);
    }
    Bound {
        least: fair.sum(&classes),
        raised,
    }
}

/// The problem without the tasks that may be left over a night, where there are any: work that is left
/// out of a gang-day makes it no dearer.
fn in_a_day(problem: &Problem) -> Option<Problem> {
    let may = |task: &Task| task.nights.as_ref().is_some_and(|own| !own.cuts.is_empty());
    problem.tasks.iter().find(|task| may(task))?;
    let tasks = problem.tasks.iter().filter(|task| !may(task));
    Some(Problem {
        tasks: tasks.cloned().collect(),
        near: Vec::new(),
        clashes: Vec::new(),
        begin: Vec::new(),
        ..problem.clone()
    })
}

/// Prices of tasks, of a gang-day of each class, and of cuts.
#[derive(Clone, Debug)]
struct Prices {
    tasks: Vec<i64>,
    days: Vec<i64>,
    cuts: Vec<i64>,
}

impl Prices {
    /// What is plain: a task costs at least its own work and closure, and its part by work of what
    /// every gang-day costs before any work.
    fn by_hand(setting: &Setting<'_>, classes: &[Class]) -> Self {
        let days = &setting.problem.gang_days;
        let price = |task: u32| {
            let left_out = setting.task(task).left_out.max(0);
            let least = classes.iter().map(|class| class.least(setting, task)).min();
            let can = days.iter().any(|day| setting.may(task, day));
            least
                .filter(|_| can)
                .map_or(left_out, |least| least.min(left_out))
        };
        Self {
            tasks: (0..setting.facts.len() as u32).map(price).collect(),
            days: vec![0; classes.len()],
            cuts: Vec::new(),
        }
    }

    /// The bound that these prices are, if they are fair.
    fn sum(&self, classes: &[Class]) -> i64 {
        let days = self.days.iter().zip(classes);
        let days: i64 = days.map(|(price, class)| price * class.count).sum();
        self.tasks.iter().sum::<i64>() - days - self.cuts.iter().sum::<i64>()
    }

    /// Half-way, cut so that no task costs more than leaving it out.
    fn between(&self, other: &Self) -> Self {
        let half = |(one, other): (&i64, &i64)| i64::midpoint(*one, *other);
        Self {
            tasks: self.tasks.iter().zip(&other.tasks).map(half).collect(),
            days: self.days.iter().zip(&other.days).map(half).collect(),
            cuts: self.cuts.iter().zip(&other.cuts).map(half).collect(),
        }
    }
}

/// Raises the prices; true if they are as high as they go but for cuts.
fn raise(setting: &Setting<'_>, classes: &[Class], fair: &mut Prices, effort: u64) -> bool {
    let mut sets = Sets::new(setting, classes, effort);
    let Some(mut program) = Program::new(setting, classes, (Vec::new(), &[])) else {
        return false;
    };
    if !settle(&mut sets, &mut program, classes, fair) {
        return false;
    }
    for _ in 0..CUTTINGS {
        let known = program.known();
        let broken = cuts::broken(setting, classes, (known, &sets.cuts));
        if broken.is_empty() {
            break;
        }
        sets.cuts.extend(broken);
        fair.cuts.resize(sets.cuts.len(), 0);
        let known = known.to_vec();
        let Some(next) = Program::new(setting, classes, (known, &sets.cuts)) else {
            break;
        };
        program = next;
        if !settle(&mut sets, &mut program, classes, fair) {
            break;
        }
    }
    true
}

/// Raises the prices as far as they go with the cuts that there are; false where effort ends first.
fn settle(
    sets: &mut Sets<'_>,
    program: &mut Program,
    classes: &[Class],
    fair: &mut Prices,
) -> bool {
    loop {
        let Some(proposed) = program.prices() else {
            return false;
        };
        let (most, best) = (program.value(), fair.sum(classes));
        if most - best as f64 <= CLOSE * most.abs().max(1.0) {
            return true;
        }
        // First half-way to the fair prices, where unfair sets are telling; then the proposal itself.
        let between = fair.between(&proposed);
        let Some(mut found) = sets.unfair(&between) else {
            return false;
        };
        if found.is_empty() && between.sum(classes) > best {
            *fair = between;
            continue;
        }
        if found.is_empty() {
            let Some(more) = sets.unfair(&proposed) else {
                return false;
            };
            if more.is_empty() {
                if proposed.sum(classes) > best {
                    *fair = proposed;
                }
                return true;
            }
            found = more;
        }
        if !program.add(&found) {
            return false;
        }
    }
}
