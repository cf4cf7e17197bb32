//! The frames of a PBF file: blob by blob from a stream, each checked for its size before a byte of
//! it is kept.
//!
//! # Source
//! OpenStreetMap wiki, "PBF Format": a blob header is less than 64 KiB and an unpacked blob less
//! than 32 MiB; readers may refuse anything larger.

use std::io::{self, Read};

use flate2::read::ZlibDecoder;

use super::fault::Fault;
use super::wire::{Broken, Fields, Value};

/// The most bytes of a blob's header.
const HEADER_BYTES: u32 = 64 * 1024;
/// The most bytes of a blob, packed or unpacked.
pub(super) const BLOB_BYTES: u64 = 32 * 1024 * 1024;

/// What a blob is said to hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Header,
    Data,
    /// Something that readers are to pass over.
    Other,
}

/// A blob as it stands in the file.
#[derive(Debug)]
pub(super) struct Frame {
    /// Which one of the file, from 0.
    pub(super) number: usize,
    pub(super) kind: Kind,
    pub(super) packed: Vec<u8>,
}

/// The blobs of a stream.
pub(super) struct Frames<R> {
    source: R,
    next: usize,
    /// Bytes read so far.
    pub(super) read: u64,
}

impl<R: Read> Frames<R> {
    pub(super) fn of(source: R) -> Self {
        Self {
            source,
            next: 0,
            read: 0,
        }
    }

    /// The next blob; none at the end of the stream.
    pub(super) fn frame(&mut self) -> Result<Option<Frame>, Fault> {
        let number = self.next;
        let Some(length) = self.length(number)? else {
            return Ok(None);
        };
        if length >= HEADER_BYTES {
            return Err(Fault::header_size(number, u64::from(length)));
        }
        let header = self.bytes(u64::from(length), number)?;
        let (kind, size) = header_of(&header).map_err(|Broken| Fault::broken(number))?;
        if size > BLOB_BYTES {
            return Err(Fault::blob_size(number, size));
        }
        let packed = self.bytes(size, number)?;
        self.next += 1;
        Ok(Some(Frame {
            number,
            kind,
            packed,
        }))
    }

    /// The four bytes before a header, or the end of the stream.
    fn length(&mut self, number: usize) -> Result<Option<u32>, Fault> {
        let mut length = Vec::with_capacity(4);
        self.fill(&mut length, 4, number)?;
        match <[u8; 4]>::try_from(length.as_slice()) {
            Ok(bytes) => Ok(Some(u32::from_be_bytes(bytes))),
            Err(_) if length.is_empty() => Ok(None),
            Err(_) => Err(Fault::ends(number)),
        }
    }

    /// Exactly this many bytes. The buffer grows with what comes, not with what is claimed.
    fn bytes(&mut self, count: u64, number: usize) -> Result<Vec<u8>, Fault> {
        let mut bytes = Vec::new();
        self.fill(&mut bytes, count, number)?;
        if bytes.len() as u64 == count {
            Ok(bytes)
        } else {
            Err(Fault::ends(number))
        }
    }

    fn fill(&mut self, bytes: &mut Vec<u8>, count: u64, number: usize) -> Result<(), Fault> {
        let filled = self.source.by_ref().take(count).read_to_end(bytes);
        self.read += bytes.len() as u64;
        filled
            .map(drop)
            .map_err(|error: io::Error| Fault::unreadable(number, &error))
    }
}

fn header_of(header: &[u8]) -> Result<(Kind, u64), Broken> {
    let (mut kind, mut size) = (None, None);
    for field in Fields::of(header) {
        match field? {
            (1, Value::Bytes(b"OSMHeader")) => kind = Some(Kind::Header),
            (1, Value::Bytes(b"OSMData")) => kind = Some(Kind::Data),
            (1, Value::Bytes(_)) => kind = Some(Kind::Other),
            (3, Value::Number(number)) => size = Some(number),
            _ => {}
        }
    }
    kind.zip(size).ok_or(Broken)
}

/// The bytes of a blob, unpacked.
pub(super) fn unpacked(frame: &Frame) -> Result<Vec<u8>, Fault> {
    let number = frame.number;
    for field in Fields::of(&frame.packed) {
        match field.map_err(|Broken| Fault::broken(number))? {
            (1, Value::Bytes(raw)) => return Ok(raw.to_vec()),
            (3, Value::Bytes(zlib)) => return inflated(zlib, number),
            (4..=7, Value::Bytes(_)) => return Err(Fault::packing(number)),
            _ => {}
        }
    }
    Err(Fault::broken(number))
}

/// Stops at the limit, whatever size the blob claims to have: a few bytes can unpack to gigabytes.
fn inflated(zlib: &[u8], number: usize) -> Result<Vec<u8>, Fault> {
    let mut bytes = Vec::new();
    ZlibDecoder::new(zlib)
        .take(BLOB_BYTES + 1)
        .read_to_end(&mut bytes)
        .map_err(|_| Fault::broken(number))?;
    if bytes.len() as u64 > BLOB_BYTES {
        return Err(Fault::blob_size(number, bytes.len() as u64));
    }
    Ok(bytes)
}
