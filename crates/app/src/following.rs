//! The plan follows the programme: after an edit its times, costs and jobs are those of what is there now.
//!
//! Nothing goes to another gang-day by itself. Gang-days keep their order and are timed anew, with the rules
//! that they break named by the checker; what is new, or can't stand where it stood, is not planned until
//! somebody plans it.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use chrono::NaiveDate;
use gangday_model::{Bound, Job, JobId, Plan, Reason, Route, Unplanned, Week};

use crate::by_hand::{self, Whole};
use crate::changes::State;
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::{done_stays, over, standing, words};

/// Why a job is not planned that came, or was changed, after the week was planned, or after which the week was moved.
pub const SINCE: &str = "U-SINCE";

/// What is said of a job that was begun before the week, until its rest is planned.
pub const BEGUN: &str =
    "It was begun in an earlier week, and what is left of it is not planned yet";

/// What is said of a job of which the work is another by the figures that it rests on.
const ANOTHER: &str = "Its work is another since the week was planned";

/// With more jobs only the gang-days are timed anew that an edit touches.
const SMALL: usize = 200;

/// The state after an edit, its plan brought up to what it is for.
pub fn follow(before: &State, after: State) -> State {
    let mut after = after;
    forget(&before.opened, &mut after.opened);
    after.opened.look_back(after.plan.as_deref());
    standing::note(&before.opened, &mut after);
    standing::told(followed_up(before, after))
}

fn followed_up(before: &State, after: State) -> State {
    let (was, now) = (&before.opened.prepared, &after.opened.prepared);
    let Some(plan) = after.plan.as_ref().filter(|_| !Arc::ptr_eq(was, now)) else {
        return after;
    };
    let earlier = before.plan.as_ref().unwrap_or(plan);
    let before = Whole {
        prepared: was,
        plan: earlier,
    };
    let within = in_week(&after.opened, plan);
    let stood = within.as_ref().unwrap_or(plan);
    let followed = followed(before, &after.opened, stood);
    let followed = followed.map(|next| done_stays::kept(&after.opened, stood, next));
    let followed = followed.or(within);
    match followed.filter(|followed| *followed != **plan) {
        Some(followed) => State {
            plan: Some(Arc::new(followed)),
            ..after
        },
        None => after,
    }
}

/// What was recorded of a job goes with it: another one that is called the same was not begun.
fn forget(before: &Opened, after: &mut Opened) {
    let (was, now) = (&before.prepared, &after.prepared);
    if Arc::ptr_eq(was, now) || after.diary.lost {
        return;
    }
    let refused: HashSet<JobId> = after.refused_jobs().into_iter().collect();
    let is_gone = |job: &JobId| {
        was.index_of(job).is_some() && now.index_of(job).is_none() && !refused.contains(job)
    };
    let records = after.diary.records.iter().map(|record| &record.job);
    let standing = after.diary.standing.iter().map(|one| &one.job);
    if records.chain(standing).any(&is_gone) {
        let mut diary = after.diary.as_ref().clone();
        diary.records.retain(|record| !is_gone(&record.job));
        diary.standing.retain(|one| !is_gone(&one.job));
        after.diary = Arc::new(diary);
    }
}

/// The plan without its gang-days of another week; none where it has none of these.
fn in_week(opened: &Opened, plan: &Plan) -> Option<Plan> {
    let week: HashSet<NaiveDate> = opened.prepared.programme.week.calendar_days().collect();
    let (routes, others): (Vec<Route>, Vec<Route>) = plan
        .routes
        .iter()
        .cloned()
        .partition(|route| week.contains(&route.date));
    if others.is_empty() {
        return None;
    }
    let next = Plan {
        routes,
        ..plan.clone()
    };
    let mut next = next.tidied();
    let over = over::reasons(opened, Some(&next));
    let still = planned(&next);
    let visits = others
        .iter()
        .flat_map(|route| route.visits.iter().map(move |visit| (&visit.job, route)));
    let gone: BTreeMap<&JobId, &Route> = visits.filter(|(job, _)| !still.contains(job)).collect();
    let left = gone.into_iter().map(|(job, route)| {
        let over = over.get(job).cloned();
        Unplanned {
            job: job.clone(),
            reasons: vec![over.unwrap_or_else(|| from_another_week(opened, job, route))],
        }
    });
    let left: Vec<Unplanned> = left.collect();
    next.unplanned.extend(left);
    next.unplanned.sort_by(|one, other| one.job.cmp(&other.job));
    Some(next)
}

