//! Pictures in the programme file.

use std::path::Path;

use rusqlite::{Connection, OptionalExtension as _};

use super::layers::JOBS;
use super::{ProgrammeFile, connect, history, tables};
use crate::attachments::{is_attachment_name, sound};
use crate::error::StoreError;

impl ProgrammeFile {
    /// The names of the pictures in it.
    ///
    /// # Errors
    /// The file can't be read.
    pub fn attachment_names(&self) -> Result<Vec<String>, StoreError> {
        names(&self.db).map_err(|cause| self.failed(cause))
    }

    /// A picture in it, if it is there and sound.
    ///
    /// # Errors
    /// The file can't be read.
    pub fn attachment(&self, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
        let found = find(&self.db, name).map_err(|cause| self.failed(cause))?;
        Ok(found.and_then(|bytes| sound(name, bytes)))
    }

    /// Keeps pictures, those that are not there yet.
    ///
    /// # Errors
    /// A name is none that a picture is kept under, or it can't be written; the file is then as it was.
    pub fn keep_attachments<'a>(
        &mut self,
        pictures: impl IntoIterator<Item = (&'a str, &'a [u8])>,
    ) -> Result<(), StoreError> {
        let pictures: Vec<(&str, &[u8])> = pictures.into_iter().collect();
        if let Some((name, _)) = pictures.iter().find(|(name, _)| !is_attachment_name(name)) {
            return Err(StoreError::Name((*name).to_owned()));
        }
        if pictures.is_empty() {
            return Ok(());
        }
        self.transact(|db| {
            pictures
                .iter()
                .try_for_each(|(name, bytes)| insert(db, name, bytes))
        })
    }
}

pub(super) fn insert(db: &Connection, name: &str, bytes: &[u8]) -> rusqlite::Result<()> {
    let sql = "INSERT OR REPLACE INTO gangday_attachments (name, bytes) VALUES (?1, ?2)";
    db.execute(sql, (name, bytes)).map(|_| ())
}

fn find(db: &Connection, name: &str) -> rusqlite::Result<Option<Vec<u8>>> {
    let sql = "SELECT bytes FROM gangday_attachments WHERE name = ?1";
    db.query_row(sql, [name], |row| row.get(0)).optional()
}

fn names(db: &Connection) -> rusqlite::Result<Vec<String>> {
    let mut asked = db.prepare("SELECT name FROM gangday_attachments ORDER BY name")?;
    let rows = asked.query_map([], |row| row.get(0))?;
    rows.collect()
}

/// Takes out pictures that no job names, nor any edit that can be taken back or done again: of a picture
/// that was attached, taken back and then forgotten nothing else would be left but its bytes.
pub(super) fn forget_unneeded(db: &Connection) -> rusqlite::Result<()> {
    let mut unneeded = names(db)?;
    if unneeded.is_empty() {
        return Ok(());
    }
    for (_, job) in tables::read_rows(db, &JOBS, "jobs.geojson")? {
        let job = job.to_string();
        unneeded.retain(|name| !job.contains(name));
    }
    if !unneeded.is_empty() {
        history::each_feature_change(db, |edit| unneeded.retain(|name| !edit.contains(name)))?;
    }
    let mut forget = db.prepare("DELETE FROM gangday_attachments WHERE name = ?1")?;
    unneeded
        .iter()
        .try_for_each(|name| forget.execute([name]).map(drop))
}

/// A picture in a programme file that nobody has claimed here.
pub(crate) fn read_attachment(path: &Path, name: &str) -> Result<Option<Vec<u8>>, StoreError> {
    let db = connect::to_read(path)?;
    find(&db, name).map_err(|cause| StoreError::database(path, cause))
}

/// The names of the pictures in one.
pub(crate) fn read_attachment_names(path: &Path) -> Result<Vec<String>, StoreError> {
    let db = connect::to_read(path)?;
    names(&db).map_err(|cause| StoreError::database(path, cause))
}

/// Copies what can be read of the pictures of a damaged file; how many could not be.
pub(super) fn copy_readable(from: &Connection, to: &Connection) -> rusqlite::Result<usize> {
    let (names, whole) = names_readable(from);
    let mut lost = usize::from(!whole);
    for name in names {
        match find(from, &name)
            .ok()
            .flatten()
            .and_then(|bytes| sound(&name, bytes))
        {
            Some(bytes) => insert(to, &name, &bytes)?,
            None => lost += 1,
        }
    }
    Ok(lost)
}

/// The names that can be read, and whether they are all: one that comes out of its order, as where
/// damage leads back to what was read already, ends them.
fn names_readable(db: &Connection) -> (Vec<String>, bool) {
    let mut known: Vec<String> = Vec::new();
    // A file of a version without pictures has none to lose.
    let Ok(mut asked) = db.prepare("SELECT name FROM gangday_attachments ORDER BY name") else {
        return (known, true);
    };
    let Ok(mut rows) = asked.query([]) else {
        return (known, false);
    };
    loop {
        match rows.next() {
            Ok(None) => return (known, true),
            Ok(Some(row)) => match row.get::<_, String>(0) {
                Ok(name) if known.last().is_none_or(|last| *last < name) => known.push(name),
                Ok(_) | Err(_) => return (known, false),
            },
            Err(_) => return (known, false),
        }
    }
}
