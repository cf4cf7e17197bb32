//! The fast method: a hierarchy of states, least important first.
//!
//! A journey is searched only upwards from both its ends, over tens of states and not thousands. The
//! bench `roads` shows it beside one plain Dijkstra from each stop, in one run.
//!
//! # Source
//! R. Geisberger, P. Sanders, D. Schultes, D. Delling, "Contraction Hierarchies: Faster and Simpler
//! Hierarchical Routing in Road Networks", WEA 2008; many-to-many by buckets: S. Knopp et al.,
//! "Computing Many-to-Many Shortest Paths Using Highway Hierarchies", ALENEX 2007 (from memory).

use super::climb::{Climb, Label};
use super::contract::{Edge, NONE, contracted};
use super::{Journey, OnRoad, RoadGraph};

/// Edges that lead upwards, by the rank they lead from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Upward {
    pub(super) first: Vec<u32>,
    pub(super) edges: Vec<Edge>,
}

impl Upward {
    pub(super) fn of_one(&self, rank: u32) -> &[Edge] {
        let at = rank as usize;
        &self.edges[self.first[at] as usize..self.first[at + 1] as usize]
    }
}

/// A road graph made ready for fast exact journeys.
///
/// It holds for the graph that it was made from and no other. States are numbered by rank in it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hierarchy {
    pub(super) checksum: u64,
    /// The state of each rank.
    pub(super) order: Vec<u32>,
    /// The rank of each state.
    pub(super) rank: Vec<u32>,
    /// Edges from each rank to a higher one.
    pub(super) out: Upward,
    /// Edges to each rank from a higher one.
    pub(super) into: Upward,
}

impl Hierarchy {
    /// Makes a graph ready. It takes seconds for a county, and can be kept:
    /// [`to_bytes`](Self::to_bytes).
    #[must_use]
    pub fn of(graph: &RoadGraph) -> Self {
        let all = contracted(graph);
        let mut rank = vec![0; all.order.len()];
        for (number, state) in (0..).zip(&all.order) {
            rank[*state as usize] = number;
        }
        let ranked = |edges: &[Vec<Edge>]| {
            let mut up = Upward {
                first: vec![0],
                edges: Vec::new(),
            };
            for state in &all.order {
                let moved = edges[*state as usize].iter().map(|edge| Edge {
                    end: rank[edge.end as usize],
                    via: if edge.via == NONE {
                        NONE
                    } else {
                        rank[edge.via as usize]
                    },
                    ..*edge
                });
                up.edges.extend(moved);
                up.first.push(up.edges.len() as u32);
            }
            up
        };
        Self {
            checksum: graph.checksum(),
            out: ranked(&all.out),
            into: ranked(&all.into),
            order: all.order,
            rank,
        }
    }

    /// Whether it was made from this very graph.
    #[must_use]
    pub fn is_made_from(&self, graph: &RoadGraph) -> bool {
        self.order.len() == graph.states.len() && self.checksum == graph.checksum()
    }

    /// How many edges it holds, for showing.
    #[must_use]
    pub fn edges(&self) -> usize {
        self.out.edges.len() + self.into.edges.len()
    }

    /// How long the quickest way takes; none where there is no way.
    ///
    /// # Units
    /// Whole milliseconds.
    #[must_use]
    pub fn time_ms(&self, graph: &RoadGraph, from: OnRoad, to: OnRoad) -> Option<u32> {
        let direct = graph.along_one(from, to).map(|(ms, _)| ms);
        let mut climb = Climb::new(self.order.len());
        let up = climb.label(self, &self.seeds(&graph.starts(from)), true);
        let down = climb.label(self, &self.seeds(&graph.ends(to)), false);
        let by_road = meeting(&up, &down).map(|(ms, _)| ms);
        direct.into_iter().chain(by_road).min()
    }

    /// The quickest way with its line; none where there is no way.
    #[must_use]
    pub fn journey(&self, graph: &RoadGraph, from: OnRoad, to: OnRoad) -> Option<Journey> {
        let (mut up, mut down) = (Climb::new(self.order.len()), Climb::new(self.order.len()));
        let above_start = up.label(self, &self.seeds(&graph.starts(from)), true);
        let above_end = down.label(self, &self.seeds(&graph.ends(to)), false);
        let by_road = meeting(&above_start, &above_end);
        if let Some((ms, run)) = graph.along_one(from, to)
            && by_road.is_none_or(|(road, _)| ms <= road)
        {
            return Some(graph.journey(from, to, vec![run]));
        }
        let (_, top) = by_road?;
        let ascent = up.ascent(top);
        let descent = down.ascent(top).edges.into_iter().rev();
        let edges = ascent
            .edges
            .into_iter()
            .chain(descent.map(|(low, high, via)| (high, low, via)));
        let ranks = self.unpacked(ascent.root, edges)?;
        let states: Vec<u32> = ranks
            .iter()
            .map(|rank| self.order[*rank as usize])
            .collect();
        Some(graph.journey(from, to, graph.runs_from(from, &states, ascent.start_ms)))
    }

    pub(super) fn seeds(&self, starts: &[(u32, u32)]) -> Vec<(u32, u32)> {
        starts
            .iter()
            .map(|(state, ms)| (self.rank[*state as usize], *ms))
            .collect()
    }

    /// The ranks passed on a way of edges from a rank on, shortcuts undone; none where an edge is
    /// missing or the way is longer than any can be.
    fn unpacked(
        &self,
        root: u32,
        edges: impl Iterator<Item = (u32, u32, u32)>,
    ) -> Option<Vec<u32>> {
        let mut ranks = vec![root];
        for edge in edges {
            let mut left = vec![edge];
            while let Some((from, to, via)) = left.pop() {
                if ranks.len() > self.order.len() {
                    return None;
                }
                if via == NONE {
                    ranks.push(to);
                    continue;
                }
                let first = self.into.of_one(via).iter().find(|edge| edge.end == from)?;
                let then = self.out.of_one(via).iter().find(|edge| edge.end == to)?;
                left.push((via, to, then.via));
                left.push((from, via, first.via));
            }
        }
        Some(ranks)
    }
}

/// Where two labels meet at the least time, and that time; the lowest rank of those as near.
pub(super) fn meeting(up: &Label, down: &Label) -> Option<(u32, u32)> {
    let (mut a, mut b) = (up.iter().peekable(), down.iter().peekable());
    let mut best: Option<(u32, u32)> = None;
    while let (Some((up, up_ms)), Some((down, down_ms))) = (a.peek(), b.peek()) {
        if up < down {
            a.next();
        } else if down < up {
            b.next();
        } else {
            let ms = up_ms.saturating_add(*down_ms);
            if best.is_none_or(|(least, _)| ms < least) {
                best = Some((ms, *up));
            }
            a.next();
            b.next();
        }
    }
    best
}