fn from_another_week(opened: &Opened, job: &JobId, route: &Route) -> Reason {
    if opened.prepared.is_begun(job) {
        return since(BEGUN);
    }
    since(&format!(
        "It was planned with {} on {}, in another week, and is not recorded as done",
        opened.prepared.programme.gang_name(&route.gang),
        words::day(route.date)
    ))
}

/// The plan brought up to the programme; none where it is that already.
fn followed(before: Whole<'_>, opened: &Opened, plan: &Plan) -> Option<Plan> {
    let (was, now) = (before.prepared, &*opened.prepared);
    let planned = planned(plan);
    let left = plan.unplanned.iter().map(|one| &one.job);
    let known: HashSet<&JobId> = planned.iter().copied().chain(left).collect();
    let mut touched = fresh(was, now, &known);
    let lost = lost(was, now, &known);
    let all = !is_alike_but_for_jobs(was, now);
    let findings = || opened.faults().cloned().collect();
    if touched.is_empty() && lost.is_empty() && !all {
        let is_other = was.programme.week != now.programme.week;
        return is_other.then(|| Plan {
            findings: findings(),
            ..plan.clone()
        });
    }
    let next = Plan {
        unplanned: unplanned(opened, was, (plan, &planned), &touched),
        bound: plan.bound.as_ref().map(no_bound),
        findings: findings(),
        ..plan.clone()
    };
    touched.extend(lost);
    let why = since(ANOTHER);
    let part = || {
        let after = Whole {
            prepared: now,
            plan: &next,
        };
        by_hand::timed_in_part(before, after, &touched, &why)
    };
    let small = now.programme.jobs.len() <= SMALL;
    let in_part = if all || small { None } else { part() };
    Some(in_part.unwrap_or_else(|| by_hand::timed_anew(now, &next, &why)))
}

/// The jobs that are planned.
pub fn planned(plan: &Plan) -> HashSet<&JobId> {
    fn of_route(route: &Route) -> Vec<&JobId> {
        let mut jobs: Vec<&JobId> = route.visits.iter().map(|visit| &visit.job).collect();
        // Most stages of a job follow one another.
        jobs.dedup();
        jobs
    }
    plan.routes.iter().flat_map(of_route).collect()
}

/// Jobs that the plan doesn't know, and those that ask for something else than before.
fn fresh<'a>(was: &Prepared, now: &'a Prepared, known: &HashSet<&JobId>) -> HashSet<&'a JobId> {
    let jobs = now.programme.jobs.iter().enumerate();
    let is_fresh = |(at, job): &(usize, &Job)| match was.index_near(*at, &job.id) {
        Some(before) => !known.contains(&job.id) || !asks_alike((was, before), (now, *at)),
        // Under another id it is the same job.
        None => !known.contains(&job.id),
    };
    jobs.filter(is_fresh).map(|(_, job)| &job.id).collect()
}

/// Whether two jobs are the same to whoever plans them.
fn asks_alike((was, before): (&Prepared, usize), (now, at): (&Prepared, usize)) -> bool {
    let asked = |job: &Job| Job {
        permit: None,
        extra: serde_json::Map::new(),
        ..job.clone()
    };
    let (old, new) = (&was.programme.jobs[before], &now.programme.jobs[at]);
    was.works[before] == now.works[at]
        && was.begun[before] == now.begun[at]
        && was.points[before] == now.points[at]
        && was.closures[before].kind == now.closures[at].kind
        && was.streets[before] == now.streets[at]
        && (old == new || asked(old) == asked(new))
}

/// Whether nothing differs but jobs, and days that time nothing: that on which notice would be given, and that from
/// which is planned.
fn is_alike_but_for_jobs(was: &Prepared, now: &Prepared) -> bool {
    let (old, new) = (&was.programme, &now.programme);
    let undated = |week: &Week| Week {
        today: None,
        plan_from: None,
        ..week.clone()
    };
    Arc::ptr_eq(&was.travel, &now.travel)
        && (&old.gangs, &old.tips) == (&new.gangs, &new.tips)
        && (old.week == new.week || undated(&old.week) == undated(&new.week))
        && (&old.method, &old.materials) == (&new.method, &new.materials)
        && old.streets == new.streets
}

