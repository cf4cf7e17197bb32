//! Planning again from a plan that was issued: what is done or locked stays, the rest changes as little
//! as its price asks for, and every change is listed.

use std::collections::{BTreeMap, HashMap};

use chrono::{NaiveDateTime, NaiveTime};
use gangday_model::{Change, ChangeKind, GangId, JobId, Plan, Route, Stage, StageWork, Visit};
use gangday_planner::{Begin, Kept, Locked};

use crate::limits::DayLimits;
use crate::planning::blocks_of;
use crate::prepared::Prepared;
use crate::problem::Posed;
use crate::{rates, words};

/// A locked job costs so many times a must-job when it is left out.
const LOCKED: i64 = 100;

/// A job in an earlier plan.
struct Issued<'a> {
    route: &'a Route,
    visits: Vec<&'a Visit>,
}

impl Issued<'_> {
    fn start(&self) -> Option<NaiveDateTime> {
        self.visits.iter().map(|visit| visit.start).min()
    }

    fn visit(&self, stage: Stage) -> Option<&Visit> {
        self.visits
            .iter()
            .find(|visit| visit.stage == stage)
            .copied()
    }
}

/// Each planned job of a plan; one that is on several gang-days counts on its first.
fn issued(plan: &Plan) -> BTreeMap<&JobId, Issued<'_>> {
    let mut jobs: BTreeMap<&JobId, Issued<'_>> = BTreeMap::new();
    for route in &plan.routes {
        for visit in &route.visits {
            let of_job = jobs.entry(&visit.job).or_insert_with(|| Issued {
                route,
                visits: Vec::new(),
            });
            if std::ptr::eq(of_job.route, route) {
                of_job.visits.push(visit);
            }
        }
    }
    jobs
}

/// What leaving out a job costs whose visits stay.
pub fn left_out_when_locked(prepared: &Prepared) -> i64 {
    rates::pence(&prepared.rates, "rate.left_out.1").max(1) * LOCKED
}

/// The earlier plan in the numbers of the problem.
struct Keeper<'a> {
    prepared: &'a Prepared,
    gangs: HashMap<&'a GangId, u32>,
    tasks: HashMap<&'a JobId, u32>,
    locked: i64,
    /// By gang and day, when which block of which task starts.
    steps: BTreeMap<(u32, u32), Vec<Step>>,
}

/// A start, a task and its block.
type Step = (u32, u32, u32);

/// Has the search begin with the plan, keep what stays, and price what changes.
pub fn keep(prepared: &Prepared, posed: &mut Posed, plan: &Plan) {
    let programme = &prepared.programme;
    let tasks = (0..).zip(&posed.jobs);
    let mut keeper = Keeper {
        prepared,
        gangs: (0..)
            .zip(&programme.gangs)
            .map(|(at, gang)| (&gang.id, at))
            .collect(),
        tasks: tasks
            .map(|(task, job)| (&programme.jobs[*job].id, task))
            .collect(),
        locked: left_out_when_locked(prepared),
        steps: BTreeMap::new(),
    };
    for (job, own) in issued(plan) {
        keeper.take(posed, job, &own);
    }
    posed.problem.begin = keeper.begin(posed);
}

impl Keeper<'_> {
    fn take(&mut self, posed: &mut Posed, job: &JobId, own: &Issued<'_>) {
        let Some(&task) = self.tasks.get(job) else {
            return;
        };
        let date = own.route.date;
        let day = posed.dates.iter().position(|other| *other == date);
        let day = day.map_or(u32::MAX, |day| day as u32);
        let gang = self.gangs.get(&own.route.gang).copied().unwrap_or(u32::MAX);
        let stays = own.visits.iter().any(|visit| visit.status.is_some());
        let starts = self.starts(posed.jobs[task as usize], own);
        let stated = &mut posed.problem.tasks[task as usize];
        if stays {
            let fixed = starts.iter().map(|start| start.filter(|(_, stays)| *stays));
            let starts = fixed.map(|start| start.map(|start| start.0)).collect();
            stated.locked = Some(Locked { gang, day, starts });
            stated.left_out = self.locked;
        } else if let Some(Some((start, _))) = starts.first() {
            let start = *start;
            stated.kept = Some(Kept { gang, day, start });
        }
        let steps = self.steps.entry((gang, day)).or_default();
        let blocks = (0..).zip(starts);
        steps.extend(blocks.filter_map(|(block, start)| Some((start?.0, task, block))));
    }

    /// When each block starts, and whether it stays; none where the plan has no such visit.
    fn starts(&self, job: usize, own: &Issued<'_>) -> Vec<Option<(u32, bool)>> {
        let midnight = own.route.date.and_time(NaiveTime::MIN);
        let start = |stages: &[StageWork]| {
            let visit = own.visit(stages.first()?.stage)?;
            let start = u32::try_from((visit.start - midnight).num_seconds()).ok()?;
            Some((start, visit.status.is_some()))
        };
        let work = self.prepared.works[job].as_deref();
        let blocks = work.map(blocks_of).unwrap_or_default();
        blocks.into_iter().map(start).collect()
    }

    /// The plan's gang-days, those of its jobs complete.
    fn begin(&self, posed: &Posed) -> Vec<Begin> {
        let days = (0..).zip(&posed.problem.gang_days);
        days.filter_map(|(gang_day, day)| {
            let mut steps = self.steps.get(&(day.gang, day.day))?.clone();
            steps.sort_unstable();
            let count = |task: u32| steps.iter().filter(|step| step.1 == task).count();
            let whole = |task: u32| count(task) == posed.problem.tasks[task as usize].blocks.len();
            let whole = steps.iter().filter(|step| whole(step.1));
            let steps = whole.map(|&(_, task, block)| (task, block)).collect();
            Some(Begin { gang_day, steps })
        })
        .collect()
    }
}

