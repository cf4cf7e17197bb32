//! Whether a position can be right, judged by where most of the others are.
//!
//! A check of plausibility and nothing else: no distance from here is used in a plan.

use gangday_model::{Finding, LonLat};

use crate::codes::NounCodes;

/// Kilometres in a degree of latitude, near enough to tell a district from another county.
const KM_PER_DEGREE: f64 = 111.0;

/// No position nearer than this to the middle of the others is called far.
///
/// # Source
/// Common practice, no source: a gang's working area is well within it.
const LEAST_REACH_KM: f64 = 50.0;

/// Positions farther than this many times the usual distance from the middle are called far.
const REACH_TIMES: f64 = 10.0;

/// The United Kingdom in longitude and latitude, generously.
///
/// # Source
/// From memory: the area of use of the British National Grid, widened to Northern Ireland.
const UNITED_KINGDOM: ([f64; 2], [f64; 2]) = ([-9.0, 49.5], [2.5, 61.5]);

/// Fewer positions than these can't tell which of them is the far one.
const FEWEST: usize = 3;

type Pair = [f64; 2];

/// Where most positions are.
pub(crate) struct Area {
    middle: Option<Pair>,
    reach_km: f64,
    count: usize,
}

/// What a position looks like.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Verdict {
    Fine(LonLat),
    OffGlobe,
    Swapped,
    Far(f64),
}

impl Area {
    /// The area of these positions; those that are plainly swapped count where they belong.
    pub(crate) fn of(positions: impl Iterator<Item = Pair>) -> Self {
        let upright = |[x, y]: Pair| {
            let flip = !in_kingdom([x, y]) && in_kingdom([y, x]);
            if flip { [y, x] } else { [x, y] }
        };
        let usable: Vec<Pair> = positions
            .map(upright)
            .filter(|pair| on_globe(*pair).is_some())
            .collect();
        let middle = median(usable.iter().map(|pair| pair[0]).collect())
            .zip(median(usable.iter().map(|pair| pair[1]).collect()))
            .map(|(lon, lat)| [lon, lat]);
        let usual =
            middle.and_then(|middle| median(usable.iter().map(|pair| km(middle, *pair)).collect()));
        Self {
            middle,
            reach_km: (usual.unwrap_or(0.0) * REACH_TIMES).max(LEAST_REACH_KM),
            count: usable.len(),
        }
    }

    /// The area of a programme's own positions, with new ones counted while the own are few.
    ///
    /// A long list from elsewhere must not turn what the programme has into faults: where its own
    /// positions would look far, they alone decide.
    pub(crate) fn joined(own: &[Pair], new: impl Iterator<Item = Pair>) -> Self {
        let alone = Self::of(own.iter().copied());
        if alone.count >= FEWEST {
            return alone;
        }
        let together = Self::of(own.iter().copied().chain(new));
        let fits = |pair: &Pair| matches!(together.judge(*pair), Verdict::Fine(_));
        if own.iter().all(fits) {
            return together;
        }
        Self {
            count: FEWEST,
            ..alone
        }
    }

    /// What this position looks like among the others.
    pub(crate) fn judge(&self, pair: Pair) -> Verdict {
        let turned = [pair[1], pair[0]];
        let turned_fits =
            on_globe(turned).is_some() && (self.reaches(turned) || in_kingdom(turned));
        match on_globe(pair) {
            Some(place) if self.middle.is_none() || self.reaches(pair) => Verdict::Fine(place),
            Some(_) if turned_fits && !in_kingdom(pair) => Verdict::Swapped,
            Some(place) if self.count < FEWEST => Verdict::Fine(place),
            Some(_) => Verdict::Far(self.middle.map_or(0.0, |middle| km(middle, pair))),
            None if turned_fits => Verdict::Swapped,
            None => Verdict::OffGlobe,
        }
    }

    fn reaches(&self, pair: Pair) -> bool {
        self.middle
            .is_some_and(|middle| km(middle, pair) <= self.reach_km)
    }
}

fn on_globe([lon, lat]: Pair) -> Option<LonLat> {
    LonLat::checked(lon, lat)
}

fn in_kingdom([lon, lat]: Pair) -> bool {
    let ([west, south], [east, north]) = UNITED_KINGDOM;
    (west..=east).contains(&lon) && (south..=north).contains(&lat)
}

fn median(mut numbers: Vec<f64>) -> Option<f64> {
    let half = numbers.len().checked_sub(1)? / 2;
    Some(*numbers.select_nth_unstable_by(half, f64::total_cmp).1)
}

fn km(from: Pair, to: Pair) -> f64 {
    let east = (to[0] - from[0]) * from[1].to_radians().cos();
    KM_PER_DEGREE * east.hypot(to[1] - from[1])
}

