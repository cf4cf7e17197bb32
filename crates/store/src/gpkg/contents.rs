//! A programme's files taken apart into lists of rows, and put together again.

use std::collections::BTreeSet;

use serde_json::{Map, Value, json};

use super::layers::{CLOSURES, GANGS, JOBS, Layer, PARAMETERS, STREETS, TIPS, WEEK};

/// The file of closures, which only a programme file has: it is worked out from the plan.
pub(crate) const CLOSURES_FILE: &str = "closures.geojson";

/// Which layer holds the rows of a list.
pub(crate) struct List {
    pub(crate) layer: &'static Layer,
    /// The list's name in its file; empty where the file itself is the list or the row.
    pub(crate) name: String,
    pub(crate) rows: Vec<Value>,
}

/// A file taken apart: its lists, and the rest of it with nothing in their places.
pub(crate) struct Apart {
    pub(crate) head: Value,
    pub(crate) lists: Vec<List>,
}

/// The layers that hold rows of this file; none for a file that is kept as it is.
pub(crate) fn layers_of(file: &str) -> &'static [&'static Layer] {
    match file {
        "jobs.geojson" => &[&JOBS],
        "streets.geojson" => &[&STREETS],
        CLOSURES_FILE => &[&CLOSURES],
        "gangs.json" => &[&GANGS, &TIPS],
        "method.json" | "materials.json" => &[&PARAMETERS],
        "week.json" => &[&WEEK],
        _ => &[],
    }
}

/// Takes a file apart; none where it is no JSON of the expected shape, and is kept as it is.
pub(crate) fn apart(file: &str, bytes: &[u8]) -> Option<Apart> {
    if layers_of(file).is_empty() {
        return None;
    }
    let value: Value = serde_json::from_slice(bytes).ok()?;
    match (file, value) {
        ("week.json", week @ Value::Object(_)) => Some(whole(&WEEK, vec![week])),
        ("method.json" | "materials.json", Value::Array(rows)) => Some(whole(&PARAMETERS, rows)),
        ("week.json", _) => None,
        (_, Value::Object(members)) => Some(lists(file, members)),
        _ => None,
    }
}

/// Everybody whom a file names as `attribution`, of itself or of a feature, in one line.
pub(crate) fn attributions(bytes: &[u8]) -> String {
    let value: Value = serde_json::from_slice(bytes).unwrap_or_default();
    let features = value["features"].as_array();
    let features = features.into_iter().flatten();
    let own = features.map(|feature| &feature["properties"]["attribution"]);
    let all = own.chain([&value["attribution"]]);
    let all: BTreeSet<&str> = all.filter_map(Value::as_str).collect();
    Vec::from_iter(all).join("; ")
}

fn whole(layer: &'static Layer, rows: Vec<Value>) -> Apart {
    let list = List {
        layer,
        name: String::new(),
        rows,
    };
    Apart {
        head: Value::Null,
        lists: vec![list],
    }
}

fn lists(file: &str, mut members: Map<String, Value>) -> Apart {
    let mut lists = Vec::new();
    for (name, value) in &mut members {
        let layer: Option<&Layer> = match (file, name.as_str()) {
            ("gangs.json", "gangs") => Some(&GANGS),
            ("gangs.json", "tips") => Some(&TIPS),
            ("method.json" | "materials.json", _) => Some(&PARAMETERS),
            (_, "features") => layers_of(file).first().copied(),
            _ => None,
        };
        let (Some(layer), Value::Array(_)) = (layer, &*value) else {
            continue;
        };
        if let Value::Array(rows) = value.take() {
            lists.push(List {
                layer,
                name: name.clone(),
                rows,
            });
        }
    }
    let names: Vec<&str> = lists.iter().map(|list| list.name.as_str()).collect();
    Apart {
        head: json!({"lists": names, "members": members}),
        lists,
    }
}

/// The bytes of a file from its head and the rows of its lists: one row on each line.
pub(crate) fn together(head: &Value, rows: &dyn Fn(&str) -> Vec<Value>, week: bool) -> Vec<u8> {
    let Some(members) = head.get("members").and_then(Value::as_object) else {
        let rows = rows("");
        return match rows.as_slice() {
            [one] if week => line(one, b"\n"),
            _ => list(&rows, b"\n"),
        };
    };
    let mut out = b"{".to_vec();
    for (at, (name, value)) in members.iter().enumerate() {
        out.extend_from_slice(if at == 0 { b"\n" } else { b",\n" });
        out.extend(line(&json!(name), b": "));
        if is_list(head, name) {
            out.extend(list(&rows(name), b""));
        } else {
            out.extend(line(value, b""));
        }
    }
    out.extend_from_slice(b"\n}\n");
    out
}

fn is_list(head: &Value, name: &str) -> bool {
    head["lists"]
        .as_array()
        .is_some_and(|lists| lists.iter().any(|list| list == name))
}

fn list(rows: &[Value], end: &[u8]) -> Vec<u8> {
    let mut out = b"[".to_vec();
    for (at, row) in rows.iter().enumerate() {
        out.extend_from_slice(if at == 0 { b"\n" } else { b",\n" });
        out.extend(line(row, b""));
    }
    out.extend_from_slice(if rows.is_empty() { b"]" } else { b"\n]" });
    out.extend_from_slice(end);
    out
}

fn line(value: &Value, end: &[u8]) -> Vec<u8> {
    let mut out = value.to_string().into_bytes();
    out.extend_from_slice(end);
    out
}
