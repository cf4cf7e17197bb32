//! The bound is below every plan: below the cheapest of all where that can be found by trying everything,
//! and below what the search finds elsewhere.

mod common;

use common::{brute, weeks};
use gangday_planner::{
    Block, GangDay, Go, Iterations, Problem, Rates, Reach, Solution, Task, Travel, bound, solve,
};

const EFFORT: Iterations = Iterations(1_500_000);

/// The bound in thousandths of a cost, whatever plan it begins with.
fn thousandths(problem: &Problem, plan: &Solution, cost: i64) -> i64 {
    let (with, without) = (
        bound(problem, plan, &mut EFFORT.clone()),
        bound(problem, &Solution::default(), &mut EFFORT.clone()),
    );
    for bound in [with, without] {
        assert!(bound.least >= 0 && bound.least <= cost, "{bound:?} {cost}");
    }
    with.least * 1_000 / cost.max(1)
}

fn planned(problem: &Problem, iterations: u64, seed: u64) -> Solution {
    solve(problem, &mut Iterations(iterations), seed, &mut |_| Go::On)
}

#[test]
fn no_bound_is_above_the_cheapest_plan() {
    let mut sum = 0;
    for seed in 0..30 {
        let problem = weeks::tiny(seed, 3, 2, 2, seed % 2 == 0);
        let plan = planned(&problem, 100, seed);
        sum += thousandths(&problem, &plan, brute::cheapest(&problem));
    }
    assert!(
        sum / 30 >= 940,
        "on average {} thousandths of the cheapest",
        sum / 30
    );
}

#[test]
fn no_bound_is_above_a_plan_that_was_found() {
    for seed in 0..2 {
        let problem = weeks::week(16, 2, 2, seed);
        let plan = planned(&problem, 2_000, seed);
        let own = thousandths(&problem, &plan, plan.costs.total());
        assert!(own >= 930, "{own} thousandths of what was found");
        let ruled = weeks::with_rules(problem, seed);
        let plan = planned(&ruled, 500, seed);
        thousandths(&ruled, &plan, plan.costs.total());
    }
}

/// Of every sort of week that is made up: other paces, temperatures by the hour, rules.
#[test]
fn no_bound_is_above_the_plan_of_any_sort_of_week() {
    for seed in 100..112 {
        let jobs = 6 + seed as u32 % 5;
        let week = weeks::week(jobs, 2, 2, seed);
        let sorts = [
            weeks::paced(week.clone()),
            weeks::curved(week.clone(), seed),
            weeks::with_rules(week.clone(), seed),
            weeks::tiny_week(seed, jobs, 2),
            week,
        ];
        for problem in sorts {
            let plan = planned(&problem, 1_000, seed);
            thousandths(&problem, &plan, plan.costs.total());
        }
    }
}

#[test]
fn little_effort_and_many_tasks_still_give_a_bound() {
    let problem = weeks::week(16, 2, 3, 7);
    let none = Solution::default();
    let (little, much) = (
        bound(&problem, &none, &mut Iterations(10)),
        bound(&problem, &none, &mut EFFORT.clone()),
    );
    assert!(little.reach == Reach::ByHand && little.least > 0 && little.least <= much.least);
    assert_eq!(
        much,
        bound(&problem, &none, &mut EFFORT.clone()),
        "the same again"
    );
    let large = bound(&weeks::week(400, 20, 5, 1), &none, &mut EFFORT.clone());
    assert!(large.reach == Reach::TooMany && large.least > 0);
    assert_eq!(
        bound(&Problem::default(), &none, &mut EFFORT.clone()).least,
        0
    );
}

/// Weeks too large for all sets to be gone through: the tables alone give a bound, within a stated number
/// of steps.
#[test]
fn a_hundred_jobs_have_a_bound_within_two_million_steps() {
    for seed in 0..2 {
        let problem = weeks::week(100, 8, 5, seed);
        let plan = planned(&problem, 3_000, seed);
        let found = bound(&problem, &plan, &mut Iterations(2_000_000));
        let cost = plan.costs.total();
        assert!(found.reach != Reach::ByHand && found.least <= cost);
        let thousandths = found.least * 1_000 / cost;
        assert!(thousandths >= 900, "{thousandths} thousandths of {cost}");
    }
}

/// Two gang-days that are alike but for what one of them does not have to keep: no plan costs less than it
/// does on that one.
#[test]
fn gang_days_that_differ_in_breaks_or_vibration_alone_are_told_apart() {
    let task = |node| Task {
        node,
        blocks: vec![Block {
            work: 12_600,
            wait: 0,
        }],
        left_out: 500_000,
        shake: 300,
        ..Task::default()
    };
    let free = GangDay {
        start: 27_000,
        end: 63_000,
        latest: 63_000,
        ..GangDay::default()
    };
    let rested = GangDay {
        break_after: 21_600,
        break_lasts: 7_200,
        ..free
    };
    let shaken = GangDay {
        shake: Some(400),
        ..free
    };
    for bound_day in [rested, shaken] {
        let problem = Problem {
            tasks: vec![task(1), task(1)],
            gang_days: vec![bound_day, free],
            travel: Travel::Matrix {
                nodes: 2,
                seconds: vec![0, 600, 600, 0],
            },
            rates: Rates {
                crew_hour: 6_000,
                gang_day: 20_000,
                ..Rates::default()
            },
            ..Problem::default()
        };
        let plan = planned(&problem, 500, 1);
        assert_eq!(plan.days.len(), 1, "both on the free gang-day");
        thousandths(&problem, &plan, plan.costs.total());
    }
}
