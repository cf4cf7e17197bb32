//! One programme file: an OGC GeoPackage that any GIS can open.
//!
//! The files of a programme lie in its layers row by row, so that a GIS can show and change them;
//! beside them are the words of each file as they were, which count until a row is changed. Every
//! edit is one transaction with its place in the history: the file is whole at every moment.

mod attached;
mod claim;
mod connect;
mod contents;
mod geometry;
mod history;
mod later;
mod layers;
mod lines;
mod logged;
mod rescue;
mod rows;
mod schema;
mod tables;

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::{Path, PathBuf};

use rusqlite::{Connection, TransactionBehavior};
use tempfile::Builder;

use crate::attachments::is_attachment_name;
use crate::change::Change;
use crate::error::StoreError;
use crate::past::History;
use crate::whole::{PREFIX, SUFFIX, sync_folder};

use claim::Claim;
use history::{Way, walk};

pub(crate) use attached::{read_attachment, read_attachment_names};
pub use rescue::{Rescued, rescue};

/// Whether a path is that of a programme file and not of a folder.
#[must_use]
pub fn is_programme_file(path: &Path) -> bool {
    let called = path
        .extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("gpkg"));
    called && !path.is_dir() || path.is_file()
}

/// The files of a programme file, by name, read whole.
///
/// # Errors
/// There is none at the path, it is damaged or from a newer Gangday, or it can't be read.
pub fn read_programme_file(path: &Path) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
    let db = connect::to_read(path)?;
    tables::read_files(&db).map_err(|cause| StoreError::database(path, cause))
}

/// Every edit in the history of a programme file, in order, without claiming it; one that can't be read any
/// more hides no other.
#[must_use]
pub fn read_history(path: &Path) -> History {
    let edits = connect::to_read(path)
        .and_then(|db| history::all(&db).map_err(|cause| StoreError::database(path, cause)));
    History::of(path, edits)
}

/// A programme file that this program alone may write to, until it is dropped.
#[derive(Debug)]
pub struct ProgrammeFile {
    // Dropped in this order: nobody else may write before the database is closed.
    db: Connection,
    path: PathBuf,
    claim: Claim,
}

/// Where an edit is going in the history.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Take back the last edit.
    Undo,
    /// Do again the one that was taken back last.
    Redo,
}

impl From<Step> for Way {
    fn from(step: Step) -> Self {
        match step {
            Step::Undo => Self::Back,
            Step::Redo => Self::On,
        }
    }
}

impl ProgrammeFile {
    /// Claims a programme file that is there; one of an older version is brought up to date.
    ///
    /// # Errors
    /// Another window has it, it can't be written to, is damaged, or from a newer Gangday.
    pub fn claim(path: &Path) -> Result<Self, StoreError> {
        let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        connect::open(&path)?;
        let claim = Claim::of(&path)?;
        let db = connect::to_write(&path)?;
        let mut file = Self { db, path, claim };
        // They only take room; where they can't be taken out now, they will be another time.
        let _ = file.transact(attached::forget_unneeded);
        Ok(file)
    }

    /// Makes a programme file of these files, whole or not at all; one that is there is replaced.
    /// Pictures are among them under `attachments/` and the name that they are kept under.
    ///
    /// With `history`, the edits of that file go with it.
    ///
    /// # Errors
    /// Another window has it, or it can't be written.
    pub fn create(
        path: &Path,
        files: &[(&str, Vec<u8>)],
        edits: &[(Change, bool)],
        history: Option<&Self>,
    ) -> Result<Self, StoreError> {
        let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let mut claim = Claim::of(&path)?;
        let folder = path
            .parent()
            .filter(|folder| !folder.as_os_str().is_empty());
        let folder = folder.unwrap_or(Path::new("."));
        let failed = |cause| StoreError::writing(&path, cause);
        let beside = Builder::new()
            .prefix(PREFIX)
            .suffix(SUFFIX)
            .tempfile_in(folder)
            .map_err(failed)?;
        fill(beside.path(), files, edits, history)
            .map_err(|cause| StoreError::database(&path, cause))?;
        #[cfg(unix)]
        readable(beside.path(), &path).map_err(failed)?;
        beside.as_file().sync_all().map_err(failed)?;
        beside.persist(&path).map_err(|error| failed(error.error))?;
        sync_folder(folder).map_err(failed)?;
        claim.settle();
        let db = connect::to_write(&path)?;
        Ok(Self { db, path, claim })
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether it is the file at this path.
    #[must_use]
    pub fn is_at(&self, path: &Path) -> bool {
        fs::canonicalize(path).is_ok_and(|path| path == self.path)
    }

    /// Every edit in its history, in order; one that can't be read any more hides no other.
    #[must_use]
    pub fn history(&self) -> History {
        History::of(
            &self.path,
            history::all(&self.db).map_err(|cause| self.failed(cause)),
        )
    }

    /// The files in it, by name.
    ///
    /// # Errors
    /// The file can't be read.
    pub fn files(&self) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
        tables::read_files(&self.db).map_err(|cause| self.failed(cause))
    }

    /// Writes an edit with its place in the history, and `derived` files without one; where there
    /// are none, the closures are due from then on. What was undone is forgotten. On return it is on
    /// the disk.
    ///
    /// # Errors
    /// It can't be written; the file is then as it was.
    pub fn commit(
        &mut self,
        change: &Change,
        derived: &[(&str, Option<Vec<u8>>)],
    ) -> Result<(), StoreError> {
        self.transact(|db| {
            history::forget_undone(db)?;
            history::record(db, change)?;
            derive(db, derived)
        })
    }