/// The finding that a verdict amounts to, if it is not fine.
pub(crate) fn finding(verdict: Verdict, [x, y]: Pair, codes: &NounCodes) -> Option<Finding> {
    let noun = codes.noun;
    match verdict {
        Verdict::Fine(_) => None,
        Verdict::OffGlobe => {
            let text = format!("The position {x}, {y} of the {noun} is not on the globe.");
            Some(Finding::fault(codes.globe, text, globe_remedy(x, y)))
        }
        Verdict::Swapped => {
            let text = format!("Longitude and latitude of the {noun} are swapped: {x}, {y}.");
            Some(Finding::fault(
                codes.swap,
                text,
                format!("Write longitude first: [{y}, {x}]."),
            ))
        }
        Verdict::Far(km) => {
            let text = format!(
                "The {noun} at {x}, {y} is outside the area: {km:.0} km from the middle of the others."
            );
            let remedy = if x == 0.0 && y == 0.0 {
                "Set its position; 0, 0 usually means that none was set."
            } else {
                "Correct its position, or put it into a programme of its own."
            };
            Some(Finding::fault(codes.far, text, remedy))
        }
    }
}

fn globe_remedy(x: f64, y: f64) -> &'static str {
    let metres = x.abs().max(y.abs()) > 1000.0 && x.abs() < 1e7 && y.abs() < 1e7;
    if metres {
        "It looks like metres of a grid: export it again in WGS84 degrees, longitude first."
    } else {
        "Write degrees, longitude first: -180 to 180, then -90 to 90."
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LEEDS: [Pair; 4] = [
        [-1.55, 53.80],
        [-1.56, 53.81],
        [-1.54, 53.79],
        [-1.55, 53.82],
    ];

    fn area(more: &[Pair]) -> Area {
        Area::of(LEEDS.iter().chain(more).copied())
    }

    #[test]
    fn a_swapped_pair_is_seen_among_sound_ones() {
        let pair = [53.80, -1.55];
        assert_eq!(area(&[pair]).judge(pair), Verdict::Swapped);
        assert!(matches!(area(&[pair]).judge(LEEDS[0]), Verdict::Fine(_)));
    }

    #[test]
    fn all_pairs_swapped_are_seen_by_the_kingdom_they_would_lie_in() {
        let swapped = LEEDS.map(|[x, y]| [y, x]);
        let area = Area::of(swapped.into_iter());
        assert!(
            swapped
                .iter()
                .all(|pair| area.judge(*pair) == Verdict::Swapped)
        );
    }

    #[test]
    fn a_swapped_pair_is_seen_abroad_by_its_neighbours() {
        let points = [[9.51, 47.15], [9.52, 47.14], [9.50, 47.16], [47.15, 9.51]];
        assert_eq!(
            Area::of(points.into_iter()).judge(points[3]),
            Verdict::Swapped
        );
        let off = [[116.4, 39.9], [116.5, 39.8], [39.9, 116.4]];
        assert_eq!(Area::of(off.into_iter()).judge(off[2]), Verdict::Swapped);
    }

    #[test]
    fn a_pair_far_from_all_others_is_outside_and_grid_metres_are_off_the_globe() {
        assert!(matches!(area(&[[0.0, 0.0]]).judge([0.0, 0.0]), Verdict::Far(km) if km > 5000.0));
        assert_eq!(area(&[]).judge([429_157.0, 434_234.0]), Verdict::OffGlobe);
        assert_eq!(area(&[]).judge([1e308, -1e308]), Verdict::OffGlobe);
    }

    #[test]
    fn a_long_list_from_elsewhere_does_not_outvote_the_programme() {
        let paris = || (0..50).map(|i| [2.35 + f64::from(i) * 1e-4, 48.85]);
        let area = Area::joined(&LEEDS, paris());
        assert!(matches!(area.judge(LEEDS[0]), Verdict::Fine(_)));
        assert!(matches!(area.judge([2.35, 48.85]), Verdict::Far(km) if km > 500.0));
        let alone = Area::joined(&[], paris());
        assert!(matches!(alone.judge([2.35, 48.85]), Verdict::Fine(_)));
        let one = Area::joined(&LEEDS[..1], paris());
        assert!(matches!(one.judge([2.35, 48.85]), Verdict::Far(_)));
    }

    #[test]
    fn points_all_over_the_world_are_not_far_from_each_other() {
        let world = [
            [-0.1, 51.5],
            [151.2, -33.9],
            [-74.0, 40.7],
            [139.7, 35.7],
            [18.4, -33.9],
        ];
        let area = Area::of(world.into_iter());
        assert!(
            world
                .iter()
                .all(|pair| matches!(area.judge(*pair), Verdict::Fine(_)))
        );
    }
}
