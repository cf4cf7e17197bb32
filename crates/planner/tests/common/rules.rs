//! The rules of a solution, written once more and as plainly as they are said.

use std::collections::HashMap;

use gangday_planner::{
    Block, CostParts, DaySolution, GangDay, HaltKind, Problem, Solution, StepTime,
};

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
        costs.nights += own.nights;
        costs.changes += own.changes;
    }
    super::nights::price(problem, solution, &mut costs);
    costs.clashes = clashes(problem, solution, &mut wrong);
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
        if homes.count() > 1 && !super::nights::may(problem, solution, at as u32) {
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
    for (at, step) in day.steps.iter().enumerate() {
        let task = &problem.tasks[step.task as usize];
        if step.arrive != left + leg(problem, day, at, (node, task.node), left).0 {
            fault("arrives at another time than it drives");
        }
        if step.start < step.arrive {
            fault("starts before it arrives");
        }
        if step.finish
            != step.start + own_blocks(problem, stated.pace, step.task)[step.block as usize].work
        {
            fault("works for another time than the block takes");
        }
        (node, left) = (task.node, step.finish);
    }
    let home = leg(problem, day, day.steps.len(), (node, stated.depot), left).0;
    if day.steps.is_empty() || day.back != left + home {
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
    let breaks = day.halts.iter().filter(|halt| halt.kind == HaltKind::Break);
    let rested = breaks.filter(|halt| halt.until - halt.from >= stated.break_lasts);
    if stated.break_lasts > 0 && day.end - stated.start > stated.break_after && rested.count() != 1
    {
        fault("has no break");
    }
    if stated
        .driving
        .is_some_and(|most| driving(problem, day) > most)
    {
        fault("drives too much");
    }
    if let Some(what) = overloaded(problem, day) {
        fault(what);
    }
    let begun = day.steps.iter().filter(|step| step.block == 0);
    let shaken: u32 = begun
        .map(|step| problem.tasks[step.task as usize].shake)
        .sum();
    if stated.shake.is_some_and(|most| shaken > most) {
        fault("shakes too much");
    }
}

/// From one place to the next for a gang that is free to leave then, whatever lies between them, as
/// its parts say: how long that is, and how long of it the gang drives.
fn leg(
    problem: &Problem,
    day: &DaySolution,
    at: usize,
    (from, to): (u32, u32),
    left: u32,
) -> (u32, u32) {
    let stated = &problem.gang_days[day.gang_day as usize];
    let (mut node, mut now, mut driven) = (from, left, 0);
    let mut drive = |node: u32, place: u32, now: u32| {
        let (there, lasts) = earliest(problem, stated, (node, place), now);
        driven += lasts;
        there
    };
    for halt in day.halts.iter().filter(|halt| halt.before as usize == at) {
        let (place, lasts) = match halt.kind {
            HaltKind::Break => (node, halt.until - halt.from),
            HaltKind::Tip(tip) => (tip, problem.hauling.tip),
            HaltKind::Reload => (stated.depot, problem.hauling.reload),
        };
        now = drive(node, place, now) + lasts;
        node = place;
    }
    now = drive(node, to, now);
    (now - left, driven)
}

/// When a gang is there that leaves at once or at whatever full hour gets it there soonest, and how
/// long it then drives: every hour of a day is tried.
fn earliest(problem: &Problem, day: &GangDay, (from, to): (u32, u32), left: u32) -> (u32, u32) {
    let full_hours = (1..=24).map(|hour| (left / 3_600 + hour) * 3_600);
    let leaves = std::iter::once(left).chain(full_hours);
    let drives = leaves.map(|leaves| {
        let lasts = problem.travel_of(day, leaves).seconds(from, to);
        (leaves + lasts, lasts)
    });
    drives.min().expect("one leaves at once")
}

/// All driving, by adding up the ways.
fn driving(problem: &Problem, day: &DaySolution) -> u32 {
    let depot = problem.gang_days[day.gang_day as usize].depot;
    let (mut from, mut left, mut all) = (depot, day.depart, 0);
    for (at, step) in day.steps.iter().enumerate() {
        let node = problem.tasks[step.task as usize].node;
        all += leg(problem, day, at, (from, node), left).1;
        (from, left) = (node, step.finish);
    }
    all + leg(problem, day, day.steps.len(), (from, depot), left).1
}

/// Loads followed through the day: what is loaded at the depot is for what comes until the next
/// loading there.
fn overloaded(problem: &Problem, day: &DaySolution) -> Option<&'static str> {
    let stated = &problem.gang_days[day.gang_day as usize];
    let reloads = |at: usize| {
        let halts = &mut day.halts.iter();
        halts.any(|halt| halt.before as usize == at && halt.kind == HaltKind::Reload)
    };
    let tips = |at: usize| {
        let halts = &mut day.halts.iter();
        halts.any(|halt| halt.before as usize == at && matches!(halt.kind, HaltKind::Tip(_)))
    };
    let task = |at: usize| &problem.tasks[day.steps[at].task as usize];
    let first = |at: usize| day.steps[at].block == 0;
    let loaded_at = |from: usize| {
        let until = (from + 1..day.steps.len()).find(|&at| reloads(at));
        let all = (from..until.unwrap_or(day.steps.len())).filter(|&at| first(at));
        all.fold((0, 0), |sum, at| {
            (sum.0 + task(at).out.kg, sum.1 + task(at).out.litres)
        })
    };
    let (mut out, mut spoil) = (loaded_at(0), (0, 0));
    let too_much = |out: (u32, u32), spoil: (u32, u32)| {
        stated.payload.is_some_and(|most| out.0 + spoil.0 > most)
            || stated.body.is_some_and(|most| out.1 + spoil.1 > most)
    };
    for at in 0..day.steps.len() {
        if too_much(out, spoil) {
            return Some("bears too much");
        }
        if reloads(at) {
            (out, spoil) = (loaded_at(at), (0, 0));
        }
        if tips(at) {
            spoil = (0, 0);
        }
        if too_much(out, spoil) {
            return Some("bears too much");
        }
        if first(at) {
            let task = task(at);
            out = (out.0 - task.out.kg, out.1 - task.out.litres);
            spoil = (spoil.0 + task.back.kg, spoil.1 + task.back.litres);
        }
    }
    too_much(out, spoil).then_some("bears too much")
}

