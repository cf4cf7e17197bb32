//! Files into the tables of a programme file, and out of them.

use std::collections::BTreeMap;

use rusqlite::types::Value as Sql;
use rusqlite::{Connection, OptionalExtension as _, params_from_iter};
use serde_json::{Value, json};

use super::contents::{Apart, apart, attributions, layers_of, together};
use super::geometry;
use super::layers::{JOBS, Layer, PLANS, STREETS, VISITS};
use super::rows::{Whose, compose, split};
use super::yards;

type Outcome<T> = rusqlite::Result<T>;

/// Every file of the programme, by name.
pub(crate) fn read_files(db: &Connection) -> Outcome<BTreeMap<String, Vec<u8>>> {
    let mut asked = db.prepare("SELECT name, bytes, head FROM gangday_files ORDER BY name")?;
    let all = asked.query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?;
    let all: Vec<(String, Option<Vec<u8>>, Option<String>)> = all.collect::<Outcome<_>>()?;
    let mut files = BTreeMap::new();
    for (name, bytes, head) in all {
        if let Some(bytes) = in_words(db, &name, (bytes, head))? {
            files.insert(name, bytes);
        }
    }
    Ok(files)
}

/// One file of the programme, if it is there.
pub(crate) fn read_file(db: &Connection, name: &str) -> Outcome<Option<Vec<u8>>> {
    let asked = "SELECT bytes, head FROM gangday_files WHERE name = ?1";
    let kept = db.query_row(asked, [name], |row| Ok((row.get(0)?, row.get(1)?)));
    match kept.optional()? {
        Some(kept) => in_words(db, name, kept),
        None => Ok(None),
    }
}

/// A file as it was written, or from its rows where nobody knows that any more.
fn in_words(
    db: &Connection,
    name: &str,
    (bytes, head): (Option<Vec<u8>>, Option<String>),
) -> Outcome<Option<Vec<u8>>> {
    match (bytes, head) {
        (Some(bytes), _) => Ok(Some(bytes)),
        (None, Some(head)) => composed(db, name, &head).map(Some),
        (None, None) => Ok(None),
    }
}

/// A file of which nobody knows the words any more, from its rows.
fn composed(db: &Connection, name: &str, head: &str) -> Outcome<Vec<u8>> {
    let head: Value = serde_json::from_str(head).unwrap_or_default();
    let mut lists: BTreeMap<String, Vec<Value>> = BTreeMap::new();
    for layer in layers_of(name) {
        for (list, row) in read_rows(db, layer, name)? {
            lists.entry(list).or_default().push(row);
        }
    }
    let rows = |list: &str| lists.get(list).cloned().unwrap_or_default();
    Ok(together(&head, &rows, name == "week.json"))
}

/// The rows of a layer that belong to this file, each with the list that it stands in.
pub(crate) fn read_rows(
    db: &Connection,
    layer: &Layer,
    file: &str,
) -> Outcome<Vec<(String, Value)>> {
    let reader = RowReader::of(db, layer)?;
    let table = layer.table;
    let whose = if layer.shared {
        "WHERE file = ?1"
    } else {
        "WHERE ?1 IS NOT NULL"
    };
    let sql = format!(
        "SELECT {} FROM \"{table}\" {whose} ORDER BY fid",
        reader.columns()
    );
    let mut asked = db.prepare(&sql)?;
    let rows = asked.query_map([file], |row| reader.read(row))?;
    rows.collect()
}

/// Reads rows of one layer, with the columns that somebody else has added to it.
pub(crate) struct RowReader {
    layer: &'static str,
    own: Vec<String>,
    /// Of those, the ones that an older file doesn't have.
    missing: Vec<String>,
    more: Vec<String>,
    list: &'static str,
}

impl RowReader {
    /// The columns of a table as they are now.
    pub(crate) fn of(db: &Connection, layer: &Layer) -> Outcome<Self> {
        let mut asked = db.prepare("SELECT name FROM pragma_table_info(?1)")?;
        let names: Vec<String> = asked
            .query_map([layer.table], |row| row.get(0))?
            .collect::<Outcome<_>>()?;
        let own: Vec<String> = layer.all().into_iter().map(|(name, _)| name).collect();
        let missing = own.iter().filter(|name| !names.contains(name));
        let missing = missing.cloned().collect();
        let more = names
            .into_iter()
            .filter(|name| name != "fid" && !own.contains(name))
            .collect();
        Ok(Self {
            layer: layer.table,
            own,
            missing,
            more,
            list: list_of(layer),
        })
    }

