//! What a plain Helmert shift would be out by, and that the working plane is none.

use gangday_ground::Plane;
use gangday_model::LonLat;

/// Airy 1830, as Ordnance Survey's guide has it.
const AIRY: [f64; 2] = [6_377_563.396, 6_356_256.909];
/// GRS80: 6,378,137 m and 1 in 298.257222101.
const GRS80: [f64; 2] = [6_378_137.0, 6_356_752.314_140];
/// WGS84 to OSGB36: metres, and seconds of arc.
const SHIFT_M: [f64; 3] = [-446.448, 125.157, -542.060];
const TURN_SECONDS: [f64; 3] = [-0.1502, -0.2470, -0.8421];
const SCALE: f64 = 1.0 + 20.4894e-6;

fn eccentricity2([a, b]: [f64; 2]) -> f64 {
    1.0 - b * b / (a * a)
}

fn to_space(lat: f64, lon: f64, axes: [f64; 2]) -> [f64; 3] {
    let e2 = eccentricity2(axes);
    let normal = axes[0] / (1.0 - e2 * lat.sin().powi(2)).sqrt();
    let out = normal * lat.cos();
    [
        out * lon.cos(),
        out * lon.sin(),
        (1.0 - e2) * normal * lat.sin(),
    ]
}

fn from_space([x, y, z]: [f64; 3], axes: [f64; 2]) -> (f64, f64) {
    let e2 = eccentricity2(axes);
    let out = x.hypot(y);
    let mut lat = z.atan2(out * (1.0 - e2));
    for _ in 0..10 {
        let normal = axes[0] / (1.0 - e2 * lat.sin().powi(2)).sqrt();
        lat = (z + e2 * normal * lat.sin()).atan2(out);
    }
    (lat, y.atan2(x))
}

fn shifted([x, y, z]: [f64; 3]) -> [f64; 3] {
    let [rx, ry, rz] = TURN_SECONDS.map(|seconds| (seconds / 3_600.0).to_radians());
    [
        SHIFT_M[0] + SCALE * x - rz * y + ry * z,
        SHIFT_M[1] + rz * x + SCALE * y - rx * z,
        SHIFT_M[2] - ry * x + rx * y + SCALE * z,
    ]
}

/// The grid's projection, by the series of the guide's annex C.
fn on_the_grid(lat: f64, lon: f64) -> [f64; 2] {
    let ([a, b], f0) = (AIRY, 0.999_601_271_7);
    let (lat0, lon0) = (49_f64.to_radians(), (-2_f64).to_radians());
    let (e2, n) = (eccentricity2(AIRY), (a - b) / (a + b));
    let (sin, cos, tan2) = (lat.sin(), lat.cos(), lat.tan().powi(2));
    let nu = a * f0 / (1.0 - e2 * sin * sin).sqrt();
    let rho = a * f0 * (1.0 - e2) / (1.0 - e2 * sin * sin).powf(1.5);
    let eta2 = nu / rho - 1.0;
    let (apart, sum, east) = (lat - lat0, lat + lat0, lon - lon0);
    let arc = b
        * f0
        * ((1.0 + n + 1.25 * (n * n + n.powi(3))) * apart
            - (3.0 * (n + n * n) + 21.0 / 8.0 * n.powi(3)) * apart.sin() * sum.cos()
            + 15.0 / 8.0 * (n * n + n.powi(3)) * (2.0 * apart).sin() * (2.0 * sum).cos()
            - 35.0 / 24.0 * n.powi(3) * (3.0 * apart).sin() * (3.0 * sum).cos());
    let north = arc - 100_000.0
        + nu / 2.0 * sin * cos * east.powi(2)
        + nu / 24.0 * sin * cos.powi(3) * (5.0 - tan2 + 9.0 * eta2) * east.powi(4)
        + nu / 720.0 * sin * cos.powi(5) * (61.0 - 58.0 * tan2 + tan2 * tan2) * east.powi(6);
    let fifth = 5.0 - 18.0 * tan2 + tan2 * tan2 + 14.0 * eta2 - 58.0 * tan2 * eta2;
    let along = 400_000.0
        + nu * cos * east
        + nu / 6.0 * cos.powi(3) * (nu / rho - tan2) * east.powi(3)
        + nu / 120.0 * cos.powi(5) * fifth * east.powi(5);
    [along, north]
}

fn by_helmert(lat: f64, lon: f64) -> [f64; 2] {
    let space = to_space(lat.to_radians(), lon.to_radians(), GRS80);
    let (lat, lon) = from_space(shifted(space), AIRY);
    on_the_grid(lat, lon)
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}

/// # Source
/// Ordnance Survey, "A guide to coordinate systems in Great Britain", annex C: 52 39 27.2531 N,
/// 1 43 4.5177 E (OSGB36) is E 651409.903, N 313177.270. So the test's own arithmetic is sound.
#[test]
fn the_guide_s_projection_comes_out() {
    let degrees = |d: f64, m: f64, s: f64| (d + m / 60.0 + s / 3_600.0).to_radians();
    let at = on_the_grid(degrees(52.0, 39.0, 27.2531), degrees(1.0, 43.0, 4.5177));
    assert!(apart(at, [651_409.903, 313_177.270]) < 0.001, "{at:?}");
}

/// A plain Helmert shift misses the published points of OSTN15 by up to 4.94 m; the working plane
/// comes out at each to the millimetre, so it is no such shift, and no chamber lies metres off.
///
/// # Source
/// Ordnance Survey, OSTN15 and OSGM15 developer pack, points TP01 to TP40; the shift's figures are
/// those of its guide, 6.6.
#[test]
fn a_helmert_shift_is_metres_off_where_the_plane_is_not() {
    let rows = include_str!("data/ostn15_points.csv").lines();
    let mut worst: (f64, &str) = (0.0, "");
    let mut points = 0;
    for row in rows.filter(|row| row.starts_with("TP")) {
        let (name, rest) = row.split_once(',').expect("a row has cells");
        let cells: Vec<f64> = rest
            .split(',')
            .filter_map(|cell| cell.parse().ok())
            .collect();
        let &[lat, lon, east, north] = cells.as_slice() else {
            panic!("{row}");
        };
        let plane = Plane::national_grid().to_plane(LonLat::new(lon, lat));
        let plane = plane.expect("a published point is on the plane");
        let own = apart([plane.east_m(), plane.north_m()], [east, north]);
        let helmert = apart(by_helmert(lat, lon), [east, north]);
        assert!(
            own < 0.002 && helmert > 0.1 && helmert < 5.0,
            "{name}: {own} {helmert}"
        );
        worst = if helmert > worst.0 {
            (helmert, name)
        } else {
            worst
        };
        points += 1;
    }
    assert_eq!((points, worst.1), (40, "TP31"));
    assert!((worst.0 - 4.94).abs() < 0.005, "{worst:?}");
}
