//! The working plane against published points.

use gangday_ground::Plane;
use gangday_model::{LonLat, PlanePoint};
use geo::{Distance, Geodesic, Point};
use proptest::prelude::*;

/// One of Ordnance Survey's points: name, degrees, metres.
type Known = (&'static str, LonLat, PlanePoint);

/// # Source
/// Ordnance Survey, OSTN15 and OSGM15 developer pack: test points TP01 to TP40.
fn published() -> Vec<Known> {
    let text = include_str!("data/ostn15_points.csv");
    let rows = text.lines().filter(|line| line.starts_with("TP"));
    rows.filter_map(known).collect()
}

fn known(row: &'static str) -> Option<Known> {
    let (name, rest) = row.split_once(',')?;
    let numbers: Vec<f64> = rest
        .split(',')
        .filter_map(|cell| cell.parse().ok())
        .collect();
    let &[lat, lon, east, north] = numbers.as_slice() else {
        return None;
    };
    Some((
        name,
        LonLat::new(lon, lat),
        PlanePoint::from_metres(east, north),
    ))
}

fn apart_m(a: LonLat, b: LonLat) -> f64 {
    Geodesic.distance(Point::new(a.lon(), a.lat()), Point::new(b.lon(), b.lat()))
}

/// The pack's degrees have eight decimals, which is about a millimetre: hence 1.5 mm.
#[test]
fn all_forty_points_come_out_to_the_millimetre() {
    let plane = Plane::national_grid();
    let points = published();
    assert_eq!(points.len(), 40);
    let mut worst = 0.0f64;
    for (name, place, expected) in points {
        let at = plane.to_plane(place).unwrap();
        let apart = (at.east_m() - expected.east_m())
            .abs()
            .max((at.north_m() - expected.north_m()).abs());
        assert!(apart < 0.0015, "{name} is {apart} m out");
        worst = worst.max(apart);
    }
    println!("worst of forty: {:.2} mm", worst * 1e3);
}

/// Both the metres and the degrees of the pack are rounded here: hence 2 mm.
#[test]
fn all_forty_points_come_back_to_the_millimetre() {
    let plane = Plane::national_grid();
    let mut worst = 0.0f64;
    for (name, place, at) in published() {
        let apart = apart_m(plane.to_lonlat(at).unwrap(), place);
        assert!(apart < 0.002, "{name} is {apart} m out");
        worst = worst.max(apart);
    }
    println!("worst of forty: {:.2} mm", worst * 1e3);
}

/// # Source
/// Ordnance Survey, "Transformations and OSGM15 user guide" v1.3, worked example:
/// ETRS89 52 39 28.8282 N, 1 42 57.8663 E is OSGB36 E 651409.804, N 313177.450.
#[test]
fn the_worked_example_of_the_guide_comes_out() {
    let lat = 52.0 + 39.0 / 60.0 + 28.8282 / 3600.0;
    let lon = 1.0 + 42.0 / 60.0 + 57.8663 / 3600.0;
    let at = Plane::national_grid()
        .to_plane(LonLat::new(lon, lat))
        .unwrap();
    assert!(
        (at.east_m() - 651_409.804).abs() < 0.0025,
        "{}",
        at.east_m()
    );
    assert!(
        (at.north_m() - 313_177.450).abs() < 0.0025,
        "{}",
        at.north_m()
    );
}

/// The ground of the demonstration district: sea, and yet on the grid.
#[test]
fn the_demonstration_box_is_covered() {
    let corners = (0..=10).flat_map(|x| (0..=7).map(move |y| (x, y)));
    let places =
        corners.map(|(x, y)| LonLat::new(-3.45 + f64::from(x) * 0.01, 53.98 + f64::from(y) * 0.01));
    assert!(Plane::for_places(places).is_national_grid());
}

proptest! {
    /// Any land in Great Britain between the Channel and Caithness, and the sea between.
    #[test]
    fn there_and_back_on_the_grid(lon in -4.0f64..-0.5, lat in 50.8f64..55.5) {
        let plane = Plane::national_grid();
        let place = LonLat::new(lon, lat);
        let at = plane.to_plane(place);
        prop_assert!(at.is_some());
        let back = plane.to_lonlat(at.unwrap()).unwrap();
        prop_assert!(apart_m(place, back) < 0.002);
    }

    #[test]
    fn there_and_back_on_a_local_plane_anywhere(
        lon in -180.0f64..180.0, lat in -89.9f64..89.9,
        east in -50_000.0f64..50_000.0, north in -50_000.0f64..50_000.0,
    ) {
        let plane = Plane::local(LonLat::new(lon, lat));
        let at = PlanePoint::from_metres(east, north);
        let back = plane.to_plane(plane.to_lonlat(at).unwrap()).unwrap();
        prop_assert!(back.distance_m(at) < 1e-5, "{}", back.distance_m(at));
    }

    /// Distances on a local plane against geodesics between the places themselves: never too
    /// short by more than the oracle's noise, never longer than `d^2 / 6R^2` allows.
    #[test]
    fn distances_on_a_local_plane_are_those_on_the_globe(
        lat in -85.0f64..85.0, lon in -180.0f64..180.0,
        [a, b, c, d] in prop::array::uniform4(-20_000.0f64..20_000.0),
    ) {
        let plane = Plane::local(LonLat::new(lon, lat));
        let (p, q) = (PlanePoint::from_metres(a, b), PlanePoint::from_metres(c, d));
        let globe = apart_m(plane.to_lonlat(p).unwrap(), plane.to_lonlat(q).unwrap());
        let reach = a.hypot(b).max(c.hypot(d));
        let stretch = (reach / 6.33e6f64).powi(2) / 6.0;
        let longer = p.distance_m(q) - globe;
        prop_assert!((-1e-4..=globe * stretch + 1e-4).contains(&longer), "{longer}");
    }
}

#[test]
fn places_on_both_sides_of_the_antimeridian_are_near() {
    let (west, east) = (LonLat::new(179.99, -17.0), LonLat::new(-179.99, -17.0));
    let plane = Plane::for_places([west, east]);
    assert!(!plane.is_national_grid());
    let apart = plane
        .to_plane(west)
        .unwrap()
        .distance_m(plane.to_plane(east).unwrap());
    assert!((apart - apart_m(west, east)).abs() < 0.001);
    assert!(apart < 2_200.0, "{apart}");
    assert!(
        plane.describe().contains("latitude -17.0000"),
        "{}",
        plane.describe()
    );
}
