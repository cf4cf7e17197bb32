//! Jobs whose work is done, or was begun in the week and has no place in its plan: nobody plans them anew.
//!
//! Within its week such a job stands in the plan, and stays there. Once the week has moved on, its work is
//! only in the diary; what is left of a begun one is planned (`begun.rs`).

use std::collections::{HashMap, HashSet};

use gangday_model::{JobId, Plan, Reason};
use gangday_planner::Task;

use crate::diary::Record;
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::problem::Posed;
use crate::words;

/// Why a job is not planned whose every stage was recorded as done.
const DONE: &str = "U-DONE";
/// Why a job is not planned of which some stages were recorded as done.
const BEGUN: &str = "U-BEGUN";

/// Of each job that was begun or done and has no place in a plan, why it is not planned.
#[must_use]
pub fn reasons(opened: &Opened, stands: Option<&Plan>) -> HashMap<JobId, Reason> {
    let placed: HashSet<&JobId> = stands
        .into_iter()
        .flat_map(Plan::visits)
        .map(|one| &one.job)
        .collect();
    let records = opened.diary.records.iter();
    let begun: HashSet<&JobId> = records.map(|record| &record.job).collect();
    let begun = begun.into_iter().filter(|job| !placed.contains(job));
    let mut own: HashMap<&JobId, Vec<&Record>> = HashMap::new();
    for record in &opened.diary.records {
        own.entry(&record.job).or_default().push(record);
    }
    let first = opened.prepared.programme.week.first_day;
    // What is left of a job that was begun before the week is planned like any other, unless more of it was done in
    // the week and has no place any more.
    let is_before = |job: &JobId| own[job].iter().all(|record| record.at.date() < first);
    let begun = begun.filter(|job| !opened.prepared.is_begun(job) || !is_before(job));
    begun
        .map(|job| (job.clone(), reason(opened, job, &own[job])))
        .collect()
}

fn reason(opened: &Opened, job: &JobId, own: &[&Record]) -> Reason {
    let at = opened.prepared.index_of(job);
    let work = at.and_then(|at| opened.prepared.works[at].as_deref());
    // Whoever did the last stage had all the others behind them.
    let end = work.and_then(|work| work.stages.last());
    let done = end.is_some_and(|end| own.iter().any(|record| record.stage >= end.stage));
    let Some(last) = own.iter().max_by_key(|record| record.at) else {
        return since();
    };
    let day = words::day(last.at.date());
    let stage = words::stage(last.stage).to_lowercase();
    if done {
        return Reason {
            code: DONE.to_owned(),
            text: format!("Its work is done; its last stage was recorded on {day}."),
        };
    }
    Reason {
        code: BEGUN.to_owned(),
        text: format!(
            "Its work was begun ({stage} on {day}), but what was done has no place in the plan of this week, and \
             the rest can't be planned without it; take back what was recorded to plan it whole."
        ),
    }
}

/// Where nothing is recorded after all.
fn since() -> Reason {
    Reason {
        code: crate::following::SINCE.to_owned(),
        text: "It has no place in this week; plan the rest, or carry it to a gang-day.".to_owned(),
    }
}

/// Has the search leave such jobs alone, at no price.
pub fn leave(opened: &Opened, posed: &mut Posed, over: &HashMap<JobId, Reason>) {
    for task in tasks(&opened.prepared, posed, |job| over.contains_key(job)) {
        task.days = vec![false];
        task.nights = None;
        task.left_out = 0;
    }
}

/// Has leaving out the jobs that a plan lists so cost nothing; somebody may still carry one to a gang-day.
pub fn leave_free(prepared: &Prepared, posed: &mut Posed, plan: &Plan) {
    let over = listed(plan);
    tasks(prepared, posed, |job| over.contains(job)).for_each(|task| task.left_out = 0);
}

fn tasks<'a>(
    prepared: &'a Prepared,
    posed: &'a mut Posed,
    which: impl Fn(&JobId) -> bool + 'a,
) -> impl Iterator<Item = &'a mut Task> {
    let tasks = posed.problem.tasks.iter_mut().zip(&posed.jobs);
    let wanted = tasks.filter(move |(_, at)| which(&prepared.programme.jobs[**at].id));
    wanted.map(|(task, _)| task)
}

/// The jobs that a plan lists so: leaving them out costs nothing.
#[must_use]
pub fn listed(plan: &Plan) -> HashSet<&JobId> {
    let is_over = |reason: &Reason| [DONE, BEGUN].contains(&reason.code.as_str());
    let jobs = plan.unplanned.iter();
    let over = jobs.filter(|one| one.reasons.iter().any(is_over));
    over.map(|one| &one.job).collect()
}

/// Whether a plan lists a job as done.
#[must_use]
pub fn is_done(plan: &Plan, job: &JobId) -> bool {
    let mut own = plan.unplanned.iter().filter(|one| one.job == *job);
    own.any(|one| one.reasons.iter().any(|reason| reason.code == DONE))
}

/// How many jobs a plan lists as done.
#[must_use]
pub fn how_many_done(plan: &Plan) -> usize {
    let is_done = |reason: &Reason| reason.code == DONE;
    let jobs = plan.unplanned.iter();
    jobs.filter(|one| one.reasons.iter().any(is_done)).count()
}

/// Those of them of which something is recorded: a plan alone does not say what was done.
#[must_use]
pub fn recorded<'a>(opened: &Opened, plan: &'a Plan) -> HashSet<&'a JobId> {
    let records = opened.diary.records.iter();
    let begun: HashSet<&JobId> = records.map(|record| &record.job).collect();
    listed(plan)
        .into_iter()
        .filter(|job| begun.contains(job))
        .collect()
}
