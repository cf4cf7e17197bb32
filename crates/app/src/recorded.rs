//! A plan as it went: what was recorded as done stands at its real time.

use std::collections::{HashMap, HashSet};

use chrono::{NaiveDateTime, TimeDelta};
use gangday_model::{JobId, JobWork, Plan, Reason, Route, Stage, StageWork, VisitStatus};

use crate::by_hand::{self, Whole};
use crate::diary::Diary;
use crate::done_stays::undone;
use crate::following::SINCE;
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::reports;

/// When stages ended.
type Ended<'a> = HashMap<(&'a JobId, Stage), NaiveDateTime>;

/// The plan with every recorded stage ending when it did, and taking as long as it is worked out to.
/// Stages that a gang does without a wait between them go together: those before a recorded one are
/// done too, those after it follow at once. Everything else stays where it is planned, for the search
/// to move.
#[must_use]
pub fn as_it_went(prepared: &Prepared, diary: &Diary, plan: &Plan) -> Plan {
    let records = diary.records.iter();
    let ended: Ended<'_> = records
        .map(|record| ((&record.job, record.stage), record.at))
        .collect();
    let begun: HashSet<&JobId> = ended.keys().map(|(job, _)| *job).collect();
    let mut plan = plan.clone();
    if !ended.is_empty() {
        plan.routes
            .iter_mut()
            .for_each(|route| went(prepared, (&ended, &begun), route));
    }
    plan
}

/// The plan carried on from what was recorded: what follows in the same gang-days is timed anew, and nothing
/// goes to another one. Where that can't be, because of what is locked or recorded besides, a gang-day is as
/// [`as_it_went`] leaves it, with what that costs, for the checker to name the rules that it breaks.
#[must_use]
pub fn carried_on(opened: &Opened, (before, plan): (&Plan, Plan), job: &JobId) -> Plan {
    let prepared = &opened.prepared;
    let went = as_it_went(prepared, &opened.diary, &plan);
    let nowhere = Reason {
        code: SINCE.to_owned(),
        text: "Its work can't stand where it was recorded; plan the rest.".to_owned(),
    };
    let [was, now] = [before, &went].map(|plan| Whole { prepared, plan });
    let next = by_hand::timed_in_part(was, now, &HashSet::from([job]), &nowhere);
    let next = next.unwrap_or_else(|| by_hand::timed_anew(prepared, &went, &nowhere));
    if undone(&went, &next).is_empty() {
        return next;
    }
    let mut stood = Plan {
        routes: went.routes,
        ..plan
    };
    // Nobody times such a day: its costs are what its visits come to.
    if let Some(costs) = reports::costs_as_it_stands(opened, &stood) {
        stood.costs = costs;
    }
    stood
}

