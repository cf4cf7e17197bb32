//! What a door is told of changes, put together as a door does it, and held against the whole sheet.

use serde_json::{Value, json};

use super::tests::{plan, small, wait};
use crate::Desk;
use crate::view::{Answer, DemoWeek, Request};

fn ask(desk: &Desk, request: Value) -> Value {
    let request: Request = serde_json::from_value(request).unwrap();
    serde_json::to_value(desk.ask(request).unwrap()).unwrap()
}

/// A door with the sheet that it shows.
struct Page {
    sheet: Value,
    patches: usize,
    settled: bool,
}

impl Page {
    fn of(desk: &Desk) -> Self {
        Self {
            sheet: ask(desk, json!({"ask": "sheet"}))["sheet"].take(),
            patches: 0,
            settled: true,
        }
    }

    fn ask(&mut self, desk: &Desk, of: &Value) {
        let edition = &self.sheet["edition"];
        let mut answer = ask(desk, json!({"ask": "since", "edition": edition, "of": of}));
        if answer["is"] == "patched" {
            assert_eq!(answer["patch"]["from"], *edition);
            self.patches += 1;
            self.settled = answer["patch"]["settled"] == true;
            self.apply(&answer["patch"]);
        } else {
            self.sheet = answer["sheet"].take();
            self.settled = true;
        }
    }

    fn apply(&mut self, patch: &Value) {
        let assign = |to: &mut Value, from: &Value| {
            for (name, value) in from.as_object().unwrap() {
                to[name] = value.clone();
            }
        };
        assign(&mut self.sheet, &patch["sheet"]);
        if self.sheet["plan"].is_object() {
            assign(&mut self.sheet["plan"], &patch["plan"]);
        }
        for list in patch["lists"].as_array().unwrap() {
            let key = list["key"].as_str().unwrap();
            let name = list["list"].as_str().unwrap();
            let rows = name
                .split('.')
                .fold(&mut self.sheet, |at, part| &mut at[part]);
            let rows = rows.as_array_mut().unwrap();
            let gone = list["gone"].as_array().unwrap();
            rows.retain(|row| !gone.contains(&row[key]));
            for put in list["put"].as_array().unwrap() {
                let row = put["row"].clone();
                match rows.iter().position(|old| old[key] == row[key]) {
                    Some(at) => rows[at] = row,
                    None => rows.insert(put["at"].as_u64().unwrap() as usize, row),
                }
            }
        }
    }

    /// Asks for the rest, and holds what it shows against the whole sheet.
    fn holds(&mut self, desk: &Desk, what: &Value) {
        while !self.settled {
            self.ask(desk, &json!({"ask": "sheet"}));
        }
        let whole = ask(desk, json!({"ask": "sheet"}))["sheet"].take();
        for (name, value) in whole.as_object().unwrap() {
            assert!(self.sheet[name] == *value, "{name} differs after {what}");
        }
        assert_eq!(self.sheet, whole);
    }
}

fn steps(desk: &Desk) -> Vec<Value> {
    let sheet = ask(desk, json!({"ask": "sheet"}))["sheet"].take();
    let at = &sheet["jobs"][3]["at"];
    let column = &sheet["plan"]["columns"][0];
    let (job, key) = (&column["jobs"][0], &sheet["plan"]["columns"][1]["key"]);
    let edit = |edit: Value| json!({"ask": "edit", "edit": edit});
    let mut steps = vec![
        edit(json!({"do": "move", "pins": [{"id": "J001", "at": at}]})),
        edit(
            json!({"do": "set", "jobs": ["J001", "J004"], "properties": {"sections": 5, "work": "new"}}),
        ),
        edit(json!({"do": "add", "at": at, "properties": {"work": "new", "sections": 3}})),
        edit(json!({"do": "delete", "jobs": ["J002", "J005"]})),
        edit(json!({"do": "rename", "job": "J003", "to": "HS-1"})),
    ];
    steps.extend(vec![json!({"ask": "undo"}); 3]);
    steps.extend(vec![json!({"ask": "redo"}); 2]);
    steps.extend(vec![json!({"ask": "undo"}); 4]);
    steps.extend([
        json!({"ask": "mark", "jobs": [job], "locked": true}),
        json!({"ask": "mark", "jobs": [job], "locked": false}),
        json!({"ask": "record_as_planned", "of": {"what": "gang_day", "key": key}}),
        json!({"ask": "undo"}),
        json!({"ask": "change", "change": {"do": "move_job", "job": job, "to": key, "at": null}}),
        json!({"ask": "change", "change": {"do": "leave_out", "job": job}}),
        json!({"ask": "undo"}),
        json!({"ask": "sheet"}),
        json!({"ask": "undo"}),
    ]);
    steps
}

#[test]
fn a_sheet_put_together_from_what_changed_is_the_whole_sheet() {
    let desk = small();
    let mut page = Page::of(&desk);
    let steps = steps(&desk);
    let many = steps.len();
    for step in steps {
        page.ask(&desk, &step);
        page.holds(&desk, &step);
    }
    assert!(page.patches >= many, "{} of {many}", page.patches);
}

#[test]
fn a_door_that_is_behind_gets_the_whole_sheet() {
    let desk = small();
    let mut page = Page::of(&desk);
    let old = page.sheet["edition"].clone();
    let edit = json!({"ask": "edit", "edit": {"do": "delete", "jobs": ["J001"]}});
    page.ask(&desk, &edit);
    page.holds(&desk, &edit);
    let undo = json!({"ask": "undo"});
    let answer = ask(&desk, json!({"ask": "since", "edition": old, "of": undo}));
    assert_eq!(answer["is"], "sheet");
    let again =
        json!({"ask": "since", "edition": 1, "of": {"ask": "since", "edition": 1, "of": undo}});
    assert!(desk.ask(serde_json::from_value(again).unwrap()).is_err());
}

#[test]
fn edits_that_follow_one_another_closely_leave_the_page_right() {
    let desk = Desk::default();
    desk.ask(Request::OpenDemo {
        week: DemoWeek::Full,
    })
    .unwrap();
    let mut page = Page::of(&desk);
    let at = page.sheet["jobs"][9]["at"].clone();
    for turn in 0..8 {
        let id = page.sheet["jobs"][turn]["id"].clone();
        let edit = json!({"ask": "edit", "edit": {"do": "move", "pins": [{"id": id, "at": at}]}});
        page.ask(&desk, &edit);
        assert_eq!(page.sheet["jobs"][turn]["at"], at, "it is there at once");
    }
    page.holds(&desk, &json!("eight edits"));
    desk.ask(plan(50, 3)).unwrap();
    wait(&desk);
    page.ask(&desk, &json!({"ask": "sheet"}));
    page.holds(&desk, &json!("planning"));
    assert!(matches!(
        desk.ask(Request::Sheet).unwrap(),
        Answer::Sheet { .. }
    ));
}
