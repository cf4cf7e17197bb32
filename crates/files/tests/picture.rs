//! Pictures with what a camera hides in them.
#![allow(missing_docs, reason = "a test")]
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

use gangday_files::{LARGEST_PICTURE, read_picture};

/// Where it was taken, as a camera would hide it.
const SECRET: &[u8] = b"GPS 54.0000 -3.5000, camera of M. Invented";

fn segment(marker: u8, inside: &[u8]) -> Vec<u8> {
    let length = u16::try_from(inside.len() + 2).unwrap();
    [&[0xFF, marker][..], &length.to_be_bytes(), inside].concat()
}

/// Exif by CIPA DC-008: one tag, the orientation, then what else the camera says.
fn exif(turned: u8, little: bool) -> Vec<u8> {
    let entry: &[u8] = if little {
        b"II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0"
    } else {
        b"MM\0*\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01"
    };
    let value = if little { [turned, 0] } else { [0, turned] };
    [b"Exif\0\0", entry, &value, &[0; 6], SECRET].concat()
}

fn jpeg(turned: u8, little: bool) -> Vec<u8> {
    [
        vec![0xFF, 0xD8],
        segment(0xE0, b"JFIF\0\x01\x02\0\0\x01\0\x01\0\0"),
        segment(0xE1, &exif(turned, little)),
        segment(0xE1, &[b"http://ns.adobe.com/xap/1.0/\0", SECRET].concat()),
        segment(0xE2, &[b"MPF\0", SECRET].concat()),
        segment(0xFE, SECRET),
        segment(0xDB, &[0; 65]),
        segment(0xDA, &[1, 1, 0, 0, 63, 0]),
        vec![1, 2, 0xFF, 0x00, 3, 0xFF, 0xD3, 4, 0xFF, 0xD9],
        SECRET.to_vec(),
    ]
    .concat()
}

fn chunk(name: &[u8; 4], inside: &[u8]) -> Vec<u8> {
    let length = u32::try_from(inside.len()).unwrap().to_be_bytes();
    [&length[..], name, inside, &[0; 4]].concat()
}

fn png() -> Vec<u8> {
    [
        b"\x89PNG\r\n\x1A\n".to_vec(),
        chunk(b"IHDR", &[0; 13]),
        chunk(b"eXIf", SECRET),
        chunk(b"tEXt", SECRET),
        chunk(b"IDAT", &[7; 9]),
        chunk(b"IEND", &[]),
        SECRET.to_vec(),
    ]
    .concat()
}

fn riff(name: &[u8; 4], inside: &[u8]) -> Vec<u8> {
    let length = u32::try_from(inside.len()).unwrap().to_le_bytes();
    let fill = vec![0; inside.len() % 2];
    [&name[..], &length, inside, &fill].concat()
}

fn webp() -> Vec<u8> {
    let inside = [
        b"WEBP".to_vec(),
        riff(b"VP8X", &[0b0001_1100, 0, 0, 0, 0, 0, 0, 0, 0, 0]),
        riff(b"VP8L", &[5; 7]),
        riff(b"EXIF", SECRET),
        riff(b"XMP ", SECRET),
    ]
    .concat();
    [riff(b"RIFF", &inside), SECRET.to_vec()].concat()
}

fn holds_secret(bytes: &[u8]) -> bool {
    bytes.windows(8).any(|part| part == &SECRET[..8])
}

#[test]
fn what_a_camera_hides_is_taken_out_and_the_picture_stays() {
    let cases = [
        (jpeg(1, true), "image/jpeg"),
        (jpeg(6, false), "image/jpeg"),
        (png(), "image/png"),
        (webp(), "image/webp"),
    ];
    for (bytes, media) in cases {
        assert!(holds_secret(&bytes));
        let picture = read_picture(&bytes).unwrap();
        assert_eq!(picture.media, media);
        assert!(!holds_secret(&picture.bytes), "{media}");
        assert!(picture.taken_out > SECRET.len(), "{media}");
        let again = read_picture(&picture.bytes).unwrap();
        assert_eq!((again.bytes, again.taken_out), (picture.bytes, 0));
    }
    let kept = read_picture(&jpeg(1, true)).unwrap().bytes;
    assert!(kept.ends_with(&[1, 2, 0xFF, 0x00, 3, 0xFF, 0xD3, 4, 0xFF, 0xD9]));
    let webp = read_picture(&webp()).unwrap().bytes;
    assert_eq!(webp[20], 0b0001_0000, "alpha stays, Exif and XMP are gone");
}

#[test]
fn which_way_up_stays() {
    for little in [true, false] {
        for turned in 2..=8 {
            let bytes = read_picture(&jpeg(turned, little)).unwrap().bytes;
            let at = bytes.windows(6).position(|part| part == b"Exif\0\0");
            let tiff = &bytes[at.unwrap() + 6..];
            assert_eq!(&tiff[..10], b"MM\0*\0\0\0\x08\0\x01");
            assert_eq!(tiff[19], turned);
        }
    }
    let upright = read_picture(&jpeg(1, true)).unwrap().bytes;
    assert!(!upright.windows(4).any(|part| part == b"Exif"));
}

#[test]
fn what_is_no_picture_is_refused_whatever_its_name_says() {
    let refused = |bytes: &[u8]| read_picture(bytes).unwrap_err().text;
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>";
    for bytes in [
        &svg[..],
        b"<html>",
        b"%PDF-1.7",
        b"GIF89a",
        b"",
        b"PK\x03\x04",
    ] {
        assert!(refused(bytes).contains("no JPEG, PNG or WebP"));
    }
    for whole in [jpeg(6, true), png(), webp()] {
        for cut in 12..whole.len() - SECRET.len() - 1 {
            let text = refused(&whole[..cut]);
            assert!(text.contains("cut short"), "{cut}: {text}");
        }
    }
    let large = vec![0xFF; LARGEST_PICTURE + 1];
    assert!(refused(&large).contains("the most is 10 MB"));
}
