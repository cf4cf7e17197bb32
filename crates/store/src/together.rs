//! A folder of sheets for others: there with all of them, or not at all.

use std::fs;
use std::path::{Path, PathBuf};

use tempfile::{Builder, TempDir};

use crate::error::StoreError;
use crate::pending;
use crate::whole::{PREFIX, SUFFIX, sync_folder};

/// So many folders of one name are told apart by a number.
const MOST: u32 = 1_000;

/// A folder that is still being filled, under a name that nobody takes for it; it is swept away where it is
/// let go before it is settled.
#[derive(Debug)]
pub struct Together {
    within: PathBuf,
    beside: TempDir,
}

impl Together {
    /// Begins a folder within another, which is made where it is not there.
    ///
    /// # Errors
    /// It may not be written to, or the disk is full.
    pub fn begin(within: &Path) -> Result<Self, StoreError> {
        let failed = |cause| StoreError::writing(within, cause);
        fs::create_dir_all(within).map_err(failed)?;
        let mut builder = Builder::new();
        builder.prefix(PREFIX).suffix(SUFFIX);
        #[cfg(unix)]
        builder
            .permissions(<fs::Permissions as std::os::unix::fs::PermissionsExt>::from_mode(0o777));
        Ok(Self {
            within: within.to_owned(),
            beside: builder.tempdir_in(within).map_err(failed)?,
        })
    }

    /// Puts a file into it.
    ///
    /// # Errors
    /// The name is not that of a file, or it can't be written.
    pub fn put(&self, name: &str, bytes: &[u8]) -> Result<(), StoreError> {
        if !pending::is_plain(name) {
            return Err(StoreError::Name(name.to_owned()));
        }
        let path = self.beside.path().join(name);
        fs::write(&path, bytes).map_err(|cause| StoreError::writing(&self.within.join(name), cause))
    }

    /// Gives it its name, or that name and a number where there is one already; where it is then.
    ///
    /// # Errors
    /// It can't be written.
    pub fn settle(self, name: &str) -> Result<PathBuf, StoreError> {
        if !pending::is_plain(name) {
            return Err(StoreError::Name(name.to_owned()));
        }
        let called = |nth: u32| match nth {
            1 => self.within.join(name),
            nth => self.within.join(format!("{name} ({nth})")),
        };
        let free = (1..MOST).map(called).find(|path| !path.exists());
        let to = free.unwrap_or_else(|| called(MOST));
        fs::rename(self.beside.path(), &to).map_err(|cause| StoreError::writing(&to, cause))?;
        // It has its name, and is not swept away any more.
        drop(self.beside.keep());
        sync_folder(&self.within).map_err(|cause| StoreError::writing(&to, cause))?;
        Ok(to)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let all = fs::read_dir(folder).unwrap();
        let mut all: Vec<String> = all
            .map(|one| one.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        all.sort();
        all
    }

    #[test]
    fn it_is_there_with_all_of_it_or_not_at_all() {
        let place = tempfile::tempdir().unwrap();
        let within = place.path().join("for others");
        let sheets = Together::begin(&within).unwrap();
        sheets.put("works.html", b"page").unwrap();
        drop(sheets);
        assert_eq!(names(&within), [""; 0]);
        for name in ["Pack", "Pack (2)"] {
            let sheets = Together::begin(&within).unwrap();
            sheets.put("works.html", b"page").unwrap();
            sheets.put("works.ics", b"dates").unwrap();
            assert!(matches!(
                sheets.put("../works.html", b""),
                Err(StoreError::Name(_))
            ));
            let at = sheets.settle("Pack").unwrap();
            assert_eq!(at, within.join(name));
            assert_eq!(names(&at), ["works.html", "works.ics"]);
        }
        assert_eq!(names(&within), ["Pack", "Pack (2)"]);
    }

    #[test]
    fn where_nothing_can_be_it_says_so() {
        let place = tempfile::tempdir().unwrap();
        let file = place.path().join("a file");
        fs::write(&file, b"").unwrap();
        assert!(Together::begin(&file).is_err());
    }
}
