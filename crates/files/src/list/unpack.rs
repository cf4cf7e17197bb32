//! How much a ZIP archive unfolds to, found out without keeping any of it, by the library that the
//! reader of workbooks unfolds it with: where two find another directory in one file, what one has
//! counted is not what the other unfolds.
//!
//! # Source
//! PKWARE, "APPNOTE.TXT: .ZIP File Format Specification", 4.3.

use std::io::{Cursor, Read as _};

use zip::ZipArchive;

/// More than a workbook of works ever unfolds to, bytes.
pub(super) const MOST: u64 = 128 << 20;

/// Whether all entries together unfold to no more than [`MOST`], whatever sizes the archive states;
/// none where it is no sound archive.
pub(super) fn is_moderate(bytes: &[u8]) -> Option<bool> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).ok()?;
    let mut left = MOST;
    for at in 0..archive.len() {
        let mut entry = archive.by_index(at).ok()?.take(left + 1);
        let unfolded = std::io::copy(&mut entry, &mut std::io::sink()).ok()?;
        left = match left.checked_sub(unfolded) {
            Some(left) => left,
            None => return Some(false),
        };
    }
    Some(true)
}