/// What closures that are there at once cost, and those that must not be.
fn clashes(problem: &Problem, solution: &Solution, wrong: &mut Vec<String>) -> i64 {
    let mut closed: HashMap<u32, (u32, u32)> = HashMap::new();
    let is_open = |task: u32| problem.tasks[task as usize].open;
    for day in &solution.days {
        let date = problem.gang_days[day.gang_day as usize].day;
        for (task, steps) in by_task(day) {
            let from = match is_open(task) {
                true => 0,
                false => date * 86_400 + steps[0].start,
            };
            closed.insert(task, (from, date * 86_400 + steps[steps.len() - 1].finish));
        }
    }
    let mut cost = 0;
    for clash in &problem.clashes {
        let (Some(one), Some(other)) = (closed.get(&clash.one), closed.get(&clash.other)) else {
            continue;
        };
        let both_open = is_open(clash.one) && is_open(clash.other);
        if !both_open && one.0.max(other.0) < one.1.min(other.1) {
            match clash.price {
                Some(price) => cost += price,
                None => wrong.push(format!("{} and {} clash", clash.one, clash.other)),
            }
        }
    }
    cost
}

fn tasks(problem: &Problem, day: &DaySolution, wrong: &mut Vec<String>) {
    let stated = &problem.gang_days[day.gang_day as usize];
    for (at, steps) in by_task(day) {
        let task = &problem.tasks[at as usize];
        let mut fault = |what: &str| wrong.push(format!("task {at}: {what}"));
        for pair in steps.windows(2) {
            let wait = own_blocks(problem, stated.pace, at)[pair[0].block as usize].wait;
            if pair[1].block != pair[0].block + 1 || pair[1].start < pair[0].finish + wait {
                fault("order or wait");
            }
            if let Some(what) = too_soon_or_cold(problem, stated.pace, pair) {
                fault(what);
            }
            let most = task.most.get(pair[0].block as usize).copied().flatten();
            if most.is_some_and(|most| pair[1].start > pair[0].finish + most) {
                fault("gap");
            }
        }
        let (from, until) = (steps[0].start, steps[steps.len() - 1].finish);
        let within = |window: &(u32, u32)| window.0 <= from && until <= window.1;
        if steps[0].block > 0 {
            // After a night; what stays there has a test of its own.
        } else if let Some(locked) = &task.locked {
            let moved = locked.starts.iter().zip(&steps);
            let moved =
                moved.filter(|(start, step)| start.is_some_and(|start| start != step.start));
            if (locked.gang, locked.day) != (stated.gang, stated.day) || moved.count() > 0 {
                fault("not where it is locked");
            }
        } else if !task.windows.is_empty() && !task.windows.iter().any(within) {
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

/// What a block places is ready in time and not in the cold, looked up minute by minute.
fn too_soon_or_cold(problem: &Problem, pace: u32, pair: &[StepTime]) -> Option<&'static str> {
    let placed = problem.tasks[pair[0].task as usize]
        .placed
        .get(pace as usize)?;
    let placed = placed[pair[0].block as usize]?;
    let cure = &problem.cures[placed.cure as usize];
    let ready = cure.ready(pair[0].finish);
    if pair[1].start < ready {
        return Some("cure");
    }
    let from = pair[0].finish - placed.placing;
    (cure.warm_end(pair[0].finish, placed.placing) != pair[0].finish || from > ready)
        .then_some("cold")
}

/// The blocks of a task at a gang-day's pace.
pub fn own_blocks(problem: &Problem, pace: u32, task: u32) -> &[Block] {
    let task = &problem.tasks[task as usize];
    match pace {
        0 => &task.blocks,
        pace => &task.paces[pace as usize - 1],
    }
}

fn by_task(day: &DaySolution) -> HashMap<u32, Vec<StepTime>> {
    let mut tasks: HashMap<u32, Vec<StepTime>> = HashMap::new();
    for step in &day.steps {
        tasks.entry(step.task).or_default().push(*step);
    }
    tasks
}

/// What the nights and the closures cost for which tasks of a day stood open until then.
fn waited(problem: &Problem, day: u32, tasks: &HashMap<u32, Vec<StepTime>>) -> (i64, i64) {
    let open = tasks.iter().filter(|(at, steps)| {
        let task = &problem.tasks[**at as usize];
        task.open && steps[0].block == 0
    });
    let days: Vec<i64> = open
        .map(|(at, _)| super::nights::whole_day(&problem.tasks[*at as usize]))
        .collect();
    let waits = i64::from(day);
    (
        waits * problem.rates.night * days.len() as i64,
        waits * days.iter().sum::<i64>(),
    )
}

/// What the day costs, worked out from its times.
pub fn price(problem: &Problem, day: &DaySolution) -> CostParts {
    let stated = &problem.gang_days[day.gang_day as usize];
    let rates = &problem.rates;
    let hourly = |rate: i64, seconds: u32| (rate * i64::from(seconds) * 2 + 3_600) / 7_200;
    let within = day.end.min(stated.end) - stated.start;
    let past = day.end.saturating_sub(stated.end);
    let tasks = by_task(day);
    let closure = |(at, steps): (&u32, &Vec<StepTime>)| {
        let (from, until) = super::nights::stands(problem, *at, steps);
        let seconds = until - from;
        problem.tasks[*at as usize].closure_hour * i64::from(seconds.div_ceil(3_600))
    };
    let busy = |(at, steps): (&u32, &Vec<StepTime>)| {
        let (from, until) = super::nights::stands(problem, *at, steps);
        let task = &problem.tasks[*at as usize];
        let within = (from..until).filter(|second| {
            let mut hours = task.busy.iter();
            hours.any(|(open, end)| open <= second && second < end)
        });
        hourly(task.busy_hour, within.count() as u32)
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
    let change =
        |(at, steps): (&u32, &Vec<StepTime>)| match super::nights::kept(problem, *at, steps) {
            None => 0,
            Some(kept) if kept.gang != stated.gang || kept.day != stated.day => rates.moved,
            Some(kept) => {
                let off = i64::from(kept.start) - i64::from(steps[0].start);
                if off.abs() > i64::from(rates.at_same_time) {
                    rates.retimed
                } else {
                    0
                }
            }
        };
    let (nights, waited) = waited(problem, stated.day, &tasks);
    CostParts {
        crew: hourly(rates.crew_hour, within),
        overtime: hourly(rates.crew_hour + rates.overtime_hour, past),
        travel: hourly(rates.travel_hour, driving(problem, day)),
        set_ups: streets.iter().map(set_up).sum(),
        closure: tasks
            .iter()
            .map(closure)
            .chain(tasks.iter().map(busy))
            .sum::<i64>()
            + waited,
        gang_days: rates.gang_day,
        nights,
        changes: tasks.iter().map(change).sum(),
        clashes: 0,
        left_out: 0,
    }
}
