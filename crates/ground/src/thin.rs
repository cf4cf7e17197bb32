//! Lines with no more points than can be seen.

use gangday_model::LonLat;
use geo::{Coord, LineString, SimplifyIdx as _};

/// How far the thinned line may lie from the other: half a metre, in degrees of a meridian, which is
/// 10,002 km for 90 degrees (WGS 84).
const NEAR: f64 = 4.5e-6;

/// The points of a line that its shape needs to within half a metre, by Ramer, Douglas and Peucker:
/// its ends and its corners, each where it was. A street that is surveyed every few metres needs few
/// of them to be drawn.
#[must_use]
pub fn thinned(line: &[LonLat]) -> Vec<LonLat> {
    let Some(first) = line.first() else {
        return Vec::new();
    };
    let narrow = first.lat().to_radians().cos();
    let points = line.iter().map(|at| Coord {
        x: at.lon() * narrow,
        y: at.lat(),
    });
    let kept = LineString::new(points.collect()).simplify_idx(NEAR);
    kept.into_iter().map(|at| line[at]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(points: &[(f64, f64)]) -> Vec<LonLat> {
        let points = points.iter();
        points.map(|(lon, lat)| LonLat::new(*lon, *lat)).collect()
    }

    #[test]
    fn points_on_the_way_go_and_corners_stay() {
        // 0.000 01 degrees of latitude are 1.11 m, of longitude at 60 degrees north 0.56 m.
        let straight = line(&[
            (0.0, 60.0),
            (0.001, 60.0),
            (0.002, 60.000_003),
            (0.003, 60.0),
        ]);
        assert_eq!(thinned(&straight), line(&[(0.0, 60.0), (0.003, 60.0)]));
        let bent = line(&[
            (0.0, 60.0),
            (0.001, 60.0),
            (0.002, 60.000_01),
            (0.003, 60.0),
        ]);
        assert_eq!(thinned(&bent).len(), 4);
        let beside = line(&[(0.0, 60.0), (0.000_008, 60.001), (0.0, 60.002)]);
        assert_eq!(thinned(&beside).len(), 2, "0.45 m beside");
        let further = line(&[(0.0, 60.0), (0.000_01, 60.001), (0.0, 60.002)]);
        assert_eq!(thinned(&further).len(), 3, "0.56 m beside");
    }

    #[test]
    fn there_and_back_the_far_end_stays() {
        let spur = line(&[
            (0.0, 60.0),
            (0.001, 60.0),
            (0.002, 60.0),
            (0.001, 60.0),
            (0.0, 60.0),
        ]);
        assert_eq!(
            thinned(&spur),
            line(&[(0.0, 60.0), (0.002, 60.0), (0.0, 60.0)])
        );
        assert!(thinned(&[]).is_empty());
        assert_eq!(thinned(&spur[..1]), spur[..1]);
    }
}