    /// The columns to ask for.
    pub(crate) fn columns(&self) -> String {
        let all = self.own.iter().chain(&self.more);
        let one = |name: &String| match self.missing.contains(name) {
            true => "NULL".to_owned(),
            false => quoted(name),
        };
        all.map(one).collect::<Vec<_>>().join(", ")
    }

    /// What a row states, with the list that it stands in.
    pub(crate) fn read(&self, row: &rusqlite::Row<'_>) -> Outcome<(String, Value)> {
        self.read_from(row, 0)
    }

    /// The same where other columns come before.
    pub(crate) fn read_from(
        &self,
        row: &rusqlite::Row<'_>,
        first: usize,
    ) -> Outcome<(String, Value)> {
        let cells: Vec<Sql> = (first..first + self.own.len())
            .map(|at| cell(row, at))
            .collect::<Outcome<_>>()?;
        let layer = super::layers::LAYERS
            .iter()
            .find(|layer| layer.table == self.layer);
        let Some(layer) = layer else {
            return Ok((String::new(), Value::Null));
        };
        let mut value = compose(&cells, layer);
        for (at, name) in (first + self.own.len()..).zip(&self.more) {
            if let Some(more) = plain(cell(row, at)?) {
                add(&mut value, layer, name, more);
            }
        }
        let list = if layer.shared {
            text(&cells[1])
        } else {
            self.list.to_owned()
        };
        Ok((list, value))
    }
}

/// A name in SQL.
pub(crate) fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "\"\""))
}

fn list_of(layer: &Layer) -> &'static str {
    match layer.table {
        "gangs" | "tips" => layer.table,
        _ if layer.shape.is_some() => "features",
        _ => "",
    }
}

fn text(cell: &Sql) -> String {
    match cell {
        Sql::Text(text) => text.clone(),
        _ => String::new(),
    }
}

pub(crate) fn plain(cell: Sql) -> Option<Value> {
    match cell {
        Sql::Text(text) => Some(json!(text)),
        Sql::Integer(whole) => Some(json!(whole)),
        Sql::Real(real) => serde_json::Number::from_f64(real).map(Value::Number),
        _ => None,
    }
}

/// A column of somebody else is one more property, unless the row says otherwise.
fn add(value: &mut Value, layer: &Layer, name: &str, more: Value) {
    let members = if layer.shape.is_some() {
        value.get_mut("properties")
    } else {
        Some(value)
    };
    if let Some(members) = members.and_then(Value::as_object_mut) {
        members.entry(name).or_insert(more);
    }
}

/// Puts a file in the place of the one of that name.
pub(crate) fn write_file(db: &Connection, name: &str, bytes: &[u8]) -> Outcome<()> {
    clear(db, name)?;
    let apart = apart(name, bytes);
    for list in apart.iter().flat_map(|apart| &apart.lists) {
        let whose = Whose {
            file: name,
            list: &list.name,
        };
        insert_all(
            db,
            list.layer,
            list.rows.iter().map(|row| split(row, list.layer, &whose)),
        )?;
    }
    let head = apart.map(|Apart { head, .. }| head.to_string());
    db.execute(
        "INSERT INTO gangday_files (name, bytes, head) VALUES (?1, ?2, ?3)
         ON CONFLICT (name) DO UPDATE SET bytes = ?2, head = ?3",
        (name, bytes, head),
    )?;
    if name == "plan.json" {
        tell_of_plan(db, bytes)?;
    }
    if name == yards::FILE {
        yards::tell(db, bytes)?;
    }
    credit(db, name, bytes)?;
    layers_of(name)
        .iter()
        .try_for_each(|layer| settle(db, layer))
}

