//! Prices to begin with, from a plan: nearly fair where the plan is good.
//!
//! What each of its gang-days costs is parted among its tasks: to each its own work and closure, and of
//! the rest a part by its work. A task that is left out, and any part of
//! one that is not in the plan, would cost as much by its work as the others do.
//! Where gang-days are scarce, time has a price: so much for a second of work, up to what leaving the
//! task out costs, and a gang-day then costs as much more as its time comes to.

use rustc_hash::FxHashSet;

use super::classes::Class;
use super::prices::Prices;
use crate::setting::Setting;
use crate::timing::{by_begun_hour, by_hour};
use crate::{DaySolution, Solution};

/// Prices of time are counted in so many parts of a penny.
const PARTS: i64 = 1_000;

/// A task's work, what it costs by the plan, and what leaving it out costs.
struct Share {
    work: i64,
    cost: i64,
    left_out: i64,
}

impl Share {
    /// Its price if a second costs so many parts of a penny more.
    fn price(&self, second: i64) -> i64 {
        (self.cost + self.work * second / PARTS).clamp(0, self.left_out)
    }
}

/// The prices; of an empty plan, those by hand.
pub(super) fn of(setting: &Setting<'_>, classes: &[Class], plan: &Solution) -> Prices {
    let mut prices = Prices::by_hand(setting, classes);
    let days = plan.days.len() as i64;
    if days == 0 {
        return prices;
    }
    let shares = shares(setting, plan);
    let wholes = &shares[..setting.wholes().len()];
    let planned = plan.days.iter().flat_map(tasks);
    let work: i64 = planned.map(|task| shares[task as usize].work).sum();
    let a_day = work / days;
    let all: i64 = classes.iter().map(|class| class.count).sum();
    let sum = |second: i64| {
        let tasks: i64 = wholes.iter().map(|share| share.price(second)).sum();
        tasks - all * a_day * second / PARTS
    };
    let steps = wholes.iter().map(|share| {
        let more = (share.left_out - share.cost).max(0);
        more * PARTS / share.work
    });
    let second = steps
        .chain([0])
        .max_by_key(|&second| (sum(second), -second));
    let second = second.unwrap_or(0);
    prices.tasks = shares.iter().map(|share| share.price(second)).collect();
    prices.days.fill(a_day * second / PARTS);
    prices
}

/// What each task costs by the plan, or would.
fn shares(setting: &Setting<'_>, plan: &Solution) -> Vec<Share> {
    let own = |task: u32, pace: u32| {
        let facts = setting.facts_at(task, pace);
        let closure = by_begun_hour(setting.task(task).closure_hour, facts.shortest);
        by_hour(setting.problem.rates.crew_hour, i64::from(facts.work)) + closure
    };
    let share = |task: u32| Share {
        work: i64::from(setting.facts(task).work).max(1),
        cost: own(task, 0),
        left_out: setting.left_out(task).max(0),
    };
    let mut shares: Vec<Share> = (0..setting.facts.len() as u32).map(share).collect();
    let (mut rest, mut work) = (0, 0);
    for day in &plan.days {
        let pace = setting.problem.gang_days[day.gang_day as usize].pace;
        let tasks = tasks(day);
        let all: i64 = tasks.iter().map(|&task| shares[task as usize].work).sum();
        let over = day.costs.total() - tasks.iter().map(|&task| own(task, pace)).sum::<i64>();
        for &task in &tasks {
            let share = &mut shares[task as usize];
            share.cost = own(task, pace) + over * share.work / all.max(1);
        }
        (rest, work) = (rest + over, work + all);
    }
    let planned: FxHashSet<u32> = plan.days.iter().flat_map(tasks).collect();
    for (task, share) in (0..).zip(&mut shares) {
        if !planned.contains(&task) {
            share.cost += rest * share.work / i64::max(work, 1);
        }
    }
    shares
}

/// The tasks of a gang-day.
pub(super) fn tasks(day: &DaySolution) -> Vec<u32> {
    let begun = day.steps.iter().filter(|step| step.block == 0);
    begun.map(|step| step.task).collect()
}
