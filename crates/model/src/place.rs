//! Where something is, in degrees or in metres, never in a mixture of the two.

use serde::{Deserialize, Serialize};

/// A place in WGS84 degrees, longitude first as in RFC 7946.
///
/// # Units
/// Decimal degrees; both finite.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(from = "[f64; 2]", into = "[f64; 2]")]
pub struct LonLat {
    lon: f64,
    lat: f64,
}

impl LonLat {
    /// A place, if both numbers are finite and on the globe.
    #[must_use]
    pub fn checked(lon: f64, lat: f64) -> Option<Self> {
        let on_globe = (-180.0..=180.0).contains(&lon) && (-90.0..=90.0).contains(&lat);
        on_globe.then_some(Self { lon, lat })
    }

    /// A place from numbers already known to be on the globe.
    #[must_use]
    pub const fn new(lon: f64, lat: f64) -> Self {
        Self { lon, lat }
    }

    /// Degrees east of Greenwich.
    #[must_use]
    pub const fn lon(self) -> f64 {
        self.lon
    }

    /// Degrees north of the equator.
    #[must_use]
    pub const fn lat(self) -> f64 {
        self.lat
    }
}

impl From<[f64; 2]> for LonLat {
    fn from([lon, lat]: [f64; 2]) -> Self {
        Self { lon, lat }
    }
}

impl From<LonLat> for [f64; 2] {
    fn from(place: LonLat) -> Self {
        [place.lon, place.lat]
    }
}

/// A place on the working plane: British National Grid, or a local plane away from Great Britain.
///
/// # Units
/// Metres east and north of the plane's origin.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct PlanePoint {
    east: f64,
    north: f64,
}

impl PlanePoint {
    /// A place by metres east and north.
    #[must_use]
    pub const fn from_metres(east: f64, north: f64) -> Self {
        Self { east, north }
    }

    /// Metres east of the origin.
    #[must_use]
    pub const fn east_m(self) -> f64 {
        self.east
    }

    /// Metres north of the origin.
    #[must_use]
    pub const fn north_m(self) -> f64 {
        self.north
    }

    /// Straight distance on the plane, in metres.
    #[must_use]
    pub fn distance_m(self, other: Self) -> f64 {
        (self.east - other.east).hypot(self.north - other.north)
    }
}
