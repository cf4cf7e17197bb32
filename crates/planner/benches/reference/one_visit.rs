//! Plans a week that `gangday pose` printed twice: with each job as a chain of blocks between which the gang
//! may be elsewhere, and with each job as one visit, its waits inside. `one_visit.py` gives the second to
//! a general solver.
//!
//! So that both are the same problem, what a general solver can't be told is left out of both: loads,
//! breaks, drivers' hours, vibration, clashes, shared set-ups, and gangs or days of another pace.
//!
//! Seconds are the processor's, as Linux counts them.
//!
//! `one_visit POSED.json SECONDS`
#![allow(clippy::print_stdout, reason = "printing is what it is for")]

use gangday_planner::{
    Block, GangDay, Go, Problem, Rates, Solution, Task, Travel, Until, WHOLE, solve,
};
use serde_json::{Value, json};

fn main() {
    let mut words = std::env::args().skip(1);
    let (Some(path), Some(seconds)) = (words.next(), words.next()) else {
        eprintln!("one_visit POSED.json SECONDS");
        std::process::exit(2);
    };
    let seconds: u64 = seconds.parse().expect("whole seconds");
    let text = std::fs::read(path).expect("a file that gangday pose printed");
    let posed: Value = serde_json::from_slice(&text).expect("JSON");
    let chains = problem(&posed);
    let mut visits = chains.clone();
    for task in &mut visits.tasks {
        let all = task.blocks.iter().map(|block| block.work + block.wait);
        let work = all.sum();
        task.blocks = vec![Block { work, wait: 0 }];
    }
    for (name, problem) in [("chains", &chains), ("one visit", &visits)] {
        let begun = spent();
        let mut stop = Until(|| ((spent() - begun) * u64::from(WHOLE) / (seconds * 100)) as u32);
        let solution = solve(problem, &mut stop, 1, &mut |_| Go::On);
        println!("{}", told(name, problem, &solution));
    }
}

fn told(name: &str, problem: &Problem, solution: &Solution) -> Value {
    let day = |of: u32| problem.gang_days[of as usize];
    let days = solution.days.iter();
    let hours: u32 = days
        .clone()
        .map(|own| own.end - day(own.gang_day).start)
        .sum();
    let costs = &solution.costs;
    let travel_hour = problem.rates.travel_hour.max(1);
    json!({
        "who": name,
        "gang_days": solution.days.len(),
        "jobs": problem.tasks.len() - solution.left_out.len(),
        "gang_hours": f64::from(hours) / 3_600.0,
        "travel_hours": costs.travel as f64 / travel_hour as f64,
        "cost": costs.total() as f64 / 100.0,
    })
}

fn number(value: &Value) -> u32 {
    value.as_u64().unwrap_or(0) as u32
}

fn list<T>(value: &Value, of: impl FnMut(&Value) -> T) -> Vec<T> {
    value.as_array().into_iter().flatten().map(of).collect()
}

fn pair(value: &Value) -> (u32, u32) {
    (number(&value[0]), number(&value[1]))
}

fn problem(posed: &Value) -> Problem {
    let rate = |name: &str| posed["rates"][name].as_i64().unwrap_or(0);
    let rows = list(&posed["travel"], |row| list(row, number));
    Problem {
        tasks: list(&posed["tasks"], task),
        gang_days: list(&posed["gang_days"], gang_day),
        travel: Travel::Matrix {
            nodes: rows.len() as u32,
            seconds: rows.concat(),
        },
        near: list(&posed["near"], |near| list(near, number)),
        rates: Rates {
            crew_hour: rate("crew_hour"),
            overtime_hour: rate("overtime_hour"),
            travel_hour: rate("travel_hour"),
            gang_day: rate("gang_day"),
            ..Rates::default()
        },
        ..Problem::default()
    }
}

fn task(stated: &Value) -> Task {
    let blocks = list(&stated["blocks"], |block| {
        let (work, wait) = pair(block);
        Block { work, wait }
    });
    Task {
        node: number(&stated["node"]),
        blocks,
        days: list(&stated["days"], |day| day.as_bool().unwrap_or(false)),
        windows: list(&stated["windows"], pair),
        tickets: stated["tickets"].as_u64().unwrap_or(0),
        left_out: stated["left_out"].as_i64().unwrap_or(0),
        closure_hour: stated["closure_hour"].as_i64().unwrap_or(0),
        ..Task::default()
    }
}

fn gang_day(stated: &Value) -> GangDay {
    let own = |name: &str| number(&stated[name]);
    GangDay {
        gang: own("gang"),
        day: own("day"),
        depot: own("depot"),
        start: own("start"),
        end: own("end"),
        latest: own("latest"),
        load: own("load"),
        unload: own("unload"),
        tickets: stated["tickets"].as_u64().unwrap_or(0),
        ..GangDay::default()
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
