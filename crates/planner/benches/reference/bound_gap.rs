//! Prints, for weeks of a size, what the search makes of them, the lower bound and the gap.
//!
//! `bound_gap JOBS GANGS DAYS SECONDS EFFORT SEEDS`
#![allow(clippy::print_stdout, reason = "printing is what it is for")]

#[path = "../../tests/common/weeks.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod weeks;

use std::time::Instant;

use gangday_planner::{Go, Until, WHOLE, bound, solve};

fn main() {
    let stated: Vec<u64> = std::env::args()
        .skip(1)
        .map(|number| number.parse().expect("a number"))
        .collect();
    let &[jobs, gangs, days, seconds, effort, seeds] = stated.as_slice() else {
        panic!("bound_gap JOBS GANGS DAYS SECONDS EFFORT SEEDS");
    };
    for seed in 0..seeds {
        let problem = weeks::week(jobs as u32, gangs as u32, days as u32, seed);
        let begun = Instant::now();
        let mut stop = Until(|| {
            let part = begun.elapsed().as_millis() as u64 * u64::from(WHOLE);
            (part / (seconds * 1_000)) as u32
        });
        let mut rounds = 0;
        let plan = solve(&problem, &mut stop, 1, &mut |progress| {
            rounds = progress.iteration;
            Go::On
        });
        let begun = Instant::now();
        let bound = bound(&problem, effort);
        let (cost, took) = (plan.costs.total(), begun.elapsed().as_secs_f64());
        println!(
            "{jobs} jobs, seed {seed}: {cost} in {rounds} rounds, {} left out, at least {} ({}), gap {:.2} %, {took:.1} s",
            plan.left_out.len(),
            bound.least,
            if bound.raised {
                "raised"
            } else {
                "by hand or part"
            },
            (cost - bound.least) as f64 * 100.0 / cost as f64
        );
    }
}
