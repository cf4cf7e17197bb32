//! Pictures beside a programme: in a folder's `attachments`, or in a table of a programme file.
//!
//! Each is kept under what it is: the SHA-256 of its bytes and its kind. So the same picture is kept
//! once, no name from elsewhere ever becomes a path, and what was changed behind our back is found out.

use std::fs;
use std::io;
use std::path::Path;

use sha2::{Digest as _, Sha256};

use crate::error::StoreError;
use crate::gpkg::{is_programme_file, read_attachment};
use crate::whole::{sync_folder, write_whole};

/// Where a folder keeps them.
const ATTACHMENTS: &str = "attachments";
/// The kinds that there are.
const ENDINGS: [&str; 3] = ["jpg", "png", "webp"];

/// The name that a picture is kept under.
#[must_use]
pub fn attachment_name(bytes: &[u8], ending: &str) -> String {
    format!("{}.{ending}", hex(bytes))
}

fn hex(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Whether a name is one that a picture may be kept under.
#[must_use]
pub fn is_attachment_name(name: &str) -> bool {
    let Some((sum, ending)) = name.split_once('.') else {
        return false;
    };
    let is_hex = |letter: char| matches!(letter, '0'..='9' | 'a'..='f');
    sum.len() == 64 && sum.chars().all(is_hex) && ENDINGS.contains(&ending)
}

/// The bytes if they are what the name says.
pub(crate) fn sound(name: &str, bytes: Vec<u8>) -> Option<Vec<u8>> {
    name.starts_with(&hex(&bytes)).then_some(bytes)
}

/// A picture that is kept with the programme at a path, a folder or a file.
///
/// # Errors
/// The name is none that a picture is kept under, or the picture is not there, changed or unreadable.
pub fn attachment_of(programme: &Path, name: &str) -> Result<Vec<u8>, StoreError> {
    if !is_attachment_name(name) {
        return Err(StoreError::Name(name.to_owned()));
    }
    let path = programme.join(ATTACHMENTS).join(name);
    let bytes = if is_programme_file(programme) {
        read_attachment(programme, name)?
    } else {
        match fs::read(&path) {
            Ok(bytes) => Some(bytes),
            Err(cause) if cause.kind() == io::ErrorKind::NotFound => None,
            Err(cause) => return Err(StoreError::Unreadable { path, cause }),
        }
    };
    let lost = || StoreError::Unreadable {
        path,
        cause: io::Error::new(
            io::ErrorKind::NotFound,
            "the picture is not there any more, or was changed",
        ),
    };
    bytes.and_then(|bytes| sound(name, bytes)).ok_or_else(lost)
}

/// Keeps pictures beside a folder's files, those that are not there yet.
///
/// # Errors
/// A name is none that a picture is kept under, or the folder can't be written to.
pub fn keep_attachments<'a>(
    folder: &Path,
    pictures: impl IntoIterator<Item = (&'a str, &'a [u8])>,
) -> Result<(), StoreError> {
    let inside = folder.join(ATTACHMENTS);
    for (name, bytes) in pictures {
        if !is_attachment_name(name) {
            return Err(StoreError::Name(name.to_owned()));
        }
        let path = inside.join(name);
        if fs::read(&path).is_ok_and(|there| there == bytes) {
            continue;
        }
        if !inside.is_dir() {
            fs::create_dir(&inside).map_err(|cause| StoreError::writing(&inside, cause))?;
            sync_folder(folder).map_err(|cause| StoreError::writing(folder, cause))?;
        }
        write_whole(&path, bytes)?;
    }
    Ok(())
}

/// The names of the pictures that are kept with the programme at a path.
///
/// # Errors
/// A programme file can't be read.
pub fn attachments_of(programme: &Path) -> Result<Vec<String>, StoreError> {
    if is_programme_file(programme) {
        return crate::gpkg::read_attachment_names(programme);
    }
    let entries = fs::read_dir(programme.join(ATTACHMENTS));
    let entries = entries.into_iter().flatten().filter_map(Result::ok);
    let names = entries.filter_map(|entry| entry.file_name().into_string().ok());
    let mut names: Vec<String> = names.filter(|name| is_attachment_name(name)).collect();
    names.sort();
    Ok(names)
}
