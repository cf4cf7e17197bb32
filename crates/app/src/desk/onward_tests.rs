//! What is done or locked stays whatever is planned, and is carried on from in the week after.

use serde_json::{Value, json};

use super::Desk;
use super::tests::{ask, plan, sheet, sheet_of, small, wait};
use crate::view::{Answer, PlanView, Request, Sheet};

pub(super) fn told(desk: &Desk, request: Value) -> Sheet {
    sheet_of(ask(desk, request).unwrap())
}

pub(super) fn planned(desk: &Desk, request: Request) -> Sheet {
    desk.ask(request).unwrap();
    wait(desk);
    sheet(desk)
}

pub(super) fn replan() -> Request {
    Request::Replan {
        seconds: None,
        iterations: Some(200),
        seed: Some(5),
    }
}

pub(super) fn of_plan(sheet: &Sheet) -> &PlanView {
    sheet.plan.as_ref().unwrap()
}

/// The gang-day, start, end and standing of each stage of a job.
pub(super) fn stages(sheet: &Sheet, job: &str) -> Vec<(String, String, u32, u32, Option<String>)> {
    let columns = of_plan(sheet).columns.iter();
    let own = columns.flat_map(|column| {
        let layers = column.layers.iter();
        let own = layers.filter(|layer| layer.job.as_deref() == Some(job));
        own.filter_map(|layer| {
            let stage = layer.stage.clone()?;
            Some((
                column.key.clone(),
                stage,
                layer.from,
                layer.to,
                layer.stays.clone(),
            ))
        })
    });
    own.collect()
}

/// Records every stage of a job as the plan has it end, or the first ones only.
pub(super) fn record(desk: &Desk, job: &str, most: usize) {
    let before = sheet(desk);
    for one in stages(&before, job).into_iter().take(most) {
        record_stage(desk, job, &one);
    }
}

/// Records one stage of a job as the plan has it end.
pub(super) fn record_stage(
    desk: &Desk,
    job: &str,
    (key, stage, _, to, _): &(String, String, u32, u32, Option<String>),
) {
    let date = key.rsplit_once('@').unwrap().1;
    let at = format!("{date}T{:02}:{:02}", to / 60, to % 60);
    told(
        desk,
        json!({"ask": "record", "job": job, "stage": stage, "at": at}),
    );
}

pub(super) fn reasons(sheet: &Sheet, job: &str) -> Vec<String> {
    let mut left = of_plan(sheet).unplanned.iter();
    left.find(|one| one.job == job)
        .map(|one| one.codes.clone())
        .unwrap_or_default()
}

pub(super) fn broken(sheet: &Sheet) -> Vec<&str> {
    let codes = sheet.findings.iter().map(|one| one.code.as_str());
    codes.filter(|code| code.starts_with("R-")).collect()
}

#[test]
fn the_week_made_from_nothing_keeps_what_is_done_and_what_is_locked() {
    let desk = small();
    let before = sheet(&desk);
    let [one, other] = [0, 1].map(|at| of_plan(&before).columns[at].jobs[0].clone());
    record(&desk, &one, 1);
    told(
        &desk,
        json!({"ask": "mark", "jobs": [other], "locked": true}),
    );
    let stood = sheet(&desk);
    for seed in 1..4 {
        let after = planned(&desk, plan(150, seed));
        assert_eq!(stages(&after, &one)[0], stages(&stood, &one)[0]);
        assert_eq!(stages(&after, &other), stages(&stood, &other));
        assert_eq!(broken(&after), Vec::<&str>::new());
        assert!(
            of_plan(&after).changes.is_empty(),
            "it is no plan of changes"
        );
    }
}

