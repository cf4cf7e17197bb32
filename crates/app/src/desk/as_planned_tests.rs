//! Work that is recorded as done as it was planned, jobs and gang-days at a time.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::sync::Arc;

use chrono::{NaiveDateTime, TimeDelta};
use gangday_model::{Plan, Stage, Visit, VisitStatus};
use serde_json::{Value, json};

use super::Desk;
use super::tests::{ask, opened, plan, save, sheet, sheet_of, small, wait};
use crate::diary::Record;
use crate::recorded::as_it_went;
use crate::view::{Answer, DemoWeek, Request, Sheet};

fn of_jobs(ids: &[&str]) -> Value {
    json!({"ask": "record_as_planned", "of": {"what": "jobs", "ids": ids}})
}

fn of_gang_day(key: &str) -> Value {
    json!({"ask": "record_as_planned", "of": {"what": "gang_day", "key": key}})
}

/// What it is told to have done, the jobs and the sheet.
fn done(desk: &Desk, request: Value) -> (String, Vec<String>, Sheet) {
    match ask(desk, request).unwrap() {
        Answer::Edited { sheet, jobs, told } => (told.unwrap(), jobs, *sheet),
        other => panic!("nothing recorded but {other:?}"),
    }
}

fn refused(desk: &Desk, request: Value) -> String {
    ask(desk, request).unwrap_err().text
}

fn plan_of(desk: &Desk) -> Plan {
    let state = desk.lock().planned().unwrap();
    state.plan.as_deref().unwrap().clone()
}

fn records_of(desk: &Desk) -> Vec<Record> {
    let state = desk.lock().planned().unwrap();
    state.opened.diary.records.clone()
}

/// When the plan has each stage end of the jobs that are asked for.
fn planned(plan: &Plan, is_asked: impl Fn(&Visit) -> bool) -> BTreeSet<(String, Stage, String)> {
    let own = plan.visits().filter(|visit| is_asked(visit));
    own.map(|visit| {
        let at = visit.finish.to_string();
        (visit.job.to_string(), visit.stage, at)
    })
    .collect()
}

fn written(records: &[Record]) -> BTreeSet<(String, Stage, String)> {
    let row = |record: &Record| (record.job.to_string(), record.stage, record.at.to_string());
    records.iter().map(row).collect()
}

/// The plan without what is said of why its visits stay.
fn unmarked(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    let visits = plan.routes.iter_mut().flat_map(|route| &mut route.visits);
    visits.for_each(|visit| visit.status = None);
    plan
}

fn is_done(visit: &Visit) -> bool {
    visit.status == Some(VisitStatus::Done)
}

/// The first planned jobs of the first gang-days.
fn some_jobs(desk: &Desk) -> Vec<String> {
    let columns = sheet(desk).plan.unwrap().columns;
    let jobs = columns.iter().flat_map(|column| column.jobs.clone());
    let jobs: BTreeSet<String> = jobs.take(6).collect();
    jobs.into_iter().collect()
}

fn as_of(jobs: &[String]) -> Value {
    of_jobs(&jobs.iter().map(String::as_str).collect::<Vec<_>>())
}

#[test]
fn several_jobs_are_recorded_in_one_step_that_undo_takes_back_whole() {
    let desk = small();
    ask(&desk, json!({"ask": "issue", "on": "2027-02-25"})).unwrap();
    let (before, stood) = (sheet(&desk), plan_of(&desk));
    let jobs = some_jobs(&desk);
    let is_own = |visit: &Visit| jobs.contains(&visit.job.to_string());
    let (told, touched, after) = done(&desk, as_of(&jobs));
    let all = planned(&stood, is_own);
    assert_eq!(
        told,
        format!(
            "{} stages of {} jobs are recorded as done at their planned times.",
            all.len(),
            jobs.len()
        )
    );
    assert_eq!(
        touched.iter().collect::<BTreeSet<_>>(),
        jobs.iter().collect()
    );
    assert_eq!(
        after.undo,
        Some(format!("record {} jobs as done as planned", jobs.len()))
    );
    assert_eq!(written(&records_of(&desk)), all);
    assert!(after.records.iter().all(|record| record.late == Some(0)));
    let now = plan_of(&desk);
    assert_eq!(unmarked(&now), unmarked(&stood), "nothing moves");
    assert!(now.visits().all(|visit| is_done(visit) == is_own(visit)));
    assert!(after.issues[0].current, "it is the plan that was issued");
    let broken = after
        .findings
        .iter()
        .filter(|one| one.code.starts_with("R-"));
    assert_eq!(broken.count(), 0);

    let back = sheet_of(ask(&desk, json!({"ask": "undo"})).unwrap());
    assert_eq!((back.undo, back.records.len()), (before.undo, 0));
    assert_eq!((plan_of(&desk), records_of(&desk)), (stood, Vec::new()));
    let again = sheet_of(ask(&desk, json!({"ask": "redo"})).unwrap());
    assert_eq!((again.records, plan_of(&desk)), (after.records, now));
}

