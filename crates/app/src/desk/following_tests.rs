//! After an edit the plan is that of the programme as it is now.

use std::collections::HashSet;
use std::sync::Arc;

use gangday_model::{Bound, JobId, Reason};
use serde_json::{Value, json};

use super::tests::{sheet, sheet_of, small, wait};
use crate::by_hand::Whole;
use crate::changes::State;
use crate::following::follow;
use crate::problem::Posed;
use crate::view::{Answer, DemoWeek, PlanView, Request, Sheet};
use crate::{Desk, by_hand, demo, edits};

fn edit(desk: &Desk, edit: impl Into<Value>) -> Sheet {
    let edit: Value = edit.into();
    let request = json!({"ask": "edit", "edit": edit});
    sheet_of(desk.ask(serde_json::from_value(request).unwrap()).unwrap())
}

/// The rules that the checker says are broken.
fn broken(sheet: &Sheet) -> Vec<&str> {
    let codes = sheet.findings.iter().map(|one| one.code.as_str());
    codes.filter(|code| code.starts_with("R-")).collect()
}

fn of_plan(sheet: &Sheet) -> &PlanView {
    sheet.plan.as_ref().unwrap()
}

fn cost(sheet: &Sheet, label: &str) -> f64 {
    let mut costs = of_plan(sheet).costs.iter();
    costs.find(|one| one.label == label).unwrap().pence
}

/// When the gang-day of a job is back, minutes from midnight.
fn back(sheet: &Sheet, job: &str) -> u32 {
    let mut columns = of_plan(sheet).columns.iter();
    let own = |jobs: &[String]| jobs.iter().any(|one| one == job);
    columns.find(|one| own(&one.jobs)).unwrap().back
}

fn reasons<'a>(sheet: &'a Sheet, job: &str) -> Vec<&'a str> {
    let mut all = of_plan(sheet).unplanned.iter();
    let own = all.find(|one| one.job == job).unwrap();
    own.codes.iter().map(String::as_str).collect()
}

/// A planned job whose work is new, with a gang-day to itself or not.
fn planned(sheet: &Sheet) -> String {
    let jobs = of_plan(sheet).columns.iter().flat_map(|one| &one.jobs);
    let is_new = |id: &&String| {
        let mut all = sheet.jobs.iter();
        all.any(|job| job.id == **id && job.work == "new")
    };
    jobs.into_iter().find(is_new).unwrap().clone()
}

#[test]
fn a_plan_that_is_timed_anew_is_the_plan() {
    for week in [DemoWeek::Small, DemoWeek::Full] {
        let opened = demo::open(week);
        let plan = opened.plan.as_deref().unwrap();
        let again = by_hand::timed_anew(&opened.prepared, plan, &since());
        assert_eq!(again.routes, plan.routes, "{week:?}");
        assert_eq!(again.costs, plan.costs, "{week:?}");
        assert_eq!(again.unplanned, plan.unplanned, "{week:?}");
    }
}

#[test]
fn a_part_that_is_timed_anew_gives_the_plan_that_the_whole_gives() {
    let opened = demo::open(DemoWeek::Full);
    let plan = opened.plan.clone();
    let before = State { opened, plan };
    let planned = before.plan.iter().flat_map(|plan| &plan.routes);
    let mut jobs: Vec<JobId> = planned.map(|route| route.visits[0].job.clone()).collect();
    jobs.dedup();
    let why = since();
    let mut in_part = 0;
    for job in &jobs {
        let set = json!({"do": "set", "jobs": [job], "properties": {"position": "verge", "ground": null, "closure": "none"}});
        let delete = json!({"do": "delete", "jobs": [job]});
        for asked in [set, delete] {
            let edit = serde_json::from_value(asked).unwrap();
            let Ok(edited) = edits::edit(&before, &edit) else {
                continue;
            };
            let [was, now] = [&before, &edited.state].map(|state| Whole {
                prepared: &state.opened.prepared,
                plan: state.plan.as_deref().unwrap(),
            });
            let whole = by_hand::timed_anew(now.prepared, now.plan, &why);
            let Some(part) = by_hand::timed_in_part(was, now, &HashSet::from([job]), &why) else {
                continue;
            };
            in_part += 1;
            assert_eq!(part.routes, whole.routes, "{edit:?}");
            assert_eq!(part.costs, whole.costs, "{edit:?}");
            assert_eq!(part.unplanned, whole.unplanned, "{edit:?}");
        }
    }
    assert!(in_part >= jobs.len(), "{in_part} for {} jobs", jobs.len());
}

