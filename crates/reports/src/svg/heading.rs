//! Which way the street runs at a work, so that its bar lies along it.

use std::collections::BTreeMap;

use crate::client_page::{ClientPage, WorkEntry};

use super::frame::Frame;

type Place = (f64, f64);
type Piece = (Place, Place);

/// The pieces of every street, by street name.
pub(super) struct Headings<'a> {
    by_name: BTreeMap<&'a str, Vec<Piece>>,
}

impl<'a> Headings<'a> {
    /// The streets of a page, on its drawing.
    pub(super) fn of(page: &'a ClientPage, frame: &Frame) -> Self {
        let mut by_name: BTreeMap<&str, Vec<Piece>> = BTreeMap::new();
        for street in &page.streets {
            let pieces = by_name.entry(street.name.as_str()).or_default();
            for line in &street.lines {
                let places = frame.places(line);
                pieces.extend(
                    places
                        .iter()
                        .zip(places.iter().skip(1))
                        .map(|(&a, &b)| (a, b)),
                );
            }
        }
        Self { by_name }
    }

    /// Degrees clockwise from the right, more than -90 and at most 90.
    ///
    /// The work's own street counts first, then whichever is nearest, then its footprint.
    pub(super) fn at(&self, work: &WorkEntry, place: Place, frame: &Frame) -> f64 {
        let own = self
            .by_name
            .get(work.street.as_str())
            .map(Vec::as_slice)
            .unwrap_or_default();
        let piece = nearest(own.iter(), place)
            .or_else(|| nearest(self.by_name.values().flatten(), place))
            .or_else(|| longest_edge(&frame.places(&work.footprint)));
        piece.map_or(0.0, |piece| upright(angle(piece)))
    }
}

fn nearest<'p>(pieces: impl Iterator<Item = &'p Piece>, place: Place) -> Option<Piece> {
    pieces
        .filter(|(a, b)| a != b)
        .min_by(|a, b| distance(a, place).total_cmp(&distance(b, place)))
        .copied()
}

fn longest_edge(ring: &[Place]) -> Option<Piece> {
    let length = |(a, b): &Piece| (a.0 - b.0).hypot(a.1 - b.1);
    ring.iter()
        .zip(ring.iter().skip(1))
        .map(|(&a, &b)| (a, b))
        .max_by(|a, b| length(a).total_cmp(&length(b)))
}

/// Distance from a place to a piece of line.
fn distance(&(a, b): &Piece, place: Place) -> f64 {
    let (along, across) = (b.0 - a.0, b.1 - a.1);
    let part =
        ((place.0 - a.0) * along + (place.1 - a.1) * across) / (along * along + across * across);
    let part = part.clamp(0.0, 1.0);
    (a.0 + part * along - place.0).hypot(a.1 + part * across - place.1)
}

fn angle((a, b): Piece) -> f64 {
    (b.1 - a.1).atan2(b.0 - a.0).to_degrees()
}

/// The same direction, the way that words read from left to right.
pub(super) fn upright(degrees: f64) -> f64 {
    if degrees > 90.0 {
        degrees - 180.0
    } else if degrees <= -90.0 {
        degrees + 180.0
    } else {
        degrees
    }
}

#[cfg(test)]
mod tests {
    use super::{distance, longest_edge, upright};

    #[test]
    fn words_are_never_upside_down() {
        for (degrees, want) in [
            (135.0, -45.0),
            (-135.0, 45.0),
            (-90.0, 90.0),
            (90.0, 90.0),
            (180.0, 0.0),
        ] {
            assert!((upright(degrees) - want).abs() < 1e-9, "{degrees}");
        }
    }

    #[test]
    fn distance_is_to_the_piece_and_not_to_its_line() {
        let piece = ((0.0, 0.0), (10.0, 0.0));
        assert!((distance(&piece, (5.0, 3.0)) - 3.0).abs() < 1e-9);
        assert!((distance(&piece, (13.0, 4.0)) - 5.0).abs() < 1e-9);
    }

    #[test]
    fn a_footprint_lies_along_its_longer_side() {
        let ring = [(0.0, 0.0), (0.0, 9.0), (2.0, 9.0), (2.0, 0.0), (0.0, 0.0)];
        assert_eq!(longest_edge(&ring), Some(((2.0, 9.0), (2.0, 0.0))));
        assert_eq!(longest_edge(&[]), None);
    }
}
