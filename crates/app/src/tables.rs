//! Every figure that a programme rests on, and the change of a row in one of its files.

use gangday_calc::{shipped_materials, shipped_method};
use gangday_files::{GANGS, MATERIALS, METHOD, STREETS, WEEK, id_in};
use gangday_ground::roads::shipped_roads;
use gangday_ground::shipped_travel;
use gangday_model::{Finding, Parameter, ParameterTable};
use gangday_store::{Change, FileChange};
use gangday_traffic::shipped_traffic;
use serde_json::{Map, Value, json};

use crate::changes::{State, apply};
use crate::edits::Edited;
use crate::opened::Opened;
use crate::view::{FigureRow, FigureTable, Refusal, Yard};
use crate::{limits, rates, saving, words};

/// The lists of each file that rows may stand in.
const ROWS: [(&str, &[&str]); 5] = [
    (METHOD, &["parameters"]),
    (MATERIALS, &["parameters"]),
    (WEEK, &["rates"]),
    (GANGS, &["gangs", "tips"]),
    (STREETS, &["features"]),
];

/// What a week states, in the words of its form.
const OF_WEEK: [(&str, &str); 11] = [
    ("name", "the name"),
    ("nation", "the nation"),
    ("first_day", "the first day"),
    ("days", "the number of days"),
    ("holidays", "the holidays"),
    ("temperature_c", "the usual temperature"),
    ("temperatures", "the temperatures"),
    ("today", "the day of notices"),
    ("nights", "the nights"),
    ("over_weekend", "the nights of weekends and holidays"),
    (PLAN_FROM, "the day from which is planned"),
];

/// The member of the week that states the day from which is planned.
const PLAN_FROM: &str = "plan_from";

/// Every figure, table by table: what is shipped, with the programme's own in its place.
#[must_use]
pub fn figures(opened: &Opened) -> Vec<FigureTable> {
    let programme = &opened.prepared.programme;
    let week = ParameterTable::new(programme.week.rates.iter().cloned());
    let (method, materials) = (&programme.method, &programme.materials);
    let table = |title: &str, file: &str, shipped: &ParameterTable, own: &ParameterTable| {
        let overlaid = shipped.overlaid(own);
        let row = |row: &Parameter| FigureRow {
            key: row.key.clone(),
            value: row.value,
            unit: row.unit.clone(),
            source: row.source.clone(),
            date: row.date.clone(),
            own: own.get(&row.key).is_some(),
            shipped: shipped.value(&row.key),
        };
        FigureTable {
            title: title.to_owned(),
            file: file.to_owned(),
            rows: overlaid.rows().map(row).collect(),
        }
    };
    // Of the tables that share a file each shows what is shipped in it; the first shows the rest too.
    let own_of = |shipped: &ParameterTable| {
        let own = method.rows().filter(|row| shipped.get(&row.key).is_some());
        ParameterTable::new(own.cloned())
    };
    let shared = [
        ("Breaks, driving and tipping", limits::shipped()),
        ("Getting about", shipped_travel()),
        ("Usual speeds by road", shipped_roads()),
        ("What the public meets", shipped_traffic()),
    ];
    let elsewhere = |key: &str| shared.iter().any(|(_, shipped)| shipped.get(key).is_some());
    let rest = method.rows().filter(|row| !elsewhere(&row.key)).cloned();
    let mut all = vec![
        table(
            "How a chamber is built, and what a gang gets done",
            METHOD,
            &shipped_method(),
            &ParameterTable::new(rest),
        ),
        table("Materials", MATERIALS, &shipped_materials(), materials),
        table("What things cost", WEEK, &rates::shipped(), &week),
    ];
    all.extend(
        shared
            .iter()
            .map(|(title, shipped)| table(title, METHOD, shipped, &own_of(shipped))),
    );
    all
}

/// The name of a row in one of the programme's files, or of what stands in the file itself.
#[derive(Clone, Copy)]
pub struct Place<'a> {
    /// The file: `week.json`.
    pub file: &'a str,
    /// Its row: a key of a figure, the id of a gang, a tip or a street; none for the file itself.
    pub row: Option<&'a str>,
    /// Which of the two is meant, where a gang and a tip have one id.
    pub yard: Option<Yard>,
}

impl Place<'_> {
    /// The lists in which its row may stand.
    fn lists(self) -> &'static [&'static str] {
        match self.yard {
            Some(Yard::Gang) if self.file == GANGS => &["gangs"],
            Some(Yard::Tip) if self.file == GANGS => &["tips"],
            _ => lists_of(self.file),
        }
    }

    /// Whether this is its row; an id that is written as a number is read as a text.
    fn is(self, one: &Value) -> bool {
        let Some(row) = self.row else {
            return false;
        };
        if has_figures(self.file) {
            return one["key"] == row;
        }
        id_in(self.file, one).is_some_and(|id| id == row)
    }
}

