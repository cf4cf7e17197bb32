//! Edits in the tables, and the history of them.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::types::{Type, Value as Sql};
use rusqlite::{Connection, OptionalExtension as _, params_from_iter};

use super::layers::Layer;
use super::logged::{self, Known, large, small};
use super::rows::{Whose, split};
use super::tables::{credit_again, feature_layer, insert_sql, remove_file, widen, write_file};
use crate::change::{Change, FeatureChange, FileChange, Placed};
use crate::past::PastEdit;

type Outcome<T> = rusqlite::Result<T>;

/// Which row each feature had that an edit added or took out, so that it comes back to its place.
pub(crate) type Places = BTreeMap<String, i64>;

/// Does what an edit says.
pub(crate) fn apply(db: &Connection, change: &Change, places: &mut Places) -> Outcome<()> {
    // Looked up before anything is done, so that two features can change ids with each other.
    let rows: Vec<Option<i64>> = change
        .features
        .iter()
        .map(|one| row_of(db, one))
        .collect::<Outcome<_>>()?;
    for (one, row) in change.features.iter().zip(rows) {
        feature(db, one, row, places)?;
    }
    for file in credited(change) {
        credit_again(db, file)?;
    }
    for file in &change.files {
        match &file.after {
            Some(bytes) => write_file(db, &file.name, bytes)?,
            None => remove_file(db, &file.name)?,
        }
    }
    Ok(())
}

/// The files of which a feature is changed that names, or named, whom it is from.
fn credited(change: &Change) -> BTreeSet<&str> {
    let names = |placed: &Placed| placed.feature["properties"]["attribution"].is_string();
    let any = |one: &&FeatureChange| one.before.iter().chain(&one.after).any(names);
    let own = change.features.iter().filter(any);
    own.map(|one| one.file.as_str()).collect()
}

fn row_of(db: &Connection, one: &FeatureChange) -> Outcome<Option<i64>> {
    let (Some(layer), Some(before)) = (feature_layer(&one.file), &one.before) else {
        return Ok(None);
    };
    let sql = format!(
        "SELECT fid FROM \"{}\" WHERE id = ?1 ORDER BY fid LIMIT 1",
        layer.table
    );
    db.query_row(&sql, [&before.id], |row| row.get(0))
        .optional()
}

fn feature(
    db: &Connection,
    one: &FeatureChange,
    row: Option<i64>,
    places: &mut Places,
) -> Outcome<()> {
    let Some(layer) = feature_layer(&one.file) else {
        return Ok(());
    };
    begin(db, &one.file)?;
    let Some(after) = &one.after else {
        if let (Some(row), Some(before)) = (row, &one.before) {
            places.insert(before.id.clone(), row);
            db.execute(
                &format!("DELETE FROM \"{}\" WHERE fid = ?1", layer.table),
                [row],
            )?;
        }
        return Ok(());
    };
    let whose = Whose {
        file: &one.file,
        list: "features",
    };
    let cells = split(&after.feature, layer, &whose);
    widen(db, layer, &cells[0])?;
    if let Some(row) = row {
        return update(db, layer, row, cells);
    }
    let place = places
        .get(&after.id)
        .map_or(Sql::Null, |place| Sql::Integer(*place));
    let mut asked = db.prepare_cached(&insert_sql(layer))?;
    asked.execute(params_from_iter(std::iter::once(place).chain(cells)))?;
    places.insert(after.id.clone(), db.last_insert_rowid());
    Ok(())
}

/// A file that is not there yet begins with nothing but its features.
fn begin(db: &Connection, file: &str) -> Outcome<()> {
    db.execute(
        "INSERT INTO gangday_files (name, bytes, head) VALUES (?1, NULL,
         '{\"lists\":[\"features\"],\"members\":{\"type\":\"FeatureCollection\",\"features\":null}}')
         ON CONFLICT (name) DO NOTHING",
        [file],
    )?;
    Ok(())
}