fn since() -> Reason {
    Reason {
        code: "U-SINCE".to_owned(),
        text: String::new(),
    }
}

#[test]
fn a_job_that_is_added_is_not_planned_and_the_plan_can_still_be_issued() {
    let desk = small();
    let before = sheet(&desk);
    let at = before.jobs[0].at;
    let after = edit(
        &desk,
        json!({"do": "add", "at": at, "properties": {"work": "new", "sections": 3, "priority": 2}}),
    );
    assert_eq!(reasons(&after, "N1"), ["U-SINCE"]);
    assert_eq!(broken(&after), [""; 0]);
    let more = cost(&after, "Jobs left out") - cost(&before, "Jobs left out");
    let rate = edit_rate(&desk, "rate.left_out.2");
    assert!(
        more > 0.0 && (more - rate).abs() < 0.5,
        "{more} and not {rate}"
    );
    let issued = desk.ask(Request::Issue {
        on: "2027-02-25".to_owned(),
    });
    assert!(issued.is_ok(), "{issued:?}");
    desk.ask(Request::Replan {
        seconds: None,
        iterations: Some(300),
        seed: Some(1),
    })
    .unwrap();
    wait(&desk);
    let then = sheet(&desk);
    let jobs: Vec<&String> = of_plan(&then)
        .columns
        .iter()
        .flat_map(|one| &one.jobs)
        .collect();
    assert!(jobs.iter().any(|job| *job == "N1"), "{jobs:?}");
}

/// What a figure of the week's rates is, pence.
fn edit_rate(desk: &Desk, key: &str) -> f64 {
    let Answer::Figures { tables } = desk.ask(Request::Figures).unwrap() else {
        panic!("no figures");
    };
    let mut rows = tables.into_iter().flat_map(|table| table.rows);
    rows.find(|row| row.key == key).unwrap().value
}

#[test]
fn a_rate_that_is_changed_prices_the_plan_anew() {
    let desk = small();
    let before = sheet(&desk);
    let rate = edit_rate(&desk, "rate.crew_hour");
    let after = edit(
        &desk,
        json!({"do": "row", "file": "week.json", "row": "rate.crew_hour", "members": {"value": 2.0 * rate}}),
    );
    let label = "Crews within their shifts";
    assert!((cost(&after, label) - 2.0 * cost(&before, label)).abs() < 2.0);
    assert_eq!(broken(&after), [""; 0]);
    assert_eq!(of_plan(&after).columns, of_plan(&before).columns);
}

#[test]
fn a_job_that_takes_longer_keeps_its_gang_day_and_makes_it_longer() {
    let desk = small();
    let before = sheet(&desk);
    let job = planned(&before);
    let deeper = json!({"do": "set", "jobs": [&job], "properties": {"sections": 5}});
    let after = edit(&desk, deeper);
    let names = |sheet: &Sheet| -> Vec<(String, Vec<String>)> {
        let columns = of_plan(sheet).columns.iter();
        columns
            .map(|one| (one.key.clone(), one.jobs.clone()))
            .collect()
    };
    assert_eq!(names(&after), names(&before));
    assert!(back(&after, &job) > back(&before, &job));
    let of_time = ["R-SHIFTEND", "R-HOURS", "R-REST", "R-GAP", "R-CLASH"];
    let others = broken(&after)
        .into_iter()
        .filter(|code| !of_time.contains(code));
    assert_eq!(others.collect::<Vec<_>>(), [""; 0]);
    let undone = sheet_of(desk.ask(Request::Undo).unwrap());
    assert_eq!(undone.plan, before.plan);
}

