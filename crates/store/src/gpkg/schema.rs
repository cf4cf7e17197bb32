//! The tables of a programme file, and how an older file becomes a newer one.
//!
//! # Source
//! OGC 12-128r19 (GeoPackage 1.4): clause 1.1.1 for the file, 1.1.2 and 1.1.3 for the tables that
//! describe the others, 2.1 for features, 2.4 for attributes, 2.3 for extensions. The file states
//! version 1.3, whose tables are the same and which older programs read as well.

use rusqlite::{Connection, Transaction};

use super::geometry::SRS;
use super::later;
use super::layers::{LAYERS, Layer};
use super::yards::{self, YARDS};

/// `GPKG` as a whole number.
pub(crate) const APPLICATION_ID: i64 = 0x4750_4B47;
/// GeoPackage 1.3.0.
const GEOPACKAGE_VERSION: i64 = 10_300;

/// A step from one version of our tables to the next; one that has shipped is never changed.
type Migration = fn(&Transaction<'_>) -> rusqlite::Result<()>;

/// The steps, in order: after the first the version is 1.
const MIGRATIONS: &[Migration] = &[first, remembered, attachments, nights, differences, places];

/// The version that this program writes.
pub(crate) const VERSION: i64 = MIGRATIONS.len() as i64;

/// Brings a file of this version to the present one, wholly or not at all.
pub(crate) fn migrate(db: &mut Connection, from: i64) -> rusqlite::Result<()> {
    let all = db.transaction()?;
    for step in MIGRATIONS.iter().skip(usize::try_from(from).unwrap_or(0)) {
        step(&all)?;
    }
    all.execute(
        "UPDATE gangday_meta SET value = ?1 WHERE key = 'version'",
        [VERSION],
    )?;
    all.commit()
}

/// The tables of a new file.
pub(crate) fn create(db: &mut Connection) -> rusqlite::Result<()> {
    db.pragma_update(None, "application_id", APPLICATION_ID)?;
    db.pragma_update(None, "user_version", GEOPACKAGE_VERSION)?;
    migrate(db, 0)
}

fn first(all: &Transaction<'_>) -> rusqlite::Result<()> {
    all.execute_batch(STANDARD)?;
    all.execute_batch(OWN)?;
    for layer in LAYERS {
        all.execute_batch(&table(layer))?;
        describe(all, layer)?;
    }
    for own in [
        "gangday_meta",
        "gangday_files",
        "gangday_history",
        "gangday_history_files",
    ] {
        declare(all, own)?;
    }
    Ok(())
}

/// How a client's lists are laid out, and what else the program remembers beside the programme.
fn remembered(all: &Transaction<'_>) -> rusqlite::Result<()> {
    all.execute_batch(
        "CREATE TABLE gangday_remembered (what TEXT NOT NULL, name TEXT NOT NULL, value TEXT NOT NULL,
         PRIMARY KEY (what, name));",
    )?;
    declare(all, "gangday_remembered")
}

/// Pictures of jobs, each under the SHA-256 of its bytes and its kind.
fn attachments(all: &Transaction<'_>) -> rusqlite::Result<()> {
    all.execute_batch(
        "CREATE TABLE gangday_attachments (name TEXT PRIMARY KEY NOT NULL, bytes BLOB NOT NULL);",
    )?;
    declare(all, "gangday_attachments")
}

/// Jobs that may be left over a night state so in columns of their own, and so does the week.
fn nights(all: &Transaction<'_>) -> rusqlite::Result<()> {
    later::add(all, 4)
}

/// Of a file that an edit changes little, what differs is kept in place of both texts.
fn differences(all: &Transaction<'_>) -> rusqlite::Result<()> {
    all.execute_batch("ALTER TABLE gangday_history_files ADD COLUMN lines BLOB;")
}

/// Depots and tips are points of a layer of their own, unless somebody else has put something of that name into the file.
fn places(all: &Transaction<'_>) -> rusqlite::Result<()> {
    let mut asked = all.prepare(
        "SELECT 1 FROM sqlite_master WHERE name = ?1 COLLATE NOCASE
         UNION SELECT 1 FROM gpkg_contents WHERE table_name = ?1 COLLATE NOCASE OR identifier = ?2",
    )?;
    if asked.exists([YARDS.table, YARDS.title])? {
        return Ok(());
    }
    drop(asked);
    all.execute_batch(&table(&YARDS))?;
    describe(all, &YARDS)?;
    yards::fill(all)
}

fn declare(all: &Transaction<'_>, table: &str) -> rusqlite::Result<()> {
    all.execute(
        "INSERT INTO gpkg_extensions VALUES (?1, NULL, 'gangday_programme', ?2, 'read-write')",
        [table, "Kept by Gangday: the files that a programme is exchanged in, word for word, and the history of its edits. See the chapter on the programme file in DEVELOPERS.md."],
    )?;
    Ok(())
}

/// A table as the standard wants it and its first version had it: a whole number that is never used again as its key.
fn table(layer: &Layer) -> String {
    let name = layer.table;
    let columns: Vec<String> = layer
        .all_at(1)
        .iter()
        .map(|(column, kind)| format!("\"{column}\" {kind}"))
        .collect();
    let mut sql = format!(
        "CREATE TABLE \"{name}\" (fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL, {});\n",
        columns.join(", ")
    );
    if layer.shape.is_some() {
        sql += &format!("CREATE INDEX gangday_{name}_id ON \"{name}\" (id);\n");
    }
    sql += &triggers(layer);
    sql
}

