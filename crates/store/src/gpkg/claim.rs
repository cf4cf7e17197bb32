//! Whose the programme file is: one window's at a time, and only while it stays where it is.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::thread;
use std::time::{Duration, Instant};

use crate::error::StoreError;

/// How long a window that is just closing is waited for, for one that is opened right after it.
const PATIENCE: Duration = Duration::from_millis(1500);

/// How long to wait before looking again.
const LOOK_AGAIN: Duration = Duration::from_millis(20);

/// The right to write to a programme file, until it is dropped.
///
/// It is a lock on a file of its own beside it, because a lock on the file itself would get in the
/// way of SQLite's. The system lets go of it when the program ends, however it ends.
#[derive(Debug)]
pub(crate) struct Claim {
    target: PathBuf,
    identity: Option<Identity>,
    /// How often it was written to when it was written to here last.
    writes: Option<u32>,
    beside: PathBuf,
    /// Held by two at most: while another file in the same place is taken on.
    lock: Arc<File>,
}

/// Which file it is, whatever it is called.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Identity(u64, u64);

/// Which file it is and how far it was written, so that another in its place, or another's work in it, is
/// told from it once it is let go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stamp {
    identity: Identity,
    writes: Option<u32>,
}

impl Stamp {
    /// That of the file at a path, if there is one.
    #[must_use]
    pub fn of(path: &Path) -> Option<Self> {
        Some(Self {
            identity: identity(path)?,
            writes: writes(path),
        })
    }
}

impl Claim {
    /// Claims a file, whether it is there yet or not. Another that holds it has a moment to close.
    pub(crate) fn of(target: &Path) -> Result<Self, StoreError> {
        let beside = beside(target);
        let asked = Instant::now();
        loop {
            let opened = OpenOptions::new()
                .create(true)
                .truncate(false)
                .write(true)
                .open(&beside);
            let lock = opened.map_err(|cause| StoreError::writing(target, cause))?;
            match lock.try_lock() {
                Err(TryLockError::WouldBlock) if asked.elapsed() < PATIENCE => {
                    thread::sleep(LOOK_AGAIN);
                    continue;
                }
                Err(TryLockError::WouldBlock) => return Err(StoreError::InUse(target.to_owned())),
                // A system that knows no locks is used without them.
                Err(TryLockError::Error(_)) | Ok(()) => {}
            }
            // Whoever held it before may have taken it away between opening and locking.
            if identity(&beside) == of_open(&lock) {
                let identity = identity(target);
                return Ok(Self {
                    target: target.to_owned(),
                    identity,
                    writes: writes(target),
                    beside,
                    lock: Arc::new(lock),
                });
            }
        }
    }

    /// Claims whatever is there now, before this claim is let go: nobody else gets in between.
    pub(crate) fn renewed(&self) -> Result<Self, StoreError> {
        if identity(&self.beside) != of_open(&self.lock) {
            return Self::of(&self.target);
        }
        Ok(Self {
            target: self.target.clone(),
            identity: identity(&self.target),
            writes: writes(&self.target),
            beside: self.beside.clone(),
            lock: Arc::clone(&self.lock),
        })
    }

    /// Notes which file it is, once it is there.
    pub(crate) fn settle(&mut self) {
        self.identity = identity(&self.target);
        self.note_writes();
    }

    /// Notes how far it is written, after this program has written to it.
    pub(crate) fn note_writes(&mut self) {
        if self.check().is_ok() {
            self.writes = writes(&self.target);
        }
    }

    /// The file that was claimed, as it was written here last; none where that is not known.
    pub(crate) fn stamp(&self) -> Option<Stamp> {
        Some(Stamp {
            identity: self.identity?,
            writes: self.writes,
        })
    }

    /// Whether the file is still the one that was claimed, at the same place.
    pub(crate) fn check(&self) -> Result<(), StoreError> {
        let now = identity(&self.target);
        if now.is_none() || now != self.identity {
            return Err(StoreError::Moved(self.target.clone()));
        }
        Ok(())
    }
}

impl Drop for Claim {
    fn drop(&mut self) {
        let is_last = Arc::strong_count(&self.lock) == 1;
        if is_last && identity(&self.beside) == of_open(&self.lock) {
            // One that can't be taken away is used again.
            let _ = fs::remove_file(&self.beside);
        }
    }
}

fn beside(target: &Path) -> PathBuf {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    target.with_file_name(format!(".gangday-{name}.open"))
}

#[cfg(unix)]
fn identity_of(metadata: &fs::Metadata) -> Identity {
    use std::os::unix::fs::MetadataExt as _;
    Identity(metadata.dev(), metadata.ino())
}

#[cfg(not(unix))]
fn identity_of(_: &fs::Metadata) -> Identity {
    Identity(0, 0)
}

fn identity(path: &Path) -> Option<Identity> {
    fs::metadata(path)
        .ok()
        .map(|metadata| identity_of(&metadata))
}

/// How often a database was written to, as it says itself.
///
/// # Source
/// SQLite, "Database File Format", under "File Change Counter": four bytes from offset 24 on, the highest first.
fn writes(path: &Path) -> Option<u32> {
    let mut start = [0; 28];
    File::open(path).ok()?.read_exact(&mut start).ok()?;
    let counter = start[24..].try_into().ok()?;
    Some(u32::from_be_bytes(counter))
}

fn of_open(file: &File) -> Option<Identity> {
    file.metadata().ok().map(|metadata| identity_of(&metadata))
}
