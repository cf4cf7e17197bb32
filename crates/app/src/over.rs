//! Jobs whose work is done, or was begun in the week and has no place in its plan, or stands as it was issued in an
//! earlier week: nobody plans them anew.
//!
//! Within its week such a job stands in the plan, and stays there. Once the week has moved on, its work is
//! only in the diary; what is left of a begun one is planned (`begun.rs`), unless that stands (`standing.rs`).

use std::collections::{HashMap, HashSet};

use gangday_model::{JobId, Plan, Reason, Unplanned};
use gangday_planner::Task;

use crate::diary::{Record, Standing};
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::problem::Posed;
use crate::{standing, words};

/// Why a job is not planned whose every stage was recorded as done.
const DONE: &str = "U-DONE";
/// Why a job is not planned of which some stages were recorded as done.
const BEGUN: &str = "U-BEGUN";
/// Why a job is not planned that stands as it was issued in an earlier week.
const STANDS: &str = "U-STANDS";

/// Of each job that was begun or done, or stands as issued, and has no place in a plan, why it is not planned.
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
    let mut all: HashMap<JobId, Reason> = begun
        .map(|job| (job.clone(), reason(opened, job, &own[job])))
        .collect();
    let standing = standing::of(opened).filter(|one| !placed.contains(&one.job));
    for one in standing {
        let reason = || standing_reason(opened, one);
        all.entry(one.job.clone()).or_insert_with(reason);
    }
    all
}

fn standing_reason(opened: &Opened, one: &Standing) -> Reason {
    Reason {
        code: STANDS.to_owned(),
        text: format!(
            "It stands as issued with {} on {}, in an earlier week; record it as done, or bring it over to plan it in \
             this one.",
            opened.prepared.programme.gang_name(&one.gang),
            words::day(one.date)
        ),
    }
}

/// The jobs of which all is done, by what was recorded of them.
#[must_use]
pub fn done(opened: &Opened) -> HashSet<&JobId> {
    let mut last: HashMap<&JobId, &Record> = HashMap::new();
    for record in &opened.diary.records {
        let known = last.entry(&record.job).or_insert(record);
        if record.stage > known.stage {
            *known = record;
        }
    }
    let all = last.into_iter();
    let done = all.filter(|(job, last)| has_all(opened, job, &[last]));
    done.map(|(job, _)| job).collect()
}

/// Whoever did the last stage had all the others behind them.
fn has_all(opened: &Opened, job: &JobId, own: &[&Record]) -> bool {
    let at = opened.prepared.index_of(job);
    let work = at.and_then(|at| opened.prepared.works[at].as_deref());
    let end = work.and_then(|work| work.stages.last());
    end.is_some_and(|end| own.iter().any(|record| record.stage >= end.stage))
}

fn reason(opened: &Opened, job: &JobId, own: &[&Record]) -> Reason {
    let done = has_all(opened, job, own);
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
    let is_over = |reason: &Reason| [DONE, BEGUN, STANDS].contains(&reason.code.as_str());
    let jobs = plan.unplanned.iter();
    let over = jobs.filter(|one| one.reasons.iter().any(is_over));
    over.map(|one| &one.job).collect()
}

/// The jobs that a plan lists as done.
#[must_use]
pub fn listed_as_done(plan: &Plan) -> HashSet<&JobId> {
    let jobs = plan.unplanned.iter();
    let done = jobs.filter(|one| is_told(one, DONE));
    done.map(|one| &one.job).collect()
}

/// Whether a plan lists a job as done.
#[must_use]
pub fn is_done(plan: &Plan, job: &JobId) -> bool {
    lists(plan, job, DONE)
}

/// Whether a plan lists a job as standing as it was issued.
#[must_use]
pub fn stands(plan: &Plan, job: &JobId) -> bool {
    lists(plan, job, STANDS)
}

fn lists(plan: &Plan, job: &JobId, code: &str) -> bool {
    let mut own = plan.unplanned.iter().filter(|one| one.job == *job);
    own.any(|one| is_told(one, code))
}

/// Whether a job that is not planned is told to stand as it was issued.
#[must_use]
pub fn is_standing(one: &Unplanned) -> bool {
    is_told(one, STANDS)
}

/// Whether a reason is that a job stands as it was issued.
#[must_use]
pub fn is_of_standing(reason: &Reason) -> bool {
    reason.code == STANDS
}

fn is_told(one: &Unplanned, code: &str) -> bool {
    one.reasons.iter().any(|reason| reason.code == code)
}

/// How many jobs a plan lists as done.
#[must_use]
pub fn how_many_done(plan: &Plan) -> usize {
    let jobs = plan.unplanned.iter();
    jobs.filter(|one| is_told(one, DONE)).count()
}

/// How many jobs a plan lists as standing as they were issued.
#[must_use]
pub fn how_many_stand(plan: &Plan) -> usize {
    let jobs = plan.unplanned.iter();
    jobs.filter(|one| is_standing(one)).count()
}

/// How many jobs a plan leaves out in truth: what is done or stands as issued needs no place in it.
#[must_use]
pub fn how_many_left_out(plan: &Plan) -> usize {
    let jobs = plan.unplanned.iter();
    jobs.filter(|one| !is_told(one, DONE) && !is_standing(one))
        .count()
}

/// Those of them of which something is recorded, or that the diary has stand: a plan alone does not say so.
#[must_use]
pub fn recorded<'a>(opened: &Opened, plan: &'a Plan) -> HashSet<&'a JobId> {
    let records = opened.diary.records.iter();
    let mut begun: HashSet<&JobId> = records.map(|record| &record.job).collect();
    begun.extend(standing::of(opened).map(|one| &one.job));
    listed(plan)
        .into_iter()
        .filter(|job| begun.contains(job))
        .collect()
}
