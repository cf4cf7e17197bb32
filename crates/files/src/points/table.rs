//! The points of a foreign file, GeoJSON or CSV, in one shape.

use std::collections::{BTreeSet, HashSet};

use gangday_model::Finding;
use serde_json::{Map, Value};

use super::mapping::{PointMapping, no_column};
use crate::codes::{self, JOB};
use crate::features::{self, collection, id_text};
use crate::ledger::Ledger;
use crate::tree;
use crate::words::shorten;

/// One point of a foreign file.
pub(super) struct ForeignPoint {
    pub(super) line: Option<u32>,
    pub(super) properties: Map<String, Value>,
    pub(super) pair: Result<([f64; 2], bool), Box<Finding>>,
    feature_id: Option<(String, bool)>,
}

impl ForeignPoint {
    /// The id that the file gives it, and whether it is a number.
    pub(super) fn id(&self, mapping: &PointMapping) -> Option<(String, bool)> {
        let column = mapping.id.as_deref()?;
        let outer = self.feature_id.clone().filter(|_| column == "id");
        outer.or_else(|| self.properties.get(column).and_then(id_text))
    }
}

/// All points of a foreign file and the names of its columns.
#[derive(Default)]
pub(super) struct Table {
    pub(super) points: Vec<ForeignPoint>,
    pub(super) columns: HashSet<String>,
    /// Members of the file and its features that have no place in a job.
    pub(super) dropped: BTreeSet<String>,
}

/// Reads a foreign file; what can't be read is in the ledger.
pub(super) fn read(bytes: &[u8], mapping: &PointMapping, ledger: &mut Ledger) -> Table {
    if is_json(bytes) {
        geojson(bytes, mapping, ledger)
    } else {
        csv(bytes, mapping, ledger)
    }
}

/// Whether the first character that is no space opens an object or a list.
pub(crate) fn is_json(bytes: &[u8]) -> bool {
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    matches!(bytes.trim_ascii_start().first(), Some(b'{' | b'['))
}

fn geojson(bytes: &[u8], mapping: &PointMapping, ledger: &mut Ledger) -> Table {
    let collection = collection(bytes, ledger);
    let mut table = Table {
        dropped: collection.kept.members.keys().cloned().collect(),
        ..Table::default()
    };
    let id_is_used = mapping.id.as_deref() == Some("id");
    for (index, value) in collection.features.iter().enumerate() {
        let feature = match features::feature(value) {
            Ok(feature) => feature,
            Err(finding) => {
                ledger.enter_at(index, finding.at(features::label(None, index)));
                continue;
            }
        };
        let feature_id = value.get("id").and_then(id_text);
        if feature_id.is_some() {
            table.columns.insert("id".to_owned());
        }
        for name in feature
            .properties
            .keys()
            .filter(|name| !table.columns.contains(*name))
            .cloned()
            .collect::<Vec<_>>()
        {
            table.columns.insert(name);
        }
        for name in feature.beside.keys() {
            table.dropped.insert(name.clone());
        }
        let mut properties = feature.properties.clone();
        if let Some(id) = value.get("id").filter(|_| !id_is_used) {
            properties
                .entry("id".to_owned())
                .or_insert_with(|| id.clone());
        }
        table.points.push(ForeignPoint {
            line: None,
            properties,
            pair: feature.point(&JOB),
            feature_id,
        });
    }
    table
}

/// The mark that separates the cells of these rows: the commonest in the first line.
pub(crate) fn delimiter(text: &str) -> u8 {
    let first = text.lines().next().unwrap_or_default();
    // What stands between quotes is a name and no separator.
    let outside: String = first.split('"').step_by(2).collect();
    let count = |mark: &u8| outside.bytes().filter(|byte| byte == mark).count();
    let marks = [b'\t', b';', b','].into_iter();
    marks.max_by_key(count).unwrap_or(b',')
}

/// A reader of rows, and the names of its columns.
pub(crate) fn rows(text: &str) -> (csv::Reader<&[u8]>, Vec<String>) {
    let mut rows = csv::ReaderBuilder::new()
        .delimiter(delimiter(text))
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let header = rows
        .headers()
        .map(|header| header.iter().map(str::to_owned).collect());
    (rows, header.unwrap_or_default())
}

