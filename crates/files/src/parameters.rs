//! Tables of figures, from `method.json` and `materials.json`: a list of rows, or an object of such
//! lists by name.

use std::collections::HashSet;

use gangday_model::{Finding, Parameter, ParameterTable};
use serde_json::{Map, Value};

use crate::codes::{self, ROW};
use crate::fields::Fields;
use crate::kept::{FileState, KeptFile};
use crate::ledger::Ledger;
use crate::tree;
use crate::words::{NearNames, describe, shorten};

pub(crate) const ROW_NAMES: &[&str] = &["key", "value", "unit", "source", "date"];

/// The list that rows stand in where the file is a plain list.
pub(crate) const PLAIN: &str = "";

/// The list that rows stand in unless the file says otherwise.
pub(crate) const USUAL_LIST: &str = "parameters";

/// A table and what was found in its file.
#[derive(Default)]
pub(crate) struct TableRead {
    pub(crate) table: ParameterTable,
    pub(crate) kept: KeptFile,
    pub(crate) findings: Vec<Finding>,
}

/// Reads a file of figures.
pub(crate) fn read(bytes: &[u8], file: &'static str) -> TableRead {
    let mut ledger = Ledger::of(file);
    let lists = tree::parse(bytes, &mut ledger).and_then(|value| lists(value, &mut ledger));
    let (table, kept) = match lists {
        Some((lists, members)) => {
            let mut kept = KeptFile {
                members,
                ..KeptFile::in_state(FileState::Read)
            };
            (rows(lists, &mut kept, &mut ledger), kept)
        }
        None => (
            ParameterTable::default(),
            KeptFile::in_state(FileState::Unreadable),
        ),
    };
    TableRead {
        table,
        kept,
        findings: ledger.close(),
    }
}

type Lists = Vec<(String, Vec<Value>)>;

fn lists(value: Value, ledger: &mut Ledger) -> Option<(Lists, Map<String, Value>)> {
    match value {
        Value::Array(rows) => Some((vec![(PLAIN.to_owned(), rows)], Map::new())),
        Value::Object(members) => {
            let (lists, others) = tables(members);
            if lists.is_empty() && !others.is_empty() {
                let text = "The file holds no list of rows, so none of its figures is used.";
                ledger.enter(Finding::fault(codes::SHAPE, text, REMEDY));
            }
            Some((lists, others))
        }
        other => {
            let text = format!("The file is {}, not a list of rows.", describe(&other));
            ledger.enter(Finding::fault(codes::SHAPE, text, REMEDY));
            None
        }
    }
}

const REMEDY: &str =
    "Write rows with `key`, `value`, `unit`, `source` and `date` as a list under `parameters`.";

fn tables(members: Map<String, Value>) -> (Lists, Map<String, Value>) {
    let (mut lists, mut others) = (Lists::new(), Map::new());
    for (name, member) in members {
        match member {
            Value::Array(rows) if name == USUAL_LIST || rows.iter().any(Value::is_object) => {
                lists.push((name, rows));
            }
            other => {
                others.insert(name, other);
            }
        }
    }
    (lists, others)
}

fn rows(lists: Lists, kept: &mut KeptFile, ledger: &mut Ledger) -> ParameterTable {
    let mut names = NearNames::to(ROW_NAMES);
    let mut seen = HashSet::new();
    let mut sound = Vec::new();
    let mut index = 0;
    for (list, items) in lists {
        for item in items {
            let (parameter, mut findings) = row(None, &item, index, &mut names);
            let fresh = parameter.filter(|parameter| {
                let fresh = seen.insert(parameter.key.clone());
                if !fresh {
                    findings.push(twice(&parameter.key));
                }
                fresh
            });
            ledger.enter_all(index, findings);
            index += 1;
            let Some(parameter) = fresh else {
                kept.put_aside(&list, item);
                continue;
            };
            kept.tables.insert(parameter.key.clone(), list.clone());
            sound.push(parameter);
        }
    }
    ParameterTable::new(sound)
}

fn twice(key: &str) -> Finding {
    let text = "An earlier row has the same `key`; the earlier one counts.";
    Finding::fault(ROW.dup, text, "Remove one of the two.")
        .at(shorten(key))
        .of("key")
}

/// One figure; its key is either given or a member of the row.
pub(crate) fn row(
    key: Option<&str>,
    value: &Value,
    index: usize,
    names: &mut NearNames,
) -> (Option<Parameter>, Vec<Finding>) {
    let stated = key
        .or_else(|| value.get("key").and_then(Value::as_str))
        .filter(|key| !key.is_empty());
    let label = stated.map_or_else(|| format!("row {}", index + 1), shorten);
    let Some(map) = value.as_object() else {
        let text = format!("The row is {}, not an object.", describe(value));
        let remedy = "Write an object with `key`, `value`, `unit`, `source` and `date`.";
        return (None, vec![Finding::fault(ROW.kind, text, remedy).at(label)]);
    };
    let mut fields = Fields::of(map, &ROW, label);
    if stated.is_none() {
        let text = "The row has no `key`.".to_owned();
        fields.fault(
            ROW.id,
            "key",
            text,
            "Give it a `key`: a text that no other row has.",
        );
    }
    let parameter = parameter(&mut fields, stated.unwrap_or_default(), names);
    (fields.sound().then_some(parameter), fields.close())
}

fn parameter(fields: &mut Fields<'_>, key: &str, names: &mut NearNames) -> Parameter {
    fields.need("value", "State the figure as a number.");
    fields.need(
        "unit",
        "State the unit, as in \"mm\"; a bare ratio has the unit \"1\".",
    );
    let value = fields
        .number("value", &(f64::MIN..=f64::MAX), "")
        .unwrap_or_default();
    let source = fields.text("source").unwrap_or_default();
    if source.trim().is_empty() {
        let text = "The figure has no `source`.".to_owned();
        let remedy = "Name the document, or write \"common practice, no source\".";
        fields.warn(codes::SOURCE, "source", text, remedy);
    }
    Parameter {
        key: key.to_owned(),
        value,
        unit: fields.text("unit").unwrap_or_default(),
        source,
        date: fields.text("date").unwrap_or_default(),
        extra: fields.rest(names),
    }
}