/// Tells a GIS whom a file's data is from: in the description of each of its tables, which is empty
/// where nobody is to be named.
///
/// # Source
/// Open Database Licence 1.0, 4.3: whoever shows what is made from the data names its source;
/// OGC 12-128, 1.1.3, table 4: `description`, a human-readable description for the table content.
fn credit(db: &Connection, name: &str, bytes: &[u8]) -> Outcome<()> {
    let tables: Vec<&str> = match name {
        "plan.json" => vec!["plans", "visits"],
        _ => layers_of(name).iter().map(|layer| layer.table).collect(),
    };
    let shared = layers_of(name).iter().any(|layer| layer.shared);
    if tables.is_empty() || shared {
        return Ok(());
    }
    let named = attributions(bytes);
    for table in tables {
        db.execute(
            "UPDATE gpkg_contents SET description = ?2 WHERE table_name = ?1",
            (table, &named),
        )?;
    }
    Ok(())
}

/// The same for a file of which only some features were changed.
pub(crate) fn credit_again(db: &Connection, name: &str) -> Outcome<()> {
    let sql = "SELECT head FROM gangday_files WHERE name = ?1";
    let head: Option<Option<String>> = db.query_row(sql, [name], |row| row.get(0)).optional()?;
    match head.flatten() {
        Some(head) => credit(db, name, &composed(db, name, &head)?),
        None => Ok(()),
    }
}

/// Takes a file out.
pub(crate) fn remove_file(db: &Connection, name: &str) -> Outcome<()> {
    clear(db, name)?;
    db.execute("DELETE FROM gangday_files WHERE name = ?1", [name])?;
    credit(db, name, b"{}")?;
    layers_of(name)
        .iter()
        .try_for_each(|layer| settle(db, layer))
}

fn clear(db: &Connection, name: &str) -> Outcome<()> {
    db.execute(
        "UPDATE gangday_files SET bytes = NULL WHERE name = ?1",
        [name],
    )?;
    for layer in layers_of(name) {
        let table = layer.table;
        if layer.shared {
            db.execute(&format!("DELETE FROM \"{table}\" WHERE file = ?1"), [name])?;
        } else {
            db.execute(&format!("DELETE FROM \"{table}\""), [])?;
        }
    }
    if name == "plan.json" {
        db.execute_batch("DELETE FROM plans; DELETE FROM visits;")?;
    }
    if name == yards::FILE {
        yards::clear(db)?;
    }
    Ok(())
}

fn insert_all(db: &Connection, layer: &Layer, rows: impl Iterator<Item = Vec<Sql>>) -> Outcome<()> {
    let mut asked = db.prepare_cached(&insert_sql(layer))?;
    for row in rows {
        asked.execute(params_from_iter(std::iter::once(Sql::Null).chain(row)))?;
    }
    Ok(())
}

/// Inserts one row; `fid` is its first value.
pub(crate) fn insert_sql(layer: &Layer) -> String {
    let names: Vec<String> = layer
        .all()
        .iter()
        .map(|(name, _)| format!("\"{name}\""))
        .collect();
    let marks = vec!["?"; names.len() + 1].join(", ");
    format!(
        "INSERT INTO \"{}\" (fid, {}) VALUES ({marks})",
        layer.table,
        names.join(", ")
    )
}

/// What a GIS is told of a layer: when it was last changed, and the box round its places.
pub(crate) fn settle(db: &Connection, layer: &Layer) -> Outcome<()> {
    db.execute(
        "UPDATE gpkg_contents SET last_change = strftime('%Y-%m-%dT%H:%M:%fZ','now') WHERE table_name = ?1",
        [layer.table],
    )?;
    if layer.shape.is_none() {
        return Ok(());
    }
    let mut asked = db.prepare(&format!(
        "SELECT geom FROM \"{}\" WHERE geom IS NOT NULL",
        layer.table
    ))?;
    let mut rows = asked.query([])?;
    let mut all: Option<geometry::Envelope> = None;
    while let Some(row) = rows.next()? {
        let blob: Sql = row.get(0)?;
        let Sql::Blob(blob) = blob else { continue };
        if let Some(one) = geometry::envelope(&blob) {
            let so_far = all.get_or_insert(one);
            *so_far = [
                so_far[0].min(one[0]),
                so_far[1].max(one[1]),
                so_far[2].min(one[2]),
                so_far[3].max(one[3]),
            ];
        }
    }
    bound(db, layer, all)
}

fn bound(db: &Connection, layer: &Layer, all: Option<geometry::Envelope>) -> Outcome<()> {
    let [west, east, south, north] = [0, 1, 2, 3].map(|at| all.map(|bounds| bounds[at]));
    db.execute(
        "UPDATE gpkg_contents SET min_x = ?2, max_x = ?3, min_y = ?4, max_y = ?5 WHERE table_name = ?1",
        (layer.table, west, east, south, north),
    )?;
    Ok(())
}

