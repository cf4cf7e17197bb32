//! The bound is below every plan: below the cheapest of all where that can be found by trying everything,
//! and below what the search finds elsewhere.

mod common;

use common::{brute, weeks};
use gangday_planner::{Go, Iterations, Problem, bound, solve};

const EFFORT: u64 = 1_500_000;

/// The bound in thousandths of a cost.
fn thousandths(problem: &Problem, cost: i64) -> i64 {
    let bound = bound(problem, EFFORT);
    assert!(bound.least >= 0 && bound.least <= cost, "{bound:?} {cost}");
    bound.least * 1_000 / cost.max(1)
}

#[test]
fn no_bound_is_above_the_cheapest_plan() {
    let mut sum = 0;
    for seed in 0..30 {
        let problem = weeks::tiny(seed, 3, 2, 2, seed % 2 == 0);
        sum += thousandths(&problem, brute::cheapest(&problem));
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
        let plan = solve(&problem, &mut Iterations(2_000), seed, &mut |_| Go::On);
        let own = thousandths(&problem, plan.costs.total());
        assert!(own >= 500, "{own} thousandths of what was found");
        let ruled = weeks::with_rules(problem, seed);
        let plan = solve(&ruled, &mut Iterations(500), seed, &mut |_| Go::On);
        thousandths(&ruled, plan.costs.total());
    }
}

#[test]
fn little_effort_and_many_tasks_still_give_a_bound() {
    let problem = weeks::week(16, 2, 3, 7);
    let (little, much) = (bound(&problem, 10), bound(&problem, EFFORT));
    assert!(!little.raised && little.least > 0 && little.least <= much.least);
    assert_eq!(much, bound(&problem, EFFORT), "the same again");
    let large = bound(&weeks::week(400, 20, 5, 1), EFFORT);
    assert!(!large.raised && large.least > 0);
    assert_eq!(bound(&Problem::default(), EFFORT).least, 0);
}
