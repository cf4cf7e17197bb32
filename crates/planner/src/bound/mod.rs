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
//! the most unfair one is looked up in tables (`fill`), which takes the same short time however many sets
//! there are: so there is a bound soon. Then a set counts what it really costs at the least, found by trying
//! the orders of its blocks (`chains`), once for all gang-days that cost the same. Sets near those that the
//! program's mixture takes are weighed until it is unfair to none of them (`near`); then all sets are gone
//! through, task by task, and no more tasks are added where the tables say that nothing that is left could
//! make the set unfair by more than is tolerated (`walk`). Where that takes too many steps, the tables answer
//! for the rest, and the next proposal lies nearer to the best fair prices.
//!
//! The program works in floating point, but only proposes: that prices are fair is found in whole
//! pence, so the bound holds whatever the program got wrong.
//!
//! A task that may be left over a night has its parts' prices besides its own (`nights`).
//!
//! What it leaves out, so that the true least may be higher: tips and reloads, drivers' hours, most times
//! between stages, clashes, busy hours, changes to an earlier plan; breaks, where the day has not the time to
//! wait for cures in them; what a day's cold adds to its shortest cures; closures are counted as
//! long as what is done in between asks for, at the least, and over a night no longer than the work on each
//! of its days; and that plans are made of whole gang-days, but for cuts.
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
mod near;
mod nights;
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

use crate::parts::{Parts, apart};
use crate::setting::Setting;
use crate::{Problem, Solution, Step, StepTime, Stop};
use prices::Prices;

/// Up to so many tasks, prices are raised by going through all sets.
pub const RAISED_UP_TO: usize = 130;

/// And up to so many with the parts of those that may be left over a night.
pub const WITH_PARTS_UP_TO: usize = 2 * RAISED_UP_TO;

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
    /// Not at all, since there are too many tasks, or parts of tasks that may be left over a night.
    TooMany,
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
    match apart(problem) {
        Some((apart, parts)) => {
            let plan = among(plan, &parts);
            of(&Setting::light(&apart).apart(&parts), &plan, stop)
        }
        None => of(&Setting::light(problem), plan, stop),
    }
}

fn of(setting: &Setting<'_>, plan: &Solution, stop: &mut dyn Stop) -> Bound {
    let few = setting.wholes().len() <= RAISED_UP_TO && setting.facts.len() <= WITH_PARTS_UP_TO;
    let classes = classes::of(setting, few);
    let mut fair = Prices::by_hand(setting, &classes).over(&nights::of(setting));
    let reach = match few {
        false => Reach::TooMany,
        true if classes.is_empty() => Reach::ByHand,
        true => raise::raise(setting, &classes, (plan, &mut fair), stop),
    };
    Bound {
        least: fair.sum(&classes),
        reach,
    }
}

/// The plan with steps of parts for those of tasks that it leaves over a night.
fn among(plan: &Solution, parts: &Parts) -> Solution {
    let mut plan = plan.clone();
    for day in &mut plan.days {
        let steps: Vec<Step> = day.steps.iter().map(StepTime::step).collect();
        let named = parts.of_day(&steps);
        if named.len() == steps.len() {
            for (step, named) in day.steps.iter_mut().zip(named) {
                (step.task, step.block) = (named.task, named.block);
            }
        }
    }
    plan
}