fn csv(bytes: &[u8], mapping: &PointMapping, ledger: &mut Ledger) -> Table {
    let text = match tree::text_of(bytes) {
        Ok(text) => text,
        Err(finding) => {
            ledger.enter(*finding);
            return Table::default();
        }
    };
    let (mut rows, header) = rows(text);
    if header.iter().all(String::is_empty) {
        let remedy = "Put the names of the columns into the first line.";
        ledger.enter(Finding::fault(
            codes::EMPTY,
            "The file has no columns.",
            remedy,
        ));
        return Table::default();
    }
    let columns = distinct(&header, ledger);
    let Some(places) = place_columns(&header, &columns, mapping, ledger) else {
        return Table::default();
    };
    let mut points = Vec::new();
    for record in rows.records() {
        match record
            .map_err(|error| bad_row(&error))
            .and_then(|record| point(&record, &header, places))
        {
            Ok(point) => points.push(point),
            Err(finding) => ledger.enter_at(points.len(), *finding),
        }
    }
    Table {
        points,
        columns,
        dropped: BTreeSet::new(),
    }
}

/// The names of the columns, with a warning for each that another column has as well.
fn distinct(header: &[String], ledger: &mut Ledger) -> HashSet<String> {
    let mut columns = HashSet::new();
    for name in header {
        if !columns.insert(name.clone()) {
            let name = shorten(name);
            let text = format!("Two columns are called `{name}`; the later one counts.");
            let remedy = "Rename one of the two in the first line.";
            ledger.enter(Finding::warning(codes::TWICE, text, remedy).of(name));
        }
    }
    columns
}

/// Where longitude and latitude stand in a row.
fn place_columns(
    header: &[String],
    columns: &HashSet<String>,
    mapping: &PointMapping,
    ledger: &mut Ledger,
) -> Option<(usize, usize)> {
    let mut find = |name: &Option<String>, what: &str| match name {
        None => {
            let text = format!("The mapping names no column of {what}.");
            let remedy = format!("Name the column of {what} in degrees as `{}`.", &what[..3]);
            ledger.enter(Finding::fault(codes::COLUMN, text, remedy).of(&what[..3]));
            None
        }
        Some(name) => {
            let at = header.iter().rposition(|column| column == name);
            if at.is_none() {
                ledger.enter(no_column(name, columns));
            }
            at
        }
    };
    let (lon, lat) = (
        find(&mapping.lon, "longitudes"),
        find(&mapping.lat, "latitudes"),
    );
    lon.zip(lat)
}

fn point(
    record: &csv::StringRecord,
    header: &[String],
    (lon, lat): (usize, usize),
) -> Result<ForeignPoint, Box<Finding>> {
    let line = record.position().map_or(0, csv::Position::line);
    let line = u32::try_from(line).unwrap_or(u32::MAX);
    if record.len() != header.len() {
        let text = format!(
            "The row has {} cells; the first line has {}.",
            record.len(),
            header.len()
        );
        let remedy = "Put text that holds the separator between double quotes.";
        return Err(Box::new(
            Finding::fault(codes::CSV, text, remedy).on_line(line, 1),
        ));
    }
    let pair = degrees(&record[lon], &header[lon])
        .and_then(|lon| degrees(&record[lat], &header[lat]).map(|lat| ([lon, lat], false)));
    let cells = header.iter().zip(record.iter());
    let properties = cells
        .map(|(name, cell)| (name.clone(), Value::String(cell.to_owned())))
        .collect();
    Ok(ForeignPoint {
        line: Some(line),
        properties,
        pair,
        feature_id: None,
    })
}

fn degrees(cell: &str, column: &str) -> Result<f64, Box<Finding>> {
    let number = cell.parse::<f64>().ok().filter(|number| number.is_finite());
    number.ok_or_else(|| {
        let text = format!(
            "`{column}` is \"{}\", not a number of degrees.",
            shorten(cell)
        );
        let remedy = if cell.contains(',') {
            "Write a full stop for the decimal comma."
        } else {
            "Write decimal degrees, as in -1.5491."
        };
        Box::new(Finding::fault(JOB.geometry, text, remedy).of(column))
    })
}

fn bad_row(error: &csv::Error) -> Box<Finding> {
    let line = error.position().map_or(1, csv::Position::line);
    let text = format!("The row can't be read: {error}.");
    let finding = Finding::fault(codes::CSV, text, "Correct the row.");
    Box::new(finding.on_line(u32::try_from(line).unwrap_or(u32::MAX), 1))
}
