//! The files of edits in the history: whole, or by what an edit changes of them.
//!
//! Of a file that no layer of a GIS holds, such as the plan, little differs from edit to edit; its words are
//! what they were when the last edit was made, so that either side of an edit is had from the other. Now and
//! then the whole is kept too, so that what can't be read of the history spoils no more of it than need be.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Read as _, Write as _};

use flate2::Compression;
use flate2::read::DeflateDecoder;
use flate2::write::DeflateEncoder;
use rusqlite::types::Type;
use rusqlite::{Connection, Error, OptionalExtension as _};

use super::contents::layers_of;
use super::lines::Difference;
use crate::change::FileChange;

type Outcome<T> = rusqlite::Result<T>;

/// Files as they are on one side of an edit, by name.
pub(crate) type Known = BTreeMap<String, Vec<u8>>;

/// After so many edits of a file the whole of it is kept again.
const WHOLE_AFTER: i64 = 64;

const COLUMNS: &str = "seq, name, before, after, lines";

/// The same of a table that may be of an earlier version, as where a damaged file is only read.
fn columns(db: &Connection) -> Outcome<&'static str> {
    let asked =
        "SELECT count(*) FROM pragma_table_info('gangday_history_files') WHERE name = 'lines'";
    let there: i64 = db.query_row(asked, [], |row| row.get(0))?;
    let older = "seq, name, before, after, NULL";
    Ok(if there > 0 { COLUMNS } else { older })
}

/// One file of one edit as the history holds it.
struct Row {
    seq: i64,
    name: String,
    before: Option<Vec<u8>>,
    after: Option<Vec<u8>>,
    lines: Option<Vec<u8>>,
}

/// Writes one file of an edit into the history.
pub(crate) fn write(db: &Connection, seq: i64, file: &FileChange) -> Outcome<()> {
    let difference = difference(file);
    let whole = match difference {
        Some(_) => (false, is_due(db, &file.name)?),
        None => (true, true),
    };
    let side = |wanted: bool, text: &Option<Vec<u8>>| {
        let text = text.as_deref().filter(|_| wanted);
        text.map(small)
    };
    let row = Row {
        seq,
        name: file.name.clone(),
        before: side(whole.0, &file.before),
        after: side(whole.1, &file.after),
        lines: difference.map(|lines| small(&lines.to_bytes())),
    };
    row.insert(db)
}

/// What differs, where that is little.
fn difference(file: &FileChange) -> Option<Difference> {
    let both = file.before.as_deref().zip(file.after.as_deref());
    let (before, after) = both.filter(|_| layers_of(&file.name).is_empty())?;
    let difference = Difference::between(before, after);
    (2 * difference.size() < before.len() + after.len()).then_some(difference)
}

/// Whether the whole of a file was last kept long ago.
fn is_due(db: &Connection, name: &str) -> Outcome<bool> {
    let asked = "SELECT count(*) FROM gangday_history_files WHERE name = ?1 AND seq >
         (SELECT ifnull(max(seq), -1) FROM gangday_history_files WHERE name = ?1 AND after IS NOT NULL)";
    let since: i64 = db.query_row(asked, [name], |row| row.get(0))?;
    Ok(since >= WHOLE_AFTER)
}

/// The files of an edit; `known` tells some as they are on either side of it.
pub(crate) fn files(db: &Connection, seq: i64, known: &Known) -> Outcome<Vec<FileChange>> {
    let sql = format!("SELECT {COLUMNS} FROM gangday_history_files WHERE seq = ?1 ORDER BY rowid");
    let mut asked = db.prepare(&sql)?;
    let rows: Vec<Row> = asked.query_map([seq], Row::of)?.collect::<Outcome<_>>()?;
    rows.into_iter().map(|row| row.change(db, known)).collect()
}

impl Row {
    fn of(row: &rusqlite::Row<'_>) -> Outcome<Self> {
        Ok(Self {
            seq: row.get(0)?,
            name: row.get(1)?,
            before: row.get(2)?,
            after: row.get(3)?,
            lines: row.get(4)?,
        })
    }

    fn insert(&self, db: &Connection) -> Outcome<()> {
        let sql =
            format!("INSERT INTO gangday_history_files ({COLUMNS}) VALUES (?1, ?2, ?3, ?4, ?5)");
        let cells = (self.seq, &self.name, &self.before, &self.after, &self.lines);
        db.execute(&sql, cells).map(drop)
    }

    fn difference(&self) -> Option<Difference> {
        Difference::from_bytes(&large(self.lines.as_deref()?))
    }

    fn change(self, db: &Connection, known: &Known) -> Outcome<FileChange> {
        let whole = |text: &Option<Vec<u8>>| text.as_deref().map(large);
        let (before, after) = (whole(&self.before), whole(&self.after));
        if self.lines.is_none() {
            return Ok(FileChange {
                name: self.name,
                before,
                after,
            });
        }
        let (before, after) = self.sides(db, [before, after], known)?;
        Ok(FileChange {
            name: self.name,
            before: Some(before),
            after: Some(after),
        })
    }

