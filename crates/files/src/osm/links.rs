//! Ways cut into links where they meet, end, or something stands or turns.

use std::collections::HashMap;
use std::ops::Range;

use gangday_model::{Link, LonLat, Network, Passage};

use super::barrier::Barrier;
use super::gather::Way;
use super::nodes::Nodes;

/// Steps of a place in a degree.
const STEPS: f64 = 1e7;

/// The nodes of one way that follow one another without a gap, in the way's direction of travel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    /// Which way, by its place in the list.
    pub(super) way: usize,
    pub(super) nodes: Vec<u32>,
}

/// Where the ways went in the network.
#[derive(Debug, Default)]
pub(super) struct Laid {
    /// The ways' ids.
    pub(super) way_ids: Vec<i64>,
    /// Each way's links; they stand together, in its direction.
    links: Vec<Range<u32>>,
    /// Whether each way is in one piece.
    whole: Vec<bool>,
    /// The pieces of all ways, in order.
    pub(super) pieces: Vec<Piece>,
    /// Junctions at which no vehicle gets through.
    pub(super) barred: Vec<u32>,
    /// How many of those are private gates.
    pub(super) private_gates: usize,
    /// How many ways have nodes that are not in the extract.
    pub(super) cut: usize,
    junction_of: HashMap<i64, u32>,
}

impl Laid {
    pub(super) fn links_of(&self, way: usize) -> Range<u32> {
        self.links[way].clone()
    }

    /// The junctions where a way begins and ends; none where it is in several pieces or a ring.
    pub(super) fn ends_of(&self, way: usize, network: &Network) -> Option<(u32, u32)> {
        let range = self.links_of(way);
        if range.is_empty() || !self.whole[way] {
            return None;
        }
        let begin = network.links[range.start as usize].from;
        let end = network.links[range.end as usize - 1].to;
        (begin != end).then_some((begin, end))
    }

    /// The junction of a node that a ban turns about.
    pub(super) fn junction_of(&self, node: i64) -> Option<u32> {
        self.junction_of.get(&node).copied()
    }
}

/// Cuts the ways and lays their links.
pub(super) fn lay(ways: &[Way], nodes: &Nodes, network: &mut Network) -> Laid {
    let mut laid = Laid {
        way_ids: ways.iter().map(|way| way.id).collect(),
        ..Laid::default()
    };
    for (at, way) in ways.iter().enumerate() {
        let before = laid.pieces.len();
        let is_cut = pieces(at, way, nodes, &mut laid.pieces);
        laid.cut += usize::from(is_cut);
        laid.whole.push(laid.pieces.len() == before + 1 && !is_cut);
    }
    let is_junction = junctions(&laid.pieces, nodes);
    let mut layer = Layer {
        nodes,
        is_junction,
        number: vec![None; nodes.len()],
        network,
    };
    let mut next = 0;
    for (at, way) in ways.iter().enumerate() {
        let start = layer.links();
        while let Some(piece) = laid.pieces.get(next).filter(|piece| piece.way == at) {
            layer.piece(piece, way);
            next += 1;
        }
        laid.links.push(start..layer.links());
    }
    for index in 0..nodes.len() as u32 {
        let Some(junction) = layer.number[index as usize] else {
            continue;
        };
        if nodes.barrier(index) != Barrier::Passable {
            laid.barred.push(junction);
            laid.private_gates += usize::from(nodes.barrier(index) == Barrier::Private);
        }
    }
    let number = layer.number;
    laid.junction_of = nodes
        .vias()
        .filter_map(|(id, index)| Some((id, number[index as usize]?)))
        .collect();
    laid
}

