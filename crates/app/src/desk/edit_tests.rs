//! Edits and programme files, asked as a door asks.

use std::path::Path;

use gangday_store::read_programme_file;
use serde_json::{Value, json};

use super::tests::{plan, sheet, sheet_of, small, wait};
use crate::Desk;
use crate::view::{Answer, Refusal, Request, Sheet};

fn edit(desk: &Desk, edit: impl Into<Value>) -> Result<(Sheet, Vec<String>), Refusal> {
    let edit: Value = edit.into();
    let request = json!({"ask": "edit", "edit": edit});
    match desk.ask(serde_json::from_value(request).unwrap())? {
        Answer::Edited { sheet, jobs, .. } => Ok((*sheet, jobs)),
        other => panic!("no edit but {other:?}"),
    }
}

fn stated(desk: &Desk, job: &str) -> Value {
    let jobs = vec![job.to_owned()];
    match desk.ask(Request::Stated { jobs }).unwrap() {
        Answer::Stated { jobs } => Value::Object(jobs[0].properties.clone()),
        other => panic!("nothing stated but {other:?}"),
    }
}

fn history(desk: &Desk) -> (Vec<String>, Vec<String>) {
    match desk.ask(Request::History).unwrap() {
        Answer::History { past, future } => (past, future),
        other => panic!("no history but {other:?}"),
    }
}

fn undo(desk: &Desk) -> Sheet {
    sheet_of(desk.ask(Request::Undo).unwrap())
}

fn open(path: &Path) -> Result<Desk, Refusal> {
    let desk = Desk::default();
    desk.ask(Request::Open {
        folder: path.display().to_string(),
    })?;
    Ok(desk)
}

fn save(desk: &Desk, path: &Path) -> Result<Sheet, Refusal> {
    desk.ask(Request::Save {
        folder: Some(path.display().to_string()),
    })
    .map(sheet_of)
}

fn ids(sheet: &Sheet) -> Vec<&str> {
    sheet.jobs.iter().map(|job| job.id.as_str()).collect()
}

#[test]
fn a_street_may_be_set_by_what_it_is_called() {
    let desk = small();
    let before = sheet(&desk);
    let is_stated = |job: &&crate::view::JobView| stated(&desk, &job.id)["street"].is_string();
    let mut jobs = before.jobs.iter().filter(is_stated);
    let one = jobs.next().unwrap();
    let other = jobs.find(|job| job.street != one.street).unwrap();
    let set = |street: Value| {
        let properties = json!({"street": street});
        edit(
            &desk,
            json!({"do": "set", "jobs": [one.id], "properties": properties}),
        )
        .unwrap()
        .0
    };
    let after = set(json!(other.street.as_ref().unwrap().to_lowercase()));
    assert_eq!(
        stated(&desk, &one.id)["street"],
        stated(&desk, &other.id)["street"]
    );
    let now = after.jobs.iter().find(|job| job.id == one.id).unwrap();
    assert_eq!(now.street, other.street);
    set(json!("Nobody’s Lane"));
    assert_eq!(stated(&desk, &one.id)["street"], json!("Nobody’s Lane"));
}

#[test]
fn what_people_call_a_job_is_shown_and_printed_and_is_never_markup() {
    let desk = small();
    let of = |sheet: &Sheet, id: &str| {
        let mut jobs = sheet.jobs.iter();
        jobs.find(|job| job.id == id).unwrap().called.clone()
    };
    let before = sheet(&desk);
    let column = &before.plan.unwrap().columns[0];
    let id = column
        .layers
        .iter()
        .find_map(|one| one.job.as_ref())
        .unwrap();
    let set = |title: Value| {
        let set = json!({"do": "set", "jobs": [id], "properties": {"title": title}});
        edit(&desk, set).unwrap().0
    };
    assert_eq!(of(&set(json!("  ")), id), None);
    assert_eq!(
        of(&set(json!("<b>Lych</b> gate")), id).as_deref(),
        Some("<b>Lych</b> gate")
    );
    let printed = "&lt;b&gt;Lych&lt;/b&gt; gate";
    let state = desk.collected().unwrap().planned().unwrap();
    let plan = state.plan.as_deref().unwrap();
    let on_it = |html: &String| html.contains(&format!("{id}, {printed}"));
    let sheets: Vec<String> = crate::gang_sheets::each(&state.opened, plan)
        .map(|(_, html)| html)
        .collect();
    assert!(sheets.iter().any(on_it));
    let page = super::page_of(&state);
    assert!(page.contains(&format!("{printed} · ")));
    assert!(
        sheets
            .iter()
            .chain([&page])
            .all(|html| !html.contains("<b>Lych"))
    );
}

