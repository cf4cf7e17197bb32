//! Where a programme is kept: a folder, or one file.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::error::StoreError;
use crate::folder::Folder;
use crate::gpkg::{ProgrammeFile, is_programme_file, read_programme_file};

/// A programme's files as they were when it was opened, wherever they are kept.
#[derive(Clone, Debug)]
pub enum Home {
    /// A folder.
    Folder(Folder),
    /// One file.
    File {
        /// Where it is.
        path: PathBuf,
        /// Its files, by name.
        files: BTreeMap<String, Vec<u8>>,
    },
}

impl Home {
    /// Opens a folder or a programme file.
    ///
    /// # Errors
    /// There is neither, or it can't be read.
    pub fn open(path: &Path) -> Result<Self, StoreError> {
        if !is_programme_file(path) {
            return Folder::open(path).map(Self::Folder);
        }
        let files = read_programme_file(path)?;
        Ok(Self::File {
            path: path.to_owned(),
            files,
        })
    }

    /// Opens it, or makes an empty one.
    ///
    /// # Errors
    /// It can't be made or opened.
    pub fn create(path: &Path) -> Result<Self, StoreError> {
        if !is_programme_file(path) {
            return Folder::create(path).map(Self::Folder);
        }
        if !path.exists() {
            ProgrammeFile::create(path, &[], &[], None)?;
        }
        Self::open(path)
    }

    /// What it is called: the last part of its path, without the ending of a file.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Folder(folder) => folder.name(),
            Self::File { path, .. } => path
                .file_stem()
                .unwrap_or_default()
                .to_string_lossy()
                .into_owned(),
        }
    }

    /// The bytes of one of its files, if it was there.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&[u8]> {
        match self {
            Self::Folder(folder) => folder.get(name),
            Self::File { files, .. } => files.get(name).map(Vec::as_slice),
        }
    }

    /// Saves several files as one, all or none; files that are not named stay as they are.
    ///
    /// # Errors
    /// They can't be written, or another window has the programme file open; all files are then as
    /// they were.
    pub fn save(&mut self, new: &[(&str, Vec<u8>)]) -> Result<(), StoreError> {
        match self {
            Self::Folder(folder) => folder.save(new),
            Self::File { path, files } => {
                let some: Vec<_> = new
                    .iter()
                    .map(|(name, bytes)| (*name, Some(bytes.clone())))
                    .collect();
                ProgrammeFile::claim(path)?.put(&some)?;
                files.extend(
                    new.iter()
                        .map(|(name, bytes)| ((*name).to_owned(), bytes.clone())),
                );
                Ok(())
            }
        }
    }

    /// Takes a file out; one that is not there is no error.
    ///
    /// # Errors
    /// It can't be taken out.
    pub fn remove(&mut self, name: &str) -> Result<(), StoreError> {
        match self {
            Self::Folder(folder) => folder.remove(name),
            Self::File { path, files } => {
                ProgrammeFile::claim(path)?.put(&[(name, None)])?;
                files.remove(name);
                Ok(())
            }
        }
    }
}
