//! Prints, for weeks of a size, what the search makes of them, the lower bound and the gap.
//!
//! Seconds are the processor's, as Linux counts them, so that other work on the machine does not tell.
//!
//! `bound_gap JOBS GANGS DAYS SECONDS EFFORT FIRST-SEED SEEDS`
#![allow(clippy::print_stdout, reason = "printing is what it is for")]

#[path = "../../tests/common/weeks.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod weeks;

use gangday_planner::{Go, Iterations, Reach, Until, WHOLE, bound, solve};

fn main() {
    let stated: Vec<u64> = std::env::args()
        .skip(1)
        .map(|number| number.parse().expect("a number"))
        .collect();
    let &[jobs, gangs, days, seconds, effort, first, seeds] = stated.as_slice() else {
        eprintln!("bound_gap JOBS GANGS DAYS SECONDS EFFORT FIRST-SEED SEEDS");
        std::process::exit(2);
    };
    for seed in first..first + seeds {
        let problem = weeks::week(jobs as u32, gangs as u32, days as u32, seed);
        let begun = spent();
        let mut stop = Until(|| {
            let part = (spent() - begun) * u64::from(WHOLE);
            (part / (seconds * 100)) as u32
        });
        let (mut rounds, mut early) = (0, 0);
        let plan = solve(&problem, &mut stop, 1, &mut |progress| {
            rounds = progress.iteration;
            if rounds == 0 {
                early = spent() - begun;
            }
            Go::On
        });
        let begun = spent();
        let bound = bound(&problem, &plan, &mut Iterations(effort));
        let (cost, took) = (plan.costs.total(), spent() - begun);
        println!(
            "{jobs} jobs, seed {seed}: {cost} in {rounds} rounds, first plan after {early}0 ms, {} left out, \
             at least {} ({}), gap {:.2} %, bound in {took}0 ms",
            plan.left_out.len(),
            bound.least,
            match bound.reach {
                Reach::ByHand | Reach::TooMany => "by hand",
                Reach::Part => "in part",
                Reach::Whole => "whole",
            },
            (cost - bound.least) as f64 * 100.0 / cost as f64
        );
    }
}

/// Hundredths of a second that this program has used of the processor.
fn spent() -> u64 {
    let stat = std::fs::read_to_string("/proc/self/stat").expect("a Linux machine");
    let after = stat.rsplit(')').next().unwrap_or_default();
    let mut fields = after.split_whitespace().skip(11);
    let mut next = || fields.next().and_then(|field| field.parse::<u64>().ok());
    next().unwrap_or(0) + next().unwrap_or(0)
}
