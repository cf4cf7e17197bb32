//! A network made from the programme's own streets.

use std::collections::HashMap;

use gangday_model::{Link, LinkClass, LonLat, Network, Passage, PlanePoint, Street};
use rstar::RTree;
use rstar::primitives::Line;

use crate::Plane;
use crate::pieces::{Piece, piece};

/// An end of a line joins another line that it comes this near to.
///
/// # Units
/// Metres.
///
/// # Source
/// Common practice, no source: about what a line drawn by hand misses by.
pub const JOIN_M: f64 = 1.0;

/// The network of a programme's streets, for travel where no map extract is loaded.
///
/// Streets are joined where their lines share a vertex, and where the end of one lies on another or
/// within [`JOIN_M`] of it. Lines that only cross are not joined, since one may be a bridge over the
/// other. A street for one way is driven along its line only. No turn is forbidden; the class
/// follows from the road type.
#[must_use]
pub fn network_of_streets(streets: &[Street], plane: &Plane) -> Network {
    let mut ways = Ways::of(streets, plane);
    ways.join_ends();
    ways.network(streets)
}

/// One line on the plane.
struct Way {
    street: usize,
    points: Vec<PlanePoint>,
    spots: Vec<Spot>,
}

/// A vertex, or a place where another line's end joins.
#[derive(Clone, Copy)]
struct Spot {
    chainage_m: f64,
    at: LonLat,
    node: usize,
}

/// All lines, and which of their vertices are one.
struct Ways {
    ways: Vec<Way>,
    /// For each node the one it is the same as.
    same: Vec<usize>,
    /// How often each is met; ends count twice.
    met: Vec<u32>,
}

impl Ways {
    fn of(streets: &[Street], plane: &Plane) -> Self {
        let mut all = Self {
            ways: Vec::new(),
            same: Vec::new(),
            met: Vec::new(),
        };
        let mut known = HashMap::new();
        for (number, street) in streets.iter().enumerate() {
            for line in &street.lines {
                let points: Option<Vec<_>> = line.iter().map(|at| plane.to_plane(*at)).collect();
                let points = points.filter(|points| points.len() > 1);
                if let Some(points) = points {
                    all.add(number, line, points, &mut known);
                }
            }
        }
        all
    }

    fn add(
        &mut self,
        street: usize,
        line: &[LonLat],
        points: Vec<PlanePoint>,
        known: &mut HashMap<[u64; 2], usize>,
    ) {
        let (mut spots, mut chainage_m) = (Vec::with_capacity(line.len()), 0.0);
        for (number, at) in line.iter().enumerate() {
            if number > 0 {
                chainage_m += points[number - 1].distance_m(points[number]);
            }
            let key = [at.lon().to_bits(), at.lat().to_bits()];
            let node = *known.entry(key).or_insert(self.same.len());
            if node == self.same.len() {
                self.same.push(node);
                self.met.push(0);
            }
            let is_end = number == 0 || number + 1 == line.len();
            self.met[node] += if is_end { 2 } else { 1 };
            spots.push(Spot {
                chainage_m,
                at: *at,
                node,
            });
        }
        self.ways.push(Way {
            street,
            points,
            spots,
        });
    }

    /// Joins every end to the lines it lies on.
    fn join_ends(&mut self) {
        let tree = self.pieces();
        for way in 0..self.ways.len() {
            let last = self.ways[way].points.len() - 1;
            for end in [0, last] {
                let (at, spot) = (self.ways[way].points[end], self.ways[way].spots[end]);
                let centre = [at.east_m(), at.north_m()];
                let near = tree.locate_within_distance(centre, JOIN_M * JOIN_M);
                let mut near: Vec<_> = near.map(|piece| (piece.data, *piece.geom())).collect();
                near.sort_unstable_by_key(|(place, _)| *place);
                for ((other, piece), line) in
                    near.into_iter().filter(|((other, _), _)| *other != way)
                {
                    self.join(spot, at, (other, piece), &line);
                }
            }
        }
        for way in &mut self.ways {
            way.spots
                .sort_by(|a, b| a.chainage_m.total_cmp(&b.chainage_m));
        }
    }

