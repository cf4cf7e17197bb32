//! A block of an extract, walked in place.
//!
//! # Source
//! OpenStreetMap wiki, "PBF Format", with the field numbers of `osmformat.proto`.

use super::wire::{Broken, Fields, Packed, Value, zigzag};

/// The most texts of one block: a block of 8,000 things, the usual most, has some ten thousand.
const TEXTS: usize = 1 << 20;
/// Degrees are kept in steps of 100 nanodegrees, about a centimetre, as the map itself keeps them.
const STEP: i128 = 100;

/// A block with the table of its texts.
pub(super) struct Block<'a> {
    bytes: &'a [u8],
    texts: Vec<&'a [u8]>,
    granularity: i64,
    lat_offset: i64,
    lon_offset: i64,
}

impl<'a> Block<'a> {
    pub(super) fn of(bytes: &'a [u8]) -> Result<Self, Broken> {
        let mut block = Self {
            bytes,
            texts: Vec::new(),
            granularity: 100,
            lat_offset: 0,
            lon_offset: 0,
        };
        for field in Fields::of(bytes) {
            match field? {
                (1, Value::Bytes(table)) => block.take_texts(table)?,
                (17, Value::Number(number)) => block.granularity = number as i64,
                (19, Value::Number(number)) => block.lat_offset = number as i64,
                (20, Value::Number(number)) => block.lon_offset = number as i64,
                _ => {}
            }
        }
        Ok(block)
    }

    fn take_texts(&mut self, table: &'a [u8]) -> Result<(), Broken> {
        for field in Fields::of(table) {
            if let (1, Value::Bytes(text)) = field? {
                self.texts.push(text);
            }
            if self.texts.len() > TEXTS {
                return Err(Broken);
            }
        }
        Ok(())
    }

    /// A text of the block; none where there is none of this number, or it is not UTF-8.
    pub(super) fn text(&self, number: u64) -> Option<&'a str> {
        let text = self.texts.get(usize::try_from(number).ok()?)?;
        std::str::from_utf8(text).ok()
    }

    /// A place in steps of 100 nanodegrees, longitude first; none off the globe.
    pub(super) fn place(&self, lon: i64, lat: i64) -> Option<(i32, i32)> {
        let step = |offset: i64, number: i64, most: i128| {
            let nano = i128::from(offset) + i128::from(self.granularity) * i128::from(number);
            let steps = nano.div_euclid(STEP);
            (steps.abs() <= most).then(|| i32::try_from(steps).ok())?
        };
        let lon = step(self.lon_offset, lon, 1_800_000_000)?;
        Some((lon, step(self.lat_offset, lat, 900_000_000)?))
    }

    fn groups(&self) -> impl Iterator<Item = Result<&'a [u8], Broken>> + use<'a> {
        Fields::of(self.bytes).filter_map(|field| match field {
            Ok((2, Value::Bytes(group))) => Some(Ok(group)),
            Ok(_) => None,
            Err(broken) => Some(Err(broken)),
        })
    }

    /// Shows every way and relation.
    pub(super) fn ways_and_relations(
        &self,
        way: &mut dyn FnMut(&Thing<'a>) -> Result<(), Broken>,
        relation: &mut dyn FnMut(&Thing<'a>) -> Result<(), Broken>,
    ) -> Result<Census, Broken> {
        let mut census = Census::default();
        for group in self.groups() {
            for field in Fields::of(group?) {
                match field? {
                    (1 | 2, _) => census.has_nodes = true,
                    (3, Value::Bytes(bytes)) => {
                        census.ways += 1;
                        way(&Thing::of(bytes)?)?;
                    }
                    (4, Value::Bytes(bytes)) => {
                        census.relations += 1;
                        relation(&Thing::of(bytes)?)?;
                    }
                    _ => {}
                }
            }
        }
        Ok(census)
    }

    /// Shows every node: its id, its place, and how its tags stand.
    pub(super) fn nodes(
        &self,
        node: &mut dyn FnMut(i64, (i64, i64), Tagged<'a>) -> Result<(), Broken>,
    ) -> Result<(), Broken> {
        for group in self.groups() {
            for field in Fields::of(group?) {
                match field? {
                    (1, Value::Bytes(bytes)) => {
                        let thing = Thing::of(bytes)?;
                        node(zigzag(thing.id), (thing.lon, thing.lat), thing.tagged())?;
                    }
                    (2, Value::Bytes(bytes)) => dense(bytes, node)?,
                    _ => {}
                }
            }
        }
        Ok(())
    }
}

/// What a block holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Census {
    pub(super) has_nodes: bool,
    pub(super) ways: u64,
    pub(super) relations: u64,
}

/// A node, way or relation, its lists not yet read.
#[derive(Default)]
pub(super) struct Thing<'a> {
    /// As it stands: a node's is in zigzag.
    pub(super) id: u64,
    keys: Packed<'a>,
    values: Packed<'a>,
    /// The nodes of a way, or the roles of a relation's members.
    pub(super) eight: Packed<'a>,
    /// The members of a relation.
    pub(super) nine: Packed<'a>,
    /// What kinds they are: 0 a node, 1 a way, 2 a relation.
    pub(super) ten: Packed<'a>,
    lat: i64,
    lon: i64,
}

