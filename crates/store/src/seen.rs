//! What a programme folder held when it was read or last written here, so that another's work in it is known.

use std::collections::BTreeMap;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};

use crate::error::StoreError;
use crate::folder::FILES;
use crate::lock::Lock;
use crate::pending;
use crate::whole::replace;

/// Files that are nobody's work: what the page keeps as it goes along, and what is worked out of the roads.
const NO_WORK: [&str; 2] = ["page.json", "network.prepared"];

/// The sums of a folder's files as they were when it was read or last written here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seen {
    folder: PathBuf,
    /// The SHA-256 of each file that was there.
    sums: BTreeMap<String, [u8; 32]>,
}

impl Seen {
    /// Of the files of a folder as they were read.
    pub(crate) fn of(folder: &Path, files: &BTreeMap<String, Vec<u8>>) -> Self {
        let counts = files.iter().filter(|(name, _)| counts(name));
        Self {
            folder: folder.to_owned(),
            sums: counts
                .map(|(name, bytes)| (name.clone(), sum(bytes)))
                .collect(),
        }
    }

    /// Where the folder is.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Whether everything there is as it was seen; a folder with no file of a programme left in it holds nobody's
    /// work.
    ///
    /// # Errors
    /// Another program has changed, added or removed a file, which is named, or one can't be read.
    pub fn check(&self) -> Result<(), StoreError> {
        if FILES
            .into_iter()
            .all(|name| !self.folder.join(name).exists())
        {
            return Ok(());
        }
        let mut work = FILES.into_iter().filter(|name| counts(name));
        work.try_for_each(|name| self.check_one(name))
    }

    fn check_one(&self, name: &str) -> Result<(), StoreError> {
        let path = self.folder.join(name);
        let now = match fs::read(&path) {
            Ok(bytes) => Some(sum(&bytes)),
            Err(cause) if cause.kind() == io::ErrorKind::NotFound => None,
            Err(cause) => return Err(StoreError::Unreadable { path, cause }),
        };
        if now.as_ref() == self.sums.get(name) {
            return Ok(());
        }
        Err(StoreError::Changed(path))
    }

    /// Writes one file of the folder whole, if nobody else has written to it.
    ///
    /// # Errors
    /// Another program has, or it can't be written; it is then as it was.
    pub fn put(&mut self, name: &str, bytes: &[u8]) -> Result<(), StoreError> {
        if !pending::is_plain(name) {
            return Err(StoreError::Name(name.to_owned()));
        }
        pending::settle(&self.folder)?;
        let _lock = Lock::to_write(&self.folder);
        if counts(name) {
            self.check_one(name)?;
        }
        let path = self.folder.join(name);
        replace(&fs::canonicalize(&path).unwrap_or(path), bytes)?;
        if counts(name) {
            self.sums.insert(name.to_owned(), sum(bytes));
        }
        Ok(())
    }
}

fn counts(name: &str) -> bool {
    FILES.contains(&name) && !NO_WORK.contains(&name)
}

fn sum(bytes: &[u8]) -> [u8; 32] {
    Sha256::digest(bytes).into()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::folder::Folder;

    #[test]
    fn another_s_work_in_the_folder_is_found_out_by_name_and_stays() {
        let place = tempfile::tempdir().unwrap();
        let at = |name: &str| place.path().join(name);
        let mut folder = Folder::create(place.path()).unwrap();
        let files = [
            ("jobs.geojson", b"first".to_vec()),
            ("page.json", b"{}".to_vec()),
        ];
        folder.save(&files).unwrap();
        let mut seen = folder.seen();
        let mut other = folder.clone();
        fs::write(at("page.json"), "theirs").unwrap();
        fs::write(at("theirs.json"), "theirs").unwrap();
        seen.check().unwrap();
        seen.put("issues.json", b"ours").unwrap();
        seen.put("issues.json", b"ours again").unwrap();
        other.save(&[("issues.json", b"theirs".to_vec())]).unwrap();
        let new = [("jobs.geojson", b"second".to_vec())];
        for refused in [
            seen.put("issues.json", b"ours"),
            folder.save_whole(&new, &[], Some(&seen)),
        ] {
            assert!(matches!(refused, Err(StoreError::Changed(path)) if path == at("issues.json")));
        }
        assert_eq!(fs::read(at("jobs.geojson")).unwrap(), b"first");
        assert_eq!(fs::read(at("issues.json")).unwrap(), b"theirs");
        let mut folder = Folder::open(place.path()).unwrap();
        let seen = folder.seen();
        folder.save_whole(&new, &[], Some(&seen)).unwrap();
        folder.seen().check().unwrap();
        assert!(seen.check().is_err());
    }
}
