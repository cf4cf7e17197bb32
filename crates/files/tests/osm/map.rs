//! Small maps of our own, written as extracts.

use std::io::{Cursor, Write as _};

use flate2::Compression;
use flate2::write::ZlibEncoder;
use gangday_files::{OsmIntake, read_osm};

pub type Tags<'a> = &'a [(&'a str, &'a str)];

/// Id, steps east and north, tags by the numbers of their texts.
type Node = (i64, i64, i64, Vec<(u64, u64)>);

/// A map, thing by thing.
#[derive(Default)]
pub struct Map {
    texts: Vec<String>,
    nodes: Vec<Node>,
    ways: Vec<Vec<u8>>,
    relations: Vec<Vec<u8>>,
}

impl Map {
    pub fn new() -> Self {
        Self {
            texts: vec![String::new()],
            ..Self::default()
        }
    }

    /// A node this many steps of 10^-7 degrees east and north of 1° W 53° N.
    pub fn node(mut self, id: i64, east: i64, north: i64, tags: Tags<'_>) -> Self {
        let tags = tags
            .iter()
            .map(|(key, value)| (self.text(key), self.text(value)))
            .collect();
        self.nodes
            .push((id, -10_000_000 + east, 530_000_000 + north, tags));
        self
    }

    /// A row of nodes from `first` on, 1,000 steps apart going east.
    pub fn row(mut self, ids: std::ops::RangeInclusive<i64>, north: i64) -> Self {
        for id in ids {
            self = self.node(id, id * 1000, north, &[]);
        }
        self
    }

    pub fn way(mut self, id: i64, nodes: &[i64], tags: Tags<'_>) -> Self {
        let mut bytes = self.start(id, tags);
        bytes.extend(field(8, &deltas(nodes.iter().copied())));
        self.ways.push(bytes);
        self
    }

    /// A relation of members: kind (0 node, 1 way, 2 relation), id, role.
    pub fn relation(mut self, id: i64, members: &[(u64, i64, &str)], tags: Tags<'_>) -> Self {
        let mut bytes = self.start(id, tags);
        let roles: Vec<u64> = members.iter().map(|member| self.text(member.2)).collect();
        bytes.extend(field(8, &packed(roles)));
        bytes.extend(field(9, &deltas(members.iter().map(|member| member.1))));
        bytes.extend(field(10, &packed(members.iter().map(|member| member.0))));
        self.relations.push(bytes);
        self
    }

    fn start(&mut self, id: i64, tags: Tags<'_>) -> Vec<u8> {
        let keys: Vec<u64> = tags.iter().map(|tag| self.text(tag.0)).collect();
        let values: Vec<u64> = tags.iter().map(|tag| self.text(tag.1)).collect();
        let mut bytes = number(1, id as u64);
        bytes.extend(field(2, &packed(keys)));
        bytes.extend(field(3, &packed(values)));
        bytes
    }

    fn text(&mut self, text: &str) -> u64 {
        let at = self.texts.iter().position(|other| other == text);
        at.unwrap_or_else(|| {
            self.texts.push(text.to_owned());
            self.texts.len() - 1
        }) as u64
    }

    /// The one block of the map.
    pub fn block(&self) -> Vec<u8> {
        let table: Vec<u8> = self
            .texts
            .iter()
            .flat_map(|text| field(1, text.as_bytes()))
            .collect();
        let mut dense = field(1, &deltas(self.nodes.iter().map(|node| node.0)));
        dense.extend(field(8, &deltas(self.nodes.iter().map(|node| node.2))));
        dense.extend(field(9, &deltas(self.nodes.iter().map(|node| node.1))));
        let tags = self.nodes.iter().flat_map(|node| {
            let pairs = node.3.iter().flat_map(|(key, value)| [*key, *value]);
            pairs.chain([0]).collect::<Vec<_>>()
        });
        dense.extend(field(10, &packed(tags)));
        let mut block = field(1, &table);
        block.extend(field(2, &field(2, &dense)));
        let ways: Vec<u8> = self.ways.iter().flat_map(|way| field(3, way)).collect();
        block.extend(field(2, &ways));
        let relations: Vec<u8> = self
            .relations
            .iter()
            .flat_map(|one| field(4, one))
            .collect();
        block.extend(field(2, &relations));
        block
    }

    pub fn bytes(&self) -> Vec<u8> {
        extract(&[self.block()])
    }

    pub fn read(&self) -> OsmIntake {
        read(&self.bytes())
    }
}

pub fn read(bytes: &[u8]) -> OsmIntake {
    read_osm("map.osm.pbf", &mut Cursor::new(bytes), &mut |_| {})
}

/// An extract of these blocks, zlib packed.
pub fn extract(blocks: &[Vec<u8>]) -> Vec<u8> {
    let mut bytes = framed("OSMHeader", &raw(&header()));
    for block in blocks {
        bytes.extend(framed("OSMData", &zlib(block)));
    }
    bytes
}

pub fn header() -> Vec<u8> {
    [field(4, b"OsmSchema-V0.6"), field(4, b"DenseNodes")].concat()
}

pub fn raw(block: &[u8]) -> Vec<u8> {
    field(1, block)
}

pub fn zlib(block: &[u8]) -> Vec<u8> {
    let mut encoder = ZlibEncoder::new(Vec::new(), Compression::fast());
    encoder.write_all(block).unwrap();
    let mut blob = number(2, block.len() as u64);
    blob.extend(field(3, &encoder.finish().unwrap()));
    blob
}

pub fn framed(kind: &str, blob: &[u8]) -> Vec<u8> {
    let header = [field(1, kind.as_bytes()), number(3, blob.len() as u64)].concat();
    let length = u32::try_from(header.len()).unwrap().to_be_bytes();
    [&length[..], &header, blob].concat()
}

pub fn field(key: u64, bytes: &[u8]) -> Vec<u8> {
    let mut out = varint(key << 3 | 2);
    out.extend(varint(bytes.len() as u64));
    out.extend_from_slice(bytes);
    out
}

pub fn number(key: u64, value: u64) -> Vec<u8> {
    [varint(key << 3), varint(value)].concat()
}

pub fn packed(numbers: impl IntoIterator<Item = u64>) -> Vec<u8> {
    numbers.into_iter().flat_map(varint).collect()
}

pub fn deltas(numbers: impl IntoIterator<Item = i64>) -> Vec<u8> {
    let mut before = 0_i64;
    let zigzag = numbers.into_iter().map(|number| {
        let delta = number.wrapping_sub(before);
        before = number;
        ((delta << 1) ^ (delta >> 63)) as u64
    });
    packed(zigzag)
}

fn varint(mut number: u64) -> Vec<u8> {
    let mut out = Vec::new();
    while number > 0x7f {
        out.push(number as u8 | 0x80);
        number >>= 7;
    }
    out.push(number as u8);
    out
}
