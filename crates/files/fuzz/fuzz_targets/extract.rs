//! Any bytes as a map extract, as a block of one, or as the network that is kept of one.
//!
//! The first byte says what the others are, so that changes reach the inside of a block without
//! having to hit its frame or its packing: 0 a whole file, 1 a plain block, 2 a packed block, 3 two
//! blocks, 4 a `network.json`. Beside not panicking, what is read must be whole: every link ends at
//! its junctions, the kept file gives the same network back, and merging the streets twice changes
//! nothing.
#![no_main]

use std::io::{Cursor, Write as _};

use flate2::Compression;
use flate2::write::ZlibEncoder;
use gangday_files::{merge_streets, read_network, read_osm, write_network};
use gangday_model::Network;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|data: &[u8]| {
    let Some((mode, bytes)) = data.split_first() else {
        return;
    };
    match mode % 5 {
        0 => extract(bytes),
        1 => extract(&file(&[raw(bytes)])),
        2 => extract(&file(&[zlib(bytes)])),
        3 => {
            let (one, other) = bytes.split_at(bytes.len() / 2);
            extract(&file(&[raw(one), raw(other)]));
        }
        _ => kept(bytes),
    }
});

fn extract(bytes: &[u8]) {
    let intake = read_osm("fuzz.osm.pbf", &mut Cursor::new(bytes), &mut |_| {});
    let Some(network) = intake.network else {
        assert!(intake.findings.iter().any(|finding| finding.is_fault()));
        return;
    };
    whole(&network);
    assert_eq!(read_network(&write_network(&network)).as_ref(), Ok(&network));
    let once = merge_streets(None, &intake.streets).expect("there was no file");
    let twice = merge_streets(Some(&once.bytes), &intake.streets).expect("it was just written");
    assert_eq!(once.bytes, twice.bytes);
}

fn kept(bytes: &[u8]) {
    if let Ok(network) = read_network(bytes) {
        whole(&network);
    }
}

fn whole(network: &Network) {
    for link in &network.links {
        assert_eq!(link.line.first(), network.junctions.get(link.from as usize));
        assert_eq!(link.line.last(), network.junctions.get(link.to as usize));
    }
    for turn in &network.turns {
        let mut at = turn.via;
        let first = &network.links[turn.links[0] as usize];
        assert!(first.from == at || first.to == at);
        for number in &turn.links[1..] {
            let link = &network.links[*number as usize];
            assert!(link.from == at || link.to == at);
            at = if link.from == at { link.to } else { link.from };
        }
    }
}

fn file(blobs: &[Vec<u8>]) -> Vec<u8> {
    let header = [field(4, b"OsmSchema-V0.6"), field(4, b"DenseNodes")].concat();
    let mut bytes = framed("OSMHeader", &raw(&header));
    for blob in blobs {
        bytes.extend(framed("OSMData", blob));
    }
    bytes
}

fn framed(kind: &str, blob: &[u8]) -> Vec<u8> {
    let mut header = field(1, kind.as_bytes());
    header.push(3 << 3);
    header.extend(varint(blob.len()));
    [&(header.len() as u32).to_be_bytes()[..], &header, blob].concat()
}

fn raw(block: &[u8]) -> Vec<u8> {
    field(1, block)
}

fn zlib(block: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::fast());
    encoder.write_all(block).expect("it goes to memory");
    field(3, &encoder.finish().expect("it goes to memory"))
}

fn field(key: u8, bytes: &[u8]) -> Vec<u8> {
    let mut out = vec![key << 3 | 2];
    out.extend(varint(bytes.len()));
    out.extend_from_slice(bytes);
    out
}

fn varint(mut number: usize) -> Vec<u8> {
    let mut out = Vec::new();
    while number > 0x7f {
        out.push(number as u8 | 0x80);
        number >>= 7;
    }
    out.push(number as u8);
    out
}
