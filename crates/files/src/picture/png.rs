//! A PNG without its texts, its time and its Exif.

use super::number;

/// What every PNG begins with.
pub(super) const SIGNATURE: &[u8] = b"\x89PNG\r\n\x1A\n";
/// The chunks that say how the picture looks.
const LOOKS: [&[u8; 4]; 17] = [
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sBIT", b"sRGB",
    b"cICP", b"bKGD", b"pHYs", b"sPLT", b"acTL", b"fcTL", b"fdAT",
];

/// The chunks that say how it looks, up to its end; none where it is cut short.
pub(super) fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut out = SIGNATURE.to_vec();
    let mut at = SIGNATURE.len();
    loop {
        let length = number(bytes, at)?;
        let name: &[u8; 4] = bytes.get(at + 4..at + 8)?.try_into().ok()?;
        let end = at.checked_add(length)?.checked_add(12)?;
        let chunk = bytes.get(at..end)?;
        if LOOKS.contains(&name) {
            out.extend_from_slice(chunk);
        }
        if name == b"IEND" {
            return Some(out);
        }
        at = end;
    }
}
