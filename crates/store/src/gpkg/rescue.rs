//! A damaged programme file, opened as far as it can be, into a copy.
//!
//! The damaged file is only read. Rows are asked for one after the other; where a page of the
//! database can't be read, the next row behind it is looked for. The words of a file, where they
//! are whole, stand in for rows that are gone; the index of ids names those that are lost for good.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use gangday_model::Finding;
use rusqlite::Connection;
use serde_json::Value;

use super::contents::{apart, layers_of, together};
use super::layers::{LAYERS, Layer};
use super::tables::RowReader;
use super::{ProgrammeFile, attached, connect, history, schema};
use crate::codes;
use crate::error::StoreError;

/// What came out of a damaged programme file.
#[derive(Debug)]
pub struct Rescued {
    /// The copy, sound and claimed.
    pub file: ProgrammeFile,
    /// What was lost, each in words; a note where nothing was.
    pub lost: Vec<Finding>,
}

/// Opens what can be read of a damaged programme file into a copy beside it.
///
/// # Errors
/// Nothing of it can be read, it is from a newer Gangday, or the copy can't be written.
pub fn rescue(path: &Path) -> Result<Rescued, StoreError> {
    let db = connect::open_damaged(path)?;
    match connect::version(&db, path) {
        Ok(version) if version > schema::VERSION => {
            let path = path.to_owned();
            return Err(StoreError::Newer {
                path,
                version,
                known: schema::VERSION,
            });
        }
        Err(error @ StoreError::NotAProgramme { .. }) => return Err(error),
        // A version that can't be read is taken for the present one.
        Ok(_) | Err(_) => {}
    }
    let mut found = Salvage::of(&db);
    if found.files.is_empty() {
        let what = "none of its files can be read any more".to_owned();
        return Err(StoreError::Damaged {
            path: path.to_owned(),
            what,
        });
    }
    let copy = free_name(path);
    let files: Vec<(&str, Vec<u8>)> = found
        .files
        .iter()
        .map(|(name, bytes)| (name.as_str(), bytes.clone()))
        .collect();
    let file = ProgrammeFile::create(&copy, &files, &[], None)?;
    if file
        .db
        .unchecked_transaction()
        .and_then(|all| history::copy(&db, &all).and_then(|()| all.commit()))
        .is_err()
    {
        let text = "The history of edits can't be read; undo begins anew in the copy.";
        found
            .lost
            .push(Finding::warning(codes::LOST, text, "Go on in the copy."));
    }
    match attached::copy_readable(&db, &file.db) {
        Ok(0) => {}
        Ok(_) | Err(_) => {
            let text = "Not every picture of the jobs can be read.";
            let remedy = "Attach those again that a job names and that are not there.";
            found.lost.push(Finding::warning(codes::LOST, text, remedy));
        }
    }
    found
        .lost
        .insert(0, told(path, &copy, found.lost.is_empty()));
    Ok(Rescued {
        file,
        lost: found.lost,
    })
}

fn told(path: &Path, copy: &Path, nothing: bool) -> Finding {
    let name = |path: &Path| {
        path.file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned()
    };
    let lost = if nothing {
        "nothing that it held is known to be lost"
    } else {
        "what could not be read is listed"
    };
    let text = format!(
        "{} is damaged. What can be read of it is open as {}; {lost}.",
        name(path),
        name(copy)
    );
    let remedy = "Compare it with a backup before going on; the damaged file is as it was.";
    Finding::warning(codes::DAMAGED, text, remedy).in_file(name(path))
}

/// `week (rescued).gpkg`, or the first number that is free.
fn free_name(path: &Path) -> PathBuf {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    let name = |at: usize| match at {
        0 => format!("{stem} (rescued).gpkg"),
        at => format!("{stem} (rescued {}).gpkg", at + 1),
    };
    let mut tried = (0..).map(|at| path.with_file_name(name(at)));
    tried
        .find(|path| !path.exists())
        .unwrap_or_else(|| path.with_file_name(name(0)))
}

/// What can be read, and what can't.
struct Salvage {
    files: BTreeMap<String, Vec<u8>>,
    lost: Vec<Finding>,
}

/// One table, as far as it can be read.
struct Found {
    rows: Vec<(String, String, Value)>,
    whole: bool,
    /// The ids that the index holds and the table no longer gives.
    missing: BTreeSet<String>,
}

