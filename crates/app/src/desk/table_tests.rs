//! Figures and rows of the programme's files, asked as a door asks.

use std::fs;

use serde_json::{Map, Value, json};

use super::tests::{plan, sheet, sheet_of, small, wait};
use crate::Desk;
use crate::view::{Answer, FigureRow, Refusal, Request, Sheet};

fn figure(desk: &Desk, key: &str) -> FigureRow {
    let Answer::Figures { tables } = desk.ask(Request::Figures).unwrap() else {
        panic!("no figures");
    };
    let rows: Vec<FigureRow> = tables.into_iter().flat_map(|table| table.rows).collect();
    let found: Vec<_> = rows.into_iter().filter(|row| row.key == key).collect();
    assert_eq!(found.len(), 1, "{key} stands in one table");
    found[0].clone()
}

fn set(desk: &Desk, file: &str, row: Option<&str>, members: &Value) -> Result<Sheet, Refusal> {
    let edit = json!({"do": "row", "file": file, "row": row, "members": members});
    edited(desk, &edit)
}

fn edited(desk: &Desk, edit: &Value) -> Result<Sheet, Refusal> {
    let request = json!({"ask": "edit", "edit": edit});
    match desk.ask(serde_json::from_value(request).unwrap())? {
        Answer::Edited { sheet, .. } => Ok(*sheet),
        other => panic!("no edit but {other:?}"),
    }
}

fn row(desk: &Desk, file: &str, row: Option<&str>) -> Map<String, Value> {
    let (file, row) = (file.to_owned(), row.map(str::to_owned));
    let yard = None;
    match desk.ask(Request::Row { file, row, yard }).unwrap() {
        Answer::Row { members } => members,
        other => panic!("no row but {other:?}"),
    }
}

#[test]
fn a_shipped_figure_is_changed_counts_and_is_put_back() {
    let desk = small();
    desk.ask(plan(200, 7)).unwrap();
    wait(&desk);
    let shipped = figure(&desk, "density.type1");
    assert!(!shipped.own && shipped.shipped == Some(shipped.value));
    let before = sheet(&desk);
    let after = set(
        &desk,
        "materials.json",
        Some("density.type1"),
        &json!({"value": shipped.value * 1.1, "source": "weighbridge"}),
    )
    .unwrap();
    let own = figure(&desk, "density.type1");
    assert_eq!(
        (own.own, own.source.as_str(), own.unit),
        (true, "weighbridge", shipped.unit.clone())
    );
    assert_eq!(own.shipped, Some(shipped.value));
    assert!(after.plan.is_some(), "the plan stays");
    let stone = |sheet: &Sheet| sheet.plan.as_ref().unwrap().orders[0].materials.clone();
    assert_ne!(stone(&before), stone(&after), "the orders follow");
    set(
        &desk,
        "materials.json",
        Some("density.type1"),
        &json!({"value": null}),
    )
    .unwrap();
    assert_eq!(figure(&desk, "density.type1"), shipped);
    let back = sheet_of(desk.ask(Request::Undo).unwrap());
    assert_eq!(stone(&back), stone(&after));
    assert_eq!(
        back.undo.as_deref(),
        Some("change density.type1 in materials.json")
    );
}

#[test]
fn the_day_from_which_is_planned_is_called_so_in_the_history() {
    let desk = small();
    let called = |members: Value| {
        set(&desk, "week.json", None, &members)
            .unwrap()
            .undo
            .unwrap()
    };
    let changes = [
        (json!({"plan_from": "2027-03-03"}), "plan from Wed 3 Mar"),
        (json!({"plan_from": null}), "plan the whole week"),
        (
            json!({"first_day": "2027-03-08", "temperatures": {}, "plan_from": null}),
            "change the first day, the temperatures, the day from which is planned of the week",
        ),
        (
            json!({"over_weekend": true}),
            "change the nights of weekends and holidays of the week",
        ),
    ];
    for (members, words) in changes {
        assert_eq!(called(members), words);
    }
}

#[test]
fn the_week_and_a_gang_are_changed_where_they_stand() {
    let desk = small();
    let week = row(&desk, "week.json", None);
    assert_eq!(week["nation"], "England");
    assert!(
        !week.contains_key("rates"),
        "lists of rows have rows of their own"
    );
    let after = set(&desk, "week.json", None, &json!({"temperature_c": 4})).unwrap();
    assert!((after.temperature_c - 4.0).abs() < 1e-9);
    assert_eq!(
        after.undo.as_deref(),
        Some("change the usual temperature of the week")
    );
    let off = json!({"holidays": ["2027-03-03"]});
    let after = set(&desk, "week.json", None, &off).unwrap();
    assert!(!after.days[2].working && after.days[1].working);
    assert_eq!(
        row(&desk, "week.json", None)["holidays"],
        off["holidays"],
        "a list that is no list of rows is told"
    );
    let gang = after.gangs[0].id.clone();
    let people = row(&desk, "gangs.json", Some(&gang))["people"]
        .as_u64()
        .unwrap();
    let after = set(
        &desk,
        "gangs.json",
        Some(&gang),
        &json!({"people": people + 1}),
    )
    .unwrap();
    assert_eq!(u64::from(after.gangs[0].people), people + 1);
}

#[test]
fn what_would_be_at_fault_is_refused_and_nothing_is_changed() {
    let desk = small();
    let before = sheet(&desk);
    let wrong = set(
        &desk,
        "materials.json",
        Some("waste.mortar"),
        &json!({"value": -5}),
    )
    .unwrap_err();
    assert!(!wrong.findings.is_empty());
    assert!(set(&desk, "week.json", None, &json!({"nation": "Atlantis"})).is_err());
    assert!(set(&desk, "gangs.json", Some("nobody"), &json!({"people": 3})).is_err());
    assert!(set(&desk, "notes.txt", None, &json!({"people": 3})).is_err());
    assert_eq!(sheet(&desk).edition, before.edition);
}

