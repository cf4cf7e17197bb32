//! Planning again from a plan that was issued: what is done or locked stays, the rest changes as little
//! as its price asks for, and every change is listed.

use std::collections::{BTreeMap, HashMap};

use chrono::{NaiveDate, NaiveDateTime, NaiveTime};
use gangday_model::{
    Change, ChangeKind, GangId, JobId, JobWork, Plan, Route, Stage, StageWork, Visit, VisitStatus,
};
use gangday_planner::{Begin, Kept, Left, Locked};

use crate::limits::DayLimits;
use crate::prepared::Prepared;
use crate::problem::Posed;
use crate::{rates, words};

/// A locked job costs so many times a must-job when it is left out.
const LOCKED: i64 = 100;

/// A gang-day ends on its own date, seconds.
const DAY_END: u32 = (24 * 60 - 1) * 60;

/// A job in an earlier plan.
struct Issued<'a> {
    route: &'a Route,
    visits: Vec<&'a Visit>,
    /// Its next gang-day, where it was left over a night.
    rest: Option<Box<Issued<'a>>>,
}

impl<'a> Issued<'a> {
    fn on(route: &'a Route) -> Self {
        Self {
            route,
            visits: Vec::new(),
            rest: None,
        }
    }

    fn start(&self) -> Option<NaiveDateTime> {
        self.visits.iter().map(|visit| visit.start).min()
    }

    fn visit(&self, stage: Stage) -> Option<&Visit> {
        self.visits
            .iter()
            .find(|visit| visit.stage == stage)
            .copied()
    }

    fn stays(&self) -> bool {
        self.visits.iter().any(|visit| visit.status.is_some())
    }

    /// What of it is on this gang-day.
    fn part_on(&self, gang: &GangId, date: NaiveDate) -> Option<&Self> {
        if (&self.route.gang, self.route.date) == (gang, date) {
            return Some(self);
        }
        self.rest.as_ref()?.part_on(gang, date)
    }

    fn add(&mut self, route: &'a Route, visit: &'a Visit) {
        if std::ptr::eq(self.route, route) {
            self.visits.push(visit);
        } else if route.date > self.route.date {
            let rest = self.rest.get_or_insert_with(|| Box::new(Self::on(route)));
            rest.add(route, visit);
        }
    }
}

