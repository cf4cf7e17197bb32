//! The desk, asked as a door asks it.

use std::path::Path;
use std::time::Duration;

use base64::Engine as _;
use serde_json::{Value, json};

use crate::Desk;
use crate::view::{Answer, DemoWeek, ListRequest, PlanView, ProgressView, Refusal, Request, Sheet};

pub(super) fn small() -> Desk {
    let desk = Desk::default();
    desk.ask(Request::OpenDemo {
        week: DemoWeek::Small,
    })
    .unwrap();
    desk
}

/// Asks as a door does.
pub(super) fn ask(desk: &Desk, request: Value) -> Result<Answer, Refusal> {
    desk.ask(serde_json::from_value(request).unwrap())
}

pub(super) fn save(desk: &Desk, path: &Path) -> Result<Answer, Refusal> {
    ask(desk, json!({"ask": "save", "folder": path}))
}

pub(super) fn opened(path: &Path) -> Desk {
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path})).unwrap();
    desk
}

/// Has the first job of the small week so many sections.
pub(super) fn set(desk: &Desk, sections: u32) -> Result<Answer, Refusal> {
    let properties = json!({"sections": sections});
    let edit = json!({"do": "set", "jobs": ["J001"], "properties": properties});
    ask(desk, json!({"ask": "edit", "edit": edit}))
}

pub(super) fn sections(desk: &Desk) -> Value {
    match ask(desk, json!({"ask": "stated", "jobs": ["J001"]})).unwrap() {
        Answer::Stated { jobs } => jobs[0].properties["sections"].clone(),
        other => panic!("nothing stated but {other:?}"),
    }
}

pub(super) fn progress(desk: &Desk) -> ProgressView {
    match ask(desk, json!({"ask": "progress"})).unwrap() {
        Answer::Progress { progress } => progress,
        other => panic!("no progress but {other:?}"),
    }
}

pub(super) fn sheet_of(answer: Answer) -> Sheet {
    match answer {
        Answer::Sheet { sheet: Some(sheet) }
        | Answer::Saved { sheet, .. }
        | Answer::Edited { sheet, .. } => *sheet,
        other => panic!("no sheet but {other:?}"),
    }
}

pub(super) fn sheet(desk: &Desk) -> Sheet {
    sheet_of(desk.ask(Request::Sheet).unwrap())
}

/// A client's list to take in as it is.
fn list(text: &str) -> Request {
    Request::TakeIn {
        list: ListRequest {
            name: "list.csv".to_owned(),
            base64: base64::engine::general_purpose::STANDARD.encode(text),
            path: None,
            client: None,
            mapping: None,
            corrections: Vec::new(),
            places: Vec::new(),
            also: Vec::new(),
            seen: None,
        },
        skip: Vec::new(),
        delete_gone: false,
    }
}

/// Waits for the search to end, as the page does.
pub(super) fn wait(desk: &Desk) {
    loop {
        match desk.ask(Request::Progress).unwrap() {
            Answer::Progress { progress } if progress.running => {
                std::thread::sleep(Duration::from_millis(5));
            }
            _ => return,
        }
    }
}

pub(super) fn plan(iterations: u32, seed: u32) -> Request {
    Request::Plan {
        seconds: None,
        iterations: Some(iterations),
        seed: Some(seed),
    }
}

#[test]
fn an_empty_desk_says_so() {
    let desk = Desk::default();
    assert_eq!(
        desk.ask(Request::Sheet).unwrap(),
        Answer::Sheet { sheet: None }
    );
    let refusal = desk.ask(plan(1, 1)).unwrap_err();
    assert!(
        refusal.text.contains("No programme is open"),
        "{}",
        refusal.text
    );
    assert_eq!(desk.title(), "Gangday");
    assert!(!desk.has_unsaved());
}

#[test]
fn the_demo_week_comes_planned_and_verified() {
    let sheet = sheet(&small());
    let plan = sheet.plan.unwrap();
    assert!(plan.verified);
    assert!(sheet.demo && !sheet.unsaved);
    let planned: usize = plan.columns.iter().map(|column| column.jobs.len()).sum();
    assert_eq!(planned + plan.unplanned.len(), sheet.jobs.len());
    assert!(planned > sheet.jobs.len() / 2, "only {planned} planned");
    assert!(!sheet.cautions.is_empty());
}

#[test]
fn a_column_is_filled_without_gaps() {
    let sheet = sheet(&small());
    for column in sheet.plan.unwrap().columns {
        assert_eq!(column.layers[0].from, column.shift_from, "{}", column.key);
        for pair in column.layers.windows(2) {
            assert_eq!(pair[0].to, pair[1].from, "{}", column.key);
        }
        for wait in &column.waits {
            assert!(wait.from < wait.to && wait.to <= wait.next, "{wait:?}");
        }
    }
}

#[test]
fn planning_can_be_undone_and_redone() {
    let desk = small();
    let before = sheet(&desk);
    desk.ask(plan(200, 7)).unwrap();
    wait(&desk);
    let after = sheet(&desk);
    assert_eq!(after.undo.as_deref(), Some("plan the week"));
    assert!(after.unsaved && after.edition > before.edition);
    let undone = sheet_of(desk.ask(Request::Undo).unwrap());
    assert_eq!(undone.plan, before.plan);
    assert!(!undone.unsaved);
    let redone = sheet_of(desk.ask(Request::Redo).unwrap());
    assert_eq!(redone.plan, after.plan);
    assert!(desk.ask(Request::Redo).is_err());
}

