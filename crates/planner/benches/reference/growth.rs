//! Prints how fast rounds are and what memory they take on weeks of a size, gang-days being equally long.
//!
//! Seconds are the processor's, as Linux counts them, so that other work on the machine does not tell.
//!
//! `growth ROUNDS JOBS...`
#![allow(clippy::print_stdout, reason = "printing is what it is for")]

#[path = "../../tests/common/weeks.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod weeks;

use gangday_planner::{Go, Iterations, solve};

fn main() {
    let stated: Vec<u64> = std::env::args()
        .skip(1)
        .map(|number| number.parse().expect("a number"))
        .collect();
    let [rounds, sizes @ ..] = stated.as_slice() else {
        eprintln!("growth ROUNDS JOBS...");
        std::process::exit(2);
    };
    for &jobs in sizes {
        let problem = weeks::week(jobs as u32, (jobs as u32 * 7).div_ceil(100), 5, 1);
        let (begun, before) = (spent(), memory("VmRSS"));
        let mut first = begun;
        let plan = solve(&problem, &mut Iterations(*rounds), 1, &mut |progress| {
            if progress.iteration == 0 {
                first = spent();
            }
            Go::On
        });
        let seconds = (spent() - first) / 1e9;
        let days = plan.days.len().max(1);
        println!(
            "{jobs} jobs: first plan after {:.2} s, then {:.0} rounds a second; {:.1} jobs a gang-day; \
             {before} kB before the search, {} kB at most",
            (first - begun) / 1e9,
            *rounds as f64 / seconds,
            (problem.tasks.len() - plan.left_out.len()) as f64 / days as f64,
            memory("VmHWM")
        );
    }
}

/// Nanoseconds that this thread has used of the processor.
fn spent() -> f64 {
    let stat = std::fs::read_to_string("/proc/thread-self/schedstat").expect("a Linux machine");
    let first = stat.split_whitespace().next().unwrap_or_default();
    first.parse().expect("a number")
}

/// A line of what Linux says of this program's memory, kB.
fn memory(name: &str) -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").expect("a Linux machine");
    let line = status.lines().find(|line| line.starts_with(name));
    let number = line.and_then(|line| line.split_whitespace().nth(1));
    number.and_then(|number| number.parse().ok()).unwrap_or(0)
}
