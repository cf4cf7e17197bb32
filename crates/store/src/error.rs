//! What can go wrong on disk, to which file, and what to do about it.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use gangday_model::Finding;

use crate::codes;

/// Why a programme could not be opened or saved.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// There is nothing at the path.
    #[error("There is no folder {}.", .0.display())]
    NoFolder(PathBuf),
    /// There is no programme file at the path.
    #[error("There is no file {}.", .0.display())]
    NoFile(PathBuf),
    /// There is something else at the path.
    #[error("{} is a file, not a programme folder.", .0.display())]
    NotAFolder(PathBuf),
    /// A file or the folder is there, but the system does not let it be read.
    #[error("{} can't be read: {cause}.", .path.display())]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        cause: io::Error,
    },
    /// The disk has no room left.
    #[error("{} can't be saved: the disk is full.", .path.display())]
    Full {
        /// The file.
        path: PathBuf,
        /// What the system says.
        cause: io::Error,
    },
    /// The system does not let the folder be written to.
    #[error("{} can't be saved: the folder may not be written to.", .path.display())]
    ReadOnly {
        /// The file.
        path: PathBuf,
        /// What the system says.
        cause: io::Error,
    },
    /// The file can't be written for another reason.
    #[error("{} can't be saved: {cause}.", .path.display())]
    Unwritable {
        /// The file.
        path: PathBuf,
        /// What the system says.
        cause: io::Error,
    },
    /// A name that would lead out of the folder, or is used by saving itself.
    #[error("\"{0}\" is not the name of a file in the programme folder.")]
    Name(String),
    /// The file is no programme file.
    #[error("{} is no programme file: {why}.", .path.display())]
    NotAProgramme {
        /// The file.
        path: PathBuf,
        /// What it is instead.
        why: String,
    },
    /// The file was saved by a newer Gangday.
    #[error("{} was saved by a newer Gangday: its version is {version}, and this one reads up to {known}.", .path.display())]
    Newer {
        /// The file.
        path: PathBuf,
        /// Its version.
        version: i64,
        /// The newest that is known here.
        known: i64,
    },
    /// Somebody else has the file open.
    #[error("{} is open in another window or program.", .0.display())]
    InUse(PathBuf),
    /// The file is no longer where it was opened.
    #[error("{} was moved, renamed or replaced while it was open.", .0.display())]
    Moved(PathBuf),
    /// Somebody else has written to it since it was read.
    #[error("{} was changed or replaced by another program since it was opened.", .0.display())]
    Changed(PathBuf),
    /// The file is damaged.
    #[error("{} is damaged: {what}.", .path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        what: String,
    },
    /// A complete save is on disk, but its files can't be put in place.
    #[error("A save that was broken off can't be completed in {}: {cause}.", .path.display())]
    Leftover {
        /// The folder or file.
        path: PathBuf,
        /// What the system says.
        cause: io::Error,
    },
}

