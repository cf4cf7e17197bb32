//! GeoJSON geometries as GeoPackage binary, and back.
//!
//! # Source
//! OGC 12-128r19 (GeoPackage 1.4), clause 2.1.3.1.1, the binary format; ISO 13249-3 well-known
//! binary inside it; RFC 7946 for the other side.

use serde_json::{Number, Value, json};

/// What a layer's geometries are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Shape {
    /// Points.
    Point,
    /// Lines; one alone counts as a bundle of one.
    MultiLine,
    /// Polygons.
    Polygon,
}

impl Shape {
    /// The name in `gpkg_geometry_columns`.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Point => "POINT",
            Self::MultiLine => "MULTILINESTRING",
            Self::Polygon => "POLYGON",
        }
    }
}

/// The spatial reference system of every layer: WGS 84, longitude first.
pub(crate) const SRS: i32 = 4326;

const POINT: u32 = 1;
const LINE: u32 = 2;
const POLYGON: u32 = 3;
const MULTI_LINE: u32 = 5;
/// What well-known binary adds to a type that has heights.
const WITH_HEIGHT: u32 = 1000;

/// Longitude, latitude and the height, if there is one.
type Position = Vec<f64>;

/// West, east, south and north.
pub(crate) type Envelope = [f64; 4];

/// The parts of a geometry: a point is one part of one position.
struct Parts {
    kind: u32,
    parts: Vec<Vec<Position>>,
}

/// The binary of a geometry of this shape; none where it is another, or holds what the binary
/// can't.
pub(crate) fn encode(geometry: &Value, shape: Shape) -> Option<Vec<u8>> {
    let parts = parts(geometry, shape)?;
    let height = parts.parts.first()?.first()?.len() == 3;
    let mut out = header(&parts);
    wkb(&parts, height, &mut out);
    Some(out)
}

fn parts(geometry: &Value, shape: Shape) -> Option<Parts> {
    let kind = geometry.get("type")?.as_str()?;
    let at = geometry.get("coordinates")?;
    let (kind, parts) = match (shape, kind) {
        (Shape::Point, "Point") => (POINT, vec![vec![position(at)?]]),
        (Shape::MultiLine, "LineString") => (MULTI_LINE, vec![line(at)?]),
        (Shape::MultiLine, "MultiLineString") => (MULTI_LINE, lines(at)?),
        (Shape::Polygon, "Polygon") => (POLYGON, lines(at)?),
        _ => return None,
    };
    let mut lengths = parts.iter().flatten().map(Vec::len);
    let first = lengths.next()?;
    let sound = parts.iter().all(|part| !part.is_empty()) && lengths.all(|one| one == first);
    sound.then_some(Parts { kind, parts })
}

fn position(value: &Value) -> Option<Position> {
    let numbers: Option<Vec<f64>> = value.as_array()?.iter().map(Value::as_f64).collect();
    numbers.filter(|all| matches!(all.len(), 2 | 3))
}

fn line(value: &Value) -> Option<Vec<Position>> {
    value.as_array()?.iter().map(position).collect()
}

fn lines(value: &Value) -> Option<Vec<Vec<Position>>> {
    value.as_array()?.iter().map(line).collect()
}

/// Little-endian, with an envelope of longitudes and latitudes but for points.
fn header(parts: &Parts) -> Vec<u8> {
    let envelope = (parts.kind != POINT).then(|| envelope_of(&parts.parts));
    let mut out = vec![
        b'G',
        b'P',
        0,
        if envelope.is_some() { 0b0011 } else { 0b0001 },
    ];
    out.extend(SRS.to_le_bytes());
    for bound in envelope.into_iter().flatten() {
        out.extend(bound.to_le_bytes());
    }
    out
}

fn envelope_of(parts: &[Vec<Position>]) -> Envelope {
    let mut all = [
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
    ];
    for at in parts.iter().flatten() {
        all[0] = all[0].min(at[0]);
        all[1] = all[1].max(at[0]);
        all[2] = all[2].min(at[1]);
        all[3] = all[3].max(at[1]);
    }
    all
}