#[test]
fn what_a_door_opens_is_there_when_it_is_asked_for() {
    let desk = Desk::default();
    let week = DemoWeek::Small;
    desk.carry_out(Request::OpenDemo { week }).unwrap();
    let lasting = |sheet: Sheet| (sheet.jobs, sheet.plan, sheet.findings);
    assert_eq!(lasting(sheet(&desk)), lasting(sheet(&small())));
    let folder = "no/such/week".to_owned();
    let refusal = desk.carry_out(Request::Open { folder }).unwrap_err();
    assert!(refusal.text.contains("no/such/week"), "{}", refusal.text);
    assert_eq!(lasting(sheet(&desk)), lasting(sheet(&small())));
}

#[test]
fn a_stopped_search_keeps_its_best() {
    let desk = small();
    desk.ask(Request::Plan {
        seconds: Some(600.0),
        iterations: None,
        seed: None,
    })
    .unwrap();
    assert!(
        desk.ask(Request::Undo)
            .unwrap_err()
            .text
            .contains("being planned")
    );
    let sheet = sheet_of(desk.ask(Request::Stop).unwrap());
    assert!(sheet.plan.unwrap().verified);
}

#[test]
fn an_import_adds_jobs_and_undo_takes_them_away() {
    let desk = small();
    let before = sheet(&desk);
    let [lon, lat] = before.jobs[0].at;
    let text = format!("id,lon,lat\nextra-1,{lon},{lat}\nextra-2,{lon},{lat}\n");
    let after = sheet_of(desk.ask(list(&text)).unwrap());
    assert_eq!(after.jobs.len(), before.jobs.len() + 2);
    let undo = after.undo.unwrap_or_default();
    assert!(undo.contains("list.csv"), "{undo}");
    let planned = |plan: &Option<PlanView>| plan.as_ref().map(|plan| plan.columns.clone());
    assert_eq!(
        planned(&after.plan),
        planned(&before.plan),
        "the plan stays"
    );
    let undone = sheet_of(desk.ask(Request::Undo).unwrap());
    assert_eq!(undone.jobs.len(), before.jobs.len());
    assert_eq!(undone.plan, before.plan);
}

#[test]
fn what_is_saved_opens_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("week");
    let desk = small();
    let before = sheet(&desk);
    assert!(desk.ask(Request::Save { folder: None }).is_err());
    let request = Request::Save {
        folder: Some(path.display().to_string()),
    };
    let saved = sheet_of(desk.ask(request).unwrap());
    assert!(!saved.unsaved);
    let again = Desk::default();
    let open = Request::Open {
        folder: path.display().to_string(),
    };
    let opened = sheet_of(again.ask(open).unwrap());
    assert_eq!(opened.jobs, before.jobs);
    assert_eq!(opened.plan, before.plan);
    assert_eq!(opened.backdrop, before.backdrop);
}

#[test]
fn one_programme_is_never_saved_over_another() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("jobs.geojson"), "somebody's").unwrap();
    let refusal = small()
        .ask(Request::Save {
            folder: Some(folder.path().display().to_string()),
        })
        .unwrap_err();
    assert!(
        refusal.text.contains("another programme"),
        "{}",
        refusal.text
    );
    let kept = std::fs::read(folder.path().join("jobs.geojson")).unwrap();
    assert_eq!(kept, b"somebody's");
}

#[test]
fn a_plan_that_was_undone_is_not_there_when_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("week").display().to_string();
    let desk = Desk::default();
    let open = |folder: String| Request::Open { folder };
    // As it lies in the folder, it is not planned.
    let sample = concat!(env!("CARGO_MANIFEST_DIR"), "/../../sample-data/small-week");
    desk.ask(open(sample.to_owned())).unwrap();
    let save = Request::Save {
        folder: Some(path.clone()),
    };
    desk.ask(plan(50, 7)).unwrap();
    wait(&desk);
    assert!(sheet_of(desk.ask(save.clone()).unwrap()).plan.is_some());
    desk.ask(Request::Undo).unwrap();
    desk.ask(save).unwrap();
    let again = Desk::default();
    let opened = sheet_of(again.ask(open(path)).unwrap());
    assert_eq!(opened.plan, None);
}

#[test]
fn a_folder_that_is_not_there_is_refused_by_name() {
    let desk = small();
    let before = sheet(&desk);
    let refusal = desk
        .ask(Request::Open {
            folder: "no/such/week".to_owned(),
        })
        .unwrap_err();
    assert!(refusal.text.contains("no/such/week"), "{}", refusal.text);
    assert_eq!(sheet(&desk), before);
}

#[test]
fn the_client_page_needs_a_plan() {
    let desk = small();
    match desk.ask(Request::ClientPage).unwrap() {
        Answer::Page { name, html } => {
            assert_eq!(name, "works.html");
            assert!(html.starts_with("<!DOCTYPE html>") || html.starts_with("<!doctype html>"));
        }
        other => panic!("no page but {other:?}"),
    }
    let refused = Desk::default().ask(Request::ClientPage);
    assert!(refused.is_err());
}
