//! Prints random tiny weeks as JSON, one a line, each with what the search makes of it, for an exact
//! model in another library to be held against.
//!
//! `tiny_weeks COUNT JOBS BLOCKS ITERATIONS`
#![allow(clippy::print_stdout, reason = "printing is what it is for")]

#[path = "../../tests/common/weeks.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod weeks;

use std::time::Instant;

use gangday_planner::{Block, GangDay, Go, Iterations, Problem, Task, solve};
use serde_json::{Value, json};

fn main() {
    let stated: Vec<u64> = std::env::args()
        .skip(1)
        .map(|number| number.parse().expect("a number"))
        .collect();
    let &[count, jobs, blocks, iterations] = stated.as_slice() else {
        eprintln!("tiny_weeks COUNT JOBS BLOCKS ITERATIONS");
        std::process::exit(2);
    };
    for seed in 0..count {
        let problem = weeks::tiny_week(seed, jobs as u32, blocks as u32);
        let begun = Instant::now();
        let solution = solve(&problem, &mut Iterations(iterations), 1, &mut |_| Go::On);
        let mut line = week(&problem);
        line["seed"] = json!(seed);
        line["ours"] = json!(solution.costs.total());
        line["seconds"] = json!(begun.elapsed().as_secs_f64());
        println!("{line}");
    }
}

fn week(problem: &Problem) -> Value {
    let nodes = problem.tasks.len() as u32 + 1;
    let row = |from: u32| -> Vec<u32> {
        (0..nodes)
            .map(|to| problem.travel.seconds(from, to) / 60)
            .collect()
    };
    let rates = &problem.rates;
    json!({
        "travel": (0..nodes).map(row).collect::<Vec<_>>(),
        "crew_minute": rates.crew_hour / 60,
        "overtime_minute": (rates.crew_hour + rates.overtime_hour) / 60,
        "travel_minute": rates.travel_hour / 60,
        "gang_day": rates.gang_day,
        "tasks": problem.tasks.iter().map(task).collect::<Vec<_>>(),
        "days": problem.gang_days.iter().map(day).collect::<Vec<_>>(),
    })
}

fn task(task: &Task) -> Value {
    let block = |block: &Block| [block.work / 60, block.wait / 60];
    json!({
        "node": task.node,
        "blocks": task.blocks.iter().map(block).collect::<Vec<_>>(),
        "window": task.windows.first().map(|window| [window.0 / 60, window.1 / 60]),
        "days": task.days,
        "tickets": task.tickets,
        "left_out": task.left_out,
        "street": task.street,
        "closure_hour": task.closure_hour,
        "set_up": task.set_up,
    })
}

fn day(day: &GangDay) -> Value {
    json!({
        "day": day.day,
        "depot": day.depot,
        "tickets": day.tickets,
        "start": day.start / 60,
        "end": day.end / 60,
        "latest": day.latest / 60,
        "load": day.load / 60,
        "unload": day.unload / 60,
    })
}