#[test]
fn several_jobs_are_set_at_once_and_the_plan_stays() {
    let desk = small();
    let before = sheet(&desk);
    let (after, jobs) = edit(&desk, json!({"do": "set", "jobs": ["J001", "J002"], "properties": {"priority": 5, "notes": "gate", "permit": null}})).unwrap();
    assert_eq!(jobs, ["J001", "J002"]);
    assert_eq!(
        after.undo.as_deref(),
        Some("set priority, notes, permit of 2 jobs")
    );
    assert!(after.plan.is_some() && after.unsaved);
    assert_eq!(stated(&desk, "J001")["notes"], "gate");
    assert_eq!(stated(&desk, "J001").get("permit"), None);
    assert_eq!(stated(&desk, "J002")["priority"], 5);
    let undone = undo(&desk);
    assert_eq!((undone.jobs, undone.unsaved), (before.jobs, false));
}

#[test]
fn an_edit_that_leaves_a_job_at_fault_is_refused_whole() {
    let desk = small();
    let before = sheet(&desk);
    let bad = json!({"do": "set", "jobs": ["J001", "J002"], "properties": {"work": "new", "sections": "six"}});
    let refusal = edit(&desk, bad).unwrap_err();
    assert!(
        refusal
            .findings
            .iter()
            .any(|one| one.place.contains("sections")),
        "{refusal:?}"
    );
    assert!(edit(&desk, json!({"do": "delete", "jobs": ["J001", "no such"]})).is_err());
    assert!(
        edit(
            &desk,
            json!({"do": "move", "pins": [{"id": "J001", "at": [54.0, -3.5]}]})
        )
        .is_err()
    );
    assert!(edit(&desk, json!({"do": "rename", "job": "J001", "to": "J002"})).is_err());
    assert_eq!(sheet(&desk), before);
}

#[test]
fn a_pin_is_moved_a_job_added_renamed_and_deleted() {
    let desk = small();
    let before = sheet(&desk);
    let [lon, lat] = before.jobs[0].at;
    let (after, _) = edit(
        &desk,
        json!({"do": "move", "pins": [{"id": "J001", "at": [lon + 0.0005, lat]}]}),
    )
    .unwrap();
    assert!((after.jobs[0].at[0] - lon - 0.0005).abs() < 1e-9);
    let (after, made) = edit(
        &desk,
        json!({"do": "add", "at": [lon, lat], "properties": {"work": "new", "sections": 3}}),
    )
    .unwrap();
    assert_eq!(
        (after.jobs.len(), made[0].as_str()),
        (before.jobs.len() + 1, "N1")
    );
    let unplanned = &after.plan.as_ref().unwrap().unplanned;
    let new = unplanned.iter().find(|one| one.job == "N1");
    assert_eq!(new.map(|one| one.codes[0].as_str()), Some("U-SINCE"));
    let (_, renamed) = edit(&desk, json!({"do": "rename", "job": "J001", "to": "HS-1"})).unwrap();
    assert_eq!(renamed, ["HS-1"]);
    let (after, _) = edit(&desk, json!({"do": "delete", "jobs": ["J002", "J005"]})).unwrap();
    assert!(!ids(&after).contains(&"J002"));
    let planned = after
        .plan
        .unwrap()
        .columns
        .into_iter()
        .flat_map(|column| column.jobs);
    assert!(planned.into_iter().all(|job| job != "J002"));
    for _ in 0..4 {
        undo(&desk);
    }
    let undone = sheet(&desk);
    assert_eq!(ids(&undone), ids(&before));
    assert_eq!(undone.plan, before.plan);
}

#[test]
fn jobs_are_copied_and_pasted_with_ids_of_their_own() {
    let desk = small();
    let [lon, lat] = sheet(&desk).jobs[3].at;
    let jobs = vec!["J001".to_owned(), "J002".to_owned()];
    let Answer::Copied { text } = desk.ask(Request::Copy { jobs }).unwrap() else {
        panic!("nothing was copied");
    };
    let (after, made) = edit(
        &desk,
        json!({"do": "paste", "text": text, "at": [lon, lat]}),
    )
    .unwrap();
    assert_eq!(made.len(), 2);
    assert!(
        made.iter()
            .all(|id| id.starts_with('J') && ids(&after).contains(&id.as_str())),
        "{made:?}"
    );
    let mut copy = stated(&desk, &made[0]);
    assert_eq!(
        copy.as_object_mut().unwrap().remove("work"),
        stated(&desk, "J001").get("work").cloned()
    );
    assert!(edit(&desk, json!({"do": "paste", "text": "no jobs"})).is_err());
}