/// What a row states, member by member.
///
/// # Errors
/// Where the file is none of the programme's, can't be read, or has no such row.
pub fn stated(opened: &Opened, place: Place<'_>) -> Result<Map<String, Value>, Refusal> {
    let file = parsed(opened, place.file)?;
    if place.row.is_none() {
        let lists = place.lists();
        let members = file.as_object().cloned().unwrap_or_default();
        let own = members.into_iter();
        return Ok(own
            .filter(|(name, _)| !lists.contains(&name.as_str()))
            .collect());
    }
    let found = find(&file, place).cloned();
    let found = found.ok_or_else(|| no_row(place))?;
    let members = if place.file == STREETS {
        found["properties"].clone()
    } else {
        found
    };
    Ok(members.as_object().cloned().unwrap_or_default())
}

/// Sets members of a row, or of the file itself; null takes one away. A figure that the programme
/// doesn't state yet begins as it is shipped; one that states nothing any more goes.
///
/// # Errors
/// Where there is no such row, or the file would be at fault; nothing is changed then.
pub fn set(
    state: &State,
    place: Place<'_>,
    members: &Map<String, Value>,
) -> Result<Edited, Refusal> {
    let mut file = parsed(&state.opened, place.file)?;
    let what = what_changes(place, members);
    match place.row {
        None => put(&mut file, members),
        Some(row) => set_row(&state.opened, &mut file, (place, row), members)?,
    }
    replaced(state, what, place.file, &file)
}

/// What a change is called in the history.
fn what_changes(place: Place<'_>, members: &Map<String, Value>) -> String {
    let plain = |name: &String| {
        let own = OF_WEEK.iter().find(|(own, _)| own == name);
        own.map_or_else(|| name.replace('_', " "), |(_, words)| (*words).to_owned())
    };
    match place.row {
        None if place.file == WEEK && members.keys().eq([PLAN_FROM]) => planned(members),
        None if place.file == WEEK => {
            let names: Vec<String> = members.keys().map(plain).collect();
            format!("change {} of the week", names.join(", "))
        }
        None => {
            let names: Vec<&str> = members.keys().map(String::as_str).collect();
            format!("change {} in {}", names.join(", "), place.file)
        }
        Some(row) => format!("change {row} in {}", place.file),
    }
}

/// What a change of nothing but the day from which is planned is called.
fn planned(members: &Map<String, Value>) -> String {
    let stated = members.get(PLAN_FROM).and_then(Value::as_str);
    let from = stated.and_then(|date| date.parse().ok());
    from.map_or_else(
        || "plan the whole week".to_owned(),
        |from| format!("plan from {}", words::day(from)),
    )
}

/// The change by which one of the programme's files, which held one thing, holds another.
pub(crate) fn of_file(
    what: &str,
    name: &str,
    (before, after): (Option<Vec<u8>>, Vec<u8>),
) -> Change {
    Change {
        what: what.to_owned(),
        features: Vec::new(),
        files: vec![FileChange {
            name: name.to_owned(),
            before,
            after: Some(after),
        }],
    }
}

/// One of the programme's files is to hold this from now on.
pub(crate) fn replaced(
    state: &State,
    what: String,
    name: &str,
    file: &Value,
) -> Result<Edited, Refusal> {
    let before = saving::bytes_of(&state.opened, name);
    let change = of_file(&what, name, (before, written(file)));
    let next = apply(state, &change)?;
    refuse_faults(&state.opened, &next.opened)?;
    Ok(Edited {
        what,
        state: next,
        jobs: Vec::new(),
    })
}

