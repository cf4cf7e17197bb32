//! The day from which is planned: on days before it nothing is put any more, and what was done or promised on them
//! stays as it is.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use gangday_model::{JobId, JobWork, Plan, Reason, Route, Week};
use gangday_planner::{Cut, Task};

use crate::prepared::Prepared;
use crate::problem::Posed;
use crate::words;

/// What of a job a plan has on a day that is past: which of its blocks, and how many of these stay, the first ones
/// first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct OnPast {
    first: u32,
    blocks: u32,
    stay: u32,
}

impl OnPast {
    /// Whether what is there are these blocks, and all of them stay.
    fn stays(&self, first: u32, end: u32) -> bool {
        (self.first, self.first + self.blocks, self.stay) == (first, end, self.blocks)
    }
}

/// What of one job stands on days that are past, by day.
type Own = BTreeMap<u32, OnPast>;

/// Closes the days that are past to the search and to whoever plans by hand. What a plan has there that is done or
/// locked may stay, and nothing else: what is left of a job of which a part was done goes on on another day.
pub fn hold(prepared: &Prepared, posed: &mut Posed, plan: Option<&Plan>) {
    let week = &prepared.programme.week;
    let past = posed.dates.iter().filter(|date| week.is_past(**date));
    let past = past.count() as u32;
    if past == 0 {
        return;
    }
    let routes = plan.into_iter().flat_map(|plan| &plan.routes);
    let mut stands: BTreeMap<&JobId, Own> = BTreeMap::new();
    for route in routes.filter(|route| week.is_past(route.date)) {
        note(prepared, posed, route, &mut stands);
    }
    let none = Own::new();
    for (task, job) in posed.problem.tasks.iter_mut().zip(&posed.jobs) {
        let own = stands.get(&prepared.programme.jobs[*job].id);
        close(task, past, own.unwrap_or(&none));
    }
    let days = posed.problem.gang_days.iter().map(|day| day.day);
    posed.problem.from = days.filter(|day| *day >= past).min().unwrap_or(past);
}

/// Notes what a gang-day has of each of its jobs.
fn note<'a>(
    prepared: &Prepared,
    posed: &Posed,
    route: &'a Route,
    stands: &mut BTreeMap<&'a JobId, Own>,
) {
    let Some(day) = posed.dates.iter().position(|date| *date == route.date) else {
        return;
    };
    for visit in &route.visits {
        let work = prepared.index_of(&visit.job);
        let work = work.and_then(|at| prepared.works[at].as_deref());
        let blocks = work.map(JobWork::blocks).unwrap_or_default();
        // A block is there where its first stage is.
        let begins = |stages: &&[gangday_model::StageWork]| {
            stages
                .first()
                .is_some_and(|stage| stage.stage == visit.stage)
        };
        let Some(block) = blocks.iter().position(begins).map(|block| block as u32) else {
            continue;
        };
        let own = stands.entry(&visit.job).or_default();
        let here = own.entry(day as u32).or_insert(OnPast {
            first: block,
            blocks: 0,
            stay: 0,
        });
        here.first = here.first.min(block);
        here.blocks += 1;
        here.stay += u32::from(visit.status.is_some());
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
    // What was done of it there, whether or not more was planned that day.
    let left = |day: &OnPast| (day.first, day.stay) == (0, until);
    cut.days.retain(|(before, after)| {
        let may_leave = *before >= past || own.get(before).is_some_and(left);
        let goes_on = |here: &OnPast| here.stays(until, all);
        may_leave && (*after >= past || own.get(after).is_some_and(goes_on))
    });
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
