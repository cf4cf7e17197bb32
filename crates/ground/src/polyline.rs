//! A street's line, measured along and across.

use gangday_model::PlanePoint;

/// Points nearer to each other than this are one point, m.
const SAME_POINT_M: f64 = 0.001;

/// Where a point is by a line: how far along it, and how far beside it.
///
/// # Units
/// Metres; the offset is positive to the left of the line's direction. A chainage below nothing
/// or beyond the length lies on the line drawn straight on past its end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// Metres along the line from its start.
    pub chainage_m: f64,
    /// Metres beside the line, positive to the left.
    pub offset_m: f64,
    /// Straight distance to the line itself, ends included.
    pub distance_m: f64,
}

/// A line of at least two distinct points.
#[derive(Clone, Debug, PartialEq)]
pub struct Polyline {
    points: Vec<PlanePoint>,
    chainages: Vec<f64>,
}

impl Polyline {
    /// The line through these points, or nothing where fewer than two are distinct and finite.
    ///
    /// ```
    /// use gangday_ground::Polyline;
    /// use gangday_model::PlanePoint;
    /// let kerb = Polyline::new([
    ///     PlanePoint::from_metres(0.0, 0.0),
    ///     PlanePoint::from_metres(30.0, 0.0),
    ///     PlanePoint::from_metres(30.0, 40.0),
    /// ]).unwrap();
    /// assert_eq!(kerb.length_m(), 70.0);
    /// assert_eq!(kerb.at(50.0), PlanePoint::from_metres(30.0, 20.0));
    /// assert_eq!(kerb.bearing_at(10.0), 90.0);
    /// ```
    pub fn new(points: impl IntoIterator<Item = PlanePoint>) -> Option<Self> {
        let mut line = Self {
            points: Vec::new(),
            chainages: Vec::new(),
        };
        for point in points {
            line.push(point);
        }
        (line.points.len() >= 2).then_some(line)
    }

    fn push(&mut self, point: PlanePoint) {
        let step = self
            .points
            .last()
            .map_or(0.0, |last| last.distance_m(point));
        let is_new = self.points.is_empty() || step > SAME_POINT_M;
        if point.east_m().is_finite() && point.north_m().is_finite() && is_new {
            self.chainages.push(self.length_m() + step);
            self.points.push(point);
        }
    }

    /// Its points, from start to end.
    #[must_use]
    pub fn points(&self) -> &[PlanePoint] {
        &self.points
    }

    /// How long it is, m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.chainages.last().copied().unwrap_or(0.0)
    }

    /// Its straight pieces: chainage at the start, start and end.
    pub(crate) fn segments(&self) -> impl Iterator<Item = (f64, PlanePoint, PlanePoint)> {
        let starts = self.chainages.iter().copied();
        starts
            .zip(self.points.windows(2))
            .map(|(chainage, pair)| (chainage, pair[0], pair[1]))
    }

    fn segment_at(&self, chainage_m: f64) -> usize {
        let after = self.chainages.partition_point(|start| *start <= chainage_m);
        after.clamp(1, self.points.len() - 1) - 1
    }

    /// The unit vector along the piece that holds this chainage.
    pub(crate) fn direction_at(&self, chainage_m: f64) -> (f64, f64) {
        let segment = self.segment_at(chainage_m);
        direction(self.points[segment], self.points[segment + 1])
    }

    /// The unit vector along the piece that ends at or holds this chainage.
    pub(crate) fn direction_before(&self, chainage_m: f64) -> (f64, f64) {
        let ended = self.chainages.partition_point(|start| *start < chainage_m);
        let end = ended.clamp(1, self.points.len() - 1);
        direction(self.points[end - 1], self.points[end])
    }

    /// The point at this chainage; straight on past the ends.
    #[must_use]
    pub fn at(&self, chainage_m: f64) -> PlanePoint {
        let segment = self.segment_at(chainage_m);
        let (east, north) = self.direction_at(chainage_m);
        let along = chainage_m - self.chainages[segment];
        moved(self.points[segment], (east * along, north * along))
    }

    /// The bearing of the line at this chainage.
    ///
    /// # Units
    /// Degrees clockwise from the plane's north, 0 up to 360.
    #[must_use]
    pub fn bearing_at(&self, chainage_m: f64) -> f64 {
        let (east, north) = self.direction_at(chainage_m);
        let bearing = east.atan2(north).to_degrees().rem_euclid(360.0);
        if bearing < 360.0 { bearing } else { 0.0 }
    }

    /// Where a point is by this line; the earliest chainage where two are as near.
    #[must_use]
    pub fn station(&self, of: PlanePoint) -> Station {
        let last = self.points.len() - 2;
        let mut best: Option<Station> = None;
        for (number, (chainage, from, to)) in self.segments().enumerate() {
            let found = station_by(chainage, (from, to), of, (number == 0, number == last));
            if best.is_none_or(|best| found.distance_m < best.distance_m) {
                best = Some(found);
            }
        }
        best.expect("a polyline has at least one piece")
    }

    /// The stretch between two chainages, straight on past the ends; nothing where it has no length.
    #[must_use]
    pub fn between(&self, from_m: f64, to_m: f64) -> Option<Self> {
        let inner = self.chainages.iter().zip(&self.points);
        let kept = inner.filter(|(chainage, _)| from_m < **chainage && **chainage < to_m);
        let middle = kept.map(|(_, point)| *point);
        if to_m - from_m <= SAME_POINT_M {
            return None;
        }
        Self::new(
            [self.at(from_m)]
                .into_iter()
                .chain(middle)
                .chain([self.at(to_m)]),
        )
    }
}

