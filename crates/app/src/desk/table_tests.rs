//! Figures and rows of the programme's files, asked as a door asks.

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
    let request = json!({"ask": "edit", "edit": edit});
    match desk.ask(serde_json::from_value(request).unwrap())? {
        Answer::Edited { sheet, .. } => Ok(*sheet),
        other => panic!("no edit but {other:?}"),
    }
}

fn row(desk: &Desk, file: &str, row: Option<&str>) -> Map<String, Value> {
    let (file, row) = (file.to_owned(), row.map(str::to_owned));
    match desk.ask(Request::Row { file, row }).unwrap() {
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
