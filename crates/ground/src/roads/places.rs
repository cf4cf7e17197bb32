//! Which road a place is at.

use std::collections::BTreeSet;

use gangday_model::{LonLat, PlanePoint};
use rstar::primitives::Line;
use rstar::{AABB, PointDistance, RTree};

use super::journey::WHOLE_LINK;
use super::{OnRoad, RoadGraph};
use crate::pieces::{Piece, nearest, piece};
use crate::{Plane, Polyline};

/// How far a place may lie from a road and still be reached by it, where nothing else is stated.
///
/// # Units
/// Metres, straight.
///
/// # Source
/// Common practice, no source.
pub const REACH_M: f64 = 100.0;

/// A place brought to the roads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Snapped {
    /// Where on the roads.
    pub on: OnRoad,
    /// How far the place is from there, m.
    pub off_m: f64,
}

/// The links that vehicles can come to and go from, in an R-tree of their straight pieces.
///
/// A link that one can't come to or can't leave again (a stump of the extract, a one-way street
/// that leads off its edge) is not among them, or a place near it could never be served.
#[derive(Clone, Debug)]
pub struct RoadIndex {
    lines: Vec<Option<Polyline>>,
    tree: RTree<Piece<u32>>,
}

impl RoadIndex {
    /// The usable links of a graph on a plane; one that the plane does not reach is left out.
    #[must_use]
    pub fn new(graph: &RoadGraph, plane: &Plane) -> Self {
        let links = (0..).zip(&graph.network().links);
        let lines: Vec<Option<Polyline>> = links
            .map(|(number, link)| {
                let usable = graph.is_usable(number);
                usable.then(|| on_plane(&link.line, plane)).flatten()
            })
            .collect();
        let mut pieces = Vec::new();
        for (number, line) in (0..).zip(&lines) {
            let segments = line.iter().flat_map(Polyline::segments);
            pieces.extend(segments.map(|(_, from, to)| piece(number, from, to)));
        }
        Self {
            lines,
            tree: RTree::bulk_load(pieces),
        }
    }

    /// The nearest place on the roads within reach; of links as near, the one of the lowest number.
    ///
    /// # Units
    /// `reach_m` in metres.
    #[must_use]
    pub fn snap(&self, place: PlanePoint, reach_m: f64) -> Option<Snapped> {
        let link = nearest(&self.tree, place, reach_m)?;
        self.snap_to(link, place)
    }

    /// The nearest place on one link, however far it is; none where the link is not usable.
    #[must_use]
    pub fn snap_to(&self, link: u32, place: PlanePoint) -> Option<Snapped> {
        let line = self.lines.get(link as usize)?.as_ref()?;
        let station = line.station(place);
        let part = station.chainage_m.clamp(0.0, line.length_m()) / line.length_m();
        let part = (part * f64::from(WHOLE_LINK)).round() as u32;
        Some(Snapped {
            on: OnRoad { link, part },
            off_m: station.distance_m,
        })
    }

    /// The links that come within this distance of a line, such as the middle line of a closure;
    /// in order of number.
    ///
    /// # Units
    /// `reach_m` in metres.
    #[must_use]
    pub fn links_along(&self, line: &[PlanePoint], reach_m: f64) -> Vec<u32> {
        let mut found = BTreeSet::new();
        let stretches = line.windows(2).map(|pair| (pair[0], pair[1]));
        let single = line
            .first()
            .filter(|_| line.len() == 1)
            .map(|at| (*at, *at));
        for (from, to) in stretches.chain(single) {
            let stretch = Line::new([from.east_m(), from.north_m()], [to.east_m(), to.north_m()]);
            let near = self
                .tree
                .locate_in_envelope_intersecting(around(&stretch, reach_m));
            let within = near.filter(|piece| apart_2(piece.geom(), &stretch) <= reach_m * reach_m);
            found.extend(within.map(|piece| piece.data));
        }
        found.into_iter().collect()
    }
}

fn around(line: &Line<[f64; 2]>, by: f64) -> AABB<[f64; 2]> {
    let [a, b] = [line.from, line.to];
    AABB::from_corners(
        [a[0].min(b[0]) - by, a[1].min(b[1]) - by],
        [a[0].max(b[0]) + by, a[1].max(b[1]) + by],
    )
}

/// The squared distance of two straight pieces.
fn apart_2(a: &Line<[f64; 2]>, b: &Line<[f64; 2]>) -> f64 {
    if crosses(a, b) {
        return 0.0;
    }
    let ends = [
        a.distance_2(&b.from),
        a.distance_2(&b.to),
        b.distance_2(&a.from),
        b.distance_2(&a.to),
    ];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}

fn crosses(a: &Line<[f64; 2]>, b: &Line<[f64; 2]>) -> bool {
    let side = |line: &Line<[f64; 2]>, at: [f64; 2]| {
        let (along, to) = (
            [line.to[0] - line.from[0], line.to[1] - line.from[1]],
            [at[0] - line.from[0], at[1] - line.from[1]],
        );
        along[0] * to[1] - along[1] * to[0]
    };
    side(a, b.from) * side(a, b.to) < 0.0 && side(b, a.from) * side(b, a.to) < 0.0
}

fn on_plane(line: &[LonLat], plane: &Plane) -> Option<Polyline> {
    let points: Option<Vec<PlanePoint>> = line.iter().map(|at| plane.to_plane(*at)).collect();
    Polyline::new(points?)
}