/// Whoever changes a row, the words of the file that it came from no longer hold.
fn triggers(layer: &Layer) -> String {
    let events = ["insert", "update", "delete"];
    events.map(|event| trigger(layer, event)).concat()
}

/// The trigger of one event; none where the rows come of no file.
pub(crate) fn trigger(layer: &Layer, event: &str) -> String {
    let file = match layer.table {
        "jobs" | "streets" => format!("'{}.geojson'", layer.table),
        "gangs" | "tips" => "'gangs.json'".to_owned(),
        "week" => "'week.json'".to_owned(),
        "parameters" => String::new(),
        _ => return String::new(),
    };
    let name = layer.table;
    let row = if event == "delete" { "OLD" } else { "NEW" };
    let file = if file.is_empty() {
        format!("{row}.file")
    } else {
        file
    };
    format!(
        "CREATE TRIGGER gangday_{name}_{event} AFTER {event} ON \"{name}\" BEGIN \
         UPDATE gangday_files SET bytes = NULL WHERE name = {file} AND bytes IS NOT NULL; END;\n"
    )
}

fn describe(all: &Transaction<'_>, layer: &Layer) -> rusqlite::Result<()> {
    let (kind, srs) = layer
        .shape
        .map_or(("attributes", None), |_| ("features", Some(SRS)));
    all.execute(
        "INSERT INTO gpkg_contents (table_name, data_type, identifier, srs_id) VALUES (?1, ?2, ?3, ?4)",
        (layer.table, kind, layer.title, srs),
    )?;
    if let Some(shape) = layer.shape {
        all.execute(
            "INSERT INTO gpkg_geometry_columns VALUES (?1, 'geom', ?2, ?3, 2, 0)",
            (layer.table, shape.name(), SRS),
        )?;
    }
    Ok(())
}

/// The tables of clauses 1.1.2, 1.1.3, 2.1.5 and 2.3, as the standard's annex C defines them.
const STANDARD: &str = r#"
CREATE TABLE gpkg_spatial_ref_sys (
  srs_name TEXT NOT NULL,
  srs_id INTEGER PRIMARY KEY,
  organization TEXT NOT NULL,
  organization_coordsys_id INTEGER NOT NULL,
  definition TEXT NOT NULL,
  description TEXT
);
INSERT INTO gpkg_spatial_ref_sys VALUES
  ('Undefined Cartesian SRS', -1, 'NONE', -1, 'undefined', 'undefined Cartesian coordinate reference system'),
  ('Undefined geographic SRS', 0, 'NONE', 0, 'undefined', 'undefined geographic coordinate reference system'),
  ('WGS 84 geodetic', 4326, 'EPSG', 4326, 'GEOGCS["WGS 84",DATUM["WGS_1984",SPHEROID["WGS 84",6378137,298.257223563,AUTHORITY["EPSG","7030"]],AUTHORITY["EPSG","6326"]],PRIMEM["Greenwich",0,AUTHORITY["EPSG","8901"]],UNIT["degree",0.0174532925199433,AUTHORITY["EPSG","9122"]],AUTHORITY["EPSG","4326"]]', 'longitude and latitude in decimal degrees on the WGS 84 spheroid');
CREATE TABLE gpkg_contents (
  table_name TEXT NOT NULL PRIMARY KEY,
  data_type TEXT NOT NULL,
  identifier TEXT UNIQUE,
  description TEXT DEFAULT '',
  last_change DATETIME NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
  min_x DOUBLE,
  min_y DOUBLE,
  max_x DOUBLE,
  max_y DOUBLE,
  srs_id INTEGER,
  CONSTRAINT fk_gc_r_srs_id FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys(srs_id)
);
CREATE TABLE gpkg_geometry_columns (
  table_name TEXT NOT NULL,
  column_name TEXT NOT NULL,
  geometry_type_name TEXT NOT NULL,
  srs_id INTEGER NOT NULL,
  z TINYINT NOT NULL,
  m TINYINT NOT NULL,
  CONSTRAINT pk_geom_cols PRIMARY KEY (table_name, column_name),
  CONSTRAINT uk_gc_table_name UNIQUE (table_name),
  CONSTRAINT fk_gc_tn FOREIGN KEY (table_name) REFERENCES gpkg_contents(table_name),
  CONSTRAINT fk_gc_srs FOREIGN KEY (srs_id) REFERENCES gpkg_spatial_ref_sys (srs_id)
);
CREATE TABLE gpkg_extensions (
  table_name TEXT,
  column_name TEXT,
  extension_name TEXT NOT NULL,
  definition TEXT NOT NULL,
  scope TEXT NOT NULL,
  CONSTRAINT ge_tce UNIQUE (table_name, column_name, extension_name)
);
"#;

/// Our own: what the files were word for word, and the history of edits.
const OWN: &str = "
CREATE TABLE gangday_meta (key TEXT PRIMARY KEY NOT NULL, value);
INSERT INTO gangday_meta VALUES ('version', 0);
CREATE TABLE gangday_files (
  name TEXT PRIMARY KEY NOT NULL,
  bytes BLOB,
  head TEXT
);
CREATE TABLE gangday_history (
  seq INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
  what TEXT NOT NULL,
  at TEXT NOT NULL DEFAULT (strftime('%Y-%m-%dT%H:%M:%fZ','now')),
  undone INTEGER NOT NULL DEFAULT 0,
  features BLOB NOT NULL,
  places TEXT
);
CREATE TABLE gangday_history_files (
  seq INTEGER NOT NULL,
  name TEXT NOT NULL,
  before BLOB,
  after BLOB
);
";