fn wkb(parts: &Parts, height: bool, out: &mut Vec<u8>) {
    let lift = if height { WITH_HEIGHT } else { 0 };
    start(parts.kind + lift, out);
    if parts.kind == POINT {
        numbers(&parts.parts[0][0], out);
        return;
    }
    count(parts.parts.len(), out);
    for part in &parts.parts {
        if parts.kind == MULTI_LINE {
            start(LINE + lift, out);
        }
        count(part.len(), out);
        part.iter().for_each(|at| numbers(at, out));
    }
}

fn start(kind: u32, out: &mut Vec<u8>) {
    out.push(1);
    out.extend(kind.to_le_bytes());
}

fn count(many: usize, out: &mut Vec<u8>) {
    out.extend(u32::try_from(many).unwrap_or(u32::MAX).to_le_bytes());
}

fn numbers(at: &[f64], out: &mut Vec<u8>) {
    at.iter()
        .for_each(|number| out.extend(number.to_le_bytes()));
}

/// The GeoJSON geometry of a binary, whoever wrote it; none where it is not a shape of ours.
pub(crate) fn decode(blob: &[u8]) -> Option<Value> {
    let mut reader = Reader::of(blob)?;
    let Parts { kind, parts } = reader.geometry()?;
    let all: Vec<Value> = parts
        .iter()
        .map(|part| part.iter().map(json_position).collect())
        .collect();
    match kind {
        POINT => {
            Some(json!({"type": "Point", "coordinates": json_position(parts.first()?.first()?)}))
        }
        POLYGON => Some(json!({"type": "Polygon", "coordinates": all})),
        _ if all.len() == 1 => Some(json!({"type": "LineString", "coordinates": all[0]})),
        _ => Some(json!({"type": "MultiLineString", "coordinates": all})),
    }
}

fn json_position(at: &Position) -> Value {
    at.iter()
        .map(|number| Number::from_f64(*number).map_or(Value::Null, Value::Number))
        .collect()
}

/// The envelope of a binary; none for an empty geometry, or where it can't be read.
pub(crate) fn envelope(blob: &[u8]) -> Option<Envelope> {
    let parts = Reader::of(blob)?.geometry()?;
    Some(envelope_of(&parts.parts)).filter(|bounds| bounds[0] <= bounds[1])
}

/// Well-known binary, read with its bounds kept.
struct Reader<'a> {
    rest: &'a [u8],
    little: bool,
}

impl<'a> Reader<'a> {
    /// Past the header.
    fn of(blob: &'a [u8]) -> Option<Self> {
        let rest = blob.strip_prefix(b"GP")?;
        let flags = *rest.get(1)?;
        let envelope = match (flags >> 1) & 7 {
            0 => 0,
            1 => 32,
            2 | 3 => 48,
            4 => 64,
            _ => return None,
        };
        Some(Self {
            rest: rest.get(6 + envelope..)?,
            little: true,
        })
    }

    fn take<const N: usize>(&mut self) -> Option<[u8; N]> {
        let (taken, rest) = self.rest.split_first_chunk::<N>()?;
        self.rest = rest;
        Some(*taken)
    }

    fn whole(&mut self) -> Option<u32> {
        let bytes = self.take()?;
        Some(if self.little {
            u32::from_le_bytes(bytes)
        } else {
            u32::from_be_bytes(bytes)
        })
    }

    fn number(&mut self) -> Option<f64> {
        let bytes = self.take()?;
        Some(if self.little {
            f64::from_le_bytes(bytes)
        } else {
            f64::from_be_bytes(bytes)
        })
    }

