//! The board of one plan: its problem, with a further gang like each one to try.

use std::collections::HashSet;
use std::ops::RangeInclusive;

use chrono::NaiveDate;
use gangday_model::{JobId, JobWork, Plan, Route, Stage, StageWork, Visit, VisitStatus};
use gangday_planner::{
    Board as Planned, Change, DaySolution, GangDay, Outcome, Solution, StepTime, WhatIf,
};

use super::{Made, asked, made, told};
use crate::prepared::Prepared;
use crate::problem::Posed;
use crate::view::{ChangeByHand, Refusal, TimesAlike, WhatIfView};
use crate::{done_stays, from_day, keeping, over, words};

/// A plan in the numbers of its problem.
pub struct Board<'a> {
    pub prepared: &'a Prepared,
    pub plan: &'a Plan,
    pub posed: Posed,
    planned: Planned,
    begun: Solution,
    /// Gang-days from here on are those of gangs that are not there.
    pub spare: u32,
}

impl<'a> Board<'a> {
    /// Of a plan for this programme.
    pub fn of(prepared: &'a Prepared, plan: &'a Plan) -> Self {
        let mut posed = Posed::of(prepared);
        let unfinished = from_day::unfinished(prepared, &posed, plan);
        from_day::cut_short(&mut posed, &unfinished);
        // What stays is dear to leave out for a search alone.
        let prices: Vec<i64> = posed
            .problem
            .tasks
            .iter()
            .map(|task| task.left_out)
            .collect();
        keeping::keep(prepared, &mut posed, plan);
        let tasks = posed.problem.tasks.iter_mut().zip(prices);
        tasks.for_each(|(task, price)| task.left_out = price);
        from_day::hold(prepared, &mut posed, Some(plan));
        over::leave_free(prepared, &mut posed, plan);
        let problem = &mut posed.problem;
        // What is moved by hand is meant to be: it has no price of its own.
        for task in &mut problem.tasks {
            task.kept = None;
            if let Some(left) = task.nights.as_mut().and_then(|own| own.left.as_mut()) {
                left.kept = None;
            }
        }
        let begun = begun(std::mem::take(&mut problem.begin));
        let spare = problem.gang_days.len() as u32;
        let gangs = prepared.programme.gangs.len() as u32;
        let further = |day: &GangDay| GangDay {
            gang: day.gang + gangs,
            ..*day
        };
        let more: Vec<GangDay> = problem.gang_days.iter().map(further).collect();
        problem.gang_days.extend(more);
        let done = done(prepared, &posed, plan);
        Self {
            planned: Planned::begun(posed.problem.clone(), &done),
            prepared,
            plan,
            posed,
            begun,
            spare,
        }
    }

    /// `gang@date`; a gang that is not there is named by the one that it is like, with a plus before it.
    pub fn key(&self, gang_day: u32) -> String {
        let own = self.posed.problem.gang_days[gang_day as usize].gang as usize;
        let gangs = &self.prepared.programme.gangs;
        let mark = if gang_day < self.spare { "" } else { "+" };
        let gang = &gangs[own % gangs.len()].id;
        format!("{mark}{gang}@{}", self.date(gang_day))
    }