/// Jobs that are there no more: others may have their time and their set-up.
fn lost<'a>(was: &'a Prepared, now: &Prepared, known: &HashSet<&JobId>) -> Vec<&'a JobId> {
    let old = was.programme.jobs.iter().enumerate();
    let gone = old.filter(|(at, job)| now.index_near(*at, &job.id).is_none());
    let gone: Vec<&JobId> = gone.map(|(_, job)| &job.id).collect();
    let new = now.programme.jobs.iter().enumerate();
    let new = new.filter(|(at, job)| was.index_near(*at, &job.id).is_none());
    // What the plan knows already under an id that is new was renamed.
    let renamed = new.filter(|(_, job)| known.contains(&job.id)).count();
    if renamed < gone.len() {
        gone
    } else {
        Vec::new()
    }
}

/// The jobs that are not planned, each with its reasons as far as they still stand: those of another week do not.
fn unplanned(
    opened: &Opened,
    was: &Prepared,
    (plan, planned): (&Plan, &HashSet<&JobId>),
    fresh: &HashSet<&JobId>,
) -> Vec<Unplanned> {
    let now = &opened.prepared;
    let mut all: BTreeMap<&JobId, Vec<Reason>> = plan
        .unplanned
        .iter()
        .map(|one| (&one.job, one.reasons.clone()))
        .collect();
    let is_moved = was.programme.week.first_day != now.programme.week.first_day;
    let left = plan.unplanned.iter().map(|one| &one.job);
    let left = left.filter(|job| is_moved && now.index_of(job).is_some());
    let fresh = fresh.iter().copied().filter(|job| !planned.contains(*job));
    let anew: BTreeSet<&JobId> = fresh.chain(left).collect();
    let mut over = match anew.is_empty() {
        true => HashMap::new(),
        false => over::reasons(opened, Some(plan)),
    };
    for job in anew {
        let told = all.get(job).map(Vec::as_slice);
        let own = over.remove(job).or_else(|| why_not(was, now, job, told));
        if let Some(own) = own {
            all.insert(job, vec![own]);
        }
    }
    let listed = all.into_iter().map(|(job, reasons)| Unplanned {
        job: job.clone(),
        reasons,
    });
    listed.collect()
}

/// Why a job is not planned that came, or was changed, or of which only the week is another; none where what is told
/// of it says so already.
fn why_not(was: &Prepared, now: &Prepared, job: &JobId, told: Option<&[Reason]>) -> Option<Reason> {
    if now.is_begun(job) {
        return Some(since(BEGUN));
    }
    let Some(told) = told else {
        return Some(since("It came after the week was planned"));
    };
    // Whatever else has changed, this is why; what stood says itself what has become of it.
    let stays = |reason: &Reason| reason.code == SINCE || over::is_of_standing(reason);
    if told.iter().any(stays) {
        return None;
    }
    let first = |prepared: &Prepared| prepared.programme.week.first_day;
    Some(since(match first(now).cmp(&first(was)) {
        Ordering::Greater => "The week was moved on since, and it is not planned in this one yet",
        Ordering::Less => "The week was moved back since, and it is not planned in this one yet",
        Ordering::Equal if is_stated_alike(was, now, job) => ANOTHER,
        Ordering::Equal => "It was changed since the week was planned",
    }))
}

/// Whether a job states what it did, so that only what it rests on makes its work another.
fn is_stated_alike(was: &Prepared, now: &Prepared, job: &JobId) -> bool {
    let both = was.index_of(job).zip(now.index_of(job));
    both.is_some_and(|(old, new)| {
        was.works[old] != now.works[new] && was.programme.jobs[old] == now.programme.jobs[new]
    })
}

pub fn since(what: &str) -> Reason {
    Reason {
        code: SINCE.to_owned(),
        text: format!("{what}; plan the rest, or carry it to a gang-day."),
    }
}

/// A bound holds for what it was worked out for.
pub fn no_bound(before: &Bound) -> Bound {
    if before.least_pence.is_none() {
        return before.clone();
    }
    Bound {
        least_pence: None,
        text: "No lower bound: the programme has changed since one was worked out. How far the plan is from \
               the cheapest is not known."
            .to_owned(),
    }
}
