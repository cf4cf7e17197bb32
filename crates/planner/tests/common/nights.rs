//! Nights over which tasks are left, as plainly as they are said.

use gangday_planner::{CostParts, Kept, Problem, Solution, StepTime, Task};

const DAY: u32 = 24 * 3_600;

/// The days on which a task is worked, in order, each with its first block and how many there are.
fn days(problem: &Problem, solution: &Solution, task: u32) -> Vec<(u32, u32, u32)> {
    let own = solution.days.iter().filter_map(|day| {
        let steps = day.steps.iter().filter(|step| step.task == task);
        let blocks: Vec<u32> = steps.map(|step| step.block).collect();
        let date = problem.gang_days[day.gang_day as usize].day;
        Some((date, *blocks.first()?, blocks.len() as u32))
    });
    let mut days: Vec<(u32, u32, u32)> = own.collect();
    days.sort_unstable();
    days
}

/// Whether a task that is on several gang-days is left over nights over which it may be.
pub fn may(problem: &Problem, solution: &Solution, task: u32) -> bool {
    let stated = &problem.tasks[task as usize];
    let [(left, 0, before), (next, from, after)] = days(problem, solution, task)[..] else {
        return false;
    };
    let cuts = stated.nights.iter().flat_map(|nights| &nights.cuts);
    let mut cuts = cuts.filter(|cut| cut.after + 1 == from && cut.days.contains(&(left, next)));
    let most = stated.most.get(from as usize - 1).copied().flatten();
    let whole = before == from && before + after == stated.blocks.len() as u32;
    whole && most.is_none() && stated.windows.is_empty() && cuts.next().is_some()
}

/// From when to when a task's closure is there on a day on which these are its steps.
pub fn stands(problem: &Problem, task: u32, steps: &[StepTime]) -> (u32, u32) {
    let last = steps[steps.len() - 1];
    let ends = last.block as usize + 1 == problem.tasks[task as usize].blocks.len();
    let from = if steps[0].block == 0 && !problem.tasks[task as usize].open {
        steps[0].start
    } else {
        0
    };
    (from, if ends { last.finish } else { DAY })
}

/// What a closure costs from midnight to midnight.
pub fn whole_day(task: &Task) -> i64 {
    let busy = task.busy.iter().map(|(open, end)| i64::from(end - open));
    24 * task.closure_hour + (task.busy_hour * busy.sum::<i64>() + 1_800) / 3_600
}

/// Adds what the nights cost, and the closures on days between.
pub fn price(problem: &Problem, solution: &Solution, costs: &mut CostParts) {
    for (at, task) in (0..).zip(&problem.tasks) {
        if let [(left, ..), (next, ..)] = days(problem, solution, at)[..] {
            let nights = i64::from(next - left);
            costs.nights += nights * problem.rates.night;
            costs.closure += (nights - 1) * whole_day(task);
        }
    }
}

/// Where an earlier plan has what these steps are of.
pub fn kept(problem: &Problem, task: u32, steps: &[StepTime]) -> Option<Kept> {
    let task = &problem.tasks[task as usize];
    let left = task.nights.as_ref().and_then(|own| own.left.as_ref());
    match steps[0].block {
        0 => task.kept,
        from => left.filter(|left| left.after + 1 == from)?.kept,
    }
}