#[test]
fn a_stage_ends_neither_before_the_shift_begins_nor_out_of_turn() {
    let desk = small();
    let before = sheet(&desk);
    let job = of_plan(&before).columns[0].jobs[0].clone();
    let all = stages(&before, &job);
    let (first, last) = (&all[0], &all[all.len() - 1]);
    let refused = |stage: &str, at: &str| {
        let at = format!("2027-03-01T{at}");
        let record = json!({"ask": "record", "job": job, "stage": stage, "at": at});
        ask(&desk, record).unwrap_err().text
    };
    assert!(refused(&first.1, "06:00").contains("the gang's shift begins at 07:30"));
    assert_eq!(stages(&sheet(&desk), &job), all);
    // A gang that begins somewhat before its shift is believed, and none of its stages goes out of sight.
    let early = 7 * 60 + 30 - 45 + first.3 - first.2;
    let at = format!("2027-03-01T{:02}:{:02}", early / 60, early % 60);
    let seen = told(
        &desk,
        json!({"ask": "record", "job": job, "stage": first.1, "at": at}),
    );
    assert_eq!(names(&stages(&seen, &job)), names(&all));
    told(
        &desk,
        json!({"ask": "record", "job": job, "stage": first.1, "at": null}),
    );
    record(&desk, &job, 1);
    let (hour, minute) = (first.3 / 60, first.3 % 60);
    let late = format!("{:02}:{minute:02}", hour + 1);
    told(
        &desk,
        json!({"ask": "record", "job": job, "stage": first.1, "at": format!("2027-03-01T{late}")}),
    );
    let text = refused(&last.1, &format!("{hour:02}:{minute:02}"));
    assert!(text.contains("comes before it"), "{text}");
    let end = stages(&sheet(&desk), &job).last().unwrap().3;
    let at = format!("2027-03-01T{:02}:{:02}", end / 60, end % 60);
    told(
        &desk,
        json!({"ask": "record", "job": job, "stage": last.1, "at": at}),
    );
    let text = refused(&first.1, "23:50");
    assert!(text.contains("comes after it"), "{text}");
}

/// The week moves on by one, with all of one job done and the first stage of another.
fn the_week_after(desk: &Desk) -> (String, String) {
    let before = sheet(desk);
    let [done, begun] = [0, 1].map(|at| of_plan(&before).columns[at].jobs[0].clone());
    record(desk, &done, usize::MAX);
    record(desk, &begun, 1);
    let next = json!({"first_day": "2027-03-08", "temperatures": {}});
    let edit = json!({"do": "row", "file": "week.json", "row": null, "members": next});
    let answer = ask(desk, json!({"ask": "edit", "edit": edit}));
    let moved = sheet_of(answer.unwrap());
    assert!(of_plan(&moved).columns.is_empty() && broken(&moved).is_empty());
    (done, begun)
}

pub(super) fn names(all: &[(String, String, u32, u32, Option<String>)]) -> Vec<String> {
    all.iter().map(|one| one.1.clone()).collect()
}

fn planned_jobs(sheet: &Sheet) -> usize {
    of_plan(sheet)
        .columns
        .iter()
        .map(|column| column.jobs.len())
        .sum()
}

#[test]
fn what_was_done_in_an_earlier_week_is_not_planned_again() {
    let desk = small();
    let stood = sheet(&desk);
    let before = planned_jobs(&stood);
    let (done, begun) = the_week_after(&desk);
    let all = names(&stages(&stood, &begun));
    for request in [replan(), plan(150, 3), replan()] {
        let after = planned(&desk, request);
        assert_eq!(broken(&after), Vec::<&str>::new());
        assert_eq!(reasons(&after, &done), ["U-DONE"]);
        assert_eq!(
            names(&stages(&after, &begun)),
            all[1..],
            "what is left of it"
        );
        let told = after.findings.iter().filter(|one| one.code == "J-BEGUN");
        assert_eq!(told.count(), 1);
        let mut columns = of_plan(&after).columns.iter();
        assert!(columns.all(|column| column.date.as_str() >= "2027-03-08"));
        assert!(planned_jobs(&after) + 3 > before);
    }
    // A change by hand after that agrees with the checker as well.
    let other = |column: &&crate::view::Column| !column.jobs.contains(&begun);
    let planned_now = sheet(&desk);
    let column = of_plan(&planned_now).columns.iter().find(other).unwrap();
    let after = told(
        &desk,
        json!({"ask": "change", "change": {"do": "leave_out", "job": column.jobs[0]}}),
    );
    assert_eq!(broken(&after), Vec::<&str>::new());
    // Taken back, all of it is to be done, which no place in the plan is for; undo has it as it was.
    let records = sheet(&desk).records;
    for record in records.iter().filter(|record| record.job == begun) {
        told(
            &desk,
            json!({"ask": "record", "job": begun, "stage": record.stage, "at": null}),
        );
    }
    let whole = sheet(&desk);
    assert_eq!(reasons(&whole, &begun), ["U-SINCE"]);
    assert_eq!(broken(&whole), Vec::<&str>::new());
    let back = told(&desk, json!({"ask": "undo"}));
    assert_eq!(stages(&back, &begun), stages(&after, &begun));
    assert_eq!(stages(&told(&desk, json!({"ask": "redo"})), &begun), []);
    let after = planned(&desk, replan());
    assert_eq!(names(&stages(&after, &begun)), all);
    assert_eq!(broken(&after), Vec::<&str>::new());
}