    /// Pieces with the number of their line and their own in it.
    fn pieces(&self) -> RTree<Piece<(usize, usize)>> {
        let mut pieces = Vec::new();
        for (number, way) in self.ways.iter().enumerate() {
            let segments = way.points.windows(2).enumerate();
            pieces.extend(segments.map(|(own, ends)| piece((number, own), ends[0], ends[1])));
        }
        RTree::bulk_load(pieces)
    }

    /// Joins an end to a piece of another line: to a vertex that is as near, else in between.
    fn join(
        &mut self,
        end: Spot,
        at: PlanePoint,
        (other, piece): (usize, usize),
        line: &Line<[f64; 2]>,
    ) {
        let way = &self.ways[other];
        let vertices = [piece, piece + 1];
        let vertex = vertices
            .into_iter()
            .find(|vertex| way.points[*vertex].distance_m(at) <= JOIN_M);
        if let Some(vertex) = vertex {
            let node = way.spots[vertex].node;
            self.unite(end.node, node);
            return;
        }
        let foot = line.nearest_point(&[at.east_m(), at.north_m()]);
        let along = way.points[piece].distance_m(PlanePoint::from_metres(foot[0], foot[1]));
        let chainage_m = way.spots[piece].chainage_m + along;
        self.ways[other].spots.push(Spot { chainage_m, ..end });
        self.met[end.node] += 1;
    }

    fn unite(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        let (low, high) = (a.min(b), a.max(b));
        self.same[high] = low;
        self.met[low] += if low == high { 0 } else { self.met[high] };
    }

    fn root(&self, mut node: usize) -> usize {
        while self.same[node] != node {
            node = self.same[node];
        }
        node
    }

    fn network(&self, streets: &[Street]) -> Network {
        let mut network = Network::default();
        let mut numbers = HashMap::new();
        for way in &self.ways {
            let is_cut = |spot: &Spot| self.met[self.root(spot.node)] > 1;
            let cuts = (0..way.spots.len()).filter(|at| is_cut(&way.spots[*at]));
            let cuts: Vec<usize> = cuts.collect();
            for pair in cuts.windows(2) {
                let spots = &way.spots[pair[0]..=pair[1]];
                let ends = [spots[0], spots[spots.len() - 1]].map(|spot| {
                    let new = numbers.len() as u32;
                    let number = *numbers.entry(self.root(spot.node)).or_insert(new);
                    if number == new {
                        network.junctions.push(spot.at);
                    }
                    number
                });
                network
                    .links
                    .extend(link(&streets[way.street], ends, spots));
            }
        }
        network
    }
}

fn link(street: &Street, [from, to]: [u32; 2], spots: &[Spot]) -> Option<Link> {
    let mut line: Vec<LonLat> = spots.iter().map(|spot| spot.at).collect();
    line.dedup();
    if line.len() < 2 {
        return None;
    }
    let limit = street.speed_limit_mph.map(|mph| f64::from(mph) * 1.609_344);
    Some(Link {
        street: Some(street.id.clone()),
        from,
        to,
        line,
        class: class(street.road_type),
        limit_kmh: limit.map(|kmh| kmh.round().min(f64::from(u16::MAX)) as u16),
        along: Passage::Open,
        against: if street.one_way {
            Passage::Shut
        } else {
            Passage::Open
        },
        on_foot: Passage::Open,
    })
}

/// The class that a road type speaks of; the type goes by how much heavy traffic a road bears.
fn class(road_type: Option<u8>) -> LinkClass {
    match road_type {
        Some(0) => LinkClass::Trunk,
        Some(1) => LinkClass::Primary,
        Some(2) => LinkClass::Secondary,
        Some(3) => LinkClass::Tertiary,
        Some(_) => LinkClass::Residential,
        None => LinkClass::Minor,
    }
}