/// A file with what is done to it.
type Changing<'a> = (&'a str, &'a dyn Fn(&mut Value));

/// The small demo week in a folder in which these files are changed.
fn in_folder(changes: &[Changing<'_>]) -> (tempfile::TempDir, Desk) {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    let save = json!({"ask": "save", "folder": folder});
    small().ask(serde_json::from_value(save).unwrap()).unwrap();
    for (name, change) in changes {
        let path = folder.join(name);
        let mut file = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
        change(&mut file);
        fs::write(&path, serde_json::to_vec(&file).unwrap()).unwrap();
    }
    let desk = Desk::default();
    let open = json!({"ask": "open", "folder": folder});
    desk.ask(serde_json::from_value(open).unwrap()).unwrap();
    (place, desk)
}

fn findings(sheet: &Sheet, code: &str) -> Vec<String> {
    let all = sheet.findings.iter().filter(|one| one.code == code);
    all.map(|one| one.remedy.clone()).collect()
}

#[test]
fn gangs_tips_and_streets_whose_ids_are_numbers_are_changed_and_taken_away_by_them() {
    let gangs = |file: &mut Value| {
        file["gangs"][0]["id"] = json!(1);
        file["tips"][0]["id"] = json!(7.5);
    };
    let streets = |file: &mut Value| {
        file["features"][0]["id"] = json!(12);
        let second = file["features"][1].as_object_mut().unwrap();
        second.remove("id");
        second["properties"]["id"] = json!(13);
    };
    let (_place, desk) = in_folder(&[("gangs.json", &gangs), ("streets.geojson", &streets)]);
    assert_eq!(row(&desk, "gangs.json", Some("1"))["id"], 1);
    let people = json!({"people": 4});
    let after = set(&desk, "gangs.json", Some("1"), &people).unwrap();
    assert_eq!(
        (after.gangs[0].id.as_str(), after.gangs[0].people),
        ("1", 4)
    );
    let name = json!({"name": "North yard"});
    let after = set(&desk, "gangs.json", Some("7.5"), &name).unwrap();
    assert_eq!(after.tips[0].name, "North yard");
    for id in ["12", "13"] {
        let name = json!({"name": format!("Street {id}")});
        let after = set(&desk, "streets.geojson", Some(id), &name).unwrap();
        let street = after.streets.iter().find(|one| one.id == id).unwrap();
        assert_eq!(street.name.as_deref(), Some(&*format!("Street {id}")));
    }
    // What is to be done is told as it is: what stands in the files stays as it is written.
    for code in ["G-NUMBER", "S-NUMBER"] {
        let told = findings(&after, code);
        assert!(
            !told.is_empty() && told.iter().all(|one| !one.contains("quotes")),
            "{told:?}"
        );
    }
    for (yard, id) in [("gang", "1"), ("tip", "7.5")] {
        let gone = json!({"do": "remove_yard", "yard": yard, "id": id});
        let sheet = edited(&desk, &gone).unwrap();
        let tips = sheet.tips.iter().map(|one| &one.id);
        assert!(
            sheet
                .gangs
                .iter()
                .map(|one| &one.id)
                .chain(tips)
                .all(|one| one != id)
        );
    }
}

#[test]
fn of_a_gang_and_a_tip_that_have_one_id_the_one_that_is_meant_is_changed_and_taken_away() {
    let same = |file: &mut Value| {
        file["gangs"][0]["id"] = json!("1");
        file["tips"][0]["id"] = json!("1");
    };
    let (_place, desk) = in_folder(&[("gangs.json", &same)]);
    let before = sheet(&desk);
    let at = [before.tips[0].at[0] + 0.001, before.tips[0].at[1]];
    let carry = |yard: &str, members: Value| {
        let edit = json!({"do": "row", "file": "gangs.json", "row": "1", "yard": yard, "members": members});
        edited(&desk, &edit).unwrap()
    };
    let after = carry("tip", json!({"at": at}));
    assert_eq!(json!(after.tips[0].at), json!(at));
    assert_eq!(json!(after.gangs[0].depot), json!(before.gangs[0].depot));
    let stated = |yard: Option<&str>| {
        let request = json!({"ask": "row", "file": "gangs.json", "row": "1", "yard": yard});
        match desk.ask(serde_json::from_value(request).unwrap()).unwrap() {
            Answer::Row { members } => members,
            other => panic!("no row but {other:?}"),
        }
    };
    assert_eq!(stated(Some("tip"))["at"], json!(at));
    for yard in [Some("gang"), None] {
        let gang = stated(yard);
        assert!(gang.contains_key("people") && !gang.contains_key("at"));
    }
    let after = carry("gang", json!({"people": 4}));
    assert_eq!(after.gangs[0].people, 4);
    let taken = json!({"do": "remove_yard", "yard": "tip", "id": "1"});
    let after = edited(&desk, &taken).unwrap();
    let left = (after.gangs.len(), after.tips.len());
    assert_eq!(left, (before.gangs.len(), before.tips.len() - 1));
    let again = edited(&desk, &taken).unwrap_err();
    assert_eq!(again.text, "There is no 1 in gangs.json.");
    let gang = json!({"do": "remove_yard", "yard": "gang", "id": "1"});
    let after = edited(&desk, &gang).unwrap();
    assert_eq!(after.gangs.len(), before.gangs.len() - 1);
}
