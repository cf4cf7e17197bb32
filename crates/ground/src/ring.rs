//! Ground taken: a closed ring on the plane.

use gangday_model::PlanePoint;
use geo::{
    Area, ConvexHull, Coord, Intersects, LineString, MultiPolygon, Orient, Polygon, Simplify,
    Validation, orient::Direction, unary_union,
};

use crate::polyline::moved;

/// Corners that move the outline by less than this are left out, m.
const FINEST_M: f64 = 0.01;

/// A closed ring: anticlockwise, first point repeated last, no crossing of itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Ring(Vec<PlanePoint>);

impl Ring {
    /// The ring through these corners, closed and turned anticlockwise; nothing where they don't
    /// make one.
    pub fn new(corners: impl IntoIterator<Item = PlanePoint>) -> Option<Self> {
        let outline: LineString = corners.into_iter().map(coord).collect();
        let is_finite = outline
            .0
            .iter()
            .all(|at| at.x.is_finite() && at.y.is_finite());
        is_finite.then(|| Self::from_polygon(&Polygon::new(outline, Vec::new())))?
    }

    /// The outer ring of this polygon, without corners that don't matter.
    fn from_polygon(polygon: &Polygon) -> Option<Self> {
        let outer = Polygon::new(polygon.exterior().clone(), Vec::new());
        let plain = outer.simplify(FINEST_M);
        let sound = [plain, outer].into_iter().find(|shape| {
            shape.exterior().0.len() >= 4 && shape.is_valid() && shape.unsigned_area() > 0.0
        })?;
        let turned = sound.orient(Direction::Default);
        Some(Self(
            turned.exterior().coords().map(|at| point(*at)).collect(),
        ))
    }

    /// Its points, first repeated last.
    #[must_use]
    pub fn points(&self) -> &[PlanePoint] {
        &self.0
    }

    /// The area inside, m2.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        self.polygon().unsigned_area()
    }

    /// Whether a point is inside or on the edge.
    #[must_use]
    pub fn contains(&self, at: PlanePoint) -> bool {
        self.polygon().intersects(&coord(at))
    }

    /// Whether a straight stretch crosses it, or begins or ends in it.
    #[must_use]
    pub fn meets(&self, from: PlanePoint, to: PlanePoint) -> bool {
        let mut edges = self.0.windows(2);
        edges.any(|edge| do_cross((edge[0], edge[1]), (from, to)))
            || self.contains(from)
            || self.contains(to)
    }

    /// Whether another ring lies wholly in it, by its corners.
    #[must_use]
    pub fn holds_corners_of(&self, other: &Self) -> bool {
        let polygon = self.polygon();
        other
            .0
            .iter()
            .all(|corner| polygon.intersects(&coord(*corner)))
    }

    /// The ground of both, as one ring; where they don't touch, the hull round both.
    #[must_use]
    pub fn with(&self, other: &Self) -> Option<Self> {
        joined(&[self.polygon(), other.polygon()])
    }

    fn polygon(&self) -> Polygon {
        Polygon::new(self.0.iter().map(|at| coord(*at)).collect(), Vec::new())
    }
}

/// Whether two straight stretches cross, not only touch.
fn do_cross(a: (PlanePoint, PlanePoint), b: (PlanePoint, PlanePoint)) -> bool {
    let side = |line: (PlanePoint, PlanePoint), at: PlanePoint| {
        let east = line.1.east_m() - line.0.east_m();
        let north = line.1.north_m() - line.0.north_m();
        east * (at.north_m() - line.0.north_m()) - north * (at.east_m() - line.0.east_m())
    };
    let parts =
        |line, ends: (PlanePoint, PlanePoint)| side(line, ends.0) * side(line, ends.1) < 0.0;
    parts(a, b) && parts(b, a)
}

