//! Depots and tips as points for a GIS, worked out from the gangs' file; that stays what it is.

use rusqlite::{Connection, params_from_iter};
use serde_json::{Value, json};

use super::geometry::Shape;
use super::layers::Kind;
use super::layers::{Layer, column};
use super::rows::{Whose, split};
use super::tables::{insert_sql, read_file, settle};

type Outcome<T> = rusqlite::Result<T>;

/// The file that they come from.
pub(crate) const FILE: &str = "gangs.json";

/// Where gangs set out and where they tip.
pub(crate) const YARDS: Layer = Layer {
    table: "depots_and_tips",
    title: "Depots and tips",
    shape: Some(Shape::Point),
    columns: &[
        column("kind", Kind::Text),
        column("name", Kind::Text),
        column("people", Kind::Whole),
    ],
    shared: false,
};

/// Puts the depots and tips of this text of the file in the place of those that are there.
pub(crate) fn tell(db: &Connection, bytes: &[u8]) -> Outcome<()> {
    if !is_there(db)? {
        return Ok(());
    }
    empty(db)?;
    let file: Value = serde_json::from_slice(bytes).unwrap_or_default();
    let whose = Whose { file: "", list: "" };
    let mut asked = db.prepare_cached(&insert_sql(&YARDS))?;
    for yard in yards(&file) {
        let cells = split(&yard, &YARDS, &whose);
        let fid = rusqlite::types::Value::Null;
        asked.execute(params_from_iter(std::iter::once(fid).chain(cells)))?;
    }
    settle(db, &YARDS)
}

/// Takes all of them out.
pub(crate) fn clear(db: &Connection) -> Outcome<()> {
    if is_there(db)? { empty(db) } else { Ok(()) }
}

fn empty(db: &Connection) -> Outcome<()> {
    db.execute(&format!("DELETE FROM \"{}\"", YARDS.table), [])?;
    Ok(())
}

/// Whether the file has our layer; it has none where somebody else has put something else in its place.
fn is_there(db: &Connection) -> Outcome<bool> {
    let mut asked = db.prepare_cached(
        "SELECT 1 FROM sqlite_master, gpkg_contents WHERE type = 'table' AND name = ?1 AND table_name = ?1 AND identifier = ?2",
    )?;
    asked.exists([YARDS.table, YARDS.title])
}

/// Those of the file as it is in the tables: for a file of a version that had none.
pub(crate) fn fill(db: &Connection) -> Outcome<()> {
    match read_file(db, FILE)? {
        Some(bytes) => tell(db, &bytes),
        None => Ok(()),
    }
}

/// Each gang's depot and each tip that has a place, as features.
fn yards(file: &Value) -> Vec<Value> {
    let list = |name: &str| file[name].as_array().cloned().unwrap_or_default();
    let depots = list("gangs")
        .into_iter()
        .map(|gang| ("depot", "depot", gang));
    let tips = list("tips").into_iter().map(|tip| ("tip", "at", tip));
    let feature = |(kind, place, row): (&str, &str, Value)| {
        let mut own = json!({"kind": kind});
        for name in ["name", "people"] {
            if let Some(value) = row.get(name) {
                own[name] = value.clone();
            }
        }
        let at = json!({"type": "Point", "coordinates": row[place]});
        json!({"type": "Feature", "id": row["id"], "geometry": at, "properties": own})
    };
    depots.chain(tips).map(feature).collect()
}
