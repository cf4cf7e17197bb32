//! From metres on the plane to units of the drawing.

use crate::client_page::ClientPage;

/// Width of the drawing, in its own units.
pub(crate) const WIDTH: f64 = 1000.0;
/// Height of the drawing: the shape of an A sheet lying down (ISO 216, 1 : root of 2).
pub(crate) const HEIGHT: f64 = 707.0;

/// No plane in use on Earth has places farther out than this; metres.
const FARTHEST_M: f64 = 1.0e8;
/// Ground shown round the outermost work, at least; metres.
const LEAST_MARGIN_M: f64 = 60.0;
/// Ground shown across the whole drawing, at least; metres.
const LEAST_SPAN_M: f64 = 200.0;
/// Ground shown round the outermost work, as a part of the whole.
const MARGIN: f64 = 0.10;

/// Where the drawing lies on the plane.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Frame {
    west: f64,
    north: f64,
    units_per_metre: f64,
}

impl Frame {
    /// The frame that holds every work; the streets where no work has a place.
    pub(crate) fn around(page: &ClientPage) -> Option<Self> {
        let works = page
            .works
            .iter()
            .flat_map(|work| work.footprint.iter().chain([&work.at]));
        let streets = page
            .streets
            .iter()
            .flat_map(|street| street.lines.iter().flatten());
        let bounds = bounds(works).or_else(|| bounds(streets))?;
        Some(Self::over(bounds))
    }

    fn over((west, south, east, north): (f64, f64, f64, f64)) -> Self {
        let margin = |span: f64| {
            (span * MARGIN)
                .max(LEAST_MARGIN_M)
                .max((LEAST_SPAN_M - span) / 2.0)
        };
        let across = (east - west) + 2.0 * margin(east - west);
        let up = (north - south) + 2.0 * margin(north - south);
        let units_per_metre = (WIDTH / across).min(HEIGHT / up);
        let middle = (west.midpoint(east), south.midpoint(north));
        Self {
            west: middle.0 - WIDTH / units_per_metre / 2.0,
            north: middle.1 + HEIGHT / units_per_metre / 2.0,
            units_per_metre,
        }
    }

    /// How many units a metre is.
    pub(crate) const fn units_per_metre(&self) -> f64 {
        self.units_per_metre
    }

    /// A place on the drawing, x right and y down; nothing for numbers that are no place.
    pub(crate) fn place(&self, point: (f64, f64)) -> Option<(f64, f64)> {
        is_place(&point).then_some({
            (
                (point.0 - self.west) * self.units_per_metre,
                (self.north - point.1) * self.units_per_metre,
            )
        })
    }

    /// The places of a line or ring, without those that are none.
    pub(crate) fn places(&self, points: &[(f64, f64)]) -> Vec<(f64, f64)> {
        points
            .iter()
            .filter_map(|&point| self.place(point))
            .collect()
    }
}

/// Whether something with these places can be seen from anywhere near the drawing.
pub(crate) fn is_near(places: &[(f64, f64)]) -> bool {
    let (mut left, mut top, mut right, mut bottom) = (
        f64::INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NEG_INFINITY,
    );
    for &(x, y) in places {
        (left, right) = (left.min(x), right.max(x));
        (top, bottom) = (top.min(y), bottom.max(y));
    }
    right > -WIDTH && left < 2.0 * WIDTH && bottom > -HEIGHT && top < 2.0 * HEIGHT
}

/// Whether both numbers are finite and on some plane on Earth.
pub(super) fn is_place(point: &(f64, f64)) -> bool {
    // A number that isn't finite is not within the bound either.
    point.0.abs() <= FARTHEST_M && point.1.abs() <= FARTHEST_M
}

fn bounds<'a>(points: impl Iterator<Item = &'a (f64, f64)>) -> Option<(f64, f64, f64, f64)> {
    points
        .filter(|point| is_place(point))
        .fold(None, |bounds, &(x, y)| {
            let (west, south, east, north) = bounds.unwrap_or((x, y, x, y));
            Some((west.min(x), south.min(y), east.max(x), north.max(y)))
        })
}

#[cfg(test)]
mod tests {
    use super::{Frame, HEIGHT, WIDTH};

    #[test]
    fn the_middle_stays_in_the_middle_and_north_is_up() {
        let frame = Frame::over((1000.0, 2000.0, 2000.0, 2100.0));
        let near = |got: Option<(f64, f64)>, want: (f64, f64)| {
            let (x, y) = got.expect("a place");
            assert!((x - want.0).hypot(y - want.1) < 1e-6, "{x} {y}");
        };
        near(frame.place((1500.0, 2050.0)), (WIDTH / 2.0, HEIGHT / 2.0));
        // 1000 m and a tenth each side fill the width: 1200 m across.
        near(frame.place((900.0, 2050.0)), (0.0, HEIGHT / 2.0));
        near(
            frame.place((1500.0, 2170.0)),
            (WIDTH / 2.0, HEIGHT / 2.0 - 100.0),
        );
    }

    #[test]
    fn what_is_no_number_is_no_place() {
        let frame = Frame::over((0.0, 0.0, 1.0, 1.0));
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300] {
            assert_eq!(frame.place((bad, 0.0)), None);
            assert_eq!(frame.place((0.0, bad)), None);
        }
        assert_eq!(frame.places(&[(f64::NAN, 0.0), (0.5, 0.5)]).len(), 1);
    }
}