/// The stretches of a way whose nodes are all there; says whether any is missing.
fn pieces(at: usize, way: &Way, nodes: &Nodes, out: &mut Vec<Piece>) -> bool {
    let mut is_cut = false;
    let mut stretch: Vec<u32> = Vec::with_capacity(way.nodes.len());
    let backwards = way.about.along == Passage::Shut && way.about.against != Passage::Shut;
    let end = |stretch: &mut Vec<u32>, out: &mut Vec<Piece>| {
        let nodes = std::mem::take(stretch);
        if nodes.len() > 1 {
            out.push(Piece { way: at, nodes });
        }
    };
    let mut step = |id: &i64| {
        let index = nodes
            .index(*id)
            .filter(|index| nodes.place(*index).is_some());
        match index {
            Some(index) if stretch.last() == Some(&index) => {}
            Some(index) => stretch.push(index),
            None => {
                is_cut = true;
                end(&mut stretch, out);
            }
        }
    };
    // A line of one-way traffic runs with the traffic.
    if backwards {
        way.nodes.iter().rev().for_each(&mut step);
    } else {
        way.nodes.iter().for_each(&mut step);
    }
    end(&mut stretch, out);
    is_cut
}

/// Which nodes are junctions: ends, nodes met twice, barriers, and nodes that a ban turns about.
fn junctions(pieces: &[Piece], nodes: &Nodes) -> Vec<bool> {
    let mut met = vec![0_u8; nodes.len()];
    for piece in pieces {
        for index in &piece.nodes {
            let count = &mut met[*index as usize];
            *count = count.saturating_add(1);
        }
        for end in [piece.nodes.first(), piece.nodes.last()]
            .into_iter()
            .flatten()
        {
            met[*end as usize] = u8::MAX;
        }
    }
    let all = (0_u32..).zip(met);
    all.map(|(index, met)| {
        met > 1 || nodes.is_via(index) || nodes.barrier(index) != Barrier::Passable
    })
    .collect()
}

struct Layer<'n> {
    nodes: &'n Nodes,
    is_junction: Vec<bool>,
    number: Vec<Option<u32>>,
    network: &'n mut Network,
}

impl Layer<'_> {
    fn links(&self) -> u32 {
        self.network.links.len() as u32
    }

    fn piece(&mut self, piece: &Piece, way: &Way) {
        let mut start = 0;
        for at in 1..piece.nodes.len() {
            if self.is_junction[piece.nodes[at] as usize] {
                self.stretch(&piece.nodes[start..=at], way);
                start = at;
            }
        }
    }

    /// A stretch between two junctions; a ring is laid as two links, so that every link has two
    /// ends to tell apart.
    fn stretch(&mut self, nodes: &[u32], way: &Way) {
        if nodes.first() == nodes.last() && nodes.len() > 2 {
            let middle = nodes.len() / 2;
            self.link(&nodes[..=middle], way);
            self.link(&nodes[middle..], way);
        } else {
            self.link(nodes, way);
        }
    }

    fn link(&mut self, nodes: &[u32], way: &Way) {
        let line = nodes
            .iter()
            .filter_map(|node| place_of(self.nodes, *node))
            .collect();
        let (Some(from), Some(to)) = (nodes.first(), nodes.last()) else {
            return;
        };
        let (from, to) = (self.junction(*from), self.junction(*to));
        let about = &way.about;
        let backwards = about.along == Passage::Shut && about.against != Passage::Shut;
        let (along, against) = if backwards {
            (about.against, about.along)
        } else {
            (about.along, about.against)
        };
        self.network.links.push(Link {
            street: None,
            from,
            to,
            line,
            class: about.class,
            limit_kmh: about.limit.map(super::limits::Limit::kmh),
            along,
            against,
            on_foot: about.on_foot,
        });
    }

    fn junction(&mut self, node: u32) -> u32 {
        if let Some(number) = self.number[node as usize] {
            return number;
        }
        let number = self.network.junctions.len() as u32;
        self.network.junctions.extend(place_of(self.nodes, node));
        self.number[node as usize] = Some(number);
        number
    }
}

/// Where a node is; a node of a piece always is somewhere.
pub(super) fn place_of(nodes: &Nodes, node: u32) -> Option<LonLat> {
    lon_lat(nodes.place(node)?)
}

/// A place in steps, longitude first, in degrees.
pub(super) fn lon_lat((lon, lat): (i32, i32)) -> Option<LonLat> {
    LonLat::checked(f64::from(lon) / STEPS, f64::from(lat) / STEPS)
}