#[test]
fn every_edit_is_in_the_file_and_is_taken_back_after_closing() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let desk = small();
    let first = sheet(&desk);
    edit(
        &desk,
        json!({"do": "set", "jobs": ["J001"], "properties": {"priority": 5}}),
    )
    .unwrap();
    assert!(!save(&desk, &path).unwrap().unsaved);
    let (after, _) = edit(&desk, json!({"do": "delete", "jobs": ["J003"]})).unwrap();
    assert!(!after.unsaved, "an edit in a file is saved");
    desk.ask(plan(100, 3)).unwrap();
    wait(&desk);
    let last = sheet(&desk);
    assert!(!last.unsaved && last.undo.as_deref() == Some("plan the week"));
    let second = open(&path).err().unwrap();
    assert!(
        second.text.contains("open in another window"),
        "{}",
        second.text
    );
    drop(desk);

    let desk = open(&path).unwrap();
    let opened = sheet(&desk);
    assert_eq!((&opened.jobs, &opened.plan), (&last.jobs, &last.plan));
    assert_eq!(
        history(&desk).0,
        ["set priority of J001", "delete J003", "plan the week"]
    );
    for _ in 0..3 {
        undo(&desk);
    }
    let back = sheet(&desk);
    assert_eq!(ids(&back), ids(&first));
    assert_eq!(back.jobs, first.jobs);
    assert_eq!(back.plan, first.plan);
    drop(desk);

    let desk = open(&path).unwrap();
    assert_eq!(
        history(&desk).1,
        ["set priority of J001", "delete J003", "plan the week"]
    );
    for _ in 0..3 {
        desk.ask(Request::Redo).unwrap();
    }
    assert_eq!(sheet(&desk).plan, last.plan);
    let again = desk.ask(Request::Open {
        folder: path.display().to_string(),
    });
    assert_eq!(
        sheet_of(again.unwrap()).jobs,
        last.jobs,
        "opening what is open reads it anew"
    );
}

#[test]
fn saving_as_takes_the_history_along() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    let desk = small();
    edit(&desk, json!({"do": "delete", "jobs": ["J001"]})).unwrap();
    save(&desk, &at("one.gpkg")).unwrap();
    drop(desk);
    let desk = open(&at("one.gpkg")).unwrap();
    save(&desk, &at("two.gpkg")).unwrap();
    drop(open(&at("one.gpkg")).unwrap());
    save(&desk, &at("folder")).unwrap();
    drop(open(&at("two.gpkg")).unwrap());
    let two = open(&at("two.gpkg")).unwrap();
    for desk in [&desk, &two] {
        assert!(ids(&undo(desk)).contains(&"J001"));
    }
    let taken = save(&small(), &at("one.gpkg")).err().unwrap();
    assert!(taken.text.contains("is there already"), "{}", taken.text);
}

#[test]
fn a_file_that_was_moved_away_refuses_edits_and_can_be_saved_elsewhere() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let desk = small();
    save(&desk, &path).unwrap();
    std::fs::rename(&path, place.path().join("moved.gpkg")).unwrap();
    let before = sheet(&desk);
    let delete = json!({"do": "delete", "jobs": ["J001"]});
    let refusal = edit(&desk, delete.clone()).err().unwrap();
    assert!(refusal.text.contains("was moved"), "{}", refusal.text);
    assert_eq!(sheet(&desk), before);
    save(&desk, &place.path().join("new.gpkg")).unwrap();
    edit(&desk, delete).unwrap();
}

#[test]
fn a_damaged_file_opens_as_a_copy_that_says_what_was_lost() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let desk = small();
    save(&desk, &path).unwrap();
    drop(desk);
    let bytes = std::fs::read(&path).unwrap();
    std::fs::write(&path, &bytes[..bytes.len() - 4096 * 3]).unwrap();
    let desk = open(&path).unwrap();
    let opened = sheet(&desk);
    assert!(opened.folder.unwrap().ends_with("week (rescued).gpkg"));
    assert!(
        opened.findings.iter().any(|one| one.code == "F-DAMAGED"),
        "{:?}",
        opened.findings
    );
    assert_eq!(opened.jobs.len(), sheet(&small()).jobs.len());
}

#[test]
fn a_folder_becomes_a_file_and_a_folder_again_word_for_word() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    let sample = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../sample-data/full-week");
    crate::convert(&sample, &at("week.gpkg")).unwrap();
    crate::convert(&at("week.gpkg"), &at("back")).unwrap();
    let mut compared = 0;
    for file in std::fs::read_dir(&sample).unwrap() {
        let file = file.unwrap();
        let name = file.file_name();
        if name != "README.md" {
            let (old, new) = (
                std::fs::read(file.path()).unwrap(),
                std::fs::read(at("back").join(&name)).unwrap(),
            );
            assert!(old == new, "{name:?} differs");
            compared += 1;
        }
    }
    assert!(compared >= 6, "{compared}");
    assert!(read_programme_file(&at("week.gpkg")).unwrap().len() == compared);
    assert!(crate::convert(&sample, &at("back")).is_err(), "two folders");
    assert!(
        crate::convert(&sample, &at("week.gpkg")).is_err(),
        "it is there already"
    );
}