fn update(db: &Connection, layer: &Layer, row: i64, cells: Vec<Sql>) -> Outcome<()> {
    let names: Vec<String> = layer
        .all()
        .iter()
        .map(|(name, _)| format!("\"{name}\" = ?"))
        .collect();
    let sql = format!(
        "UPDATE \"{}\" SET {} WHERE fid = ?",
        layer.table,
        names.join(", ")
    );
    let mut asked = db.prepare_cached(&sql)?;
    asked.execute(params_from_iter(
        cells.into_iter().chain([Sql::Integer(row)]),
    ))?;
    Ok(())
}

/// Does an edit and writes it into the history; what was undone is forgotten.
pub(crate) fn record(db: &Connection, change: &Change) -> Outcome<()> {
    let mut places = Places::new();
    apply(db, change, &mut places)?;
    log(db, change, &places, false)
}

/// Forgets what was undone.
pub(crate) fn forget_undone(db: &Connection) -> Outcome<()> {
    db.execute_batch(
        "DELETE FROM gangday_history_files WHERE seq IN (SELECT seq FROM gangday_history WHERE undone);
         DELETE FROM gangday_history WHERE undone;",
    )
}

/// Writes an edit into the history without doing it.
pub(crate) fn log(db: &Connection, change: &Change, places: &Places, undone: bool) -> Outcome<()> {
    let features = serde_json::to_vec(&change.features).unwrap_or_default();
    let places = serde_json::to_string(places).unwrap_or_default();
    db.execute(
        "INSERT INTO gangday_history (what, undone, features, places) VALUES (?1, ?2, ?3, ?4)",
        (&change.what, undone, small(&features), places),
    )?;
    let seq = db.last_insert_rowid();
    let mut files = change.files.iter();
    files.try_for_each(|file| logged::write(db, seq, file))
}

/// Which way in the history.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Way {
    /// Take back the last edit.
    Back,
    /// Do again what was taken back last.
    On,
}

/// An edit in the history.
pub(crate) struct Logged {
    seq: i64,
    pub(crate) change: Change,
    places: Places,
}

/// The next edit that way.
pub(crate) fn next(db: &Connection, way: Way) -> Outcome<Option<Logged>> {
    let which = match way {
        Way::Back => "NOT undone ORDER BY seq DESC",
        Way::On => "undone ORDER BY seq ASC",
    };
    let sql = format!("SELECT seq FROM gangday_history WHERE {which} LIMIT 1");
    let seq: Option<i64> = db.query_row(&sql, [], |row| row.get(0)).optional()?;
    seq.map(|seq| logged(db, seq, &Known::new())).transpose()
}

/// An edit; `known` tells some of its files as they are on either side of it.
fn logged(db: &Connection, seq: i64, known: &Known) -> Outcome<Logged> {
    let asked = "SELECT CAST(what AS TEXT), features, places FROM gangday_history WHERE seq = ?1";
    let (what, features, places): (String, Vec<u8>, Option<String>) =
        db.query_row(asked, [seq], |row| {
            Ok((row.get(0)?, row.get(1)?, row.get(2)?))
        })?;
    // One that can't be read does nothing in silence else.
    let unreadable =
        |cause| rusqlite::Error::FromSqlConversionFailure(1, Type::Blob, Box::new(cause));
    let change = Change {
        what,
        features: serde_json::from_slice(&large(&features)).map_err(unreadable)?,
        files: logged::files(db, seq, known)?,
    };
    let places = places
        .and_then(|text| serde_json::from_str(&text).ok())
        .unwrap_or_default();
    Ok(Logged {
        seq,
        change,
        places,
    })
}

/// Takes back an edit, or does it again.
pub(crate) fn walk(db: &Connection, logged: &Logged, way: Way) -> Outcome<()> {
    let mut places = logged.places.clone();
    match way {
        Way::Back => apply(db, &logged.change.reversed(), &mut places)?,
        Way::On => apply(db, &logged.change, &mut places)?,
    }
    db.execute(
        "UPDATE gangday_history SET undone = ?2 WHERE seq = ?1",
        (logged.seq, way == Way::Back),
    )?;
    Ok(())
}

