//! The working plane of a programme, where metres are metres.

use gangday_model::{LonLat, PlanePoint};
use lonlat_bng::{convert_osgb36, convert_osgb36_to_ll};

use crate::Ring;
use crate::local::Local;

/// How far around each place the grid must be covered, degrees of longitude and latitude: some
/// 700 m, farther than any footprint reaches from its job.
const MARGIN_DEG: [f64; 2] = [0.01, 0.006];

/// The plane that a programme is worked on: British National Grid, or a local plane elsewhere.
///
/// A trench is set out to the decimetre, and a plain datum shift is up to 5 m out in Great
/// Britain, so the grid is reached by the Ordnance Survey's own shift table.
///
/// # Source
/// Ordnance Survey, "Transformations and OSGM15 user guide" v1.3, and the OSTN15 shift table,
/// as carried by the `lonlat_bng` crate.
///
/// ```
/// use gangday_ground::Plane;
/// use gangday_model::LonLat;
/// // Ordnance Survey's OSTN15 test point TP16.
/// let plane = Plane::national_grid();
/// let at = plane.to_plane(LonLat::new(-2.64049321, 53.34480280)).unwrap();
/// assert!((at.east_m() - 357_455.843).abs() < 0.0015);
/// assert!((at.north_m() - 383_290.436).abs() < 0.0015);
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct Plane(Kind);

#[derive(Clone, Copy, Debug, PartialEq)]
enum Kind {
    NationalGrid,
    Local(Local),
}

impl Plane {
    /// The plane for a programme with these places.
    ///
    /// The National Grid where OSTN15 covers every place with some 700 m around it, so that what
    /// is laid out about a place can be drawn too; else a local plane about their middle.
    pub fn for_places(places: impl IntoIterator<Item = LonLat>) -> Self {
        let places: Vec<LonLat> = places.into_iter().collect();
        if places.iter().all(|place| covered_around(*place)) {
            Self::national_grid()
        } else {
            Self(Kind::Local(Local::about_middle(&places)))
        }
    }

    /// British National Grid by OSTN15.
    #[must_use]
    pub const fn national_grid() -> Self {
        Self(Kind::NationalGrid)
    }

    /// A local plane about this centre, anywhere on the globe.
    #[must_use]
    pub fn local(centre: LonLat) -> Self {
        Self(Kind::Local(Local::about(centre)))
    }

    /// Whether it is the British National Grid.
    #[must_use]
    pub fn is_national_grid(&self) -> bool {
        self.0 == Kind::NationalGrid
    }

    /// The place in metres, or nothing where the plane does not reach.
    ///
    /// # Units
    /// Decimal degrees in, metres out; grid coordinates come to the whole millimetre.
    #[must_use]
    pub fn to_plane(&self, place: LonLat) -> Option<PlanePoint> {
        match self.0 {
            Kind::NationalGrid => to_grid(place),
            Kind::Local(local) => local.to_plane(place),
        }
    }

    /// The place in degrees, or nothing where the plane does not reach.
    #[must_use]
    pub fn to_lonlat(&self, at: PlanePoint) -> Option<LonLat> {
        match self.0 {
            Kind::NationalGrid => from_grid(at),
            Kind::Local(local) => local.to_lonlat(at),
        }
    }

    /// The ring in degrees, still closed and anticlockwise.
    #[must_use]
    pub fn ring_to_lonlat(&self, ring: &Ring) -> Option<Vec<LonLat>> {
        let mut places: Vec<LonLat> = ring
            .points()
            .iter()
            .map(|at| self.to_lonlat(*at))
            .collect::<Option<_>>()?;
        if let (Some(first), Some(last)) = (places.first().copied(), places.last_mut()) {
            *last = first;
        }
        Some(places)
    }

    /// Which plane it is and how exact, in words for the user.
    #[must_use]
    pub fn describe(&self) -> String {
        match self.0 {
            Kind::NationalGrid => "British National Grid by OSTN15: agrees with Ordnance Survey's \
                 40 test points to 1.5 mm. Degrees are read as ETRS89; a satellite fix in today's \
                 WGS84 lies up to about a metre from it."
                .to_owned(),
            Kind::Local(local) => local.describe(),
        }
    }
}

fn to_grid(place: LonLat) -> Option<PlanePoint> {
    let (east, north) = convert_osgb36(place.lon(), place.lat()).ok()?;
    Some(PlanePoint::from_metres(east, north))
}

/// How far the shift table reaches from the grid's origin, east and north, m.
///
/// # Source
/// Ordnance Survey, "Transformations and OSGM15 user guide" v1.3: 701 by 1251 kilometre nodes.
const TABLE_M: [f64; 2] = [700_000.0, 1_250_000.0];

fn from_grid(at: PlanePoint) -> Option<LonLat> {
    // The library multiplies whatever it is given, and some of it would overflow.
    let [east, north] = TABLE_M;
    let inside = (0.0..=east).contains(&at.east_m()) && (0.0..=north).contains(&at.north_m());
    if !inside {
        return None;
    }
    let (lon, lat) = convert_osgb36_to_ll(at.east_m(), at.north_m()).ok()?;
    LonLat::checked(lon, lat)
}

fn covered_around(place: LonLat) -> bool {
    let [across, up] = MARGIN_DEG;
    [
        (0.0, 0.0),
        (across, up),
        (across, -up),
        (-across, up),
        (-across, -up),
    ]
    .into_iter()
    .all(|(dx, dy)| to_grid(LonLat::new(place.lon() + dx, place.lat() + dy)).is_some())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_grid_reference_off_the_table_is_no_place() {
        let grid = Plane::national_grid();
        for (east, north) in [
            (1e308, 1.0),
            (-1.0, 1.0),
            (1.0, f64::NAN),
            (f64::INFINITY, 0.0),
        ] {
            assert_eq!(grid.to_lonlat(PlanePoint::from_metres(east, north)), None);
        }
    }

    #[test]
    fn a_town_in_great_britain_is_worked_on_the_grid() {
        let plane = Plane::for_places([LonLat::new(-2.64, 53.34), LonLat::new(-1.66, 53.80)]);
        assert!(plane.is_national_grid());
        assert!(plane.describe().contains("OSTN15"));
    }

    #[test]
    fn one_place_abroad_takes_all_to_a_local_plane() {
        let plane = Plane::for_places([LonLat::new(-2.64, 53.34), LonLat::new(9.52, 47.14)]);
        assert!(!plane.is_national_grid());
        assert!(plane.describe().contains("azimuthal equidistant"));
    }

    #[test]
    fn no_place_at_all_is_worked_on_the_grid() {
        assert!(Plane::for_places([]).is_national_grid());
    }

    #[test]
    fn the_grid_has_no_point_for_places_outside_its_cover() {
        let plane = Plane::national_grid();
        assert_eq!(plane.to_plane(LonLat::new(9.52, 47.14)), None);
        assert_eq!(plane.to_plane(LonLat::new(f64::NAN, 53.0)), None);
        assert_eq!(
            plane.to_lonlat(PlanePoint::from_metres(-5.0, 400_000.0)),
            None
        );
    }
}