#[test]
fn a_job_that_is_deleted_leaves_no_gap_and_no_fault() {
    let desk = small();
    let before = sheet(&desk);
    let job = planned(&before);
    let after = edit(&desk, json!({"do": "delete", "jobs": [&job]}));
    assert_eq!(broken(&after), [""; 0]);
    let columns = |sheet: &Sheet| of_plan(sheet).columns.clone();
    let others = |sheet: &Sheet| -> Vec<_> {
        let with = |jobs: &[String]| jobs.contains(&job);
        let touched: Vec<String> = columns(&before)
            .into_iter()
            .filter(|one| with(&one.jobs))
            .map(|one| one.key)
            .collect();
        columns(sheet)
            .into_iter()
            .filter(|one| !touched.contains(&one.key))
            .collect()
    };
    assert_eq!(others(&after), others(&before));
}

#[test]
fn a_pin_that_is_moved_changes_the_journeys_of_its_gang_day() {
    let desk = small();
    let before = sheet(&desk);
    let job = planned(&before);
    let at = before.jobs.iter().find(|one| one.id == job).unwrap().at;
    let pins = json!([{"id": &job, "at": [at[0] + 0.004, at[1] + 0.002]}]);
    let after = edit(&desk, json!({"do": "move", "pins": pins}));
    assert_eq!(broken(&after), [""; 0]);
    let road = "Vehicles on the road";
    assert!((cost(&after, road) - cost(&before, road)).abs() > 0.5);
}

#[test]
fn notes_change_nothing_of_the_plan_and_what_was_planned_of_a_job_is_not_told_away() {
    let desk = Desk::default();
    desk.ask(Request::OpenDemo {
        week: DemoWeek::Full,
    })
    .unwrap();
    let before = sheet(&desk);
    let job = of_plan(&before).unplanned[0].job.clone();
    let noted = edit(
        &desk,
        json!({"do": "set", "jobs": [&job], "properties": {"notes": "key at the lodge"}}),
    );
    assert_eq!(noted.plan, before.plan);
    let renamed = edit(&desk, json!({"do": "rename", "job": &job, "to": "HS-9"}));
    assert_eq!(reasons(&renamed, "HS-9"), reasons(&before, &job));
    let other = edit(
        &desk,
        json!({"do": "set", "jobs": ["HS-9"], "properties": {"tickets": []}}),
    );
    assert_eq!(reasons(&other, "HS-9"), ["U-SINCE"]);
    assert_eq!(broken(&other), [""; 0]);
}