/// A base that cures for 100 hours at 20 C, placed on the Monday, is ready in the week after, on its second day
/// at the earliest.
#[test]
fn what_is_left_waits_until_what_was_placed_is_ready() {
    let desk = small();
    let stood = sheet(&desk);
    let mut jobs = of_plan(&stood).columns[0].jobs.iter();
    let with_base = |job: &&String| stages(&stood, job)[1].1 == "base";
    let begun = jobs.find(with_base).unwrap().clone();
    record(&desk, &begun, 2);
    let edit = |edit: Value| told(&desk, json!({"ask": "edit", "edit": edit}));
    let next = json!({"first_day": "2027-03-08", "temperatures": {}});
    edit(json!({"do": "row", "file": "week.json", "row": null, "members": next}));
    let planned_quickly = planned(&desk, replan());
    assert_eq!(stages(&planned_quickly, &begun)[0].1, "build");
    let slow = json!({"value": 6000});
    edit(json!({"do": "row", "file": "materials.json", "row": "wait.base_cure", "members": slow}));
    let after = planned(&desk, replan());
    let own = stages(&after, &begun);
    assert!(!own.is_empty() && broken(&after).is_empty());
    let ready = |key: &str| key.rsplit_once('@').unwrap().1 >= "2027-03-09";
    assert!(own.iter().all(|(key, ..)| ready(key)), "{own:?}");
    let gang = own[0].0.rsplit_once('@').unwrap().0;
    let carry =
        json!({"do": "move_job", "job": begun, "to": format!("{gang}@2027-03-08"), "at": null});
    let Answer::WhatIf { outcome } =
        ask(&desk, json!({"ask": "what_if", "change": carry})).unwrap()
    else {
        panic!("no outcome");
    };
    let codes: Vec<&str> = outcome.broken.iter().map(|one| one.code.as_str()).collect();
    assert!(codes.contains(&"R-READY"), "{codes:?}");
}

/// What nobody wrote down in time: one job is done, of another a part, both in the week before.
#[test]
fn what_was_done_before_can_be_recorded_later() {
    let desk = small();
    let edit = |edit: Value| told(&desk, json!({"ask": "edit", "edit": edit}));
    let next = json!({"first_day": "2027-03-08", "temperatures": {}});
    edit(json!({"do": "row", "file": "week.json", "row": null, "members": next}));
    let stood = planned(&desk, replan());
    let [one, other] = [0, 1].map(|at| of_plan(&stood).columns[at].jobs[0].clone());
    let record = |job: &str, stage: &str, at: &str| {
        ask(
            &desk,
            json!({"ask": "record", "job": job, "stage": stage, "at": at}),
        )
        .map(sheet_of)
    };
    let after = record(&one, "reopen", "2027-03-05T15:10").unwrap();
    assert_eq!(
        (reasons(&after, &one), stages(&after, &one)),
        (vec!["U-DONE".to_owned()], vec![])
    );
    assert_eq!(broken(&after), Vec::<&str>::new());
    let all = names(&stages(&after, &other));
    let after = record(&other, &all[1], "2027-03-05T11:00").unwrap();
    assert_eq!(
        (reasons(&after, &other), stages(&after, &other)),
        (vec!["U-SINCE".to_owned()], vec![])
    );
    assert_eq!(broken(&after), Vec::<&str>::new());
    // Out of turn, or of nothing that the job has, it is refused.
    let out_of_turn = record(&other, &all[2], "2027-03-05T10:59")
        .unwrap_err()
        .text;
    assert!(out_of_turn.contains("comes before it"), "{out_of_turn}");
    let none = record("nobody", "dig", "2027-03-05T10:59")
        .unwrap_err()
        .text;
    assert_eq!(none, "There is no job nobody.");
    // All that follows of each other is planned, and what stands in this week is not overruled.
    let after = planned(&desk, replan());
    assert_eq!(names(&stages(&after, &other)), all[2..]);
    assert_eq!(broken(&after), Vec::<&str>::new());
    told(
        &desk,
        json!({"ask": "mark", "jobs": [other], "locked": true}),
    );
    let fixed = record(&other, &all[2], "2027-03-05T12:00")
        .unwrap_err()
        .text;
    assert!(fixed.contains("done or locked on"), "{fixed}");
    // Each is a step that can be taken back.
    for _ in 0..4 {
        told(&desk, json!({"ask": "undo"}));
    }
    let back = sheet(&desk);
    let both = |sheet: &Sheet| [&one, &other].map(|job| stages(sheet, job));
    assert_eq!(both(&back), both(&stood));
    assert!(back.records.is_empty());
}

