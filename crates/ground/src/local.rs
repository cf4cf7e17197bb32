//! A plane of its own for places that the National Grid does not cover.

use gangday_model::{LonLat, PlanePoint};
use geo::{Destination, Geodesic, GeodesicBearing, Point};

/// Mean radius of the Earth, m; it only serves the statement of how exact the plane is.
///
/// # Source
/// IUGG mean radius R1 of WGS84, from memory, high confidence.
const EARTH_RADIUS_M: f64 = 6_371_008.8;

/// No geodesic is longer than half a meridian ellipse, m; beyond it a point has no one place.
///
/// # Source
/// WGS84 meridian from pole to pole, from memory, high confidence.
const HALF_ROUND_M: f64 = 20_003_931.0;

/// Azimuthal equidistant on WGS84: distance and direction from the centre are true.
///
/// It works anywhere on the globe, across the antimeridian and at the poles, because it is drawn
/// from geodesics and never from differences of longitude.
///
/// # Source
/// Geodesics by C. F. F. Karney, "Algorithms for geodesics", Journal of Geodesy 87 (2013) 43-55.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Local {
    centre: LonLat,
    reach_m: f64,
}

impl Local {
    /// A plane about this centre, true to itself with nothing yet to reach.
    pub(crate) fn about(centre: LonLat) -> Self {
        Self {
            centre,
            reach_m: 0.0,
        }
    }

    /// A plane about the middle of these places; about 0, 0 where there is none.
    pub(crate) fn about_middle(places: &[LonLat]) -> Self {
        let mut plane = Self::about(middle(places));
        plane.reach_m = places
            .iter()
            .filter_map(|place| plane.to_plane(*place))
            .map(|at| at.east_m().hypot(at.north_m()))
            .fold(0.0, f64::max);
        plane
    }

    pub(crate) fn to_plane(self, place: LonLat) -> Option<PlanePoint> {
        let place = LonLat::checked(place.lon(), place.lat())?;
        let (bearing, distance) = point(self.centre).geodesic_bearing_distance(point(place));
        let (sin, cos) = bearing.to_radians().sin_cos();
        Some(PlanePoint::from_metres(distance * sin, distance * cos))
    }

    pub(crate) fn to_lonlat(self, at: PlanePoint) -> Option<LonLat> {
        let distance = at.east_m().hypot(at.north_m());
        if distance.is_nan() || distance > HALF_ROUND_M {
            return None;
        }
        let bearing = at.east_m().atan2(at.north_m()).to_degrees();
        let place = Geodesic.destination(point(self.centre), bearing, distance);
        LonLat::checked(place.x(), place.y())
    }

    /// How much too long the plane shows a metre at the farthest place, across the line of sight.
    pub(crate) fn worst_stretch(self) -> f64 {
        let angle = self.reach_m / EARTH_RADIUS_M;
        if angle < 1e-6 {
            0.0
        } else {
            angle / angle.sin() - 1.0
        }
    }

    pub(crate) fn describe(self) -> String {
        format!(
            "Local plane about longitude {:.4}, latitude {:.4} (azimuthal equidistant on WGS84), \
             used where a place lies outside the British National Grid's cover. Distances from \
             its centre are true; others are at most {:.3} m per km too long at the farthest \
             place, {:.1} km out.",
            self.centre.lon(),
            self.centre.lat(),
            self.worst_stretch() * 1e3,
            self.reach_m / 1e3,
        )
    }
}

fn point(place: LonLat) -> Point {
    Point::new(place.lon(), place.lat())
}

/// The mean direction from the Earth's centre, so that 179 E and 179 W meet at 180.
fn middle(places: &[LonLat]) -> LonLat {
    let mut sum = [0.0; 3];
    for place in places {
        let (sin_lat, cos_lat) = place.lat().to_radians().sin_cos();
        let (sin_lon, cos_lon) = place.lon().to_radians().sin_cos();
        let towards = [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat];
        sum.iter_mut()
            .zip(towards)
            .for_each(|(total, part)| *total += part);
    }
    let [x, y, z] = sum;
    let mean = LonLat::checked(y.atan2(x).to_degrees(), z.atan2(x.hypot(y)).to_degrees());
    mean.unwrap_or(LonLat::new(0.0, 0.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// # Source
    /// GeographicLib's example of New York (JFK) to London (LHR): 5 551 759.400 m, azimuth 51.198 883.
    #[test]
    fn distance_from_the_centre_is_the_published_geodesic() {
        let plane = Local::about(LonLat::new(-73.8, 40.6));
        let heathrow = plane.to_plane(LonLat::new(-0.5, 51.6)).unwrap();
        let distance = heathrow.east_m().hypot(heathrow.north_m());
        let bearing = heathrow.east_m().atan2(heathrow.north_m()).to_degrees();
        assert!((distance - 5_551_759.400).abs() < 0.001, "{distance}");
        assert!((bearing - 51.198_882_845_579).abs() < 1e-9, "{bearing}");
    }

    #[test]
    fn a_place_with_no_number_has_no_plane_point() {
        let plane = Local::about(LonLat::new(0.0, 0.0));
        assert_eq!(plane.to_plane(LonLat::new(f64::NAN, 0.0)), None);
        assert_eq!(
            plane.to_lonlat(PlanePoint::from_metres(f64::NAN, 0.0)),
            None
        );
        assert_eq!(plane.to_lonlat(PlanePoint::from_metres(3e7, 0.0)), None);
    }
}