/// Nothing is said to have been changed of a job that nobody touched.
#[test]
fn what_is_not_planned_says_what_was_changed_the_job_its_figures_or_the_week() {
    let desk = Desk::default();
    let week = DemoWeek::Full;
    desk.ask(Request::OpenDemo { week }).unwrap();
    let before = sheet(&desk);
    let left: Vec<String> = of_plan(&before)
        .unplanned
        .iter()
        .map(|one| one.job.clone())
        .collect();
    assert!(left.len() > 5, "{left:?}");
    let said = |sheet: &Sheet, job: &str| {
        let mut all = of_plan(sheet).unplanned.iter();
        all.find(|one| one.job == job).unwrap().reasons.clone()
    };
    let end = "plan the rest, or carry it to a gang-day.";
    let row = |file: &str, row: Value, members: Value| {
        edit(
            &desk,
            json!({"do": "row", "file": file, "row": row, "members": members}),
        )
    };
    let undo = || sheet_of(desk.ask(Request::Undo).unwrap());
    let weeks = [("2027-03-08", "on"), ("2027-02-22", "back")];
    for (first, way) in weeks {
        let members = json!({"first_day": first, "temperatures": {}});
        let moved = row("week.json", Value::Null, members);
        let why =
            format!("The week was moved {way} since, and it is not planned in this one yet; {end}");
        for job in &left {
            assert_eq!(said(&moved, job), [why.as_str()], "{job}");
        }
        // What is changed afterwards is not told over it.
        let later = row("week.json", Value::Null, json!({"temperature_c": 6}));
        assert_eq!(said(&later, &left[0]), [why]);
        undo();
        assert_eq!(of_plan(&undo()).unplanned, of_plan(&before).unplanned);
    }
    let thicker = row("method.json", json!("chamber.base"), json!({"value": 260}));
    let another = format!("Its work is another since the week was planned; {end}");
    assert!(
        left.iter()
            .any(|job| said(&thicker, job) == [another.as_str()])
    );
    undo();
    let set = json!({"do": "set", "jobs": [left[0]], "properties": {"sections": 5}});
    let changed = format!("It was changed since the week was planned; {end}");
    assert_eq!(said(&edit(&desk, set), &left[0]), [changed]);
}

#[test]
fn a_bound_is_not_told_of_another_programme() {
    let opened = demo::open(DemoWeek::Small);
    let mut plan = opened.plan.as_deref().unwrap().clone();
    let bound = Bound {
        least_pence: Some(1_000),
        text: "No plan costs less than £10.00.".to_owned(),
    };
    plan.bound = Some(bound.clone());
    let before = State {
        opened,
        plan: Some(Arc::new(plan)),
    };
    let bound_after = |properties: Value| {
        let set = json!({"do": "set", "jobs": ["J002"], "properties": properties});
        bound_after_edit(&before, set)
    };
    assert_eq!(bound_after(json!({"notes": "gate"})), bound);
    let rename = json!({"do": "rename", "job": "J002", "to": "HS-2"});
    assert_eq!(bound_after_edit(&before, rename), bound);
    let other = bound_after(json!({"priority": 5}));
    assert!(other.least_pence.is_none() && other.text.contains("has changed"));
}

/// The day on which notice would be given is nothing to whoever plans: the bound and the plan stay.
#[test]
fn a_bound_stands_where_the_planned_problem_is_the_same() {
    let opened = demo::open(DemoWeek::Full);
    let mut plan = opened.plan.as_deref().unwrap().clone();
    let bound = Bound {
        least_pence: Some(1_000),
        text: "No plan costs less than £10.00.".to_owned(),
    };
    plan.bound = Some(bound.clone());
    let plan = Some(Arc::new(plan));
    let before = State { opened, plan };
    let after = |members: Value| {
        let row = json!({"do": "row", "file": "week.json", "row": null, "members": members});
        let edit = serde_json::from_value(row).unwrap();
        let edited = edits::edit(&before, &edit).unwrap();
        follow(&before, edited.state)
    };
    let posed = |state: &State| format!("{:?}", Posed::of(&state.opened.prepared).problem);
    let later = after(json!({"today": "2027-02-27"}));
    let week = |state: &State| state.opened.prepared.programme.week.clone();
    assert_ne!(week(&later).today, week(&before).today);
    assert_eq!(posed(&later), posed(&before));
    assert_eq!(later.plan, before.plan);
    let colder = after(json!({"today": "2027-02-27", "temperature_c": 6.5}));
    assert_ne!(posed(&colder), posed(&before));
    let bound = colder.plan.unwrap().bound.clone().unwrap();
    assert!(bound.least_pence.is_none() && bound.text.contains("has changed"));
}

fn bound_after_edit(before: &State, edit: impl Into<Value>) -> Bound {
    let edit = serde_json::from_value(edit.into()).unwrap();
    let edited = edits::edit(before, &edit).unwrap();
    let plan = follow(before, edited.state).plan.unwrap();
    plan.bound.clone().unwrap()
}
