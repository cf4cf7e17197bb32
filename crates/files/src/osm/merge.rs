//! Streets of an extract into `streets.geojson`, beside what is there.
//!
//! A row of the user's own is kept word for word. A row of an earlier import carries, in `osm`, what
//! that import wrote: a property or line that still reads so follows the new extract, and one that
//! the user has changed stays. Rows whose street is no longer in the extract stay too, because jobs
//! may name them.

use std::collections::{HashMap, HashSet};

use gangday_model::{Finding, Street};
use serde_json::{Map, Value, json};
use sha2::{Digest as _, Sha256};

use crate::codes;
use crate::ledger::Ledger;
use crate::{STREETS, features, lay_out, write};

/// What an import writes, in this order.
const WRITTEN: [&str; 4] = ["name", "speed_limit_mph", "width_m", "one_way"];
/// The property that holds what an import wrote.
const RECORD: &str = "osm";

/// The file with the streets of an extract in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StreetsMerged {
    /// The bytes of `streets.geojson`.
    pub bytes: Vec<u8>,
    /// Streets that are new.
    pub added: usize,
    /// Streets of an earlier import that have changed.
    pub updated: usize,
    /// Streets of an earlier import that are as they were.
    pub unchanged: usize,
    /// Rows that were left as they are because the user has changed them, or they are the user's
    /// own, or are no longer in the extract.
    pub findings: Vec<Finding>,
}

/// Merges streets into the bytes of a `streets.geojson`, if there is one.
///
/// # Errors
/// The faults of a file that can't be read: it must not be written over.
pub fn merge_streets(
    existing: Option<&[u8]>,
    streets: &[Street],
) -> Result<StreetsMerged, Vec<Finding>> {
    let (mut rows, members) = match existing {
        Some(bytes) => read(bytes)?,
        None => (Vec::new(), Map::new()),
    };
    let mut places: HashMap<String, usize> = HashMap::new();
    for (at, row) in rows.iter().enumerate() {
        if let Some(id) = id_of(row) {
            places.entry(id).or_insert(at);
        }
    }
    let mut tally = Tally::default();
    for street in streets {
        let fresh = fresh(street);
        match places.get(street.id.as_str()) {
            None => {
                tally.added += 1;
                rows.push(fresh);
            }
            Some(at) => tally.update(&mut rows[*at], &fresh),
        }
    }
    tally.gone = gone(&rows, streets);
    let findings = tally.findings();
    Ok(StreetsMerged {
        bytes: file(rows, members),
        added: tally.added,
        updated: tally.updated,
        unchanged: tally.unchanged,
        findings,
    })
}

/// The rows of a file, and what stands beside them.
type Rows = (Vec<Value>, Map<String, Value>);

fn read(bytes: &[u8]) -> Result<Rows, Vec<Finding>> {
    let mut ledger = Ledger::of(STREETS);
    let collection = features::collection(bytes, &mut ledger);
    if collection.kept.state == crate::FileState::Unreadable {
        return Err(ledger.close());
    }
    Ok((collection.features, collection.kept.members))
}

fn file(rows: Vec<Value>, members: Map<String, Value>) -> Vec<u8> {
    let mut all = Map::new();
    all.insert("type".to_owned(), json!("FeatureCollection"));
    all.extend(members);
    all.insert("features".to_owned(), Value::Array(rows));
    lay_out::object(&all, &["features"])
}

fn id_of(row: &Value) -> Option<String> {
    let stated = [
        row.get("id"),
        row.get("properties").and_then(|of| of.get("id")),
    ];
    let mut ids = stated.into_iter().flatten().filter_map(features::id_text);
    ids.next().map(|(id, _)| id)
}

/// A row as an import writes it, with its record.
fn fresh(street: &Street) -> Value {
    let mut row = write::street_row(street);
    let mut record = Map::new();
    for name in WRITTEN {
        if let Some(value) = row["properties"].get(name) {
            record.insert(name.to_owned(), value.clone());
        }
    }
    record.insert("line".to_owned(), json!(print_of(&row["geometry"])));
    row["properties"][RECORD] = Value::Object(record);
    row
}

/// A short print of a line, to tell whether it has been drawn anew.
fn print_of(geometry: &Value) -> String {
    let digest = Sha256::digest(geometry["coordinates"].to_string());
    digest[..8]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

#[derive(Default)]
struct Tally {
    added: usize,
    updated: usize,
    unchanged: usize,
    own: usize,
    changed_by_user: usize,
    gone: usize,
}

impl Tally {
    fn update(&mut self, row: &mut Value, fresh: &Value) {
        let Some(record) = row["properties"]
            .get(RECORD)
            .and_then(Value::as_object)
            .cloned()
        else {
            self.own += 1;
            return;
        };
        let before = row.clone();
        let is_as_written = |name: &&str| row["properties"].get(*name) == record.get(*name);
        let follows: Vec<&str> = WRITTEN.into_iter().filter(is_as_written).collect();
        self.changed_by_user += WRITTEN.len() - follows.len();
        let is_drawn_anew = record.get("line") != Some(&json!(print_of(&row["geometry"])));
        self.changed_by_user += usize::from(is_drawn_anew);
        if !is_drawn_anew {
            row["geometry"] = fresh["geometry"].clone();
        }
        follow(row, fresh, &follows);
        if *row == before {
            self.unchanged += 1;
        } else {
            self.updated += 1;
        }
    }

    fn findings(&self) -> Vec<Finding> {
        let mut findings = Vec::new();
        let mut note = |count: usize, code: &str, text: String, remedy: &str| {
            if count > 0 {
                findings.push(Finding::note(code, text, remedy).in_file(STREETS));
            }
        };
        note(
            self.own,
            codes::STREET_OWN,
            format!(
                "{} rows have the id of an imported street but are not from an import; they stay as they are.",
                self.own
            ),
            "Give them ids of their own if the imported streets are wanted beside them.",
        );
        note(
            self.changed_by_user,
            codes::STREET_CHANGED,
            format!(
                "{} properties or lines of imported streets were changed here and stay so.",
                self.changed_by_user
            ),
            "Remove the row and import again to have it as the map has it.",
        );
        note(
            self.gone,
            codes::STREET_GONE,
            format!(
                "{} streets of an earlier import are not in this extract; they stay.",
                self.gone
            ),
            "Remove them if no job names them.",
        );
        findings
    }
}

/// Lets these properties follow the extract, and the record with them.
fn follow(row: &mut Value, fresh: &Value, follows: &[&str]) {
    let Some(properties) = row["properties"].as_object_mut() else {
        return;
    };
    for name in follows {
        match fresh["properties"].get(*name) {
            Some(value) => {
                properties.insert((*name).to_owned(), value.clone());
            }
            None => {
                properties.shift_remove(*name);
            }
        }
    }
    properties.insert(RECORD.to_owned(), fresh["properties"][RECORD].clone());
}

fn gone(rows: &[Value], streets: &[Street]) -> usize {
    let there: HashSet<&str> = streets.iter().map(|street| street.id.as_str()).collect();
    let imported = rows
        .iter()
        .filter(|row| row["properties"].get(RECORD).is_some_and(Value::is_object));
    imported
        .filter_map(id_of)
        .filter(|id| !there.contains(id.as_str()))
        .count()
}
