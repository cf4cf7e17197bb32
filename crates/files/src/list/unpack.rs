//! How much a ZIP archive unfolds to, found out without keeping any of it.
//!
//! # Source
//! PKWARE, "APPNOTE.TXT: .ZIP File Format Specification", 4.3: the central directory.

use std::io::Read;

use flate2::read::DeflateDecoder;

/// More than a workbook of works ever unfolds to, bytes.
pub(super) const MOST: u64 = 128 << 20;

/// Whether all entries together unfold to no more than [`MOST`], whatever sizes the archive states;
/// none where it is no sound archive.
pub(super) fn is_moderate(bytes: &[u8]) -> Option<bool> {
    let mut left = MOST;
    let (mut at, entries) = directory(bytes)?;
    for _ in 0..entries {
        let header = bytes.get(at..)?;
        if !header.starts_with(b"PK\x01\x02") {
            return None;
        }
        let unfolded = unfolded(bytes, header, left)?;
        if unfolded > left {
            return Some(false);
        }
        left -= unfolded;
        at += 46
            + [28, 30, 32]
                .iter()
                .try_fold(0, |sum, field| Some(sum + short(header, *field)?))?;
    }
    Some(true)
}

/// Where the directory begins, and how many entries it has.
fn directory(bytes: &[u8]) -> Option<(usize, usize)> {
    let from = bytes.len().saturating_sub(22 + 65_535);
    let end = bytes
        .get(from..)?
        .windows(4)
        .rposition(|four| four == b"PK\x05\x06")?;
    let end = bytes.get(from + end..)?;
    Some((long(end, 16)?, short(end, 10)?))
}

/// What one entry unfolds to, counted only a little beyond `most`.
fn unfolded(bytes: &[u8], header: &[u8], most: u64) -> Option<u64> {
    let (method, packed, local) = (short(header, 10)?, long(header, 20)?, long(header, 42)?);
    let entry = bytes.get(local..)?;
    let data = 30 + short(entry, 26)? + short(entry, 28)?;
    let packed = entry.get(data..)?.get(..packed)?;
    if method == 0 {
        return Some(packed.len() as u64);
    }
    let mut reader = DeflateDecoder::new(packed).take(most + 1);
    std::io::copy(&mut reader, &mut std::io::sink()).ok()
}

fn short(bytes: &[u8], at: usize) -> Option<usize> {
    let two = bytes.get(at..)?.first_chunk::<2>()?;
    Some(usize::from(u16::from_le_bytes(*two)))
}

fn long(bytes: &[u8], at: usize) -> Option<usize> {
    let four = bytes.get(at..)?.first_chunk::<4>()?;
    usize::try_from(u32::from_le_bytes(*four)).ok()
}