/// A rectangle about a point, its length along a bearing.
///
/// # Units
/// Degrees clockwise from the plane's north; metres.
///
/// ```
/// use gangday_ground::rectangle;
/// use gangday_model::PlanePoint;
/// let dig = rectangle(PlanePoint::from_metres(0.0, 0.0), 90.0, 4.0, 1.4).unwrap();
/// assert!((dig.area_m2() - 5.6).abs() < 1e-9);
/// assert!(dig.contains(PlanePoint::from_metres(1.9, 0.6)));
/// ```
#[must_use]
pub fn rectangle(about: PlanePoint, bearing_deg: f64, length_m: f64, width_m: f64) -> Option<Ring> {
    let (east, north) = bearing_deg.to_radians().sin_cos();
    let (along, across) = (length_m / 2.0, width_m / 2.0);
    let corner = |a: f64, l: f64| moved(about, (east * a - north * l, north * a + east * l));
    Ring::new([
        corner(-along, -across),
        corner(along, -across),
        corner(along, across),
        corner(-along, across),
    ])
}

/// One ring round these pieces: their union, or the hull where the union is in several parts.
pub(crate) fn joined(pieces: &[Polygon]) -> Option<Ring> {
    let MultiPolygon(parts) = unary_union(pieces);
    match parts.as_slice() {
        [whole] => Ring::from_polygon(whole),
        [] => None,
        several => Ring::from_polygon(&MultiPolygon(several.to_vec()).convex_hull()),
    }
}

/// The hull of these points, as a piece to be joined.
pub(crate) fn hull(points: &[PlanePoint]) -> Polygon {
    points
        .iter()
        .map(|at| coord(*at))
        .collect::<LineString>()
        .convex_hull()
}

fn coord(at: PlanePoint) -> Coord {
    Coord {
        x: at.east_m(),
        y: at.north_m(),
    }
}

fn point(at: Coord) -> PlanePoint {
    PlanePoint::from_metres(at.x, at.y)
}

#[cfg(test)]
mod tests {
    use geo::Winding;
    use proptest::prelude::*;

    use super::*;

    fn at(east: f64, north: f64) -> PlanePoint {
        PlanePoint::from_metres(east, north)
    }

    #[test]
    fn a_clockwise_outline_is_turned() {
        let ring = Ring::new([at(0.0, 0.0), at(0.0, 3.0), at(2.0, 3.0), at(2.0, 0.0)]).unwrap();
        assert!(ring.polygon().exterior().is_ccw());
        assert_eq!(ring.points().first(), ring.points().last());
        assert!((ring.area_m2() - 6.0).abs() < 1e-12);
    }

    #[test]
    fn an_outline_that_crosses_itself_is_no_ring() {
        let bow = [at(0.0, 0.0), at(2.0, 2.0), at(2.0, 0.0), at(0.0, 2.0)];
        assert_eq!(Ring::new(bow), None);
        assert_eq!(Ring::new([at(0.0, 0.0), at(1.0, 1.0)]), None);
        assert_eq!(
            Ring::new([at(f64::NAN, 0.0), at(1.0, 0.0), at(1.0, 1.0)]),
            None
        );
    }

    #[test]
    fn two_rings_that_overlap_join_and_two_that_do_not_get_a_hull() {
        let here = rectangle(at(0.0, 0.0), 0.0, 2.0, 2.0).unwrap();
        let beside = rectangle(at(1.0, 0.0), 0.0, 2.0, 2.0).unwrap();
        let apart = rectangle(at(10.0, 0.0), 0.0, 2.0, 2.0).unwrap();
        assert!((here.with(&beside).unwrap().area_m2() - 6.0).abs() < 1e-6);
        assert!((here.with(&apart).unwrap().area_m2() - 24.0).abs() < 1e-6);
    }

    proptest! {
        #[test]
        fn a_rectangle_has_its_area_at_every_bearing_and_on_the_grid(
            bearing in 0.0f64..360.0, length in 0.2f64..200.0, width in 0.2f64..20.0,
        ) {
            let about = at(357_455.843, 383_290.436);
            let ring = rectangle(about, bearing, length, width).unwrap();
            prop_assert!((ring.area_m2() - length * width).abs() < 1e-4);
            prop_assert!(ring.polygon().is_valid());
            prop_assert!(ring.polygon().exterior().is_ccw());
            prop_assert!(ring.contains(about));
        }
    }
}