/// What the edits are called, in order: those that undo goes to, and those that redo goes to.
pub(crate) fn names(db: &Connection, undone: bool) -> Outcome<Vec<String>> {
    let mut asked = db
        .prepare("SELECT CAST(what AS TEXT) FROM gangday_history WHERE undone = ?1 ORDER BY seq")?;
    asked.query_map([undone], |row| row.get(0))?.collect()
}

/// Copies the history of one file into another.
pub(crate) fn copy(from: &Connection, to: &Connection) -> Outcome<()> {
    let mut asked = from
        .prepare("SELECT seq, undone, what, features, places FROM gangday_history ORDER BY seq")?;
    let mut rows = asked.query([])?;
    let mut last = i64::MIN;
    let (mut done, mut undone) = (Vec::new(), Vec::new());
    while let Some(row) = rows.next()? {
        let seq = row.get(0)?;
        if seq <= last {
            // Damage leads back to what was read already.
            return Err(rusqlite::Error::IntegralValueOutOfRange(0, seq));
        }
        last = seq;
        let is_undone: bool = row.get(1)?;
        let cells: (String, Vec<u8>, Option<String>) = (row.get(2)?, row.get(3)?, row.get(4)?);
        to.execute(
            "INSERT INTO gangday_history (undone, what, features, places) VALUES (?1, ?2, ?3, ?4)",
            (is_undone, cells.0, cells.1, cells.2),
        )?;
        let under = to.last_insert_rowid();
        logged::copy((from, seq), (to, under))?;
        if is_undone { &mut undone } else { &mut done }.push((seq, under));
    }
    logged::anchor(from, to, (&done, &undone))
}

/// Every edit in the history, in order.
pub(crate) fn all(db: &Connection) -> Outcome<Vec<PastEdit>> {
    let mut asked =
        db.prepare("SELECT seq, undone, CAST(what AS TEXT) FROM gangday_history ORDER BY seq")?;
    let mut told: Vec<(i64, PastEdit)> = asked
        .query_map([], |row| {
            let edit = PastEdit {
                undone: row.get(1)?,
                what: row.get(2)?,
                change: None,
            };
            Ok((row.get(0)?, edit))
        })?
        .collect::<Outcome<_>>()?;
    let (undone, mut done): (Vec<_>, Vec<_>) = told.iter_mut().partition(|(_, edit)| edit.undone);
    // From what is there now back through what was done, and on through what was undone.
    done.reverse();
    fill(db, done, |file| &file.before);
    fill(db, undone, |file| &file.after);
    Ok(told.into_iter().map(|(_, edit)| edit).collect())
}

/// Says what these edits do, one leading to the next by a side of its files; of one that can't be read,
/// nothing, and the others are had without it, where they can be.
fn fill(
    db: &Connection,
    edits: Vec<&mut (i64, PastEdit)>,
    side: impl Fn(&FileChange) -> &Option<Vec<u8>>,
) {
    let mut known = Known::new();
    for (seq, edit) in edits {
        let Ok(one) = logged(db, *seq, &known) else {
            known.clear();
            continue;
        };
        let files = one.change.files.iter();
        known.extend(files.filter_map(|file| Some((file.name.clone(), side(file).clone()?))));
        edit.change = Some(one.change);
    }
}

/// What every edit did to features, as JSON, whether it is done or undone.
pub(crate) fn each_feature_change(db: &Connection, mut see: impl FnMut(&str)) -> Outcome<()> {
    let mut asked = db.prepare("SELECT features FROM gangday_history")?;
    let mut rows = asked.query([])?;
    while let Some(row) = rows.next()? {
        let features: Vec<u8> = row.get(0)?;
        see(&String::from_utf8_lossy(&large(&features)));
    }
    Ok(())
}