/// Widens the box round a layer's places; a box may be too wide, but never too narrow.
pub(crate) fn widen(db: &Connection, layer: &Layer, geom: &Sql) -> Outcome<()> {
    let envelope = match geom {
        Sql::Blob(blob) => geometry::envelope(blob),
        _ => None,
    };
    let Some([west, east, south, north]) = envelope else {
        return Ok(());
    };
    db.execute(
        "UPDATE gpkg_contents SET min_x = min(ifnull(min_x, ?2), ?2), max_x = max(ifnull(max_x, ?3), ?3),
         min_y = min(ifnull(min_y, ?4), ?4), max_y = max(ifnull(max_y, ?5), ?5) WHERE table_name = ?1",
        (layer.table, west, east, south, north),
    )?;
    Ok(())
}

/// The plan's visits as rows for a GIS; the plan itself stays the file that it is.
fn tell_of_plan(db: &Connection, bytes: &[u8]) -> Outcome<()> {
    let plan: Value = serde_json::from_slice(bytes).unwrap_or_default();
    let list = |value: &Value, name: &str| value[name].as_array().cloned().unwrap_or_default();
    let routes = list(&plan, "routes");
    let mut visits = Vec::new();
    for route in &routes {
        for mut visit in list(route, "visits") {
            if let Some(members) = visit.as_object_mut() {
                members.insert("gang".to_owned(), route["gang"].clone());
                members.insert("date".to_owned(), route["date"].clone());
            }
            visits.push(visit);
        }
    }
    let summary = json!({
        "name": "plan",
        "gang_days": routes.len(),
        "visits": visits.len(),
        "left_out": list(&plan, "unplanned").len(),
        "total_pence": plan["costs"]["total_pence"],
    });
    let whose = Whose { file: "", list: "" };
    insert_all(db, &PLANS, std::iter::once(split(&summary, &PLANS, &whose)))?;
    insert_all(
        db,
        &VISITS,
        visits.iter().map(|visit| split(visit, &VISITS, &whose)),
    )?;
    settle(db, &PLANS)?;
    settle(db, &VISITS)
}

/// The layer of the features of a file, if it has any.
pub(crate) fn feature_layer(file: &str) -> Option<&'static Layer> {
    [&JOBS, &STREETS]
        .into_iter()
        .find(|layer| file == format!("{}.geojson", layer.table))
}

/// What is remembered under a name.
pub(crate) fn remembered(db: &Connection, what: &str, name: &str) -> Outcome<Option<String>> {
    let asked = "SELECT value FROM gangday_remembered WHERE what = ?1 AND name = ?2";
    db.query_row(asked, [what, name], |row| row.get(0))
        .optional()
}

/// All that is remembered of a sort, by name.
pub(crate) fn all_remembered(db: &Connection, what: &str) -> Outcome<Vec<(String, String)>> {
    let asked = "SELECT name, value FROM gangday_remembered WHERE what = ?1 ORDER BY name";
    let mut asked = db.prepare(asked)?;
    let rows = asked.query_map([what], |row| Ok((row.get(0)?, row.get(1)?)))?;
    rows.collect()
}

/// Remembers something of a sort under a name.
pub(crate) fn remember(db: &Connection, what: [&str; 3]) -> Outcome<()> {
    db.execute(
        "INSERT INTO gangday_remembered (what, name, value) VALUES (?1, ?2, ?3)
         ON CONFLICT (what, name) DO UPDATE SET value = ?3",
        what,
    )
    .map(drop)
}

/// A cell of a row, whatever they hold.
pub(crate) fn cell(row: &rusqlite::Row<'_>, at: usize) -> rusqlite::Result<Sql> {
    use rusqlite::types::ValueRef;
    Ok(match row.get_ref(at)? {
        ValueRef::Null => Sql::Null,
        ValueRef::Integer(whole) => Sql::Integer(whole),
        ValueRef::Real(real) => Sql::Real(real),
        ValueRef::Text(text) => Sql::Text(String::from_utf8_lossy(text).into_owned()),
        ValueRef::Blob(blob) => Sql::Blob(blob.to_vec()),
    })
}
