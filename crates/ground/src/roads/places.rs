//! Which road a place is at.

use std::collections::BTreeSet;

use gangday_model::{LonLat, PlanePoint};
use rstar::{AABB, RTree};

use super::journey::WHOLE_LINK;
use super::{OnRoad, RoadGraph};
use crate::pieces::{Piece, nearest, nearest_among, piece};
use crate::{Plane, Polyline, Ring};

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

    /// The nearest place on those links that are wanted.
    ///
    /// # Units
    /// `reach_m` in metres.
    #[must_use]
    pub fn snap_among(
        &self,
        place: PlanePoint,
        reach_m: f64,
        wanted: impl Fn(u32) -> bool,
    ) -> Option<Snapped> {
        let link = nearest_among(&self.tree, place, reach_m, wanted)?;
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

    /// The links that some ground, such as a closure's, lies on; in order of number.
    #[must_use]
    pub fn links_under(&self, ground: &Ring) -> Vec<u32> {
        let corners: Vec<[f64; 2]> = ground
            .points()
            .iter()
            .map(|at| [at.east_m(), at.north_m()])
            .collect();
        let near = self
            .tree
            .locate_in_envelope_intersecting(AABB::from_points(&corners));
        let end = |at: [f64; 2]| PlanePoint::from_metres(at[0], at[1]);
        let under = near.filter(|piece| {
            let line = piece.geom();
            ground.meets(end(line.from), end(line.to))
        });
        let links: BTreeSet<u32> = under.map(|piece| piece.data).collect();
        links.into_iter().collect()
    }
}

fn on_plane(line: &[LonLat], plane: &Plane) -> Option<Polyline> {
    let points: Option<Vec<PlanePoint>> = line.iter().map(|at| plane.to_plane(*at)).collect();
    Polyline::new(points?)
}