/// Left out, a job has its price; one whose work is over has none.
#[test]
fn work_that_is_over_costs_nothing_to_leave_out() {
    let desk = small();
    let (done, begun) = the_week_after(&desk);
    let stands = planned(&desk, replan());
    let left = of_plan(&stands).unplanned.iter();
    let left = left.filter(|one| ![&done, &begun].contains(&&one.job));
    let price = |job: &str| {
        let priority = stands
            .jobs
            .iter()
            .find(|one| one.id == job)
            .unwrap()
            .priority;
        let row = format!("rate.left_out.{priority}");
        let row = json!({"ask": "row", "file": "week.json", "row": row});
        match ask(&desk, row).unwrap() {
            Answer::Row { members } => members["value"].as_i64().unwrap(),
            other => panic!("no row but {other:?}"),
        }
    };
    let mut costs = of_plan(&stands).costs.iter();
    let told_left = costs
        .find(|cost| cost.label == "Jobs left out")
        .unwrap()
        .pence;
    assert_eq!(
        told_left.round() as i64,
        left.map(|one| price(&one.job)).sum::<i64>()
    );
}

#[test]
fn what_is_done_or_locked_is_not_deleted_in_passing() {
    let desk = small();
    let before = sheet(&desk);
    let [one, other] = [0, 1].map(|at| of_plan(&before).columns[at].jobs[0].clone());
    record(&desk, &one, 1);
    told(
        &desk,
        json!({"ask": "mark", "jobs": [other], "locked": true}),
    );
    let delete = |job: &str| {
        let edit = json!({"ask": "edit", "edit": {"do": "delete", "jobs": [job]}});
        ask(&desk, edit).map(sheet_of)
    };
    assert_eq!(
        delete(&other).unwrap_err().text,
        format!("Nothing was deleted: {other} is locked; unlock it first.")
    );
    assert_eq!(
        delete(&one).unwrap_err().text,
        format!("Nothing was deleted: Work of {one} was recorded as done; take that back first.")
    );
    told(
        &desk,
        json!({"ask": "mark", "jobs": [other], "locked": false}),
    );
    let after = delete(&other).unwrap();
    assert_eq!(after.jobs.len() + 1, before.jobs.len());
}

/// The figures under which a plan was issued are those of the programme of that day.
#[test]
fn an_issue_keeps_its_figures_whatever_becomes_of_the_programme() {
    let desk = small();
    told(&desk, json!({"ask": "issue", "on": "2027-02-25"}));
    let told = || {
        let compare = json!({"ask": "compare", "one": 1, "other": 0});
        let Answer::Comparison { comparison } = ask(&desk, compare).unwrap() else {
            panic!("no comparison");
        };
        let lines = comparison.differences.iter();
        let lines: Vec<_> = lines
            .map(|line| (line.label.clone(), line.one.clone()))
            .collect();
        (
            sheet(&desk).issues[0].summary.clone(),
            comparison.one.summary.clone(),
            lines,
        )
    };
    let before = told();
    let jobs = sheet(&desk).jobs;
    let planned = jobs.iter().find(|job| job.route.is_some()).unwrap();
    for edit in [
        json!({"do": "move", "pins": [{"id": planned.id, "at": [planned.at[0] + 0.003, planned.at[1]]}]}),
        json!({"do": "rename", "job": planned.id, "to": "X1"}),
        json!({"do": "delete", "jobs": ["X1"]}),
    ] {
        let answer = ask(&desk, json!({"ask": "edit", "edit": edit}));
        answer.unwrap();
        assert_eq!(told(), before);
    }
}
