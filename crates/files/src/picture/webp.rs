//! A WebP without its Exif and XMP.

/// The chunks that say how the picture looks.
const LOOKS: [&[u8; 4]; 7] = [
    b"VP8 ", b"VP8L", b"VP8X", b"ALPH", b"ANIM", b"ANMF", b"ICCP",
];
/// In the first byte of `VP8X`: there is Exif, there is XMP.
const SAYS_MORE: u8 = 0b0000_1100;

/// The chunks that say how it looks; none where it is cut short.
pub(super) fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let whole = little(bytes, 4)?.checked_add(8)?;
    let bytes = bytes.get(..whole)?;
    let mut out = b"RIFF\0\0\0\0WEBP".to_vec();
    let (mut at, mut looks) = (12, false);
    while at < bytes.len() {
        let name: &[u8; 4] = bytes.get(at..at + 4)?.try_into().ok()?;
        let length = little(bytes, at + 4)?;
        let end = at.checked_add(8)?.checked_add(length)?;
        let chunk = bytes.get(at..end)?;
        // A chunk of odd length is filled up by one byte.
        let next = end + length % 2;
        if LOOKS.contains(&name) {
            let start = out.len();
            out.extend_from_slice(chunk);
            out.extend(std::iter::repeat_n(0, length % 2));
            if name == b"VP8X" {
                *out.get_mut(start + 8)? &= !SAYS_MORE;
            }
            looks |= name == b"VP8 " || name == b"VP8L" || name == b"ANMF";
        }
        at = next;
    }
    let length = u32::try_from(out.len() - 8).ok()?;
    out[4..8].copy_from_slice(&length.to_le_bytes());
    looks.then_some(out)
}

fn little(bytes: &[u8], at: usize) -> Option<usize> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    usize::try_from(u32::from_le_bytes(four.try_into().ok()?)).ok()
}