#[test]
fn what_is_recorded_already_keeps_its_time() {
    let desk = small();
    let visit = plan_of(&desk)
        .visits()
        .min_by_key(|visit| visit.finish)
        .unwrap()
        .clone();
    let late = visit.finish + TimeDelta::minutes(20);
    let at = late.format("%Y-%m-%dT%H:%M").to_string();
    let stage = serde_json::to_value(visit.stage).unwrap();
    let job = visit.job.as_str();
    ask(
        &desk,
        json!({"ask": "record", "job": job, "stage": stage, "at": at}),
    )
    .unwrap();
    let carried_on = plan_of(&desk);
    let (told, _, after) = done(&desk, of_jobs(&[job]));
    assert_eq!(after.undo, Some(format!("record {job} as done as planned")));
    let all = planned(&carried_on, |visit| visit.job.as_str() == job);
    assert!(
        told.starts_with(&format!("{} stages of {job} are", all.len() - 1)),
        "{told}"
    );
    assert_eq!(
        written(&records_of(&desk)),
        all,
        "as the plan has been carried on"
    );
    let times: BTreeMap<Stage, (NaiveDateTime, Option<NaiveDateTime>)> = records_of(&desk)
        .into_iter()
        .map(|record| (record.stage, (record.at, record.due)))
        .collect();
    assert_eq!(times[&visit.stage], (late, Some(visit.finish)));
    assert_eq!(unmarked(&plan_of(&desk)), unmarked(&carried_on));
}

#[test]
fn a_gang_day_takes_only_its_own_visits_of_a_job_that_is_left_over_a_night() {
    let desk = Desk::default();
    let week = DemoWeek::Full;
    desk.ask(Request::OpenDemo { week }).unwrap();
    let stood = plan_of(&desk);
    let columns = sheet(&desk).plan.unwrap().columns;
    let evening = columns
        .iter()
        .find(|column| !column.left.is_empty())
        .unwrap();
    let route = stood.routes.iter();
    let route = route
        .clone()
        .find(|route| format!("{}@{}", route.gang, route.date) == evening.key)
        .unwrap();
    let (told, touched, after) = done(&desk, of_gang_day(&evening.key));
    let records = records_of(&desk);
    let of_day = |visit: &Visit| route.visits.contains(visit);
    assert_eq!(written(&records), planned(&stood, of_day));
    assert!(told.starts_with(&format!(
        "{} stages of {} jobs",
        records.len(),
        touched.len()
    )));
    let gang = after
        .gangs
        .iter()
        .find(|gang| gang.id == evening.gang)
        .unwrap();
    let day = after
        .days
        .iter()
        .find(|day| day.date == evening.date)
        .unwrap();
    let name = format!("{}, {}", gang.name, day.name);
    assert_eq!(
        after.undo,
        Some(format!("record {name}, as done as planned"))
    );
    // What is left of the job for the next day is not done.
    let now = plan_of(&desk);
    let left = now.visits().filter(|visit| !is_done(visit));
    let left: BTreeSet<String> = left.map(|visit| visit.job.to_string()).collect();
    assert!(touched.iter().any(|job| left.contains(job)), "{touched:?}");
    let text = refused(&desk, of_gang_day(&evening.key));
    assert_eq!(
        text,
        format!(
            "Nothing is left to record: every stage planned for {name}, is recorded as done already."
        )
    );
    // The whole job is its other day too.
    let begun = touched.iter().find(|job| left.contains(*job)).unwrap();
    let (_, _, after) = done(&desk, of_jobs(&[begun]));
    assert!(after.records.len() > records.len());
    assert!(
        plan_of(&desk)
            .visits()
            .all(|visit| visit.job.as_str() != begun || is_done(visit))
    );
}

#[test]
fn where_nothing_is_left_to_record_there_is_no_step_and_it_is_said() {
    let desk = small();
    let all = sheet(&desk);
    let route = all.jobs.iter().find(|job| job.route.is_some()).unwrap();
    let job = route.id.as_str();
    done(&desk, of_jobs(&[job]));
    let before = sheet(&desk);
    let is_job = "Nothing is left to record: every planned stage of";
    assert_eq!(
        refused(&desk, of_jobs(&[job])),
        format!("{is_job} {job} is recorded as done already.")
    );
    assert!(refused(&desk, of_jobs(&["J999"])).starts_with("J999 is not in the plan"));
    assert!(refused(&desk, of_jobs(&[])).starts_with("None of these jobs is in the plan"));
    let gang = &before.gangs[0];
    let none = |key: &str| refused(&desk, of_gang_day(key));
    assert_eq!(
        none(&format!("{}@2031-01-01", gang.id)),
        format!(
            "No work is planned for the gang-day {}, Wed 1 Jan 2031.",
            gang.name
        )
    );
    assert_eq!(none("G1"), "No work is planned for the gang-day G1.");
    assert_eq!(sheet(&desk), before);
    let ids: Vec<String> = before.jobs.iter().map(|job| job.id.clone()).collect();
    let free = before.jobs.iter().filter(|job| job.route.is_none()).count();
    let (told, touched, _) = done(
        &desk,
        as_of(&[ids.clone(), vec!["J999".to_owned()]].concat()),
    );
    assert!(!touched.contains(&job.to_owned()));
    let nowhere = match free + 1 {
        1 => "1 job is not in the plan; nothing of it is recorded.".to_owned(),
        many => format!("{many} jobs are not in the plan; nothing of them is recorded."),
    };
    assert!(told.ends_with(&nowhere), "{told}");
    assert!(refused(&desk, as_of(&ids)).starts_with(&format!("{is_job} these jobs")));
}