/// Each planned job of a plan; of one that is on several gang-days of a date the first counts.
fn issued(plan: &Plan) -> BTreeMap<&JobId, Issued<'_>> {
    let mut jobs: BTreeMap<&JobId, Issued<'_>> = BTreeMap::new();
    let mut routes: Vec<&Route> = plan.routes.iter().collect();
    routes.sort_by_key(|route| route.date);
    for route in routes {
        for visit in &route.visits {
            let of_job = jobs.entry(&visit.job);
            of_job
                .or_insert_with(|| Issued::on(route))
                .add(route, visit);
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

/// What of a job is on one gang-day: when each of its blocks starts there, and whether it stays.
struct OnDay {
    gang: u32,
    day: u32,
    starts: Vec<Option<(u32, bool)>>,
}

impl OnDay {
    /// What stays, the starts counted from a block on.
    fn locked(&self, from: usize) -> Locked {
        let own = self.starts[from..].iter();
        let fixed = own.map(|start| start.filter(|(_, stays)| *stays));
        Locked {
            gang: self.gang,
            day: self.day,
            starts: fixed.map(|start| start.map(|start| start.0)).collect(),
        }
    }

    fn kept(&self) -> Option<Kept> {
        let mut starts = self.starts.iter().flatten();
        let &(start, _) = starts.next()?;
        let (gang, day) = (self.gang, self.day);
        Some(Kept { gang, day, start })
    }
}

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
    as_long_as_it_was(prepared, posed, plan);
    posed.problem.begin = keeper.begin(posed);
}

/// So much driving home, minutes, is allowed for at the most where a gang-day is made as long as it went on: of a place
/// that nobody can drive from, or a pin far off, it comes to a day or to the largest number there is, and would overflow
/// the day's. The day ends at midnight whatever is allowed for.
///
/// # Source
/// Common practice, no source: longer than anybody drives home from a job.
const DRIVE_HOME: u32 = 12 * 60;

/// A gang-day that went on for longer than it may is as long as it was: what is done stays in it.
fn as_long_as_it_was(prepared: &Prepared, posed: &mut Posed, plan: &Plan) {
    for at in 0..posed.problem.gang_days.len() {
        let day = &posed.problem.gang_days[at];
        let date = posed.dates[day.day as usize];
        let gang = posed.gang(prepared, day);
        let mut routes = plan.routes.iter();
        let route = routes.find(|route| route.date == date && route.gang == gang.id);
        let done = route.iter().flat_map(|route| &route.visits);
        let done = done.filter(|visit| visit.status == Some(VisitStatus::Done));
        let Some(last) = done.max_by_key(|visit| visit.finish) else {
            continue;
        };
        let from = prepared.place_of(&last.job).unwrap_or(gang.depot);
        let drive = prepared.travel_minutes(gang, (from, gang.depot), last.finish);
        let ended = words::minutes_of(last.finish, date) + drive.min(DRIVE_HOME);
        let ended = (ended * 60 + day.unload).min(DAY_END);
        let day = &mut posed.problem.gang_days[at];
        day.latest = day.latest.max(ended);
    }
}

impl Keeper<'_> {
    fn take(&mut self, posed: &mut Posed, job: &JobId, own: &Issued<'_>) {
        let Some(&task) = self.tasks.get(job) else {
            return;
        };
        let at = posed.jobs[task as usize];
        let first = self.part(posed, at, own);
        // What was done or locked in another week holds nothing in this one.
        if first.day == u32::MAX {
            return;
        }
        let rest = own.rest.as_deref();
        let rest = rest.map(|rest| (rest.stays(), self.part(posed, at, rest)));
        self.note(task, &first);
        if let Some((_, rest)) = &rest {
            self.note(task, rest);
        }
        let stated = &mut posed.problem.tasks[task as usize];
        // What stays is on its gang-day; only what comes after it may go to another.
        let fixed = first
            .starts
            .iter()
            .rposition(|start| matches!(start, Some((_, true))));
        if let Some((nights, last)) = stated.nights.as_mut().zip(fixed) {
            nights.cuts.retain(|cut| cut.after as usize >= last);
        }
        if own.stays() {
            stated.locked = Some(first.locked(0));
        } else {
            let begun = first.starts.first().is_some_and(Option::is_some);
            stated.kept = begun.then(|| first.kept()).flatten();
        }
        if own.stays() || rest.as_ref().is_some_and(|rest| rest.0) {
            stated.left_out = self.locked;
        }
        if let Some((stays, rest)) = rest {
            let from = rest.starts.iter().position(Option::is_some).unwrap_or(0);
            let nights = stated.nights.get_or_insert_default();
            nights.left = Some(Left {
                after: (from as u32).saturating_sub(1),
                rest: stays.then(|| rest.locked(from)),
                kept: rest.kept(),
            });
        }
    }

    /// What of a job is on one gang-day, in the problem's numbers.
    fn part(&self, posed: &Posed, job: usize, own: &Issued<'_>) -> OnDay {
        let date = own.route.date;
        let day = posed.dates.iter().position(|other| *other == date);
        OnDay {
            gang: self.gangs.get(&own.route.gang).copied().unwrap_or(u32::MAX),
            day: day.map_or(u32::MAX, |day| day as u32),
            starts: self.starts(job, own),
        }
    }

    /// Remembers when its blocks start there.
    fn note(&mut self, task: u32, part: &OnDay) {
        let steps = self.steps.entry((part.gang, part.day)).or_default();
        let blocks = (0..).zip(&part.starts);
        steps.extend(blocks.filter_map(|(block, start)| Some(((*start)?.0, task, block))));
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
        let blocks = work.map(JobWork::blocks).unwrap_or_default();
        blocks.into_iter().map(start).collect()
    }

    /// The plan's gang-days, those of its jobs complete.
    fn begin(&self, posed: &Posed) -> Vec<Begin> {
        let days = (0..).zip(&posed.problem.gang_days);
        days.filter_map(|(gang_day, day)| {
            let mut steps = self.steps.get(&(day.gang, day.day))?.clone();
            steps.sort_unstable();
            let whole = |task: u32| {
                let stated = &posed.problem.tasks[task as usize];
                let is_own =
                    |step: &&Step| step.1 == task && (step.2 as usize) < stated.blocks.len();
                let here = steps.iter().filter(is_own).count();
                // Left over a night it is complete with what is done on the other day.
                let all = || self.steps.values().flatten();
                let count = match stated.nights {
                    Some(_) => all().filter(is_own).count(),
                    None => here,
                };
                let blocks = steps.iter().filter(|step| step.1 == task);
                count == stated.blocks.len() && blocks.map(|step| step.2).is_sorted()
            };
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
            let was = was.and_then(|was| was.part_on(gang, date));
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
                text: format!(
                    "{job} was with {} and is not planned",
                    places(prepared, was)
                ),
            }),
        }
    }
    for (&job, now) in after.iter().filter(|(job, _)| !before.contains_key(*job)) {
        changes.push(Change {
            job: job.clone(),
            kind: ChangeKind::Added,
            text: format!("{job} is now with {}", places(prepared, now)),
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
    let rest = match (&was.rest, &now.rest) {
        (None, None) => None,
        (Some(was), Some(now)) => kind(was, now, same_time),
        _ => Some(ChangeKind::Day),
    };
    let kind = kind(was, now, same_time).or(rest)?;
    let (from, to) = (places(prepared, was), places(prepared, now));
    Some(Change {
        job: job.clone(),
        kind,
        text: format!("{job} from {from} to {to}"),
    })
}

/// What differs between where a job was on a gang-day and where it is.
fn kind(was: &Issued<'_>, now: &Issued<'_>, same_time: i64) -> Option<ChangeKind> {
    let off = now.start()? - was.start()?;
    if was.route.date != now.route.date {
        Some(ChangeKind::Day)
    } else if was.route.gang != now.route.gang {
        Some(ChangeKind::Gang)
    } else {
        (off.num_seconds().abs() > same_time).then_some(ChangeKind::Time)
    }
}

/// Where a job is, the rest of one that is left over a night too.
fn places(prepared: &Prepared, own: &Issued<'_>) -> String {
    let first = place(prepared, own);
    match &own.rest {
        Some(rest) => format!("{first}, left over the night to {}", places(prepared, rest)),
        None => first,
    }
}

/// `Gang Oak on Wed 3 Mar at 08:00`.
fn place(prepared: &Prepared, own: &Issued<'_>) -> String {
    let name = prepared.programme.gang_name(&own.route.gang);
    let start = own
        .start()
        .map_or(0, |start| words::minutes_of(start, own.route.date));
    format!(
        "{name} on {} at {}",
        words::day(own.route.date),
        words::clock_on(own.route.date, start)
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
