//! Pictures that somebody attaches to a job: told by what their bytes are, with everything taken out
//! that says where, when and with what they were taken.
//!
//! # Source
//! JPEG: ITU-T T.81, annex B; Exif: CIPA DC-008. PNG: W3C PNG (third edition), clauses 5 and 11. WebP:
//! RFC 9649, clause 2.

mod jpeg;
mod png;
mod webp;

use gangday_model::Finding;

use crate::codes::PICTURE;

/// The most that a picture may be, in bytes.
pub const LARGEST_PICTURE: usize = 10 * 1024 * 1024;

/// A picture as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Picture {
    /// `image/jpeg`, `image/png` or `image/webp`.
    pub media: &'static str,
    /// The ending of its kind: `jpg`, `png` or `webp`.
    pub ending: &'static str,
    /// Its bytes, without what was taken out.
    pub bytes: Vec<u8>,
    /// How many bytes of place, time, camera and words were taken out.
    pub taken_out: usize,
}

/// Reads a picture and takes everything out that is no part of how it looks; which way up it is to be
/// shown stays.
///
/// # Errors
/// It is larger than 10 MB, no JPEG, PNG or WebP by what its bytes are, or cut short.
pub fn read_picture(bytes: &[u8]) -> Result<Picture, Box<Finding>> {
    if bytes.len() > LARGEST_PICTURE {
        let text = format!(
            "the picture is {} MB, and the most is {} MB",
            bytes.len().div_ceil(1024 * 1024),
            LARGEST_PICTURE / (1024 * 1024)
        );
        let remedy = "Save it smaller and attach that.";
        return Err(Box::new(Finding::fault(PICTURE, text, remedy)));
    }
    let (media, ending, bare) = if bytes.starts_with(&[0xFF, 0xD8, 0xFF]) {
        ("image/jpeg", "jpg", jpeg::bare(bytes))
    } else if bytes.starts_with(png::SIGNATURE) {
        ("image/png", "png", png::bare(bytes))
    } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
        ("image/webp", "webp", webp::bare(bytes))
    } else {
        let text = "it is no JPEG, PNG or WebP picture, whatever its name says";
        let remedy = "Attach a photo; for a drawing or a page, a picture of it.";
        return Err(Box::new(Finding::fault(PICTURE, text, remedy)));
    };
    let Some(bare) = bare else {
        let text = "the picture is cut short or damaged";
        let remedy = "Copy it from the camera or phone again.";
        return Err(Box::new(Finding::fault(PICTURE, text, remedy)));
    };
    Ok(Picture {
        media,
        ending,
        taken_out: bytes.len().saturating_sub(bare.len()),
        bytes: bare,
    })
}

/// A big-endian number of four bytes.
fn number(bytes: &[u8], at: usize) -> Option<usize> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    usize::try_from(u32::from_be_bytes(four.try_into().ok()?)).ok()
}
