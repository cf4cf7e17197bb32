//! The day from which is planned: on days before it nothing is put any more, and what was done or promised on them
//! stays as it is.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use gangday_model::{JobId, Plan, Reason, Route, StageWork, Visit, VisitStatus, Week};
use gangday_planner::{Begin, Cut, Solution, Task};

use crate::prepared::Prepared;
use crate::problem::Posed;
use crate::words;

/// Why what is left of a job that was begun is not planned.
const REST: &str = "U-REST";

/// How many of its first blocks were done, by task.
pub type Done = BTreeMap<u32, u32>;

/// What of a job a plan has on one day: its first block there, how many all, and where those end that stay and those
/// that are done. Whoever did a block had those before it behind them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct OnDay {
    first: u32,
    blocks: u32,
    stay: u32,
    done: u32,
}

impl OnDay {
    /// Whether what stays there are these blocks, whatever else was planned that day.
    fn stays(&self, first: u32, end: u32) -> bool {
        (self.first, self.stay) == (first, end)
    }
}

/// What of one job stands on which day.
type Own = BTreeMap<u32, OnDay>;

/// Closes the days that are past to the search and to whoever plans by hand. What a plan has there that is done or
/// locked may stay, and nothing else: what is left of a job of which a part was done goes on on another day. Which
/// jobs that are, and how much of them was done, is told.
pub fn hold(prepared: &Prepared, posed: &mut Posed, plan: Option<&Plan>) -> Done {
    let week = &prepared.programme.week;
    let past = posed.dates.iter().filter(|date| week.is_past(**date));
    let past = past.count() as u32;
    let mut done = Done::new();
    if past == 0 {
        return done;
    }
    let routes = plan.into_iter().flat_map(|plan| &plan.routes);
    let stands = standing(
        prepared,
        posed,
        routes.filter(|route| week.is_past(route.date)),
    );
    let none = Own::new();
    for (at, job) in (0..).zip(&posed.jobs) {
        let own = stands.get(&prepared.programme.jobs[*job].id);
        let task = &mut posed.problem.tasks[at as usize];
        done.extend(own.and_then(|own| Some((at, done_in_part(task, own)?))));
        close(task, past, own.unwrap_or(&none));
    }
    let days = posed.problem.gang_days.iter().map(|day| day.day);
    posed.problem.from = days.filter(|day| *day >= past).min().unwrap_or(past);
    done
}

/// What gang-days have of each of their jobs.
fn standing<'a>(
    prepared: &Prepared,
    posed: &Posed,
    routes: impl Iterator<Item = &'a Route>,
) -> BTreeMap<&'a JobId, Own> {
    let mut stands: BTreeMap<&JobId, Own> = BTreeMap::new();
    for route in routes {
        let Some(day) = posed.dates.iter().position(|date| *date == route.date) else {
            continue;
        };
        for visit in &route.visits {
            let Some(block) = begins(prepared, visit) else {
                continue;
            };
            let own = stands.entry(&visit.job).or_default();
            let here = own.entry(day as u32).or_insert(OnDay {
                first: block,
                ..OnDay::default()
            });
            here.first = here.first.min(block);
            here.blocks += 1;
            let end = |is: bool| if is { block + 1 } else { 0 };
            here.stay = here.stay.max(end(visit.status.is_some()));
            here.done = here.done.max(end(visit.status == Some(VisitStatus::Done)));
        }
    }
    stands.values_mut().for_each(had_those_before);
    stands
}

/// Has the blocks of a day stay after which something of another day does.
fn had_those_before(own: &mut Own) {
    let mut after = (0, 0);
    for here in own.values_mut().rev() {
        let end = here.first + here.blocks;
        here.stay = if after.0 > 0 { end } else { here.stay };
        here.done = if after.1 > 0 { end } else { here.done };
        after = (after.0.max(here.stay), after.1.max(here.done));
    }
}

/// The block that a visit begins, if it begins one: a block is where its first stage is.
fn begins(prepared: &Prepared, visit: &Visit) -> Option<u32> {
    let work = prepared.works[prepared.index_of(&visit.job)?].as_deref()?;
    let blocks = work.blocks();
    let first = |stages: &&[StageWork]| {
        stages
            .first()
            .is_some_and(|stage| stage.stage == visit.stage)
    };
    blocks.iter().position(first).map(|block| block as u32)
}

/// How many of a task's first blocks were done on days that are past, where that is a part of them and nothing
/// besides was promised.
fn done_in_part(task: &Task, own: &Own) -> Option<u32> {
    let done = own.values().map(|here| here.done).max().unwrap_or(0);
    let stay = own.values().map(|here| here.stay).max().unwrap_or(0);
    let goes_on = 0 < done && (done as usize) < task.blocks.len();
    (goes_on && done == stay).then_some(done)
}

/// Of each job that a plan leaves unfinished, how many of its first blocks stand in it.
#[must_use]
pub fn unfinished(prepared: &Prepared, posed: &Posed, plan: &Plan) -> Done {
    if plan.unfinished.is_empty() {
        return Done::new();
    }
    let stands = standing(prepared, posed, plan.routes.iter());
    let blocks = |own: &Own| own.values().map(|here| here.blocks).sum();
    let jobs = plan.unfinished.iter().filter_map(|left| {
        let at = prepared.index_of(&left.job)?;
        let task = posed.jobs.binary_search(&at).ok()?;
        Some((task as u32, stands.get(&left.job).map_or(0, blocks)))
    });
    jobs.filter(|(_, blocks)| *blocks > 0).collect()
}

