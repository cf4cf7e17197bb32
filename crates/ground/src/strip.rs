//! A strip of ground that follows a street's line.

use std::ops::Range;

use gangday_model::PlanePoint;
use geo::Polygon;

use crate::polyline::moved;
use crate::ring::{hull, joined};
use crate::{Polyline, Ring};

/// The ground between two chainages and two offsets of a line.
///
/// It bends where the line bends: each straight piece gives its own strip, each bend is filled on
/// the outside, and the pieces are joined. Past the ends of the line it runs straight on. A strip
/// that closes round a piece of ground takes that ground too. Corners that move its edge by less
/// than a centimetre are left out.
///
/// # Units
/// Metres; offsets are positive to the left of the line's direction.
///
/// ```
/// use gangday_ground::{Polyline, strip};
/// use gangday_model::PlanePoint;
/// let street = Polyline::new([
///     PlanePoint::from_metres(0.0, 0.0),
///     PlanePoint::from_metres(100.0, 0.0),
/// ]).unwrap();
/// // The left lane of a 7 m road, for 20 m: 70 m2.
/// let lane = strip(&street, 40.0..60.0, 0.0..3.5).unwrap();
/// assert!((lane.area_m2() - 70.0).abs() < 1e-6);
/// ```
#[must_use]
pub fn strip(line: &Polyline, along_m: Range<f64>, across_m: Range<f64>) -> Option<Ring> {
    let stretch = line.between(along_m.start, along_m.end)?;
    let mut pieces: Vec<Polygon> = stretch
        .segments()
        .map(|piece| straight(&stretch, piece, &across_m))
        .collect();
    if let [only] = pieces.as_slice() {
        return Ring::new(
            only.exterior()
                .coords()
                .map(|c| PlanePoint::from_metres(c.x, c.y)),
        );
    }
    let bends = stretch.segments().skip(1);
    pieces.extend(bends.map(|(chainage, at, _)| bend(&stretch, chainage, at, &across_m)));
    joined(&pieces)
}

type Piece = (f64, PlanePoint, PlanePoint);

fn straight(line: &Polyline, (chainage, from, to): Piece, across_m: &Range<f64>) -> Polygon {
    let (east, north) = line.direction_at(chainage);
    let beside = |at, metres: f64| moved(at, (-north * metres, east * metres));
    hull(&[
        beside(from, across_m.start),
        beside(to, across_m.start),
        beside(to, across_m.end),
        beside(from, across_m.end),
    ])
}

/// What lies between the strips of two pieces that meet here.
///
/// Bends of up to a right angle get their outer corner; sharper ones are cut straight across.
fn bend(line: &Polyline, chainage: f64, at: PlanePoint, across_m: &Range<f64>) -> Polygon {
    let before = line.direction_before(chainage);
    let after = line.direction_at(chainage);
    let (cos, turn) = (
        before.0 * after.0 + before.1 * after.1,
        before.0 * after.1 - before.1 * after.0,
    );
    let mut points = Vec::with_capacity(6);
    for metres in [across_m.start, across_m.end] {
        points.extend([before, after].map(|(e, n)| moved(at, (-n * metres, e * metres))));
        let is_outside = metres * turn < 0.0;
        if is_outside && cos >= 0.0 {
            let reach = metres / (1.0 + cos);
            points.push(moved(
                at,
                (-(before.1 + after.1) * reach, (before.0 + after.0) * reach),
            ));
        }
    }
    hull(&points)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn line(points: &[(f64, f64)]) -> Polyline {
        Polyline::new(points.iter().map(|(e, n)| PlanePoint::from_metres(*e, *n))).unwrap()
    }

    #[test]
    fn a_right_angle_keeps_its_outer_corner() {
        let street = line(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0)]);
        // Two arms of 10 x 2 each side of the line share the corner square: 2 x 22 + 2 x 18.
        let road = strip(&street, 0.0..20.0, -2.0..2.0).unwrap();
        assert!((road.area_m2() - 80.0).abs() < 1e-5, "{}", road.area_m2());
        let outside = strip(&street, 0.0..20.0, -2.0..0.0).unwrap();
        assert!(
            (outside.area_m2() - 44.0).abs() < 1e-5,
            "{}",
            outside.area_m2()
        );
        let inside = strip(&street, 0.0..20.0, 0.0..2.0).unwrap();
        assert!(
            (inside.area_m2() - 36.0).abs() < 1e-5,
            "{}",
            inside.area_m2()
        );
    }

    /// The area of a strip of an arc is its angle times half the difference of the squared radii;
    /// the chords and the corners left out take less than a thousandth of it.
    #[test]
    fn a_curve_has_the_area_of_a_ring_sector() {
        let quarter: Vec<_> = (0..=90)
            .map(|deg| f64::from(deg).to_radians().sin_cos())
            .map(|(sin, cos)| (50.0 * sin, 50.0 * cos))
            .collect();
        let street = line(&quarter);
        // The arc turns right, so its left side is the outer one: radii 50 and 53.
        let lane = strip(&street, 0.0..street.length_m(), 0.0..3.0).unwrap();
        let sector = std::f64::consts::FRAC_PI_4 * (53.0f64.powi(2) - 50.0f64.powi(2));
        assert!(
            (lane.area_m2() / sector - 1.0).abs() < 1e-3,
            "{} {sector}",
            lane.area_m2()
        );
    }

    #[test]
    fn it_runs_straight_on_past_the_ends() {
        let street = line(&[(0.0, 0.0), (10.0, 0.0)]);
        let past = strip(&street, 8.0..14.0, -1.0..1.0).unwrap();
        assert!((past.area_m2() - 12.0).abs() < 1e-9);
        assert!(past.contains(PlanePoint::from_metres(13.5, 0.5)));
    }

    #[test]
    fn no_length_is_no_strip() {
        let street = line(&[(0.0, 0.0), (10.0, 0.0)]);
        assert_eq!(strip(&street, 5.0..5.0, -1.0..1.0), None);
        assert_eq!(strip(&street, 2.0..5.0, 1.0..1.0), None);
    }

    proptest! {
        /// The line between the chainages, moved to within a centimetre of the offsets, is in it.
        #[test]
        fn a_strip_of_a_wandering_street_is_a_ring_that_holds_its_ground(
            turns in prop::collection::vec((-100.0f64..100.0, 2.0f64..40.0), 2..12),
            (start, length) in (0.0f64..1.0, 1.0f64..60.0),
            (inner, outer) in (-6.0f64..0.0, 0.2f64..6.0),
        ) {
            let mut bearing = 0.0f64;
            let mut points = vec![(357_455.843, 383_290.436)];
            for (turn, step) in turns {
                bearing += turn;
                let (e, n) = points[points.len() - 1];
                let (sin, cos) = bearing.to_radians().sin_cos();
                points.push((e + sin * step, n + cos * step));
            }
            let street = line(&points);
            let from = start * street.length_m();
            let ring = strip(&street, from..from + length, inner..outer).unwrap();
            prop_assert_eq!(ring.points().first(), ring.points().last());
            for part in [0.05, 0.5, 0.95] {
                let chainage = from + length * part;
                let at = street.at(chainage);
                let (east, north) = street.direction_at(chainage);
                for metres in [(inner + 0.011).min(0.0), outer - 0.011] {
                    prop_assert!(ring.contains(moved(at, (-north * metres, east * metres))));
                }
            }
        }
    }
}
