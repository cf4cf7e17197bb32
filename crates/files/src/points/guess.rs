//! A first mapping for a foreign file, which the user looks at before anything is imported.

use std::collections::HashSet;

use serde_json::{Map, Value, json};

use super::mapping::PointMapping;
use super::table::{is_json, rows};
use crate::features::{collection, id_text};
use crate::ledger::Ledger;
use crate::tree;

const LON: &[&str] = &["lon", "lng", "long", "longitude", "x"];
const LAT: &[&str] = &["lat", "latitude", "y"];
const IDS: &[&str] = &[
    "id",
    "ref",
    "reference",
    "code",
    "uid",
    "uuid",
    "asset_id",
    "fid",
    "objectid",
];
const TITLES: &[&str] = &["name", "title", "label", "description", "address"];

/// How many points a column of ids is judged by.
const JUDGED: usize = 10_000;

/// A mapping that fits the file's columns by their names, for the user to correct.
///
/// A column serves as id only if its cells are filled and all different. What no column can tell
/// is a plain constant: an adjustment in a footway, 600 x 600 mm clear, priority 3.
///
/// # Source
/// Common practice, no source: every constant is a default to look at, never a fact of the file.
#[must_use]
pub fn guess_mapping(bytes: &[u8]) -> PointMapping {
    let sample = if is_json(bytes) {
        json_sample(bytes)
    } else {
        csv_sample(bytes)
    };
    let named = |wanted: &[&str]| {
        sample
            .columns
            .iter()
            .find(|column| is_one_of(column, wanted))
            .cloned()
    };
    let id = sample
        .columns
        .iter()
        .find(|column| is_one_of(column, IDS) && sample.tells_apart(column));
    PointMapping {
        id: id.cloned(),
        lon: named(LON).filter(|_| sample.is_csv),
        lat: named(LAT).filter(|_| sample.is_csv),
        title: named(TITLES),
        constants: constants(),
        ..PointMapping::default()
    }
}

fn constants() -> Map<String, Value> {
    let stated = [
        ("work", json!("adjust")),
        ("position", json!("footway")),
        ("clear_length_mm", json!(600)),
        ("clear_width_mm", json!(600)),
        ("sections", json!(0)),
        ("priority", json!(3)),
    ];
    stated
        .into_iter()
        .map(|(name, value)| (name.to_owned(), value))
        .collect()
}

fn is_one_of(column: &str, wanted: &[&str]) -> bool {
    wanted.iter().any(|name| column.eq_ignore_ascii_case(name))
}

#[derive(Default)]
struct Sample {
    is_csv: bool,
    columns: Vec<String>,
    rows: Vec<Map<String, Value>>,
}

impl Sample {
    fn tells_apart(&self, column: &str) -> bool {
        let mut seen = HashSet::new();
        let fresh = |row: &Map<String, Value>| {
            row.get(column)
                .and_then(id_text)
                .is_some_and(|(id, _)| seen.insert(id))
        };
        !self.rows.is_empty() && self.rows.iter().all(fresh)
    }
}

fn json_sample(bytes: &[u8]) -> Sample {
    let features = collection(bytes, &mut Ledger::of(super::FILE)).features;
    let mut sample = Sample::default();
    let mut met = HashSet::new();
    for feature in features.iter().take(JUDGED) {
        let mut row = feature
            .get("properties")
            .and_then(Value::as_object)
            .cloned()
            .unwrap_or_default();
        if let Some(id) = feature.get("id").filter(|_| !row.contains_key("id")) {
            row.insert("id".to_owned(), id.clone());
        }
        let fresh: Vec<String> = row
            .keys()
            .filter(|name| !met.contains(*name))
            .cloned()
            .collect();
        met.extend(fresh.iter().cloned());
        sample.columns.extend(fresh);
        sample.rows.push(row);
    }
    sample
}

fn csv_sample(bytes: &[u8]) -> Sample {
    let text = tree::text_of(bytes).unwrap_or_default();
    let (mut reader, columns) = rows(text);
    let records = reader.records().take(JUDGED).filter_map(Result::ok);
    let row = |record: csv::StringRecord| {
        let cells = columns.iter().zip(record.iter());
        cells
            .map(|(name, cell)| (name.clone(), json!(cell)))
            .collect()
    };
    Sample {
        is_csv: true,
        rows: records.map(row).collect(),
        columns: columns.clone(),
    }
}
