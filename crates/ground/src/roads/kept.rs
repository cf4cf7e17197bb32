//! A hierarchy as bytes, to be kept with the programme.
//!
//! Little-endian: the mark, the edition, the graph's checksum, the checksum of what follows; then
//! how many states, the state of each rank, and the edges out and in, each as the first edge of
//! each rank and, edge by edge, end, milliseconds and what it leads past.

use super::Finger;
use super::RoadGraph;
use super::contract::{Edge, NONE};
use super::hierarchy::{Hierarchy, Upward};

const MARK: &[u8; 8] = b"GDROADS\n";
const EDITION: u32 = 1;
/// Mark, edition and both checksums.
const HEAD: usize = 8 + 4 + 8 + 8;

impl Hierarchy {
    /// The bytes to be kept.
    #[must_use]
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut body = Vec::with_capacity((self.order.len() * 3 + self.edges() * 3) * 4);
        put(&mut body, self.order.len() as u32);
        self.order.iter().for_each(|state| put(&mut body, *state));
        for up in [&self.out, &self.into] {
            put(&mut body, up.edges.len() as u32);
            up.first.iter().for_each(|first| put(&mut body, *first));
            for edge in &up.edges {
                [edge.end, edge.ms, edge.via]
                    .into_iter()
                    .for_each(|number| put(&mut body, number));
            }
        }
        let mut bytes = MARK.to_vec();
        bytes.extend(EDITION.to_le_bytes());
        bytes.extend(self.checksum.to_le_bytes());
        bytes.extend(Finger::default().bytes(&body).value().to_le_bytes());
        bytes.extend(body);
        bytes
    }

    /// A hierarchy that was kept, if it is whole, of this edition and made from this very graph;
    /// else it has to be made again.
    ///
    /// Every edge is held against the graph: one of the graph's own must be there with its time,
    /// and a shortcut must be as long as its two parts. So a file that was tampered with can make a
    /// journey seem longer than it is, never shorter, and the checker would find that.
    #[must_use]
    pub fn from_bytes(bytes: &[u8], graph: &RoadGraph) -> Option<Self> {
        let (head, body) = bytes.split_at_checked(HEAD)?;
        let sum = |at: usize| head[at..at + 8].try_into().ok().map(u64::from_le_bytes);
        let sound = head[..8] == *MARK
            && head[8..12] == EDITION.to_le_bytes()
            && sum(12)? == graph.checksum()
            && sum(20)? == Finger::default().bytes(body).value();
        if !sound {
            return None;
        }
        let kept = read(&mut Numbers(body), sum(12)?)?;
        kept.is_of(graph).then_some(kept)
    }

    fn is_of(&self, graph: &RoadGraph) -> bool {
        if self.order.len() != graph.states.len() {
            return false;
        }
        let ranks = 0..self.order.len() as u32;
        ranks.into_iter().all(|rank| {
            let out = self
                .out
                .of_one(rank)
                .iter()
                .all(|edge| self.holds(graph, (rank, edge.end), *edge));
            out && self
                .into
                .of_one(rank)
                .iter()
                .all(|edge| self.holds(graph, (edge.end, rank), *edge))
        })
    }

    fn holds(&self, graph: &RoadGraph, (from, to): (u32, u32), edge: Edge) -> bool {
        if edge.via == NONE {
            let [from, to] = [from, to].map(|rank| self.order[rank as usize]);
            return graph.states.next.of_one(from).contains(&to) && graph.ms_of(from) == edge.ms;
        }
        let first = self
            .into
            .of_one(edge.via)
            .iter()
            .find(|part| part.end == from);
        let then = self.out.of_one(edge.via).iter().find(|part| part.end == to);
        let parts = first
            .zip(then)
            .map(|(first, then)| first.ms.saturating_add(then.ms));
        parts == Some(edge.ms)
    }
}

fn put(bytes: &mut Vec<u8>, number: u32) {
    bytes.extend(number.to_le_bytes());
}

/// Numbers one after another.
struct Numbers<'a>(&'a [u8]);

impl Numbers<'_> {
    fn one(&mut self) -> Option<u32> {
        let (first, rest) = self.0.split_first_chunk::<4>()?;
        self.0 = rest;
        Some(u32::from_le_bytes(*first))
    }

    /// So many numbers, if so many are left.
    fn many(&mut self, count: usize) -> Option<Vec<u32>> {
        let (these, rest) = self.0.split_at_checked(count.checked_mul(4)?)?;
        self.0 = rest;
        let (numbers, _) = these.as_chunks::<4>();
        Some(
            numbers
                .iter()
                .map(|number| u32::from_le_bytes(*number))
                .collect(),
        )
    }
}

fn read(numbers: &mut Numbers<'_>, checksum: u64) -> Option<Hierarchy> {
    let count = numbers.one()?;
    let order = numbers.many(count as usize)?;
    let mut rank = vec![NONE; order.len()];
    for (number, state) in (0..).zip(&order) {
        let place = rank
            .get_mut(*state as usize)
            .filter(|place| **place == NONE)?;
        *place = number;
    }
    let kept = Hierarchy {
        checksum,
        out: upward(numbers, count)?,
        into: upward(numbers, count)?,
        order,
        rank,
    };
    numbers.0.is_empty().then_some(kept)
}

fn upward(numbers: &mut Numbers<'_>, count: u32) -> Option<Upward> {
    let edges = numbers.one()? as usize;
    let first = numbers.many(count as usize + 1)?;
    let flat = numbers.many(edges.checked_mul(3)?)?;
    let (triples, _) = flat.as_chunks::<3>();
    let edges: Vec<Edge> = triples
        .iter()
        .map(|[end, ms, via]| Edge {
            end: *end,
            ms: *ms,
            via: *via,
        })
        .collect();
    let rising = first.first() == Some(&0)
        && first
            .last()
            .is_some_and(|last| *last as usize == edges.len())
        && first.is_sorted();
    let up = Upward { first, edges };
    let upwards = |rank: u32| {
        let mut of_one = up.of_one(rank).iter();
        of_one.all(|edge| {
            edge.end > rank && edge.end < count && (edge.via == NONE || edge.via < rank)
        })
    };
    (rising && (0..count).all(upwards)).then_some(up)
}
