//! The problem of a week as numbers alone, so that another solver can be held against the same week.

use gangday_planner::{Block, GangDay, Load, Rates, Task};
use serde_json::{Value, json};

use crate::opened::Opened;
use crate::problem::Posed;

/// What the search is given for a programme: jobs as chains of blocks, gang-days, journeys and rates.
///
/// # Units
/// Seconds, those of a day counted from its midnight; pence; kilograms and litres. Journeys are a square
/// table, row to column, by the least factor that any vehicle has at any hour; `by_hour` says whether
/// there are others.
#[must_use]
pub fn posed(opened: &Opened) -> Value {
    let posed = Posed::of(&opened.prepared);
    let problem = &posed.problem;
    let jobs = posed.jobs.iter();
    let ids = jobs.map(|at| opened.prepared.programme.jobs[*at].id.as_str());
    let nodes = nodes(&posed);
    let row = |from: u32| -> Vec<u32> {
        let times = (0..nodes).map(|to| problem.travel.seconds(from, to));
        times.collect()
    };
    json!({
        "jobs": ids.collect::<Vec<_>>(),
        "tasks": problem.tasks.iter().map(task).collect::<Vec<_>>(),
        "near": problem.near,
        "gang_days": problem.gang_days.iter().map(gang_day).collect::<Vec<_>>(),
        "travel": (0..nodes).map(row).collect::<Vec<_>>(),
        "by_hour": !problem.hours.is_empty(),
        "rates": rates(&problem.rates),
        "tips": problem.hauling.tips,
        "tip": problem.hauling.tip,
        "reload": problem.hauling.reload,
    })
}

fn nodes(posed: &Posed) -> u32 {
    let problem = &posed.problem;
    let tasks = problem.tasks.iter().map(|task| task.node);
    let depots = problem.gang_days.iter().map(|day| day.depot);
    let tips = problem.hauling.tips.iter().copied();
    tasks
        .chain(depots)
        .chain(tips)
        .max()
        .map_or(0, |last| last + 1)
}

fn task(task: &Task) -> Value {
    let chain = |blocks: &Vec<Block>| -> Vec<[u32; 2]> {
        blocks
            .iter()
            .map(|block| [block.work, block.wait])
            .collect()
    };
    let load = |load: Load| [load.kg, load.litres];
    json!({
        "node": task.node,
        "blocks": chain(&task.blocks),
        "paces": task.paces.iter().map(chain).collect::<Vec<_>>(),
        "days": task.days,
        "windows": task.windows,
        "tickets": task.tickets,
        "left_out": task.left_out,
        "street": task.street,
        "closure_hour": task.closure_hour,
        "set_up": task.set_up,
        "out": load(task.out),
        "back": load(task.back),
        "shake": task.shake,
    })
}

fn gang_day(day: &GangDay) -> Value {
    json!({
        "gang": day.gang,
        "day": day.day,
        "depot": day.depot,
        "start": day.start,
        "end": day.end,
        "latest": day.latest,
        "load": day.load,
        "unload": day.unload,
        "tickets": day.tickets,
        "payload": day.payload,
        "body": day.body,
        "break_after": day.break_after,
        "break_lasts": day.break_lasts,
        "driving": day.driving,
        "shake": day.shake,
        "pace": day.pace,
    })
}

fn rates(rates: &Rates) -> Value {
    json!({
        "crew_hour": rates.crew_hour,
        "overtime_hour": rates.overtime_hour,
        "travel_hour": rates.travel_hour,
        "gang_day": rates.gang_day,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::demo;
    use crate::view::DemoWeek;

    #[test]
    fn every_job_that_can_be_planned_is_posed_with_its_journeys() {
        let opened = demo::open(DemoWeek::Small);
        let posed = posed(&opened);
        let tasks = posed["tasks"].as_array().unwrap();
        assert_eq!(tasks.len(), posed["jobs"].as_array().unwrap().len());
        let table = posed["travel"].as_array().unwrap();
        for task in tasks {
            let node = task["node"].as_u64().unwrap() as usize;
            assert_eq!(table[node][node], 0);
            assert_eq!(table[node].as_array().unwrap().len(), table.len());
            assert!(!task["blocks"].as_array().unwrap().is_empty());
        }
    }
}