    /// The type without its heights, and how many numbers a position has.
    fn start(&mut self) -> Option<(u32, usize)> {
        self.little = self.take::<1>()?[0] == 1;
        let kind = self.whole()?;
        match kind / WITH_HEIGHT {
            0 => Some((kind, 2)),
            1 => Some((kind % WITH_HEIGHT, 3)),
            _ => None,
        }
    }

    fn geometry(&mut self) -> Option<Parts> {
        let (kind, size) = self.start()?;
        let parts = match kind {
            POINT => vec![vec![self.position(size)?]],
            LINE => vec![self.line(size)?],
            POLYGON => self.many(|reader| reader.line(size))?,
            MULTI_LINE => self.many(|reader| {
                let (_, size) = reader.start()?;
                reader.line(size)
            })?,
            _ => return None,
        };
        Some(Parts { kind, parts })
    }

    fn position(&mut self, size: usize) -> Option<Position> {
        (0..size).map(|_| self.number()).collect()
    }

    fn line(&mut self, size: usize) -> Option<Vec<Position>> {
        self.many(|reader| reader.position(size))
    }

    /// A stated count is not believed: memory grows with what is there.
    fn many<T>(&mut self, mut one: impl FnMut(&mut Self) -> Option<T>) -> Option<Vec<T>> {
        let count = self.whole()?;
        let mut all = Vec::new();
        for _ in 0..count {
            all.push(one(self)?);
        }
        Some(all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The point of the well-known binary example in OGC 06-103r4, clause 8.2, is the shape of
    /// this test; its numbers are our own.
    #[test]
    fn a_point_is_the_bytes_that_the_standard_states() {
        let point = json!({"type": "Point", "coordinates": [1.0, 2.0]});
        let blob = encode(&point, Shape::Point).unwrap();
        let stated = "4750000 1E6100000 0101000000 000000000000F03F 0000000000000040";
        let hex: String = blob.iter().map(|byte| format!("{byte:02X}")).collect();
        assert_eq!(hex, stated.replace(' ', ""));
        assert_eq!(decode(&blob), Some(point));
    }

    #[test]
    fn lines_polygons_and_heights_come_back() {
        let shapes = [
            (
                Shape::MultiLine,
                json!({"type": "LineString", "coordinates": [[-1.5, 53.25], [-1.25, 53.5]]}),
            ),
            (
                Shape::MultiLine,
                json!({"type": "MultiLineString", "coordinates": [[[0.5, 1.5], [2.5, 3.5]], [[4.5, 5.5], [6.5, 7.5]]]}),
            ),
            (
                Shape::Polygon,
                json!({"type": "Polygon", "coordinates": [[[0.5, 0.5], [1.5, 0.5], [1.5, 1.5], [0.5, 0.5]]]}),
            ),
            (
                Shape::Point,
                json!({"type": "Point", "coordinates": [-1.5, 53.25, 41.5]}),
            ),
        ];
        for (shape, geometry) in shapes {
            let blob = encode(&geometry, shape).unwrap();
            assert_eq!(decode(&blob).as_ref(), Some(&geometry));
            assert!(envelope(&blob).is_some());
        }
    }

    #[test]
    fn what_is_no_shape_of_the_layer_is_left_alone() {
        let line = json!({"type": "LineString", "coordinates": [[0.0, 0.0], [1.0, 1.0]]});
        assert_eq!(encode(&line, Shape::Point), None);
        let empty = json!({"type": "MultiLineString", "coordinates": []});
        assert_eq!(encode(&empty, Shape::MultiLine), None);
        let mixed = json!({"type": "LineString", "coordinates": [[0.0, 0.0], [1.0, 1.0, 2.0]]});
        assert_eq!(encode(&mixed, Shape::MultiLine), None);
    }

    #[test]
    fn a_count_that_lies_asks_for_no_memory() {
        let mut blob = b"GP\0\x01\xE6\x10\0\0".to_vec();
        blob.extend([1, 2, 0, 0, 0, 255, 255, 255, 255]);
        assert_eq!(decode(&blob), None);
    }
}