impl Salvage {
    fn of(db: &Connection) -> Self {
        let mut salvage = Self {
            files: BTreeMap::new(),
            lost: Vec::new(),
        };
        let tables: Vec<(&Layer, Found)> = LAYERS
            .iter()
            .map(|layer| (*layer, rows_of(db, layer)))
            .collect();
        let (known, whole) = kept_files(db);
        for name in crate::FILES {
            let kept = known.get(name);
            if let Some(Kept {
                bytes: Some(bytes), ..
            }) = kept
            {
                salvage.files.insert(name.to_owned(), bytes.clone());
                continue;
            }
            salvage.compose(name, kept, &tables);
        }
        if !whole {
            let text =
                "The list of its files can't be read whole: one that is kept as it is may be gone.";
            salvage.lost.push(Finding::warning(
                codes::LOST,
                text,
                "Look whether the plan, the backdrop and the roads are there.",
            ));
        }
        salvage
    }

    /// A file whose words are gone or no longer hold, from the rows of its layers.
    fn compose(&mut self, name: &str, kept: Option<&Kept>, tables: &[(&Layer, Found)]) {
        let own: Vec<&(&Layer, Found)> = tables
            .iter()
            .filter(|(layer, _)| layers_of(name).iter().any(|own| own.table == layer.table))
            .collect();
        let mine = |file: &str| file.is_empty() || file == name;
        let any = own
            .iter()
            .any(|(_, found)| found.rows.iter().any(|(file, _, _)| mine(file)));
        if kept.is_none() && !any {
            return;
        }
        let head = kept
            .and_then(|kept| kept.head.clone())
            .unwrap_or_else(|| usual_head(name));
        let rows = |list: &str| {
            let all = own.iter().flat_map(|(_, found)| &found.rows);
            all.filter(|(file, own, _)| mine(file) && own == list)
                .map(|(_, _, row)| row.clone())
                .collect()
        };
        if layers_of(name).is_empty() {
            self.lost
                .push(lost(name, "It can't be read any more.".to_owned()));
            return;
        }
        let bytes = together(&head, &rows, name == "week.json");
        self.files.insert(name.to_owned(), bytes);
        for (layer, found) in own {
            self.lost.extend(told_of(name, layer, found));
        }
    }
}

fn told_of(name: &str, layer: &Layer, found: &Found) -> Option<Finding> {
    let read = found.rows.len();
    let title = layer.title.to_lowercase();
    if !found.missing.is_empty() {
        let ids: Vec<&str> = found.missing.iter().map(String::as_str).collect();
        return Some(lost(
            name,
            format!(
                "{} of the {title} can't be read: {}.",
                ids.len(),
                ids.join(", ")
            ),
        ));
    }
    (!found.whole).then(|| lost(name, format!("The {title} can't be read whole: {read} could be, and how many are gone is not known.")))
}

fn lost(name: &str, text: String) -> Finding {
    Finding::fault(
        codes::LOST,
        text,
        "Take it over from a backup, or enter it again.",
    )
    .in_file(name)
}

fn usual_head(name: &str) -> Value {
    let empty = match name {
        "gangs.json" => r#"{"gangs":[],"tips":[]}"#,
        "method.json" | "materials.json" => r#"{"parameters":[]}"#,
        "week.json" => return Value::Null,
        _ => r#"{"type":"FeatureCollection","features":[]}"#,
    };
    apart(name, empty.as_bytes()).map_or(Value::Null, |apart| apart.head)
}

/// A file's words and head, as far as they can be read.
#[derive(Default)]
struct Kept {
    bytes: Option<Vec<u8>>,
    head: Option<Value>,
}

fn kept_files(db: &Connection) -> (BTreeMap<String, Kept>, bool) {
    let mut known = BTreeMap::new();
    let mut take = |row: &rusqlite::Row<'_>| {
        let name: String = row.get(1)?;
        known.insert(name, Kept::default());
        Ok(())
    };
    let whole = scan(db, "gangday_files", "rowid", "name", &mut take);
    for (name, kept) in &mut known {
        // Each by itself: a blob that spans a bad page hides no other.
        let one = |column: &str| format!("SELECT {column} FROM gangday_files WHERE name = ?1");
        kept.bytes = db
            .query_row(&one("bytes"), [name], |row| row.get(0))
            .unwrap_or_default();
        let head: Option<String> = db
            .query_row(&one("head"), [name], |row| row.get(0))
            .unwrap_or_default();
        kept.head = head.and_then(|head| serde_json::from_str(&head).ok());
    }
    (known, whole)
}