fn set_row(
    opened: &Opened,
    file: &mut Value,
    (place, row): (Place<'_>, &str),
    members: &Map<String, Value>,
) -> Result<(), Refusal> {
    let is_figure = has_figures(place.file);
    if is_figure && members.get("value").is_some_and(Value::is_null) {
        return take_out(file, place);
    }
    if is_figure && find(file, place).is_none() {
        let fresh = shipped_row(opened, row).ok_or_else(|| no_row(place))?;
        let list = place.lists().first().copied().unwrap_or("parameters");
        rows_of(file, list).push(fresh);
    }
    let found = find_mut(file, place).ok_or_else(|| no_row(place))?;
    if place.file == STREETS {
        put(&mut found["properties"], members);
    } else {
        put(found, members);
    }
    Ok(())
}

pub(crate) fn take_out(file: &mut Value, place: Place<'_>) -> Result<(), Refusal> {
    if find(file, place).is_none() {
        return Err(no_row(place));
    }
    for list in place.lists() {
        let Some(rows) = list_mut(file, list) else {
            continue;
        };
        if has_figures(place.file) {
            rows.retain(|one| !place.is(one));
        } else if let Some(at) = rows.iter().position(|one| place.is(one)) {
            // Another of its id is left out, and stays so.
            rows.remove(at);
            break;
        }
    }
    Ok(())
}

fn shipped_row(opened: &Opened, key: &str) -> Option<Value> {
    let all = figures(opened);
    let row = all
        .iter()
        .flat_map(|table| &table.rows)
        .find(|row| row.key == key)?;
    Some(
        json!({"key": row.key, "value": row.value, "unit": row.unit, "source": row.source, "date": row.date}),
    )
}

pub(crate) fn put(to: &mut Value, members: &Map<String, Value>) {
    if !to.is_object() {
        *to = Value::Object(Map::new());
    }
    let Some(object) = to.as_object_mut() else {
        return;
    };
    for (name, value) in members {
        if value.is_null() {
            object.shift_remove(name);
        } else {
            object.insert(name.clone(), value.clone());
        }
    }
}

fn lists_of(name: &str) -> &'static [&'static str] {
    let found = ROWS.iter().find(|(file, _)| *file == name);
    found.map_or(&[], |(_, lists)| *lists)
}

/// A list of the file; a file that is a list itself has only that.
pub(crate) fn list_mut<'a>(file: &'a mut Value, list: &str) -> Option<&'a mut Vec<Value>> {
    if file.is_array() {
        return file.as_array_mut();
    }
    file.get_mut(list)?.as_array_mut()
}

/// A list of the file, which is made where it isn't there; a file that is a list itself has only that.
pub(crate) fn rows_of<'a>(file: &'a mut Value, list: &str) -> &'a mut Vec<Value> {
    if file.as_array().is_none() && !file[list].is_array() {
        file[list] = Value::Array(Vec::new());
    }
    let rows = if file.is_array() {
        file
    } else {
        &mut file[list]
    };
    match rows {
        Value::Array(rows) => rows,
        _ => unreachable!("it was made a list just now"),
    }
}

pub(crate) fn find<'a>(file: &'a Value, place: Place<'_>) -> Option<&'a Value> {
    let rows = place.lists().iter().filter_map(|list| {
        let rows = if file.is_array() {
            file
        } else {
            file.get(*list)?
        };
        rows.as_array()
    });
    rows.flatten().find(|one| place.is(one))
}

fn find_mut<'a>(file: &'a mut Value, place: Place<'_>) -> Option<&'a mut Value> {
    let list = place.lists().iter().copied().find(|list| {
        let rows = if file.is_array() {
            Some(&*file)
        } else {
            file.get(*list)
        };
        let mut rows = rows.and_then(Value::as_array).into_iter().flatten();
        rows.any(|one| place.is(one))
    })?;
    let rows = list_mut(file, list)?;
    rows.iter_mut().find(|one| place.is(one))
}

/// Whether the rows of a file are figures, by their keys; others go by their ids.
fn has_figures(name: &str) -> bool {
    [METHOD, MATERIALS, WEEK].contains(&name)
}

/// The bytes of a text without the mark of order that some editors put before it.
pub(crate) fn without_mark(bytes: &[u8]) -> &[u8] {
    bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes)
}

pub(crate) fn parsed(opened: &Opened, name: &str) -> Result<Value, Refusal> {
    if !ROWS.iter().any(|(file, _)| *file == name) {
        return Err(Refusal::coded(
            "D-ASKED",
            &format!("{name} is none of the programme's files."),
        ));
    }
    let Some(bytes) = saving::bytes_of(opened, name) else {
        return Ok(Value::Object(Map::new()));
    };
    serde_json::from_slice(without_mark(&bytes)).map_err(|error| {
        Refusal::coded(
            "F-JSON",
            &format!("{name} can't be read, so nothing in it can be changed: {error}."),
        )
    })
}

pub(crate) fn written(file: &Value) -> Vec<u8> {
    let mut bytes = serde_json::to_vec_pretty(file).unwrap_or_default();
    bytes.push(b'\n');
    bytes
}

fn refuse_faults(before: &Opened, after: &Opened) -> Result<(), Refusal> {
    let known: Vec<&Finding> = before.faults().collect();
    let fresh: Vec<Finding> = after
        .faults()
        .filter(|fault| {
            !known
                .iter()
                .any(|one| one.code == fault.code && one.place == fault.place)
        })
        .cloned()
        .collect();
    if fresh.is_empty() {
        return Ok(());
    }
    let text = "Nothing was changed, since it would put something at fault.";
    Err(Refusal::because(text, &fresh))
}

fn no_row(place: Place<'_>) -> Refusal {
    let row = place.row.unwrap_or_default();
    Refusal::coded("D-NONE", &format!("There is no {row} in {}.", place.file))
}