    /// The file before and after, from what is the whole of it on either side: kept with the edit, known, as
    /// it is now, or had from the edits before and after.
    fn sides(
        &self,
        db: &Connection,
        kept: [Option<Vec<u8>>; 2],
        known: &Known,
    ) -> Outcome<(Vec<u8>, Vec<u8>)> {
        let difference = self.difference().ok_or_else(|| lost(&self.name))?;
        let both = |text: Vec<u8>| match difference.back(&text) {
            Some(before) => Some((before, text)),
            None => difference.on(&text).map(|after| (text, after)),
        };
        let near = kept.into_iter().flatten();
        let near = near.chain(known.get(&self.name).cloned());
        if let Some(sides) = near.filter_map(both).next() {
            return Ok(sides);
        }
        let now = now(db, &self.name)?;
        if let Some(sides) = now.and_then(both) {
            return Ok(sides);
        }
        for is_later in [true, false] {
            if let Some(sides) = self.by_others(db, is_later)?.and_then(both) {
                return Ok(sides);
            }
        }
        Err(lost(&self.name))
    }

    /// What the edits after this one, or before it, say that the file was between them and this one.
    fn by_others(&self, db: &Connection, is_later: bool) -> Outcome<Option<Vec<u8>>> {
        let way = if is_later {
            "seq > ?2 ORDER BY seq"
        } else {
            "seq < ?2 ORDER BY seq DESC"
        };
        let sql = format!("SELECT {COLUMNS} FROM gangday_history_files WHERE name = ?1 AND {way}");
        let mut asked = db.prepare(&sql)?;
        let mut rows = asked.query((&self.name, self.seq))?;
        let mut between: Vec<Difference> = Vec::new();
        let led = |between: &[Difference], text: &[u8]| {
            let mut steps = between.iter().rev();
            steps.try_fold(large(text), |text, step| match is_later {
                true => step.back(&text),
                false => step.on(&text),
            })
        };
        while let Some(row) = rows.next()? {
            let row = Self::of(row)?;
            let step = row.difference();
            let (near, far) = match is_later {
                true => (row.before, row.after),
                false => (row.after, row.before),
            };
            if let Some(text) = near {
                return Ok(led(&between, &text));
            }
            let Some(step) = step else { return Ok(None) };
            between.push(step);
            if let Some(text) = far {
                return Ok(led(&between, &text));
            }
        }
        Ok(None)
    }
}

/// The words of a file as they are now.
fn now(db: &Connection, name: &str) -> Outcome<Option<Vec<u8>>> {
    let asked = "SELECT bytes FROM gangday_files WHERE name = ?1";
    let bytes: Option<Option<Vec<u8>>> =
        db.query_row(asked, [name], |row| row.get(0)).optional()?;
    Ok(bytes.flatten())
}

fn lost(name: &str) -> Error {
    let text = format!("{name} as it was then can't be put together any more");
    Error::FromSqlConversionFailure(4, Type::Blob, text.into())
}

/// Copies the files of one edit into the history of another programme file.
pub(crate) fn copy(
    (from, seq): (&Connection, i64),
    (to, under): (&Connection, i64),
) -> Outcome<()> {
    let columns = columns(from)?;
    let sql = format!("SELECT {columns} FROM gangday_history_files WHERE seq = ?1 ORDER BY rowid");
    let mut asked = from.prepare(&sql)?;
    for row in asked.query_map([seq], Row::of)? {
        Row { seq: under, ..row? }.insert(to)?;
    }
    Ok(())
}

/// The number of an edit in one file, and in the other.
pub(crate) type Numbers = (i64, i64);

/// Keeps the whole of each file as it is now with the edit next to now, `done` or not yet, so that the history
/// holds by itself, whatever becomes of the file.
pub(crate) fn anchor(
    from: &Connection,
    to: &Connection,
    (done, undone): (&[Numbers], &[Numbers]),
) -> Outcome<()> {
    let mut told = BTreeSet::new();
    let columns = columns(from)?;
    let back = done.iter().rev().map(|edit| (edit, true));
    for ((seq, under), is_done) in back.chain(undone.iter().map(|edit| (edit, false))) {
        let sql = format!("SELECT {columns} FROM gangday_history_files WHERE seq = ?1");
        let mut asked = from.prepare_cached(&sql)?;
        for row in asked.query_map([seq], Row::of)? {
            let row = row?;
            let name = row.name.clone();
            if !told.insert(name.clone()) || row.lines.is_none() {
                continue;
            }
            // What can't be put together there can't be here.
            let Ok(change) = row.change(from, &Known::new()) else {
                continue;
            };
            let (column, text) = match is_done {
                true => ("after", change.after),
                false => ("before", change.before),
            };
            let sql = format!(
                "UPDATE gangday_history_files SET {column} = ?3 WHERE seq = ?1 AND name = ?2"
            );
            to.execute(&sql, (under, name, text.as_deref().map(small)))?;
        }
    }
    Ok(())
}

pub(crate) fn small(bytes: &[u8]) -> Vec<u8> {
    let mut out = DeflateEncoder::new(Vec::new(), Compression::fast());
    // Writing to memory does not fail.
    let _ = out.write_all(bytes);
    out.finish().unwrap_or_default()
}

/// More than an edit ever is: what claims to be is cut off.
const MOST: u64 = 1 << 31;

pub(crate) fn large(bytes: &[u8]) -> Vec<u8> {
    let mut out = Vec::new();
    // What can't be unpacked any more comes back as far as it goes.
    let _ = DeflateDecoder::new(bytes).take(MOST).read_to_end(&mut out);
    out
}