impl<'a> Thing<'a> {
    fn of(bytes: &'a [u8]) -> Result<Self, Broken> {
        let mut thing = Self::default();
        for field in Fields::of(bytes) {
            match field? {
                (1, Value::Number(id)) => thing.id = id,
                (2, Value::Bytes(bytes)) => thing.keys = Packed::of(bytes),
                (3, Value::Bytes(bytes)) => thing.values = Packed::of(bytes),
                (8, Value::Bytes(bytes)) => thing.eight = Packed::of(bytes),
                (9, Value::Bytes(bytes)) => thing.nine = Packed::of(bytes),
                (10, Value::Bytes(bytes)) => thing.ten = Packed::of(bytes),
                (8, Value::Number(lat)) => thing.lat = zigzag(lat),
                (9, Value::Number(lon)) => thing.lon = zigzag(lon),
                _ => {}
            }
        }
        Ok(thing)
    }

    pub(super) fn tagged(&self) -> Tagged<'a> {
        Tagged {
            keys: self.keys,
            values: Some(self.values),
        }
    }
}

/// Tags as numbers of texts: two lists, or one in which keys and values take turns.
#[derive(Clone, Copy)]
pub(super) struct Tagged<'a> {
    keys: Packed<'a>,
    values: Option<Packed<'a>>,
}

impl Iterator for Tagged<'_> {
    type Item = Result<(u64, u64), Broken>;

    fn next(&mut self) -> Option<Self::Item> {
        let key = self.keys.next()?;
        let value = self.values.as_mut().unwrap_or(&mut self.keys).next();
        Some(key.and_then(|key| Ok((key, value.ok_or(Broken)??))))
    }
}

/// Nodes in columns; each node's tags end with a nought.
fn dense<'a>(
    bytes: &'a [u8],
    node: &mut dyn FnMut(i64, (i64, i64), Tagged<'a>) -> Result<(), Broken>,
) -> Result<(), Broken> {
    let mut columns = [&[][..]; 11];
    for field in Fields::of(bytes) {
        if let (number @ (1 | 8 | 9 | 10), Value::Bytes(bytes)) = field? {
            columns[number as usize] = bytes;
        }
    }
    let mut lats = Packed::of(columns[8]).deltas();
    let mut lons = Packed::of(columns[9]).deltas();
    let mut tags = columns[10];
    for id in Packed::of(columns[1]).deltas() {
        let (id, lat) = (id?, lats.next().ok_or(Broken)??);
        let lon = lons.next().ok_or(Broken)??;
        node(id, (lon, lat), next_tags(&mut tags)?)?;
    }
    Ok(())
}

/// The tags up to the next nought, which is passed over.
fn next_tags<'a>(tags: &mut &'a [u8]) -> Result<Tagged<'a>, Broken> {
    let all = *tags;
    let mut at = 0;
    let mut is_key = true;
    while let Some(byte) = all.get(at) {
        if is_key && *byte == 0 {
            break;
        }
        let length = all[at..].iter().position(|byte| byte & 0x80 == 0);
        at += length.ok_or(Broken)? + 1;
        is_key = !is_key;
    }
    *tags = all.get(at + 1..).unwrap_or_default();
    Ok(Tagged {
        keys: Packed::of(&all[..at]),
        values: None,
    })
}