/// Puts on a gang-day, of the jobs that anything was recorded of, each stage where it went.
fn went(prepared: &Prepared, (ended, begun): (&Ended<'_>, &HashSet<&JobId>), route: &mut Route) {
    let mut jobs: Vec<JobId> = route.visits.iter().map(|visit| visit.job.clone()).collect();
    jobs.sort();
    jobs.dedup();
    for job in jobs.iter().filter(|job| begun.contains(job)) {
        let work = prepared.work_on(job, &route.gang, route.date);
        let blocks = work.map(JobWork::blocks).unwrap_or_default();
        for block in &blocks {
            together(ended, route, job, block);
        }
        in_order(ended, route, job, &blocks);
    }
    route.visits.sort_by_key(|visit| visit.start);
}

/// Puts what was not recorded of a job after what went before it, and before what came after it: a stage that
/// ended late holds up the next ones, locked or not, and one that is done had those before it.
fn in_order(ended: &Ended<'_>, route: &mut Route, job: &JobId, blocks: &[&[StageWork]]) {
    let is_recorded = |block: &[StageWork]| {
        let mut stages = block.iter();
        stages.any(|stage| ended.contains_key(&(job, stage.stage)))
    };
    let mut free: Option<NaiveDateTime> = None;
    for block in blocks {
        let Some((start, end)) = span(route, job, block) else {
            continue;
        };
        let later = free.filter(|free| *free > start && !is_recorded(block));
        let by = later.map_or(TimeDelta::zero(), |free| free - start);
        shift(route, job, block, by);
        free = Some(end + by + wait(block));
    }
    let mut due: Option<NaiveDateTime> = None;
    for block in blocks.iter().rev() {
        let Some((start, end)) = span(route, job, block) else {
            continue;
        };
        let recorded = is_recorded(block);
        let earlier = due.filter(|due| end + wait(block) > *due && !recorded);
        let by = earlier.map_or(TimeDelta::zero(), |due| due - end - wait(block));
        shift(route, job, block, by);
        // Only what is known to have been done at its time was there for certain.
        due = (recorded || earlier.is_some())
            .then_some(start + by)
            .or(due);
    }
}

/// From when to when a block of a job is on a gang-day, if it is.
fn span(route: &Route, job: &JobId, block: &[StageWork]) -> Option<(NaiveDateTime, NaiveDateTime)> {
    let own = || {
        route
            .visits
            .iter()
            .filter(|visit| visit.job == *job && is_of(block, visit.stage))
    };
    Some((
        own().map(|visit| visit.start).min()?,
        own().map(|visit| visit.finish).max()?,
    ))
}

fn is_of(block: &[StageWork], stage: Stage) -> bool {
    block.iter().any(|own| own.stage == stage)
}

fn wait(block: &[StageWork]) -> TimeDelta {
    let last = block.last();
    TimeDelta::seconds(last.map_or(0, |stage| stage.wait().seconds()))
}

fn shift(route: &mut Route, job: &JobId, block: &[StageWork], by: TimeDelta) {
    let own = route.visits.iter_mut();
    for visit in own.filter(|visit| visit.job == *job && is_of(block, visit.stage)) {
        visit.arrive += by;
        visit.start += by;
        visit.finish += by;
    }
}

/// Puts the stages of one block where the last recorded one of them says that they were.
fn together(ended: &Ended<'_>, route: &mut Route, job: &JobId, block: &[StageWork]) {
    let at = |stage: &StageWork| ended.get(&(job, stage.stage)).copied();
    let Some(last) = block.iter().rposition(|stage| at(stage).is_some()) else {
        return;
    };
    let lasts = |stage: &StageWork| TimeDelta::seconds(stage.work.seconds());
    let before: TimeDelta = block[..=last].iter().map(lasts).sum();
    let Some(mut now) = at(&block[last]).map(|end| end - before) else {
        return;
    };
    for (place, stage) in block.iter().enumerate() {
        let own = route.visits.iter_mut();
        let mut own = own.filter(|visit| visit.job == *job && visit.stage == stage.stage);
        if let Some(visit) = own.next() {
            if visit.start != now {
                // Done when it was planned, the gang was there as soon as it was to be.
                visit.arrive = now;
            }
            (visit.start, visit.finish) = (now, now + lasts(stage));
            if place <= last {
                visit.status = Some(VisitStatus::Done);
            }
        }
        now += lasts(stage);
    }
}

#[cfg(test)]
mod tests {
    use gangday_model::Visit;

    use super::*;
    use crate::demo;
    use crate::diary::Record;
    use crate::opened::Opened;
    use crate::view::DemoWeek;
    use crate::{PlanOptions, make_plan, verify};

    fn visits<'a>(plan: &'a Plan, job: &JobId) -> Vec<&'a Visit> {
        let all = plan.routes.iter().flat_map(|route| &route.visits);
        all.filter(|visit| visit.job == *job).collect()
    }

    /// The last visit of a job before a wait, with the wait.
    fn before_a_wait(opened: &Opened, plan: &Plan) -> (Visit, TimeDelta) {
        let prepared = &opened.prepared;
        let waits = plan.routes.iter().flat_map(|route| {
            route.visits.iter().filter_map(|visit| {
                let work = prepared.work_on(&visit.job, &route.gang, route.date)?;
                let at = work
                    .stages
                    .iter()
                    .position(|one| one.stage == visit.stage)?;
                let wait = work.stages[at].wait().seconds();
                let goes_on = wait > 0 && at + 1 < work.stages.len();
                goes_on.then(|| (visit.clone(), TimeDelta::seconds(wait)))
            })
        });
        waits.min_by_key(|(visit, _)| visit.finish).unwrap()
    }

    /// The demo week with a stage recorded as done late, and planned again.
    fn late(minutes: i64) -> (Opened, Visit, NaiveDateTime, Plan) {
        let mut opened = demo::open(DemoWeek::Small);
        let plan = opened.plan.as_deref().unwrap().clone();
        let (first, _) = before_a_wait(&opened, &plan);
        let at = first.finish + TimeDelta::minutes(minutes);
        let mut diary = Diary::default();
        diary.records.push(Record {
            job: first.job.clone(),
            stage: first.stage,
            at,
            due: None,
        });
        opened.diary = std::sync::Arc::new(diary);
        let options = PlanOptions {
            iterations: Some(200),
            seed: 1,
            ..PlanOptions::default()
        };
        let again = make_plan(&opened, &options, Some(&plan), &mut |_| true).unwrap();
        (opened, first, at, again)
    }

    #[test]
    fn planning_again_goes_on_from_when_a_stage_really_ended() {
        let (opened, first, at, again) = late(25);
        let (_, wait) = before_a_wait(&opened, opened.plan.as_deref().unwrap());
        let own = visits(&again, &first.job);
        let done = own
            .iter()
            .position(|visit| visit.stage == first.stage)
            .unwrap();
        assert_eq!(
            (own[done].finish, own[done].status),
            (at, Some(VisitStatus::Done))
        );
        assert!(own[done + 1].start >= at + wait, "{own:?}");
        let report = verify(&opened, &again, opened.plan.as_deref());
        assert!(report.sound, "{:?}", report.findings);
    }

    #[test]
    fn the_checker_names_a_plan_that_does_not_stand_where_the_work_was_done() {
        let (opened, _, _, _) = late(25);
        let planned = opened.plan.as_deref().unwrap();
        let report = verify(&opened, planned, Some(planned));
        let codes: Vec<&str> = report
            .findings
            .iter()
            .map(|one| one.code.as_str())
            .collect();
        assert!(codes.contains(&"R-LOCKED"), "{codes:?}");
    }

    #[test]
    fn nothing_recorded_leaves_a_plan_as_it_is() {
        let opened = demo::open(DemoWeek::Small);
        let plan = opened.plan.as_deref().unwrap();
        let same = as_it_went(&opened.prepared, &Diary::default(), plan);
        assert_eq!(same, *plan);
    }
}
