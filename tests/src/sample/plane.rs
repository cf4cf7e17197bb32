//! A plane in metres, and its way to degrees.
//!
//! Only `+ - * /` and square roots are used, which IEEE 754 rounds the same everywhere, so that the
//! sample comes out byte for byte on every machine.

use std::ops::{Add, Mul, Sub};

/// A place or a step on the plane, metres east and north of the district's middle.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// Metres east.
    pub x: f64,
    /// Metres north.
    pub y: f64,
}

/// A place or a step by metres east and north.
#[must_use]
pub const fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

impl Point {
    /// How long the step is, in metres.
    #[must_use]
    pub fn length(self) -> f64 {
        (self.x * self.x + self.y * self.y).sqrt()
    }

    /// The step turned a quarter to the left.
    #[must_use]
    pub fn left(self) -> Self {
        at(-self.y, self.x)
    }

    /// The step of one metre in the same direction; no step stays none.
    #[must_use]
    pub fn unit(self) -> Self {
        let length = self.length();
        if length > 0.0 {
            self * (1.0 / length)
        } else {
            self
        }
    }

    /// Distance to another place, in metres.
    #[must_use]
    pub fn to(self, other: Self) -> f64 {
        (other - self).length()
    }

    /// The scalar product.
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// The part of the way to another place.
    #[must_use]
    pub fn toward(self, other: Self, part: f64) -> Self {
        self + (other - self) * part
    }
}

impl Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        at(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        at(self.x - other.x, self.y - other.y)
    }
}

impl Mul<f64> for Point {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        at(self.x * factor, self.y * factor)
    }
}

/// The middle of the district, in the open Irish Sea: longitude and latitude.
pub const MIDDLE: (f64, f64) = (-3.55, 54.0);

/// Metres in one degree at latitude 54 on the WGS84 ellipsoid, east and north.
///
/// # Source
/// Radii of curvature of the ellipsoid with a = 6378137 m and 1/f = 298.257223563.
const METRES_PER_DEGREE: (f64, f64) = (65_575.773_754, 111_305.003_010);

/// Longitude and latitude of a place, to 7 decimals (about a centimetre).
#[must_use]
pub fn lon_lat(place: Point) -> [f64; 2] {
    let lon = MIDDLE.0 + place.x / METRES_PER_DEGREE.0;
    let lat = MIDDLE.1 + place.y / METRES_PER_DEGREE.1;
    [to_7_decimals(lon), to_7_decimals(lat)]
}

fn to_7_decimals(degrees: f64) -> f64 {
    (degrees * 1e7).round() / 1e7
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kilometre_north_is_about_nine_thousandths_of_a_degree() {
        let [lon, lat] = lon_lat(at(0.0, 1000.0));
        assert!((lon - -3.55).abs() < 1e-9);
        assert!((lat - 54.008_984_3).abs() < 1e-7);
    }
}
