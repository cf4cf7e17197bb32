//! Opening the database, and holding it to what a programme file must be.

use std::fs::{self, File};
use std::io::{self, Read as _};
use std::path::Path;
use std::time::Duration;

use rusqlite::functions::FunctionFlags;
use rusqlite::types::Value as Sql;
use rusqlite::{Connection, OpenFlags};

use super::geometry;
use super::schema::{APPLICATION_ID, VERSION, migrate};
use crate::error::StoreError;

/// What every file of SQLite begins with.
const MAGIC: &[u8; 16] = b"SQLite format 3\0";
/// How long another program may take over its own writing.
const PATIENCE: Duration = Duration::from_secs(5);

/// Opens a programme file to be read: one of an older version is brought up to date in memory only.
pub(crate) fn to_read(path: &Path) -> Result<Connection, StoreError> {
    let db = open(path)?;
    let version = check(&db, path)?;
    if version == VERSION {
        return Ok(db);
    }
    let failed = |cause| StoreError::database(path, cause);
    let mut copy = Connection::open_in_memory().map_err(failed)?;
    prepare(&copy).map_err(failed)?;
    rusqlite::backup::Backup::new(&db, &mut copy)
        .and_then(|backup| backup.run_to_completion(1000, Duration::ZERO, None))
        .map_err(failed)?;
    migrate(&mut copy, version).map_err(failed)?;
    Ok(copy)
}

/// Opens a programme file to be written to, brought up to date.
pub(crate) fn to_write(path: &Path) -> Result<Connection, StoreError> {
    let mut db = open(path)?;
    let version = check(&db, path)?;
    if version < VERSION {
        migrate(&mut db, version).map_err(|cause| StoreError::database(path, cause))?;
    }
    Ok(db)
}

/// Opens whatever is there, as far as it is a database at all.
///
/// A transaction that a kill broke off is rolled back here, if the file may be written to.
pub(crate) fn open(path: &Path) -> Result<Connection, StoreError> {
    let db = connected(path)?;
    prepare(&db).map_err(|cause| StoreError::database(path, cause))?;
    Ok(db)
}

/// Opens even a file that is cut short, to be read only: SQLite refuses one as a whole otherwise.
pub(crate) fn open_damaged(path: &Path) -> Result<Connection, StoreError> {
    let db = connected(path)?;
    let failed = |cause| StoreError::database(path, cause);
    db.pragma_update(None, "writable_schema", true)
        .map_err(failed)?;
    prepare(&db).map_err(failed)?;
    db.pragma_update(None, "query_only", true).map_err(failed)?;
    Ok(db)
}

fn connected(path: &Path) -> Result<Connection, StoreError> {
    look(path)?;
    let failed = |cause| StoreError::database(path, cause);
    let flags = OpenFlags::SQLITE_OPEN_NO_MUTEX;
    let writing = Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_READ_WRITE);
    match writing {
        Ok(db) => Ok(db),
        Err(_) => Connection::open_with_flags(path, flags | OpenFlags::SQLITE_OPEN_READ_ONLY)
            .map_err(failed),
    }
}

/// How every database of ours is used.
pub(crate) fn prepare(db: &Connection) -> rusqlite::Result<()> {
    db.busy_timeout(PATIENCE)?;
    // A file from elsewhere may not call functions from its views and triggers.
    db.pragma_update(None, "trusted_schema", false)?;
    // What is committed is on the disk, and so is that the journal is gone.
    db.pragma_update(None, "synchronous", "EXTRA")?;
    spatial(db)
}

/// The functions that a spatial index made by a GIS calls when a place changes.
///
/// # Source
/// OGC 12-128r19, annex F.3, the R-tree extension.
fn spatial(db: &Connection) -> rusqlite::Result<()> {
    let flags = FunctionFlags::SQLITE_UTF8
        | FunctionFlags::SQLITE_DETERMINISTIC
        | FunctionFlags::SQLITE_INNOCUOUS;
    let bounds = ["ST_MinX", "ST_MaxX", "ST_MinY", "ST_MaxY"];
    for (at, name) in bounds.into_iter().enumerate() {
        db.create_scalar_function(name, 1, flags, move |context| {
            Ok(envelope(&context.get(0)?).map(|bounds| bounds[at]))
        })?;
    }
    db.create_scalar_function("ST_IsEmpty", 1, flags, |context| {
        let cell: Sql = context.get(0)?;
        Ok(match cell {
            Sql::Null => None,
            cell => Some(envelope(&cell).is_none()),
        })
    })
}

fn envelope(cell: &Sql) -> Option<geometry::Envelope> {
    match cell {
        Sql::Blob(blob) => geometry::envelope(blob),
        _ => None,
    }
}

/// Whether there is a database at the path, before SQLite would make one.
fn look(path: &Path) -> Result<(), StoreError> {
    let unreadable = |cause: io::Error| match cause.kind() {
        io::ErrorKind::NotFound => StoreError::NoFile(path.to_owned()),
        _ => StoreError::Unreadable {
            path: path.to_owned(),
            cause,
        },
    };
    let metadata = fs::metadata(path).map_err(unreadable)?;
    if metadata.is_dir() {
        return Err(not_one(path, "it is a folder"));
    }
    let mut start = Vec::new();
    File::open(path)
        .and_then(|file| file.take(MAGIC.len() as u64).read_to_end(&mut start))
        .map_err(unreadable)?;
    if start.is_empty() {
        return Err(not_one(path, "it is empty"));
    }
    if start != MAGIC {
        return Err(not_one(path, "it does not begin like a GeoPackage"));
    }
    Ok(())
}

fn not_one(path: &Path, why: &str) -> StoreError {
    StoreError::NotAProgramme {
        path: path.to_owned(),
        why: why.to_owned(),
    }
}

/// The version of the tables of a sound programme file.
fn check(db: &Connection, path: &Path) -> Result<i64, StoreError> {
    let version = version(db, path)?;
    if version > VERSION {
        return Err(StoreError::Newer {
            path: path.to_owned(),
            version,
            known: VERSION,
        });
    }
    let sound: Result<String, _> = db.query_row("PRAGMA quick_check(1)", [], |row| row.get(0));
    match sound {
        Ok(text) if text == "ok" => Ok(version),
        Ok(what) => Err(StoreError::Damaged {
            path: path.to_owned(),
            what,
        }),
        Err(cause) => Err(StoreError::database(path, cause)),
    }
}

/// The version that the file states.
pub(crate) fn version(db: &Connection, path: &Path) -> Result<i64, StoreError> {
    let failed = |cause| StoreError::database(path, cause);
    let id: i64 = db
        .pragma_query_value(None, "application_id", |row| row.get(0))
        .map_err(failed)?;
    let tables = "SELECT count(*) FROM sqlite_schema WHERE type = 'table' AND name IN ('gangday_meta', 'gangday_files')";
    let own: i64 = db.query_row(tables, [], |row| row.get(0)).map_err(failed)?;
    if id != APPLICATION_ID {
        return Err(not_one(path, "it is a database, but no GeoPackage"));
    }
    if own != 2 {
        return Err(not_one(
            path,
            "it is a GeoPackage, but not one of Gangday's",
        ));
    }
    let asked = "SELECT value FROM gangday_meta WHERE key = 'version'";
    db.query_row(asked, [], |row| row.get(0)).map_err(failed)
}
