//! Columns that the tables got later: what stood in `other` moves there, and nothing else changes.

use rusqlite::types::Value as Sql;
use rusqlite::{Transaction, params_from_iter};

use super::layers::{Column, LAYERS, Layer};
use super::rows::{as_text, cells, members};
use super::schema;
use super::tables::{cell, plain, quoted};

type Outcome<T> = rusqlite::Result<T>;

/// Adds the columns that came with this version, and moves what is stated for them.
pub(crate) fn add(all: &Transaction<'_>, version: i64) -> Outcome<()> {
    for layer in LAYERS {
        let new = layer.columns.iter().filter(|own| own.since == version);
        let new: Vec<&Column> = new.collect();
        if !new.is_empty() {
            add_to(all, layer, &new)?;
        }
    }
    Ok(())
}

fn add_to(all: &Transaction<'_>, layer: &Layer, new: &[&Column]) -> Outcome<()> {
    let table = layer.table;
    // The rows say the same as before, so the words of their file go on counting.
    all.execute_batch(&format!("DROP TRIGGER IF EXISTS gangday_{table}_update"))?;
    for (name, kind) in new.iter().flat_map(|column| column.sql()) {
        make_way(all, table, &name)?;
        all.execute_batch(&format!(
            "ALTER TABLE \"{table}\" ADD COLUMN \"{name}\" {kind}"
        ))?;
    }
    move_stated(all, table, new)?;
    all.execute_batch(&schema::trigger(layer, "update"))
}

/// Moves what fits the columns out of `other`.
fn move_stated(all: &Transaction<'_>, table: &str, new: &[&Column]) -> Outcome<()> {
    let names = new.iter().flat_map(|column| column.sql());
    let names: Vec<String> = names.map(|(name, _)| format!("\"{name}\" = ?")).collect();
    let sql = format!(
        "UPDATE \"{table}\" SET {}, other = ? WHERE fid = ?",
        names.join(", ")
    );
    let mut change = all.prepare(&sql)?;
    let mut asked = all.prepare(&format!(
        "SELECT fid, other FROM \"{table}\" WHERE other IS NOT NULL"
    ))?;
    let rows = asked.query_map([], |row| Ok((row.get(0)?, cell(row, 1)?)))?;
    let rows: Vec<(i64, Sql)> = rows.collect::<Outcome<_>>()?;
    for (fid, other) in rows {
        let mut stated = members(Some(&other));
        if !new.iter().any(|column| stated.contains_key(column.name)) {
            continue;
        }
        let mut moved: Vec<Sql> = Vec::new();
        for column in new {
            moved.extend(cells(column, &mut stated));
        }
        moved.extend([as_text(stated), Sql::Integer(fid)]);
        change.execute(params_from_iter(moved))?;
    }
    Ok(())
}

/// Where somebody else has a column of this name already, it gets another; what it says is what the
/// rows say, and stays a property of the name that it had.
fn make_way(all: &Transaction<'_>, table: &str, name: &str) -> Outcome<()> {
    let mut asked = all.prepare("SELECT name FROM pragma_table_info(?1)")?;
    let names = asked.query_map([table], |row| row.get(0))?;
    let names: Vec<String> = names.collect::<Outcome<_>>()?;
    let there = |name: &str| names.iter().find(|own| own.eq_ignore_ascii_case(name));
    let Some(theirs) = there(name) else {
        return Ok(());
    };
    let mut free = (1..).map(|count| format!("{name}_{count}"));
    let free = free.find(|name| there(name).is_none()).unwrap_or_default();
    keep_stated(all, table, theirs)?;
    all.execute_batch(&format!(
        "ALTER TABLE \"{table}\" RENAME COLUMN {} TO \"{free}\"",
        quoted(theirs)
    ))
}

/// Moves what a column of somebody else says into `other`, unless the row says otherwise.
fn keep_stated(all: &Transaction<'_>, table: &str, theirs: &str) -> Outcome<()> {
    let column = quoted(theirs);
    let mut change = all.prepare(&format!(
        "UPDATE \"{table}\" SET other = ?1, {column} = NULL WHERE fid = ?2"
    ))?;
    let mut asked = all.prepare(&format!(
        "SELECT fid, other, written, {column} FROM \"{table}\" WHERE {column} IS NOT NULL"
    ))?;
    let rows = asked.query_map([], |row| {
        Ok((row.get(0)?, [1, 2, 3].map(|at| cell(row, at))))
    })?;
    let rows: Vec<(i64, [Outcome<Sql>; 3])> = rows.collect::<Outcome<_>>()?;
    for (fid, [other, written, said]) in rows {
        let (mut stated, written) = (members(Some(&other?)), members(Some(&written?)));
        // What was no feature or row to begin with has no properties.
        let Some(said) = plain(said?).filter(|_| !written.contains_key("raw")) else {
            continue;
        };
        stated.entry(theirs.to_owned()).or_insert(said);
        change.execute((as_text(stated), fid))?;
    }
    Ok(())
}
