//! One program at a time in a folder.

use std::fs::File;
use std::io;
use std::path::Path;

/// Keeps other programs from opening or saving the folder at the same time, where the system can.
///
/// A folder on a system that knows no such lock is used without one.
pub(crate) struct Lock {
    _folder: Option<File>,
}

impl Lock {
    /// Waits until nobody saves.
    pub(crate) fn to_read(folder: &Path) -> Self {
        Self::taken(folder, File::lock_shared)
    }

    /// Waits until nobody reads or saves.
    pub(crate) fn to_write(folder: &Path) -> Self {
        Self::taken(folder, File::lock)
    }

    fn taken(folder: &Path, lock: fn(&File) -> io::Result<()>) -> Self {
        let opened = File::open(folder).ok();
        Self {
            _folder: opened.filter(|file| lock(file).is_ok()),
        }
    }
}
