//! The street line nearest to a place.

use gangday_model::PlanePoint;
use rstar::RTree;

use crate::pieces::{Piece, nearest, piece};
use crate::{Polyline, Station};

/// A place brought to the nearest line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Snap {
    /// Which street, by its place in the list that the index was made from.
    pub street: usize,
    /// Which of the street's lines.
    pub part: usize,
    /// Where the place is by that line.
    pub station: Station,
    /// The nearest point on the line.
    pub on_line: PlanePoint,
    /// The bearing of the line there, degrees clockwise from the plane's north.
    pub bearing_deg: f64,
}

/// Lines of streets in an R-tree of their straight pieces.
#[derive(Clone, Debug)]
pub struct LineIndex {
    lines: Vec<Vec<Polyline>>,
    tree: RTree<Piece<(usize, usize)>>,
}

impl LineIndex {
    /// An index of these streets, each with its lines, loaded in one go.
    #[must_use]
    pub fn new(streets: Vec<Vec<Polyline>>) -> Self {
        let mut pieces = Vec::new();
        for (street, parts) in streets.iter().enumerate() {
            for (part, line) in parts.iter().enumerate() {
                pieces.extend(
                    line.segments()
                        .map(|(_, from, to)| piece((street, part), from, to)),
                );
            }
        }
        Self {
            lines: streets,
            tree: RTree::bulk_load(pieces),
        }
    }

    /// One line of one street.
    #[must_use]
    pub fn line(&self, street: usize, part: usize) -> Option<&Polyline> {
        self.lines.get(street)?.get(part)
    }

    /// The nearest line within reach; the street that comes first where two are as near.
    ///
    /// # Units
    /// `reach_m` in metres.
    #[must_use]
    pub fn snap(&self, place: PlanePoint, reach_m: f64) -> Option<Snap> {
        let (street, part) = nearest(&self.tree, place, reach_m)?;
        self.snap_to(street, part, place)
    }

    /// The nearest line of this one street, however far it is.
    #[must_use]
    pub fn snap_to_street(&self, street: usize, place: PlanePoint) -> Option<Snap> {
        let parts = 0..self.lines.get(street)?.len();
        let all = parts.filter_map(|part| self.snap_to(street, part, place));
        all.min_by(|a, b| a.station.distance_m.total_cmp(&b.station.distance_m))
    }

    fn snap_to(&self, street: usize, part: usize, place: PlanePoint) -> Option<Snap> {
        let line = self.line(street, part)?;
        let station = line.station(place);
        let foot_m = station.chainage_m.clamp(0.0, line.length_m());
        let (on_line, bearing_deg) = (line.at(foot_m), line.bearing_at(foot_m));
        Some(Snap {
            street,
            part,
            station,
            on_line,
            bearing_deg,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(east: f64, north: f64) -> PlanePoint {
        PlanePoint::from_metres(east, north)
    }

    fn line(points: &[(f64, f64)]) -> Vec<Polyline> {
        Polyline::new(points.iter().map(|(e, n)| at(*e, *n)))
            .into_iter()
            .collect()
    }

    fn crossroads() -> LineIndex {
        LineIndex::new(vec![
            line(&[(0.0, 0.0), (100.0, 0.0)]),
            line(&[(50.0, -50.0), (50.0, 0.0), (50.0, 50.0)]),
        ])
    }

    #[test]
    fn a_job_in_the_footway_snaps_to_its_street() {
        let snap = crossroads().snap(at(20.0, 4.0), 30.0).unwrap();
        assert_eq!((snap.street, snap.part), (0, 0));
        assert_eq!(snap.on_line, at(20.0, 0.0));
        assert_eq!(
            (snap.station.chainage_m, snap.station.offset_m),
            (20.0, 4.0)
        );
        assert!((snap.bearing_deg - 90.0).abs() < 1e-9);
    }

    #[test]
    fn the_first_street_wins_a_tie() {
        assert_eq!(crossroads().snap(at(53.0, 3.0), 30.0).unwrap().street, 0);
        assert_eq!(crossroads().snap(at(50.0, 0.0), 30.0).unwrap().street, 0);
    }

    #[test]
    fn reach_is_kept_and_includes_its_edge() {
        assert!(crossroads().snap(at(20.0, 30.0), 30.0).is_some());
        assert!(crossroads().snap(at(0.0, 30.01), 30.0).is_none());
        assert!(
            LineIndex::new(Vec::new())
                .snap(at(0.0, 0.0), 30.0)
                .is_none()
        );
    }

    #[test]
    fn a_stated_street_is_found_however_far() {
        let snap = crossroads().snap_to_street(1, at(0.0, 10.0)).unwrap();
        assert_eq!((snap.street, snap.station.distance_m), (1, 50.0));
        assert_eq!(snap.on_line, at(50.0, 10.0));
        assert!(crossroads().snap_to_street(2, at(0.0, 0.0)).is_none());
    }
}
