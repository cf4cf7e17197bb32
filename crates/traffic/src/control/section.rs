//! The street across, at the works.

use gangday_model::{Band, BandKind, ClosureKind, OnFoot};

use super::facts::SiteFacts;

/// What lies where from right to left, bands touching; empty where the width is not stated or no
/// line is near.
pub(super) fn section(
    site: &SiteFacts,
    on_foot: OnFoot,
    walkway_m: f64,
    clearance_m: f64,
) -> Vec<Band> {
    let (Some(width), Some(taken)) = (site.width_m, site.across) else {
        return Vec::new();
    };
    let half = width / 2.0;
    let mut bands = vec![band(BandKind::Carriageway, -half, half)];
    if let Some(footway) = site.footway_m {
        bands.insert(0, band(BandKind::Footway, -half - footway, -half));
        bands.push(band(BandKind::Footway, half, half + footway));
    }
    let is_left = taken.works.0 + taken.works.1 >= 0.0;
    if matches!(site.kind, ClosureKind::Lane | ClosureKind::Road) {
        let all = (taken.all.0.max(-half), taken.all.1.min(half));
        paint(&mut bands, BandKind::Closed, all);
    }
    if site.kind == ClosureKind::Lane {
        let beside = if is_left {
            (taken.works.0 - clearance_m, taken.works.0)
        } else {
            (taken.works.1, taken.works.1 + clearance_m)
        };
        paint(
            &mut bands,
            BandKind::Clearance,
            (beside.0.max(-half), beside.1.min(half)),
        );
    }
    if on_foot == OnFoot::Walkway {
        let kerb = if is_left { half } else { -half };
        let inward = if is_left { -1.0 } else { 1.0 };
        let (walk, clear) = (
            kerb + inward * walkway_m,
            kerb + inward * (walkway_m + clearance_m),
        );
        paint(&mut bands, BandKind::Walkway, ordered(kerb, walk));
        paint(&mut bands, BandKind::Clearance, ordered(walk, clear));
    }
    paint(&mut bands, BandKind::Works, taken.works);
    bands
}

const fn band(kind: BandKind, from_m: f64, to_m: f64) -> Band {
    Band { kind, from_m, to_m }
}

fn ordered(a: f64, b: f64) -> (f64, f64) {
    (a.min(b), a.max(b))
}

/// Lays a band over the others; what it covers goes, what it doesn't touch stays.
fn paint(bands: &mut Vec<Band>, kind: BandKind, (from, to): (f64, f64)) {
    if to <= from {
        return;
    }
    let mut painted: Vec<Band> = Vec::with_capacity(bands.len() + 2);
    for old in bands.iter() {
        let before = band(old.kind, old.from_m, old.to_m.min(from));
        let after = band(old.kind, old.from_m.max(to), old.to_m);
        painted.extend(
            [before, after]
                .into_iter()
                .filter(|part| part.to_m > part.from_m),
        );
    }
    painted.push(band(kind, from, to));
    painted.sort_by(|a, b| a.from_m.total_cmp(&b.from_m));
    *bands = painted;
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// Bands never overlap, whatever is laid over them.
        #[test]
        fn bands_touch_and_never_overlap(
            layers in prop::collection::vec((-5.0f64..5.0, 0.0f64..4.0, 0usize..4), 1..8)
        ) {
            use BandKind::{Clearance, Closed, Walkway, Works};
            let kinds = [Closed, Clearance, Walkway, Works];
            let mut bands = vec![band(BandKind::Carriageway, -4.0, 4.0)];
            for (from, width, kind) in layers {
                paint(&mut bands, kinds[kind], (from, from + width));
                let overlap = bands.windows(2).any(|two| two[0].to_m > two[1].from_m + 1e-12);
                prop_assert!(!overlap, "{bands:?}");
                let covers = bands.iter().map(|band| band.to_m - band.from_m).sum::<f64>();
                prop_assert!(covers >= 8.0 - 1e-9);
            }
        }
    }
}
