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
mod made;
mod rescue;
mod rows;
mod schema;
mod tables;
mod yards;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, TransactionBehavior};

use crate::change::Change;
use crate::error::StoreError;
use crate::past::History;

use claim::Claim;
use history::{Way, walk};

pub(crate) use attached::{read_attachment, read_attachment_names};
pub use claim::Stamp;
pub use made::Along;
pub use rescue::{Rescued, rescue};

/// Whether a path is that of a programme file and not of a folder.
#[must_use]
pub fn is_programme_file(path: &Path) -> bool {
    let called = path
        .extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("gpkg"));
    called && !path.is_dir() || path.is_file()
}

/// The one path of a file, whether it is there or not, if its folder is.
fn real(path: &Path) -> PathBuf {
    let in_folder = || {
        let folder = match path.parent()? {
            folder if folder.as_os_str().is_empty() => Path::new("."),
            folder => folder,
        };
        Some(fs::canonicalize(folder).ok()?.join(path.file_name()?))
    };
    let there = fs::canonicalize(path).ok();
    there.or_else(in_folder).unwrap_or_else(|| path.to_owned())
}

/// Whether two paths lead to the same place, whether there is a file or not.
#[must_use]
pub fn is_same_place(one: &Path, other: &Path) -> bool {
    real(one) == real(other)
}

/// The files of a programme file, by name, read whole.
///
/// # Errors
/// There is none at the path, it is damaged or from a newer Gangday, or it can't be read.
pub fn read_programme_file(path: &Path) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
    let db = connect::to_read(path)?;
    tables::read_files(&db).map_err(|cause| StoreError::database(path, cause))
}

/// All that a programme file remembers of a sort, without claiming it: names, each with what is remembered.
///
/// # Errors
/// The file can't be read.
pub fn read_remembered(path: &Path, what: &str) -> Result<Vec<(String, String)>, StoreError> {
    let db = connect::to_read(path)?;
    tables::all_remembered(&db, what).map_err(|cause| StoreError::database(path, cause))
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
        let path = real(path);
        connect::open(&path)?;
        let claim = Claim::of(&path)?;
        Self::claimed(path, claim)
    }

    /// Claims whatever lies in its place now, as where another program has put another file there; this one
    /// is still claimed until it is dropped.
    ///
    /// # Errors
    /// It can't be written to, is damaged, or from a newer Gangday.
    pub fn claim_anew(&self) -> Result<Self, StoreError> {
        connect::open(&self.path)?;
        Self::claimed(self.path.clone(), self.claim.renewed()?)
    }

    fn claimed(path: PathBuf, claim: Claim) -> Result<Self, StoreError> {
        let db = connect::to_write(&path)?;
        let mut file = Self { db, path, claim };
        // They only take room; where they can't be taken out now, they will be another time.
        let _ = file.transact(attached::forget_unneeded);
        file.claim.note_writes();
        Ok(file)
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether this path is where it was opened, whatever lies there now.
    #[must_use]
    pub fn is_called(&self, path: &Path) -> bool {
        real(path) == self.path
    }

    /// Which file it is, as it was written here last, to know it again; none where that is not known.
    #[must_use]
    pub fn stamp(&self) -> Option<Stamp> {
        self.claim.stamp()
    }

    /// Whether it still lies where it was opened, and nothing else in its place.
    ///
    /// # Errors
    /// It was moved, renamed or replaced.
    pub fn check(&self) -> Result<(), StoreError> {
        self.claim.check()
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

    /// All that is remembered of this sort: names, each with what is remembered under it.
    ///
    /// # Errors
    /// The file can't be read.
    pub fn all_remembered(&self, what: &str) -> Result<Vec<(String, String)>, StoreError> {
        tables::all_remembered(&self.db, what).map_err(|cause| self.failed(cause))
    }

    /// Remembers something beside the programme, without a place in the history.
    ///
    /// # Errors
    /// It can't be written; the file is then as it was.
    pub fn remember(&mut self, what: &str, name: &str, value: &str) -> Result<(), StoreError> {
        self.transact(|db| tables::remember(db, [what, name, value]))
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
        done.map_err(|cause| StoreError::database(&path, cause))?;
        self.claim.note_writes();
        Ok(())
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

#[cfg(test)]
mod history_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod version_tests;
#[cfg(test)]
mod yards_tests;
