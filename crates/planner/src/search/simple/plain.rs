//! A simple problem in the numbers that its search needs.

use super::near::Near;
use crate::setting::{FOREVER, Setting};
use crate::{GangDay, Problem, Task};

/// Up to so many tasks, travel times are kept in a table.
const MOST: usize = 4_000;

/// One task.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Site {
    /// The earliest and the latest start.
    pub(crate) open: i32,
    pub(crate) due: i32,
    pub(crate) work: i32,
    pub(crate) weight: u32,
    pub(crate) left_out: i64,
}

/// The simple problem. Tasks are numbered from 0; the depot's number is how many there are.
pub(crate) struct Plain {
    pub(crate) sites: Vec<Site>,
    /// Travel times, row by row.
    pub(crate) table: Vec<i32>,
    pub(crate) near: Near,
    pub(crate) payload: u32,
    /// The earliest departure and the latest return.
    pub(crate) start: i32,
    pub(crate) end: i32,
    /// Whether time can ever get short.
    pub(crate) timed: bool,
    /// What a second of travel costs, and a gang-day begun.
    pub(crate) second: i64,
    pub(crate) gang_day: i64,
    /// What it costs on average to go to a task and back.
    pub(crate) there_and_back: i64,
}

impl Plain {
    /// The problem, if it is simple.
    pub(crate) fn of(setting: &Setting<'_>) -> Option<Self> {
        let problem = setting.problem;
        let day = problem.gang_days.first()?;
        let simple = problem.tasks.len() <= MOST
            && setting.parts.is_empty()
            && plain_rates(problem)
            && problem.clashes.is_empty()
            && problem.begin.is_empty()
            && problem.hours.is_empty()
            && problem.gang_days.iter().all(|other| alike(other, day))
            && problem.tasks.iter().all(|task| plain_task(task, day))
            && setting.facts.iter().all(|facts| facts.sound);
        let table = simple.then(|| table(setting, day)).flatten()?;
        let sites: Vec<Site> = (0..)
            .zip(&problem.tasks)
            .map(|(at, task)| site(setting, at, task))
            .collect();
        let start = whole(day.start.saturating_add(day.load));
        let end = whole(day.latest.min(FOREVER)) - whole(day.unload);
        let timed = timed(problem, &sites, &table, end - start);
        let second = problem.rates.travel_hour / 3_600;
        let legs = &table[sites.len() * (sites.len() + 1)..];
        let legs: i64 = legs.iter().map(|&leg| i64::from(leg)).sum();
        let sites_count = sites.len().max(1) as i64;
        Some(Self {
            near: Near::new(&sites, &table, timed),
            sites,
            table,
            payload: day.payload.unwrap_or(u32::MAX),
            start,
            end,
            timed,
            second,
            there_and_back: 2 * second * legs / sites_count,
            gang_day: problem.rates.gang_day,
        })
    }

    /// Travel times from one place, the depot's last.
    pub(crate) fn row(&self, from: usize) -> &[i32] {
        let width = self.sites.len() + 1;
        &self.table[from * width..(from + 1) * width]
    }

    /// Whether the task could be the only one of a gang-day.
    pub(crate) fn could(&self, task: u32) -> bool {
        let (site, depot) = (&self.sites[task as usize], self.sites.len());
        let leg = self.row(depot)[task as usize];
        let begin = site.open.max(self.start.saturating_add(leg));
        let back = begin.saturating_add(site.work).saturating_add(leg);
        site.weight <= self.payload && begin <= site.due && back <= self.end
    }
}

fn plain_rates(problem: &Problem) -> bool {
    let rates = &problem.rates;
    rates.crew_hour == 0 && rates.overtime_hour == 0 && rates.travel_hour % 3_600 == 0
}

fn alike(one: &GangDay, other: &GangDay) -> bool {
    let (gang, day) = (other.gang, other.day);
    GangDay { gang, day, ..*one } == *other
        && one.body.is_none()
        && one.break_lasts == 0
        && one.driving.is_none()
        && one.shake.is_none()
}

fn plain_task(task: &Task, day: &GangDay) -> bool {
    task.blocks.len() == 1
        && task.paces.is_empty()
        && task.windows.len() <= 1
        && task.days.is_empty()
        && task.tickets & !day.tickets == 0
        && task.closure_hour == 0
        && task.busy_hour == 0
        && task.set_up == 0
        && task.out.is_nothing()
        && task.back.is_nothing()
        && task.locked.is_none()
        && task.kept.is_none()
        && !task.open
}

/// Times are cut so that sums of several can't run over.
fn whole(seconds: u32) -> i32 {
    seconds.min(FOREVER) as i32
}

fn site(setting: &Setting<'_>, at: u32, task: &Task) -> Site {
    let work = whole(setting.facts(at).work);
    let (open, until) = task.windows.first().copied().unwrap_or((0, FOREVER));
    Site {
        open: whole(open),
        due: whole(until) - work,
        work,
        weight: task.weight,
        left_out: task.left_out,
    }
}

/// Travel times of all tasks and the depot, if they are the same both ways.
fn table(setting: &Setting<'_>, day: &GangDay) -> Option<Vec<i32>> {
    let tasks = setting.problem.tasks.iter().map(|task| task.node);
    let nodes: Vec<u32> = tasks.chain([day.depot]).collect();
    let mut table = Vec::with_capacity(nodes.len() * nodes.len());
    for &from in &nodes {
        table.extend(nodes.iter().map(|&to| whole(setting.travel(day, from, to))));
    }
    let width = nodes.len();
    let same =
        |from: usize| (0..from).all(|to| table[from * width + to] == table[to * width + from]);
    (0..width).all(same).then_some(table)
}

/// Whether any order of the tasks could be too long.
fn timed(problem: &Problem, sites: &[Site], table: &[i32], span: i32) -> bool {
    let longest = i64::from(table.iter().copied().max().unwrap_or(0));
    let work: i64 = sites.iter().map(|site| i64::from(site.work)).sum();
    let all = longest * (sites.len() as i64 + 1) + work;
    all > i64::from(span) || problem.tasks.iter().any(|task| !task.windows.is_empty())
}