/// A point moved by metres east and north.
pub(crate) fn moved(from: PlanePoint, by: (f64, f64)) -> PlanePoint {
    PlanePoint::from_metres(from.east_m() + by.0, from.north_m() + by.1)
}

fn direction(from: PlanePoint, to: PlanePoint) -> (f64, f64) {
    let length = from.distance_m(to);
    (
        (to.east_m() - from.east_m()) / length,
        (to.north_m() - from.north_m()) / length,
    )
}

/// Where a point is by one piece; open at the line's own ends, closed elsewhere.
fn station_by(
    start_m: f64,
    (from, to): (PlanePoint, PlanePoint),
    of: PlanePoint,
    (is_first, is_last): (bool, bool),
) -> Station {
    let (east, north) = direction(from, to);
    let (dx, dy) = (of.east_m() - from.east_m(), of.north_m() - from.north_m());
    let (along, left) = (dx * east + dy * north, dy * east - dx * north);
    let length = from.distance_m(to);
    let foot = along.clamp(0.0, length);
    let distance_m = (along - foot).hypot(left);
    let runs_on = (is_first && along < 0.0) || (is_last && along > length);
    if runs_on {
        return Station {
            chainage_m: start_m + along,
            offset_m: left,
            distance_m,
        };
    }
    Station {
        chainage_m: start_m + foot,
        offset_m: distance_m.copysign(left),
        distance_m,
    }
}

#[cfg(test)]
mod tests {
    use geo::{Distance, Euclidean, Length, LineString, Point};
    use proptest::prelude::*;

    use super::*;

    fn at(east: f64, north: f64) -> PlanePoint {
        PlanePoint::from_metres(east, north)
    }

    fn near(a: PlanePoint, b: PlanePoint) -> bool {
        a.distance_m(b) < 1e-6
    }

    fn corner() -> Polyline {
        Polyline::new([at(0.0, 0.0), at(10.0, 0.0), at(10.0, 0.0), at(10.0, 10.0)]).unwrap()
    }

    #[test]
    fn one_point_twice_is_no_line() {
        assert_eq!(Polyline::new([at(1.0, 1.0), at(1.0, 1.0)]), None);
        assert_eq!(Polyline::new([at(1.0, 1.0), at(f64::NAN, 2.0)]), None);
        assert_eq!(corner().points().len(), 3);
    }

    #[test]
    fn left_is_positive_and_right_is_negative() {
        let left = corner().station(at(4.0, 2.0));
        let right = corner().station(at(12.0, 5.0));
        assert!((left.chainage_m - 4.0).abs() < 1e-9 && (left.offset_m - 2.0).abs() < 1e-9);
        assert!((right.chainage_m - 15.0).abs() < 1e-9 && (right.offset_m + 2.0).abs() < 1e-9);
    }

    #[test]
    fn past_an_end_the_line_runs_straight_on() {
        let before = corner().station(at(-3.0, 4.0));
        assert!((before.chainage_m + 3.0).abs() < 1e-9 && (before.offset_m - 4.0).abs() < 1e-9);
        assert!((before.distance_m - 5.0).abs() < 1e-9);
        assert!(near(corner().at(25.0), at(10.0, 15.0)));
        assert!((corner().station(at(9.0, 13.0)).chainage_m - 23.0).abs() < 1e-9);
    }

    #[test]
    fn the_bearing_turns_with_the_line() {
        assert!((corner().bearing_at(5.0) - 90.0).abs() < 1e-9);
        assert!(corner().bearing_at(15.0).abs() < 1e-9);
        let south_west = Polyline::new([at(0.0, 0.0), at(-1.0, -1.0)]).unwrap();
        assert!((south_west.bearing_at(0.5) - 225.0).abs() < 1e-9);
    }

    #[test]
    fn a_stretch_keeps_the_corner_between() {
        let stretch = corner().between(8.0, 13.0).unwrap();
        assert_eq!(stretch.points().len(), 3);
        assert!((stretch.length_m() - 5.0).abs() < 1e-9);
        assert!(near(stretch.at(2.0), at(10.0, 0.0)));
        assert_eq!(corner().between(5.0, 5.0), None);
    }

    proptest! {
        /// Length and distance against the `geo` crate's.
        #[test]
        fn it_measures_as_geo_does(
            points in prop::collection::vec((-200.0f64..200.0, -200.0f64..200.0), 2..12),
            (east, north) in (-250.0f64..250.0, -250.0f64..250.0),
        ) {
            let oracle: LineString = points.clone().into();
            let line = Polyline::new(points.iter().map(|(e, n)| at(*e, *n))).unwrap();
            prop_assert!((line.length_m() - Euclidean.length(&oracle)).abs() < 1e-6);
            let station = line.station(at(east, north));
            let apart = Euclidean.distance(&Point::new(east, north), &oracle);
            prop_assert!((station.distance_m - apart).abs() < 1e-6);
            let foot = line.at(station.chainage_m.clamp(0.0, line.length_m()));
            prop_assert!((foot.distance_m(at(east, north)) - apart).abs() < 1e-6);
        }

        #[test]
        fn two_stretches_are_as_long_as_the_whole(
            points in prop::collection::vec((-200.0f64..200.0, -200.0f64..200.0), 2..12),
            part in 0.1f64..0.9,
        ) {
            let line = Polyline::new(points.iter().map(|(e, n)| at(*e, *n))).unwrap();
            let cut = line.length_m() * part;
            let parts = [line.between(0.0, cut), line.between(cut, line.length_m())];
            let sum: f64 = parts.iter().flatten().map(Polyline::length_m).sum();
            prop_assert!((sum - line.length_m()).abs() < 1e-6);
        }
    }
}