    /// Writes files without a place in the history.
    ///
    /// # Errors
    /// They can't be written; the file is then as it was.
    pub fn put(&mut self, files: &[(&str, Option<Vec<u8>>)]) -> Result<(), StoreError> {
        self.transact(|db| put(db, files))
    }

    /// The edit that a step would take back or do again, as it was done.
    ///
    /// # Errors
    /// The file can't be read.
    pub fn next(&self, step: Step) -> Result<Option<Change>, StoreError> {
        let next = history::next(&self.db, step.into()).map_err(|cause| self.failed(cause))?;
        Ok(next.map(|next| next.change))
    }

    /// Takes that step, and writes `derived` files with it; where there are none, the closures are
    /// due from then on.
    ///
    /// # Errors
    /// It can't be written; the file is then as it was.
    pub fn walk(
        &mut self,
        step: Step,
        derived: &[(&str, Option<Vec<u8>>)],
    ) -> Result<(), StoreError> {
        self.transact(|db| {
            if let Some(next) = history::next(db, step.into())? {
                walk(db, &next, step.into())?;
            }
            derive(db, derived)
        })
    }

    /// Whether a file that is worked out of the others is older than they are.
    ///
    /// # Errors
    /// The file can't be read.
    pub fn is_due(&self, name: &str) -> Result<bool, StoreError> {
        Ok(self.remembered(DUE, name)?.is_some())
    }

    /// What the edits are called, oldest first: those that undo goes to, and those that redo does.
    ///
    /// # Errors
    /// The file can't be read.
    pub fn edits(&self) -> Result<(Vec<String>, Vec<String>), StoreError> {
        let names = |undone| history::names(&self.db, undone).map_err(|cause| self.failed(cause));
        Ok((names(false)?, names(true)?))
    }

    /// What is remembered of this sort under this name.
    ///
    /// # Errors
    /// The file can't be read.
    pub fn remembered(&self, what: &str, name: &str) -> Result<Option<String>, StoreError> {
        tables::remembered(&self.db, what, name).map_err(|cause| self.failed(cause))
    }

    /// Remembers something beside the programme, without a place in the history.
    ///
    /// # Errors
    /// It can't be written; the file is then as it was.
    pub fn remember(&mut self, what: &str, name: &str, value: &str) -> Result<(), StoreError> {
        self.transact(|db| {
            db.execute(
                "INSERT INTO gangday_remembered (what, name, value) VALUES (?1, ?2, ?3)
                 ON CONFLICT (what, name) DO UPDATE SET value = ?3",
                [what, name, value],
            )
            .map(|_| ())
        })
    }

    /// All of it, or nothing.
    fn transact(
        &mut self,
        what: impl FnOnce(&Connection) -> rusqlite::Result<()>,
    ) -> Result<(), StoreError> {
        self.claim.check()?;
        let path = self.path.clone();
        let done = self
            .db
            .transaction_with_behavior(TransactionBehavior::Immediate)
            .and_then(|all| what(&all).and_then(|()| all.commit()));
        done.map_err(|cause| StoreError::database(&path, cause))
    }

    fn failed(&self, cause: rusqlite::Error) -> StoreError {
        StoreError::database(&self.path, cause)
    }
}

/// What the closures are remembered as when they are older than the plan.
const DUE: &str = "due";

fn derive(db: &Connection, derived: &[(&str, Option<Vec<u8>>)]) -> rusqlite::Result<()> {
    if derived.is_empty() {
        db.execute(
            "INSERT OR REPLACE INTO gangday_remembered (what, name, value) VALUES (?1, ?2, '')",
            [DUE, contents::CLOSURES_FILE],
        )?;
    }
    put(db, derived)
}

fn put(db: &Connection, files: &[(&str, Option<Vec<u8>>)]) -> rusqlite::Result<()> {
    for (name, bytes) in files {
        db.execute(
            "DELETE FROM gangday_remembered WHERE what = ?1 AND name = ?2",
            [DUE, *name],
        )?;
        match bytes {
            Some(bytes) => tables::write_file(db, name, bytes)?,
            None => tables::remove_file(db, name)?,
        }
    }
    Ok(())
}

fn fill(
    path: &Path,
    files: &[(&str, Vec<u8>)],
    edits: &[(Change, bool)],
    history: Option<&ProgrammeFile>,
) -> rusqlite::Result<()> {
    let mut db = Connection::open(path)?;
    connect::prepare(&db)?;
    schema::create(&mut db)?;
    let all = db.transaction()?;
    for (name, bytes) in files {
        match name.strip_prefix("attachments/") {
            Some(own) if is_attachment_name(own) => attached::insert(&all, own, bytes)?,
            _ => tables::write_file(&all, name, bytes)?,
        }
    }
    if let Some(from) = history {
        history::copy(&from.db, &all)?;
    }
    for (change, undone) in edits {
        history::log(&all, change, &history::Places::new(), *undone)?;
    }
    all.commit()?;
    db.close().map_err(|(_, cause)| cause)
}

/// A new file is readable as new files are; one that takes another's place, as that one was.
#[cfg(unix)]
fn readable(new: &Path, old: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt as _;
    let permissions = match fs::metadata(old) {
        Ok(old) => old.permissions(),
        Err(_) => {
            // What a plain new file gets here tells what the user's mask allows.
            let sample = new.with_extension("mask");
            let made = File::create(&sample).and_then(|file| file.metadata());
            let _ = fs::remove_file(&sample);
            fs::Permissions::from_mode(made?.permissions().mode() & 0o666)
        }
    };
    fs::set_permissions(new, permissions)
}

#[cfg(test)]
mod history_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod version_tests;