impl StoreError {
    /// What a failed write means.
    pub(crate) fn writing(path: &Path, cause: io::Error) -> Self {
        let path = path.to_owned();
        match cause.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Self::Full { path, cause },
            ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => {
                Self::ReadOnly { path, cause }
            }
            ErrorKind::NotFound => {
                Self::NoFolder(path.parent().map(Path::to_owned).unwrap_or_default())
            }
            _ => Self::Unwritable { path, cause },
        }
    }

    /// What a refusal of SQLite means.
    pub(crate) fn database(path: &Path, cause: rusqlite::Error) -> Self {
        use rusqlite::ErrorCode as Code;
        let path = path.to_owned();
        let code = cause.sqlite_error_code();
        let what = cause.to_string();
        let cause = io::Error::other(cause);
        match code {
            Some(Code::DiskFull) => Self::Full { path, cause },
            Some(Code::ReadOnly | Code::CannotOpen | Code::PermissionDenied) => {
                Self::ReadOnly { path, cause }
            }
            Some(Code::DatabaseBusy | Code::DatabaseLocked) => Self::InUse(path),
            Some(Code::DatabaseCorrupt | Code::NotADatabase) => Self::Damaged { path, what },
            _ => Self::Unwritable { path, cause },
        }
    }

    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> &'static str {
        match self {
            Self::NoFile(_) => "Check the path.",
            Self::NoFolder(_) => "Check the path, or make the folder first.",
            Self::NotAFolder(_) => "Open the folder that holds jobs.geojson and gangs.json.",
            Self::Unreadable { .. } => {
                "Give yourself leave to read it, or put a readable copy in its place."
            }
            Self::Full { .. } => {
                "Make room on the disk or save to another one; nothing on disk has changed."
            }
            Self::ReadOnly { .. } => {
                "Save to another folder, or give yourself leave to write to this one; nothing on disk has changed."
            }
            Self::Unwritable { .. } => "Save to another folder, then look at this one.",
            Self::Name(_) => "Use a plain file name without a folder.",
            Self::NotAProgramme { .. } => {
                "Open a .gpkg that Gangday has saved, or import the file into a programme."
            }
            Self::Newer { .. } => {
                "Open it with the newer Gangday, or save it as a folder there; nothing in it has been changed."
            }
            Self::InUse(_) => "Close it there first, or open a copy of it.",
            Self::Moved(_) => {
                "Save under a name of your own choice, or move the file back; nothing has been written to it."
            }
            Self::Changed(_) => {
                "Save under another name, or open it again; nothing has been written to it."
            }
            Self::Damaged { .. } => {
                "Open it all the same: what can be read goes into a copy beside it, and this file stays as it is."
            }
            Self::Leftover { .. } => {
                "Give yourself leave to write to the folder and open it again; both versions are on disk."
            }
        }
    }

    /// The stable code.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::NoFolder(_) | Self::NoFile(_) | Self::NotAFolder(_) => codes::FOLDER,
            Self::Unreadable { .. } => codes::OPEN,
            Self::Full { .. } => codes::FULL,
            Self::ReadOnly { .. } => codes::READONLY,
            Self::Unwritable { .. } => codes::SAVE,
            Self::Name(_) => codes::FILENAME,
            Self::NotAProgramme { .. } => codes::NOPROGRAMME,
            Self::Newer { .. } => codes::NEWER,
            Self::InUse(_) => codes::INUSE,
            Self::Moved(_) => codes::MOVED,
            Self::Changed(_) => codes::CHANGED,
            Self::Damaged { .. } => codes::DAMAGED,
            Self::Leftover { .. } => codes::LEFTOVER,
        }
    }

    fn file(&self) -> String {
        match self {
            Self::NoFolder(path)
            | Self::NoFile(path)
            | Self::NotAFolder(path)
            | Self::Unreadable { path, .. }
            | Self::Full { path, .. }
            | Self::ReadOnly { path, .. }
            | Self::Unwritable { path, .. }
            | Self::NotAProgramme { path, .. }
            | Self::Newer { path, .. }
            | Self::InUse(path)
            | Self::Moved(path)
            | Self::Changed(path)
            | Self::Damaged { path, .. }
            | Self::Leftover { path, .. } => {
                let name = path.file_name().unwrap_or(path.as_os_str());
                name.to_string_lossy().into_owned()
            }
            Self::Name(name) => name.clone(),
        }
    }
}

impl From<&StoreError> for Finding {
    fn from(error: &StoreError) -> Self {
        Self::fault(error.code(), error.to_string(), error.remedy()).in_file(error.file())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on(kind: ErrorKind) -> StoreError {
        StoreError::writing(Path::new("week/jobs.geojson"), io::Error::from(kind))
    }

    #[test]
    fn each_cause_has_its_own_code_and_remedy() {
        assert_eq!(on(ErrorKind::StorageFull).code(), codes::FULL);
        assert_eq!(on(ErrorKind::ReadOnlyFilesystem).code(), codes::READONLY);
        assert_eq!(on(ErrorKind::PermissionDenied).code(), codes::READONLY);
        assert_eq!(
            on(ErrorKind::NotFound).to_string(),
            "There is no folder week."
        );
        assert_eq!(on(ErrorKind::Other).code(), codes::SAVE);
    }

    #[test]
    fn a_finding_names_the_file() {
        let finding = Finding::from(&on(ErrorKind::StorageFull));
        assert_eq!(finding.place.file.as_deref(), Some("jobs.geojson"));
        assert!(finding.remedy.contains("nothing on disk has changed"));
    }
}
