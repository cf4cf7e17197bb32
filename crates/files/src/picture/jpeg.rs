//! A JPEG without its comments, its Exif and whatever a camera hangs behind it.

/// End of the picture.
const EOI: u8 = 0xD9;
/// Start of a scan, which the picture's own data follow.
const SOS: u8 = 0xDA;
/// The name that a block of Exif begins with.
const EXIF: &[u8] = b"Exif\0\0";
/// Which way up, among the tags of Exif.
const ORIENTATION: u16 = 0x0112;

/// The picture's own segments; none where it is cut short.
pub(super) fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut out = vec![0xFF, 0xD8];
    let mut at = 2;
    loop {
        let marker = next_marker(bytes, &mut at)?;
        if marker == EOI {
            out.extend([0xFF, EOI]);
            return Some(out);
        }
        // Restarts and the old empty marker have no length.
        if matches!(marker, 0x01 | 0xD0..=0xD7) {
            out.extend([0xFF, marker]);
            continue;
        }
        let length = usize::from(u16::from_be_bytes(bytes.get(at..at + 2)?.try_into().ok()?));
        let inside = bytes.get(at + 2..at + length.max(2))?;
        if stays(marker, inside) {
            out.extend([0xFF, marker]);
            out.extend_from_slice(bytes.get(at..at + length)?);
        } else if let Some(turned) = (marker == 0xE1).then(|| orientation(inside)).flatten() {
            out.extend(upright(turned));
        }
        at += length.max(2);
        if marker == SOS {
            let end = end_of_scan(bytes, at)?;
            out.extend_from_slice(&bytes[at..end]);
            at = end;
        }
    }
}

/// The marker that comes next, past bytes that fill up.
fn next_marker(bytes: &[u8], at: &mut usize) -> Option<u8> {
    if *bytes.get(*at)? != 0xFF {
        return None;
    }
    while *bytes.get(*at)? == 0xFF {
        *at += 1;
    }
    let marker = bytes[*at];
    *at += 1;
    Some(marker)
}

/// Tables, frames and scans; of what programs add, the names of JFIF and Adobe and colour profiles.
fn stays(marker: u8, inside: &[u8]) -> bool {
    match marker {
        0xE0 => inside.starts_with(b"JFIF\0"),
        0xE2 => inside.starts_with(b"ICC_PROFILE\0"),
        0xEE => inside.starts_with(b"Adobe"),
        // The others that programs add, and comments.
        0xE1..=0xEF | 0xFE => false,
        _ => true,
    }
}

/// Where the data of a scan end: at the first marker that is no restart and no stuffed byte.
fn end_of_scan(bytes: &[u8], mut at: usize) -> Option<usize> {
    loop {
        let ahead = bytes.get(at..)?.iter().position(|byte| *byte == 0xFF)?;
        at += ahead;
        match *bytes.get(at + 1)? {
            0x00 | 0xD0..=0xD7 => at += 2,
            0xFF => at += 1,
            _ => return Some(at),
        }
    }
}

/// Which way up a block of Exif says that the picture is: 2 to 8, where it is not as it stands.
fn orientation(inside: &[u8]) -> Option<u8> {
    let tiff = inside.strip_prefix(EXIF)?;
    let little = tiff.starts_with(b"II*\0");
    if !little && !tiff.starts_with(b"MM\0*") {
        return None;
    }
    let two = |at: usize| -> Option<u16> {
        let pair = tiff.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(if little {
            u16::from_le_bytes(pair)
        } else {
            u16::from_be_bytes(pair)
        })
    };
    let four = tiff.get(4..8)?.try_into().ok()?;
    let first = if little {
        u32::from_le_bytes(four)
    } else {
        u32::from_be_bytes(four)
    };
    let first = usize::try_from(first).ok()?;
    let entries = usize::from(two(first)?);
    let mut entries = (0..entries).map(|entry| first + 2 + entry * 12);
    let entry = entries.find(|at| two(*at) == Some(ORIENTATION))?;
    let turned = u8::try_from(two(entry + 8)?).ok()?;
    (2..=8).contains(&turned).then_some(turned)
}

/// A block of Exif that says which way up, and nothing else.
fn upright(turned: u8) -> Vec<u8> {
    let mut block = vec![0xFF, 0xE1, 0, 34];
    block.extend_from_slice(EXIF);
    block.extend_from_slice(b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0");
    block.extend([turned, 0, 0, 0, 0, 0, 0]);
    block
}