/// The desk believes no such time; a diary that was written elsewhere may still have it.
#[test]
fn a_stage_is_not_recorded_out_of_turn_with_one_that_was() {
    let desk = small();
    let plan = plan_of(&desk);
    let first = plan
        .visits()
        .find(|visit| visit.stage == Stage::Dig)
        .unwrap();
    let own = plan.visits().filter(|visit| visit.job == first.job);
    let last = own.max_by_key(|visit| visit.finish).unwrap();
    let mut inner = desk.lock();
    let mut state = inner.planned().unwrap();
    Arc::make_mut(&mut state.opened.diary).records.push(Record {
        job: first.job.clone(),
        stage: last.stage,
        at: first.finish - TimeDelta::days(1),
        due: None,
    });
    inner.change("write it down", state).unwrap();
    drop(inner);
    let before = sheet(&desk);
    let text = refused(&desk, of_jobs(&[first.job.as_str()]));
    assert!(
        text.contains("can't have ended at") && text.contains("comes after it"),
        "{text}"
    );
    assert_eq!(sheet(&desk), before);
}

#[test]
fn it_is_still_there_when_the_programme_is_opened_again() {
    let place = tempfile::tempdir().unwrap();
    for name in ["week", "week.gpkg"] {
        let path = place.path().join(name);
        let desk = small();
        let jobs = some_jobs(&desk);
        let before = plan_of(&desk);
        save(&desk, &path).unwrap();
        let (_, _, after) = done(&desk, as_of(&jobs));
        save(&desk, &path).unwrap();
        let known = (records_of(&desk), plan_of(&desk));
        drop(desk);
        assert_kept(&path, &after, &known);
        if name == "week.gpkg" {
            let again = opened(&path);
            ask(&again, json!({"ask": "undo"})).unwrap();
            assert_eq!((records_of(&again), plan_of(&again)), (Vec::new(), before));
        }
    }
}

fn assert_kept(path: &Path, after: &Sheet, known: &(Vec<Record>, Plan)) {
    let again = opened(path);
    assert_eq!(sheet(&again).records, after.records);
    assert_eq!((records_of(&again), plan_of(&again)), *known);
}

/// All of a week with nights and breaks, done as planned: where it stands is where it was planned.
#[test]
fn a_whole_week_that_went_as_planned_stays_as_it_is_whatever_is_planned_then() {
    let desk = Desk::default();
    let week = DemoWeek::Full;
    desk.ask(Request::OpenDemo { week }).unwrap();
    let stood = plan_of(&desk);
    let ids: Vec<String> = sheet(&desk).jobs.iter().map(|job| job.id.clone()).collect();
    let (_, _, after) = done(&desk, as_of(&ids));
    let broken = after
        .findings
        .iter()
        .filter(|one| one.code.starts_with("R-"));
    assert_eq!(broken.count(), 0);
    let now = plan_of(&desk);
    assert!(now.visits().all(is_done));
    let state = desk.lock().planned().unwrap();
    let went = as_it_went(&state.opened.prepared, &state.opened.diary, &now);
    for (went, now) in went.visits().zip(now.visits()) {
        assert_eq!(went, now);
    }
    assert!(went == now && unmarked(&now) == unmarked(&stood));
    desk.ask(plan(100, 7)).unwrap();
    wait(&desk);
    let places = |plan: &Plan| planned(plan, is_done);
    assert_eq!(places(&plan_of(&desk)), places(&now));
}

#[test]
fn what_has_changed_by_it_is_told_as_the_whole_sheet_is() {
    let desk = small();
    let edition = sheet(&desk).edition;
    let jobs = some_jobs(&desk);
    let request = json!({"ask": "since", "edition": edition, "of": as_of(&jobs)});
    let Answer::Patched {
        jobs: touched,
        told,
        ..
    } = ask(&desk, request).unwrap()
    else {
        panic!("not told as a patch");
    };
    let told = told.unwrap();
    let stages = sheet(&desk).records.len();
    assert!(
        told.starts_with(&format!("{stages} stages of {} jobs are", jobs.len())),
        "{told}"
    );
    assert_eq!(touched.len(), jobs.len());
}