fn rows_of(db: &Connection, layer: &Layer) -> Found {
    let mut found = Found {
        rows: Vec::new(),
        whole: false,
        missing: BTreeSet::new(),
    };
    let Ok(reader) = RowReader::of(db, layer) else {
        return found;
    };
    let mut ids = BTreeSet::new();
    let mut torn = false;
    let mut take = |row: &rusqlite::Row<'_>| {
        if is_torn(row) {
            torn = true;
            return Ok(());
        }
        if layer.shape.is_some() {
            ids.extend(row.get::<_, Option<String>>(2).unwrap_or_default());
        }
        let file = if layer.shared {
            row.get(1)?
        } else {
            String::new()
        };
        let (list, value) = reader.read_from(row, 1)?;
        found.rows.push((file, list, value));
        Ok(())
    };
    found.whole = scan(db, layer.table, "fid", &reader.columns(), &mut take);
    found.whole &= !torn;
    if layer.shape.is_some() && !found.whole {
        found.missing = indexed(db, layer).difference(&ids).cloned().collect();
    }
    found
}

/// Whether a row lies where a page ends in zeros, as it does in a file that is cut short: it says
/// nothing, or its texts hold zeros.
fn is_torn(row: &rusqlite::Row<'_>) -> bool {
    use rusqlite::types::ValueRef;
    let cells = || (1..row.as_ref().column_count()).map(|at| row.get_ref(at));
    let says_nothing = cells().all(|cell| matches!(cell, Ok(ValueRef::Null)));
    says_nothing
        || cells().any(|cell| matches!(cell, Ok(ValueRef::Text(text)) if text.contains(&0)))
}

/// The ids that the index of a layer holds.
fn indexed(db: &Connection, layer: &Layer) -> BTreeSet<String> {
    let table = layer.table;
    let sql =
        format!("SELECT id FROM \"{table}\" INDEXED BY gangday_{table}_id WHERE id IS NOT NULL");
    let mut all: BTreeSet<String> = BTreeSet::new();
    let Ok(mut asked) = db.prepare(&sql) else {
        return all;
    };
    let Ok(mut rows) = asked.query([]) else {
        return all;
    };
    while let Ok(Some(row)) = rows.next() {
        let Ok(id) = row.get::<_, String>(0) else {
            continue;
        };
        // In a sound index ids only grow; damage may lead back.
        if all.last().is_some_and(|last| *last > id) {
            break;
        }
        all.insert(id);
    }
    all
}

type Take<'a> = dyn FnMut(&rusqlite::Row<'_>) -> rusqlite::Result<()> + 'a;

/// Goes through a table by its key, past whatever can't be read; says whether all could be.
fn scan(db: &Connection, table: &str, key: &str, columns: &str, take: &mut Take<'_>) -> bool {
    let from = format!("SELECT {key}, {columns} FROM \"{table}\" WHERE {key} >= ?1 ORDER BY {key}");
    let mut at = 0;
    let mut whole = true;
    loop {
        match run(db, &from, &mut at, take) {
            Ok(()) => return whole,
            Err(_) => whole = false,
        }
        match next_readable(db, table, key, at) {
            Some(next) => at = next,
            None => return false,
        }
    }
}

/// From the row of this key on, until the end or a row that can't be read; `at` is then its key, or
/// one less. A key that comes again, where damage leads back, is one that can't be read: whoever
/// followed it would go round for ever.
fn run(db: &Connection, from: &str, at: &mut i64, take: &mut Take<'_>) -> rusqlite::Result<()> {
    let mut asked = db.prepare(from)?;
    let mut rows = asked.query([*at])?;
    while let Some(row) = rows.next()? {
        let key: i64 = row.get(0)?;
        if key < *at {
            return Err(rusqlite::Error::IntegralValueOutOfRange(0, key));
        }
        *at = key.saturating_add(1);
        take(row)?;
    }
    Ok(())
}

/// The first key from which on a row can be found again.
fn next_readable(db: &Connection, table: &str, key: &str, from: i64) -> Option<i64> {
    let sql = format!(
        "SELECT {key} FROM \"{table}\" NOT INDEXED WHERE {key} >= ?1 ORDER BY {key} LIMIT 1"
    );
    let ask = |at: i64| -> Result<Option<i64>, ()> {
        let found: Result<i64, _> = db.query_row(&sql, [at], |row| row.get(0));
        match found {
            Ok(key) if key < at => Err(()),
            Ok(key) => Ok(Some(key)),
            Err(rusqlite::Error::QueryReturnedNoRows) => Ok(None),
            Err(_) => Err(()),
        }
    };
    let mut step = 1;
    let mut beyond = loop {
        if let Ok(found) = ask(from.checked_add(step)?) {
            break found.unwrap_or(from + step);
        }
        step = step.checked_mul(2)?;
    };
    let mut before = from;
    while beyond - before > 1 {
        let middle = before + (beyond - before) / 2;
        match ask(middle) {
            Ok(Some(found)) if found < beyond => beyond = found,
            Ok(_) => beyond = middle,
            Err(()) => before = middle,
        }
    }
    ask(beyond).ok().flatten()
}
