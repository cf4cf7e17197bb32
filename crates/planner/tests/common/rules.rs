//! The rules of a solution, written once more and as plainly as they are said.

use std::collections::HashMap;

use gangday_planner::{CostParts, DaySolution, Problem, Solution, StepTime};

/// What is wrong with the solution, in words; nothing if it is sound.
pub fn broken(problem: &Problem, solution: &Solution) -> Vec<String> {
    let mut wrong = Vec::new();
    everyone_once(problem, solution, &mut wrong);
    for day in &solution.days {
        gang_day(problem, day, &mut wrong);
        tasks(problem, day, &mut wrong);
    }
    let mut costs: CostParts = CostParts::default();
    for day in &solution.days {
        let own = price(problem, day);
        if own != day.costs {
            wrong.push(format!(
                "gang-day {} costs {own:?}, not {:?}",
                day.gang_day, day.costs
            ));
        }
        costs.crew += own.crew;
        costs.overtime += own.overtime;
        costs.travel += own.travel;
        costs.set_ups += own.set_ups;
        costs.closure += own.closure;
        costs.gang_days += own.gang_days;
    }
    costs.left_out = solution
        .left_out
        .iter()
        .map(|&task| problem.tasks[task as usize].left_out)
        .sum();
    if costs != solution.costs {
        wrong.push(format!("it costs {costs:?}, not {:?}", solution.costs));
    }
    wrong
}

fn everyone_once(problem: &Problem, solution: &Solution, wrong: &mut Vec<String>) {
    for (at, task) in problem.tasks.iter().enumerate() {
        let left = solution
            .left_out
            .iter()
            .filter(|&&other| other as usize == at)
            .count();
        for block in 0..task.blocks.len() {
            let steps = solution.days.iter().flat_map(|day| &day.steps);
            let own = |step: &&StepTime| (step.task as usize, step.block as usize) == (at, block);
            let times = steps.filter(own).count();
            if times + left != 1 {
                wrong.push(format!(
                    "task {at} block {block}: {times} times, {left} left out"
                ));
            }
        }
        let homes = solution.days.iter();
        let homes = homes.filter(|day| day.steps.iter().any(|step| step.task as usize == at));
        if homes.count() > 1 {
            wrong.push(format!("task {at} is on several gang-days"));
        }
    }
    if !solution
        .days
        .is_sorted_by(|one, next| one.gang_day < next.gang_day)
    {
        wrong.push("a gang-day is there twice".to_owned());
    }
}

fn gang_day(problem: &Problem, day: &DaySolution, wrong: &mut Vec<String>) {
    let stated = &problem.gang_days[day.gang_day as usize];
    let mut fault = |what: &str| wrong.push(format!("gang-day {}: {what}", day.gang_day));
    let (mut node, mut left) = (stated.depot, day.depart);
    if left < stated.start + stated.load {
        fault("leaves before it is loaded");
    }
    for step in &day.steps {
        let task = &problem.tasks[step.task as usize];
        if step.arrive != left + problem.travel_of(stated).seconds(node, task.node) {
            fault("arrives at another time than it drives");
        }
        if step.start < step.arrive {
            fault("starts before it arrives");
        }
        if step.finish != step.start + task.blocks[step.block as usize].work {
            fault("works for another time than the block takes");
        }
        (node, left) = (task.node, step.finish);
    }
    if day.steps.is_empty()
        || day.back != left + problem.travel_of(stated).seconds(node, stated.depot)
    {
        fault("is back at another time than it drives");
    }
    let begun = day.steps.iter().filter(|step| step.block == 0);
    let weight: u32 = begun
        .map(|step| problem.tasks[step.task as usize].weight)
        .sum();
    if stated.payload.is_some_and(|payload| weight > payload) {
        fault("carries too much");
    }
    if day.end != day.back + stated.unload || day.end > stated.latest {
        fault("ends too late");
    }
}

fn tasks(problem: &Problem, day: &DaySolution, wrong: &mut Vec<String>) {
    let stated = &problem.gang_days[day.gang_day as usize];
    for (at, steps) in by_task(day) {
        let task = &problem.tasks[at as usize];
        let mut fault = |what: &str| wrong.push(format!("task {at}: {what}"));
        for pair in steps.windows(2) {
            let wait = task.blocks[pair[0].block as usize].wait;
            if pair[1].block != pair[0].block + 1 || pair[1].start < pair[0].finish + wait {
                fault("order or wait");
            }
        }
        let (from, until) = (steps[0].start, steps[steps.len() - 1].finish);
        let within = |window: &(u32, u32)| window.0 <= from && until <= window.1;
        if !task.windows.is_empty() && !task.windows.iter().any(within) {
            fault("window");
        }
        if task.tickets & !stated.tickets != 0 {
            fault("ticket");
        }
        if !task.days.is_empty() && !task.days[stated.day as usize] {
            fault("day");
        }
    }
}

fn by_task(day: &DaySolution) -> HashMap<u32, Vec<StepTime>> {
    let mut tasks: HashMap<u32, Vec<StepTime>> = HashMap::new();
    for step in &day.steps {
        tasks.entry(step.task).or_default().push(*step);
    }
    tasks
}

/// What the day costs, worked out from its times.
pub fn price(problem: &Problem, day: &DaySolution) -> CostParts {
    let stated = &problem.gang_days[day.gang_day as usize];
    let rates = &problem.rates;
    let hourly = |rate: i64, seconds: u32| (rate * i64::from(seconds) * 2 + 3_600) / 7_200;
    let within = day.end.min(stated.end) - stated.start;
    let past = day.end.saturating_sub(stated.end);
    let worked: u32 = day.steps.iter().map(|step| step.arrive).sum::<u32>() + day.back;
    let left: u32 = day.steps.iter().map(|step| step.finish).sum::<u32>() + day.depart;
    let tasks = by_task(day);
    let closure = |(at, steps): (&u32, &Vec<StepTime>)| {
        let seconds = steps[steps.len() - 1].finish - steps[0].start;
        problem.tasks[*at as usize].closure_hour * i64::from(seconds.div_ceil(3_600))
    };
    let mut streets: HashMap<Option<u32>, Vec<i64>> = HashMap::new();
    for at in tasks.keys() {
        let task = &problem.tasks[*at as usize];
        streets.entry(task.street).or_default().push(task.set_up);
    }
    let set_up = |(street, set_ups): (&Option<u32>, &Vec<i64>)| match street {
        Some(_) => set_ups.iter().copied().max().unwrap_or(0),
        None => set_ups.iter().sum(),
    };
    CostParts {
        crew: hourly(rates.crew_hour, within),
        overtime: hourly(rates.crew_hour + rates.overtime_hour, past),
        travel: hourly(rates.travel_hour, worked - left),
        set_ups: streets.iter().map(set_up).sum(),
        closure: tasks.iter().map(closure).sum(),
        gang_days: rates.gang_day,
        left_out: 0,
    }
}
