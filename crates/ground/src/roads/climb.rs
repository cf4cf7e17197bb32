//! Searches upwards in a hierarchy.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::contract::{Edge, NONE};
use super::hierarchy::Hierarchy;

/// The ranks that a search upwards comes to by a quickest way, in order, each with its time.
pub(super) type Label = Vec<(u32, u32)>;

/// A search upwards with tables that are used again.
pub(super) struct Climb {
    times: Vec<u32>,
    /// The rank before, and what the edge from it leads past.
    before: Vec<(u32, u32)>,
    touched: Vec<u32>,
    heap: BinaryHeap<Reverse<(u32, u32)>>,
}

/// How a search came to a rank.
pub(super) struct Ascent {
    /// The rank it began at, and what it took to come there.
    pub(super) root: u32,
    pub(super) start_ms: u32,
    /// The edges from there on: from, to, and what each leads past.
    pub(super) edges: Vec<(u32, u32, u32)>,
}

impl Climb {
    pub(super) fn new(count: usize) -> Self {
        Self {
            times: vec![NONE; count],
            before: vec![(NONE, NONE); count],
            touched: Vec::new(),
            heap: BinaryHeap::new(),
        }
    }

    /// The label of seeds: of a journey's start (`out`), or of its end.
    pub(super) fn label(&mut self, of: &Hierarchy, seeds: &[(u32, u32)], out: bool) -> Label {
        for rank in self.touched.drain(..) {
            self.times[rank as usize] = NONE;
            self.before[rank as usize] = (NONE, NONE);
        }
        let (up, down) = if out {
            (&of.out, &of.into)
        } else {
            (&of.into, &of.out)
        };
        for &(rank, ms) in seeds {
            self.offer(rank, ms, (NONE, NONE));
        }
        let mut label = Label::new();
        while let Some(Reverse((ms, rank))) = self.heap.pop() {
            let known = self.times[rank as usize];
            let quicker = |times: &[u32]| {
                let by_way_of = |edge: &Edge| times[edge.end as usize].saturating_add(edge.ms) < ms;
                down.of_one(rank).iter().any(by_way_of)
            };
            // A rank that is reached more quickly from above is on no quickest way from here.
            if known < ms || quicker(&self.times) {
                continue;
            }
            label.push((rank, ms));
            for edge in up.of_one(rank) {
                self.offer(edge.end, ms.saturating_add(edge.ms), (rank, edge.via));
            }
        }
        label.sort_unstable();
        label.dedup_by_key(|(rank, _)| *rank);
        label
    }

    fn offer(&mut self, rank: u32, ms: u32, before: (u32, u32)) {
        let known = &mut self.times[rank as usize];
        if ms < *known {
            if *known == NONE {
                self.touched.push(rank);
            }
            *known = ms;
            self.before[rank as usize] = before;
            self.heap.push(Reverse((ms, rank)));
        }
    }

    /// How the last search came to a rank of its label.
    pub(super) fn ascent(&self, top: u32) -> Ascent {
        let (mut at, mut edges) = (top, Vec::new());
        loop {
            let (before, via) = self.before[at as usize];
            if before == NONE {
                break;
            }
            edges.push((before, at, via));
            at = before;
        }
        edges.reverse();
        Ascent {
            root: at,
            start_ms: self.times[at as usize],
            edges,
        }
    }
}
