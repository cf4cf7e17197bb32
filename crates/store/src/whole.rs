//! One file, written whole or not at all.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile};

use crate::error::StoreError;
use crate::lock::Lock;

/// What the name of a file that is still being written starts with.
pub(crate) const PREFIX: &str = ".gangday-";
/// What the name of a file that is still being written ends with.
pub(crate) const SUFFIX: &str = ".tmp";

/// Writes a file so that a kill at any moment leaves the old bytes or the new ones, never a mixture.
///
/// The bytes go to a file beside it, are synced to disk and renamed over it; then the folder is
/// synced. A link is followed, and the file's permissions stay as they were.
///
/// # Errors
/// The folder is not there or may not be written to, or the disk is full; the old file is then
/// untouched.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    // Without it, somebody who opens the folder now would sweep the unfinished file away.
    let _lock = Lock::to_write(&parent(&target));
    replace(&target, bytes)
}

/// The same for a caller that has locked the folder, and for a path that is no link.
pub(crate) fn replace(target: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let failed = |cause| StoreError::writing(target, cause);
    let folder = parent(target);
    let beside = write_beside(&folder, target, bytes).map_err(failed)?;
    beside
        .persist(target)
        .map_err(|error| failed(error.error))?;
    sync_folder(&folder).map_err(failed)
}

fn parent(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

/// The bytes in a new file in `folder`, synced, with the permissions of `target` if that exists.
pub(crate) fn write_beside(
    folder: &Path,
    target: &Path,
    bytes: &[u8],
) -> io::Result<NamedTempFile> {
    let mut builder = Builder::new();
    builder.prefix(PREFIX).suffix(SUFFIX);
    #[cfg(unix)]
    let everyone = <fs::Permissions as std::os::unix::fs::PermissionsExt>::from_mode(0o666);
    #[cfg(unix)]
    builder.permissions(everyone);
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    if let Ok(old) = fs::metadata(target) {
        file.as_file().set_permissions(old.permissions())?;
    }
    file.as_file().sync_all()?;
    Ok(file)
}

/// Makes renames in a folder last through a loss of power, where the system can.
pub(crate) fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) {
        File::open(folder)?.sync_all()
    } else {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn new_bytes_take_the_place_of_old_ones_and_leave_nothing_beside() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.json");
        write_whole(&path, b"old").unwrap();
        write_whole(&path, b"new").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_missing_folder_is_named() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("nowhere").join("plan.json");
        let error = write_whole(&path, b"new").unwrap_err();
        assert!(matches!(error, StoreError::NoFolder(missing) if missing.ends_with("nowhere")));
    }

    #[test]
    fn a_folder_in_the_file_s_place_is_an_error_and_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("plan.json");
        fs::create_dir(&path).unwrap();
        assert!(write_whole(&path, b"new").is_err());
        assert!(path.is_dir());
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[cfg(unix)]
    #[test]
    fn permissions_stay_and_a_link_is_followed() {
        use std::os::unix::fs::{PermissionsExt, symlink};
        let folder = tempfile::tempdir().unwrap();
        let (path, link) = (
            folder.path().join("plan.json"),
            folder.path().join("link.json"),
        );
        fs::write(&path, b"old").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
        symlink(&path, &link).unwrap();
        write_whole(&link, b"new").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"new");
        assert_eq!(
            fs::metadata(&path).unwrap().permissions().mode() & 0o777,
            0o640
        );
        assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    }
}