/// Has tasks end with what was done of them: what is left is nobody's in this week.
pub fn cut_short(posed: &mut Posed, done: &Done) {
    for (task, blocks) in done {
        let task = &mut posed.problem.tasks[*task as usize];
        let all = *blocks as usize;
        task.blocks.truncate(all);
        task.paces.iter_mut().for_each(|own| own.truncate(all));
        task.placed.iter_mut().for_each(|own| own.truncate(all));
        task.most.truncate(all);
        if let Some(nights) = &mut task.nights {
            nights.cuts.retain(|cut| cut.after + 1 < *blocks);
        }
        task.nights = task.nights.take().filter(|own| !own.cuts.is_empty());
    }
}

/// Where to begin with so that nothing moves of a plan that was found, and what was done besides stays.
#[must_use]
pub fn as_found(found: &Solution, short: &Posed, done: &Done) -> Vec<Begin> {
    let days = short.problem.gang_days.iter();
    let days = (0..).zip(days).map(|(gang_day, day)| {
        let own = found.days.iter().find(|own| own.gang_day == gang_day);
        let steps = own.into_iter().flat_map(|own| &own.steps);
        let mut steps: Vec<(u32, u32, u32)> = steps
            .map(|step| (step.start, step.task, step.block))
            .collect();
        for task in done.keys() {
            steps.extend(stays_on(short, *task, (day.gang, day.day)));
        }
        steps.sort_unstable();
        let steps = steps.iter().map(|step| (step.1, step.2)).collect();
        Begin { gang_day, steps }
    });
    days.filter(|begin| !begin.steps.is_empty()).collect()
}

/// When which block of a task stays on a gang-day; one of which no time is known, when the next one does.
fn stays_on(posed: &Posed, task: u32, on: (u32, u32)) -> Vec<(u32, u32, u32)> {
    let stated = &posed.problem.tasks[task as usize];
    let left = stated.nights.as_ref().and_then(|own| own.left.as_ref());
    let rest = left.and_then(|left| Some((left.after + 1, left.rest.as_ref()?)));
    let locked = stated.locked.as_ref().map(|own| (0, own));
    let here = locked
        .into_iter()
        .chain(rest)
        .filter(|(_, own)| (own.gang, own.day) == on);
    here.flat_map(|(first, own)| {
        let mut next = None;
        let starts: Vec<(u32, &Option<u32>)> = (first..).zip(&own.starts).collect();
        let blocks = stated.blocks.len() as u32;
        let starts = starts.into_iter().filter(move |(block, _)| *block < blocks);
        starts.rev().filter_map(move |(block, start)| {
            next = start.or(next);
            Some((next?, task, block))
        })
    })
    .collect()
}

/// Why what is left of a job that was begun is not planned.
#[must_use]
pub fn rest_left() -> Reason {
    Reason {
        code: REST.to_owned(),
        text: "It was begun, and what is left of it finds no day of the week any more; what was done stays, and the \
               rest can be planned in a later week. A job can be worked on two days of a week, and on one where it \
               keeps to hours of the day."
            .to_owned(),
    }
}

/// Closes the days that are past to a task, but where all that a plan has there stays.
fn close(task: &mut Task, past: u32, own: &Own) {
    let all = task.blocks.len() as u32;
    let days = (0..).zip(&mut task.days).take(past as usize);
    for (day, open) in days {
        *open = own.get(&day).is_some_and(|here| here.stays(0, all));
    }
    let Some(nights) = &mut task.nights else {
        return;
    };
    for cut in &mut nights.cuts {
        close_cut(cut, all, past, own);
    }
    nights.cuts.retain(|cut| !cut.days.is_empty());
    if nights.cuts.is_empty() && nights.left.is_none() {
        task.nights = None;
    }
}

fn close_cut(cut: &mut Cut, all: u32, past: u32, own: &Own) {
    let until = cut.after + 1;
    let stays = |day: &u32, first: u32, end: u32| {
        *day >= past || own.get(day).is_some_and(|here| here.stays(first, end))
    };
    cut.days
        .retain(|(before, after)| stays(before, 0, until) && stays(after, until, all));
}

/// Where days are left to a job by its own dates, but all of them are past.
#[must_use]
pub fn is_over(prepared: &Prepared, at: usize) -> Option<Reason> {
    let (week, job) = (&prepared.programme.week, &prepared.programme.jobs[at]);
    let from = week.plan_from?;
    let open = |day: &NaiveDate| job.allows(*day) && week.is_working_day(*day);
    let mut days = week.calendar_days().filter(open).peekable();
    days.peek()?;
    days.all(|day| week.is_past(day)).then(|| Reason {
        code: "U-PAST".to_owned(),
        text: format!(
            "Nothing is planned before {}, and no later day of the week is left to it; record what was done, agree \
             another date, or leave it to a later week.",
            words::day(from)
        ),
    })
}

/// The day from which is planned, where that cuts days off the week.
#[must_use]
pub fn cuts_off(week: &Week) -> Option<NaiveDate> {
    week.plan_from.filter(|from| week.first_day < *from)
}