    /// The plan, ready for changes.
    pub fn what_if(&self) -> WhatIf<'_> {
        self.planned.what_if(&self.begun)
    }

    /// What a change would do.
    pub fn try_change(
        &self,
        what_if: &WhatIf<'_>,
        change: &ChangeByHand,
    ) -> Result<WhatIfView, Refusal> {
        let (words, outcome, change) = self.outcome(what_if, change)?;
        let told = told::view(self, &words, &outcome, what_if.now());
        let alike = what_if.alike(&change).map(|times| in_minutes(&times));
        Ok(WhatIfView { alike, ..told })
    }

    /// The plan with a change made.
    pub fn make(&self, what_if: &WhatIf<'_>, change: &ChangeByHand) -> Result<Made, Refusal> {
        if matches!(change, ChangeByHand::AddGang { .. }) {
            return Err(Refusal::coded(
                "D-ASKED",
                "A further gang can only be tried here; add it to the programme's gangs and plan again.",
            ));
        }
        let (words, outcome, _) = self.outcome(what_if, change)?;
        let plan = made::plan(self, &outcome);
        match done_stays::undone(self.plan, &plan).first() {
            Some(visit) => Err(made_undone(visit)),
            None => Ok((words, plan)),
        }
    }

    fn outcome(
        &self,
        what_if: &WhatIf<'_>,
        change: &ChangeByHand,
    ) -> Result<(String, Outcome, Change), Refusal> {
        let (words, change) = asked::change(self, what_if, change)?;
        let outcome = what_if.try_change(&change);
        let outcome = outcome.filter(|outcome| !self.is_as_it_was(outcome));
        let outcome =
            outcome.ok_or_else(|| Refusal::coded("D-NOTHING", "That would change nothing."))?;
        Ok((words, outcome, change))
    }

    /// Whether every gang-day that was touched has the same steps as before.
    fn is_as_it_was(&self, outcome: &Outcome) -> bool {
        let steps = |day: &DaySolution| day.steps.iter().map(StepTime::step).collect::<Vec<_>>();
        outcome.days.iter().all(|day| {
            let was = self
                .begun
                .days
                .iter()
                .find(|was| was.gang_day == day.gang_day);
            was.map(steps).unwrap_or_default() == steps(day)
        })
    }

    /// The gang-day's number of a real one, by gang and date.
    pub fn gang_day(&self, key: &str) -> Option<u32> {
        let (gang, date) = key.rsplit_once('@')?;
        let gangs = &self.prepared.programme.gangs;
        let gang = gangs.iter().position(|one| one.id.as_str() == gang)?;
        let date: NaiveDate = date.parse().ok()?;
        let day = self.posed.dates.iter().position(|one| *one == date)?;
        let days = &self.posed.problem.gang_days[..self.spare as usize];
        let own = |one: &GangDay| (one.gang as usize, one.day as usize) == (gang, day);
        days.iter().position(own).map(|at| at as u32)
    }

    /// The plan's route of a gang-day, where it has one; that of a gang that is not there has none.
    pub fn route(&self, gang_day: u32) -> Option<&Route> {
        if gang_day >= self.spare {
            return None;
        }
        let own = self.posed.problem.gang_days[gang_day as usize].gang as usize;
        let (gang, date) = (&self.prepared.programme.gangs[own].id, self.date(gang_day));
        let mut routes = self.plan.routes.iter();
        routes.find(|route| route.date == date && route.gang == *gang)
    }

    /// The date of the gang-day in which the plan has a block of a task, where it can be timed.
    pub fn date_of(&self, task: u32, block: u32) -> Option<NaiveDate> {
        let is_it = |step: &StepTime| (step.task, step.block) == (task, block);
        let mut days = self.begun.days.iter();
        let own = days.find(|day| day.steps.iter().any(is_it))?;
        Some(self.date(own.gang_day))
    }

    /// The gang-days in which the plan has steps that can be timed.
    pub fn begun(&self) -> HashSet<u32> {
        let days = self.begun.days.iter();
        let begun = days.filter(|day| !day.steps.is_empty());
        begun.map(|day| day.gang_day).collect()
    }

    /// The date of a gang-day.
    pub fn date(&self, gang_day: u32) -> NaiveDate {
        self.posed.dates[self.posed.problem.gang_days[gang_day as usize].day as usize]
    }
}

/// How many blocks of each task are done, from the first to the last that is.
fn done(prepared: &Prepared, posed: &Posed, plan: &Plan) -> Vec<u32> {
    let visits = plan.routes.iter().flat_map(|route| &route.visits);
    let visits = visits.filter(|visit| visit.status == Some(VisitStatus::Done));
    let done: HashSet<(&JobId, Stage)> = visits.map(|visit| (&visit.job, visit.stage)).collect();
    let of_job = |at: &usize| {
        let job = &prepared.programme.jobs[*at].id;
        let work = prepared.works[*at].as_deref();
        let blocks = work.map(JobWork::blocks).unwrap_or_default();
        // What is begun of a block that goes on without a wait is done with the rest of it.
        let is_done = |block: &&[StageWork]| {
            let first = block.first();
            first.is_some_and(|first| done.contains(&(job, first.stage)))
        };
        let last = blocks.iter().rposition(is_done);
        last.map_or(0, |last| last as u32 + 1)
    };
    posed.jobs.iter().map(of_job).collect()
}

/// What was done is where and when it was done; no plan makes it otherwise.
fn made_undone(visit: &Visit) -> Refusal {
    Refusal::coded(
        "D-STAYS",
        &format!(
            "{} of {} is recorded as done on {} and would not be where it was done. Take back what was recorded first, if \
         it is wrong; then carry it.",
            words::stage(visit.stage),
            visit.job,
            words::day(visit.start.date()),
        ),
    )
}

/// The whole minutes within times in seconds.
fn in_minutes(times: &RangeInclusive<u32>) -> TimesAlike {
    TimesAlike {
        first: times.start().div_ceil(60),
        last: times.end() / 60,
    }
}

/// The steps that a plan begins with, as a solution without times.
fn begun(begin: Vec<gangday_planner::Begin>) -> Solution {
    let days = begin.into_iter().map(|begin| DaySolution {
        gang_day: begin.gang_day,
        steps: begin
            .steps
            .into_iter()
            .map(|(task, block)| StepTime {
                task,
                block,
                ..StepTime::default()
            })
            .collect(),
        ..DaySolution::default()
    });
    Solution {
        days: days.collect(),
        ..Solution::default()
    }
}