/// Marks in the new plan what was done or locked in the earlier one, so that it stays so.
pub fn mark(plan: &mut Plan, earlier: &Plan) {
    let earlier = issued(earlier);
    for route in &mut plan.routes {
        let (gang, date) = (&route.gang, route.date);
        for visit in &mut route.visits {
            let was = earlier.get(&visit.job);
            let was = was.filter(|was| (&was.route.gang, was.route.date) == (gang, date));
            visit.status = was.and_then(|was| was.visit(visit.stage)?.status);
        }
    }
}

/// What changed from one plan to the next, job by job.
#[must_use]
pub fn changes(prepared: &Prepared, earlier: &Plan, plan: &Plan) -> Vec<Change> {
    let (before, after) = (issued(earlier), issued(plan));
    let same_time = DayLimits::of(prepared).same_time.seconds();
    let mut changes = Vec::new();
    for (&job, was) in &before {
        match after.get(job) {
            Some(now) => changes.extend(moved(prepared, job, (was, now), same_time)),
            None => changes.push(Change {
                job: job.clone(),
                kind: ChangeKind::Dropped,
                text: format!("{job} was with {} and is not planned", place(prepared, was)),
            }),
        }
    }
    for (&job, now) in after.iter().filter(|(job, _)| !before.contains_key(*job)) {
        changes.push(Change {
            job: job.clone(),
            kind: ChangeKind::Added,
            text: format!("{job} is now with {}", place(prepared, now)),
        });
    }
    changes.sort_by(|one, other| one.job.cmp(&other.job));
    changes
}

fn moved(
    prepared: &Prepared,
    job: &JobId,
    (was, now): (&Issued<'_>, &Issued<'_>),
    same_time: i64,
) -> Option<Change> {
    let off = now.start()? - was.start()?;
    let kind = if was.route.date != now.route.date {
        ChangeKind::Day
    } else if was.route.gang != now.route.gang {
        ChangeKind::Gang
    } else if off.num_seconds().abs() > same_time {
        ChangeKind::Time
    } else {
        return None;
    };
    let (from, to) = (place(prepared, was), place(prepared, now));
    Some(Change {
        job: job.clone(),
        kind,
        text: format!("{job} from {from} to {to}"),
    })
}

/// `Gang Oak on Wed 3 Mar at 08:00`.
fn place(prepared: &Prepared, own: &Issued<'_>) -> String {
    let gang = prepared.programme.gang(&own.route.gang);
    let name = gang.map_or(own.route.gang.as_str(), |gang| gang.name.as_str());
    let start = own
        .start()
        .map_or(0, |start| words::minutes_of(start, own.route.date));
    format!(
        "{name} on {} at {}",
        words::day(own.route.date),
        words::clock(start)
    )
}

/// The changes in a few lines.
#[must_use]
pub fn changes_in_words(plan: &Plan) -> Vec<String> {
    if plan.changes.is_empty() {
        return Vec::new();
    }
    let count = words::count(plan.changes.len(), "change", "changes");
    let lines = plan
        .changes
        .iter()
        .map(|change| format!("  {}", change.text));
    std::iter::once(format!("{count} to the earlier plan"))
        .chain(lines)
        .collect()
}
