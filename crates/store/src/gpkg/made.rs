//! Making a programme file: whole or not at all.

use std::fs::{self, File};
use std::path::Path;

use rusqlite::Connection;
use tempfile::Builder;

use super::claim::{Claim, Stamp};
use super::{ProgrammeFile, attached, connect, history, real, schema, tables};
use crate::attachments::is_attachment_name;
use crate::change::Change;
use crate::error::StoreError;
use crate::whole::{PREFIX, SUFFIX, sync_folder};

/// What goes into a new programme file beside its files.
#[derive(Clone, Copy, Debug, Default)]
pub struct Along<'a> {
    /// Edits in order, with whether each is undone.
    pub edits: &'a [(Change, bool)],
    /// The file whose edits go with it.
    pub history: Option<&'a ProgrammeFile>,
    /// What is remembered beside the programme: of what sort, under what name, and what.
    pub remembered: &'a [[String; 3]],
    /// The only file that may be written over, where there is to be one at most.
    pub over: Option<Stamp>,
}

impl ProgrammeFile {
    /// Makes a programme file of these files and edits, as [`create_with`](Self::create_with) does.
    ///
    /// # Errors
    /// Another window has it, or it can't be written.
    pub fn create(
        path: &Path,
        files: &[(&str, Vec<u8>)],
        edits: &[(Change, bool)],
        history: Option<&Self>,
    ) -> Result<Self, StoreError> {
        let along = Along {
            edits,
            history,
            ..Along::default()
        };
        Self::create_with(path, files, along)
    }

    /// Makes a programme file of these files, whole or not at all; one that is there is replaced, and nothing
    /// of it is left. Pictures are among them under `attachments/` and the name that they are kept under.
    ///
    /// # Errors
    /// Another window has it, it is not the one that may be written over, or it can't be written.
    pub fn create_with(
        path: &Path,
        files: &[(&str, Vec<u8>)],
        along: Along<'_>,
    ) -> Result<Self, StoreError> {
        let path = real(path);
        let mut claim = Claim::of(&path)?;
        if along.over.is_some() && path.exists() && Stamp::of(&path) != along.over {
            return Err(StoreError::Changed(path));
        }
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
        fill(beside.path(), files, &along).map_err(|cause| StoreError::database(&path, cause))?;
        #[cfg(unix)]
        readable(beside.path(), &path).map_err(failed)?;
        beside.as_file().sync_all().map_err(failed)?;
        beside.persist(&path).map_err(|error| failed(error.error))?;
        sync_folder(folder).map_err(failed)?;
        claim.settle();
        let db = connect::to_write(&path)?;
        Ok(Self { db, path, claim })
    }
}

fn fill(path: &Path, files: &[(&str, Vec<u8>)], along: &Along<'_>) -> rusqlite::Result<()> {
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
    if let Some(from) = along.history {
        history::copy(&from.db, &all)?;
    }
    for (change, undone) in along.edits {
        history::log(&all, change, &history::Places::new(), *undone)?;
    }
    for [what, name, value] in along.remembered {
        tables::remember(&all, [what, name, value])?;
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
