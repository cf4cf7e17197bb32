//! Taking states out of the graph one by one, least important first, with shortcuts in their place.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::RoadGraph;
use super::witness::Witness;

/// No state: an edge of the graph itself, or no edge before.
pub(super) const NONE: u32 = u32::MAX;

/// An edge to (or from) another state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Edge {
    /// The state at its other end.
    pub(super) end: u32,
    /// What it takes, ms.
    pub(super) ms: u32,
    /// The state that it leads past, or [`NONE`] for an edge of the graph.
    pub(super) via: u32,
}

/// A graph with some states taken out.
pub(super) struct Contraction {
    /// What leaves each state that is left; of one taken out, what left it then.
    pub(super) out: Vec<Vec<Edge>>,
    /// What comes to each state, likewise.
    pub(super) into: Vec<Vec<Edge>>,
    /// The states in the order in which they were taken out.
    pub(super) order: Vec<u32>,
    depth: Vec<u32>,
    witness: Witness,
}

/// Takes out every state.
pub(super) fn contracted(graph: &RoadGraph) -> Contraction {
    let mut all = Contraction::of(graph);
    let count = all.out.len() as u32;
    let mut queue: BinaryHeap<Reverse<(i64, u32)>> = BinaryHeap::with_capacity(count as usize);
    for state in 0..count {
        queue.push(Reverse((all.importance(state), state)));
    }
    while let Some(Reverse((_, state))) = queue.pop() {
        let now = all.importance(state);
        if queue.peek().is_some_and(|Reverse((next, _))| now > *next) {
            queue.push(Reverse((now, state)));
        } else {
            all.take_out(state);
        }
    }
    all
}

impl Contraction {
    fn of(graph: &RoadGraph) -> Self {
        let count = graph.states.len();
        let mut all = Self {
            out: vec![Vec::new(); count],
            into: vec![Vec::new(); count],
            order: Vec::with_capacity(count),
            depth: vec![0; count],
            witness: Witness::new(count),
        };
        for state in 0..count as u32 {
            let ms = graph.ms_of(state);
            for &next in graph.states.next.of_one(state) {
                if next != state {
                    all.join(state, next, ms, NONE);
                }
            }
        }
        all
    }

    /// How dear it is to take a state out: edges gained over edges lost, and how many layers of
    /// states taken out lie under it, so that the order is even over the map.
    fn importance(&mut self, state: u32) -> i64 {
        let at = state as usize;
        let gained = self.shortcuts(state).len() as i64;
        let lost = (self.out[at].len() + self.into[at].len()) as i64;
        gained * 2 - lost + i64::from(self.depth[at])
    }

    /// The shortcuts that are needed once a state is gone: for each way through it that no other
    /// way is as quick as.
    fn shortcuts(&mut self, state: u32) -> Vec<(u32, u32, u32)> {
        let (into, out) = (&self.into[state as usize], &self.out[state as usize]);
        let farthest = out.iter().map(|edge| edge.ms).max().unwrap_or(0);
        let mut needed = Vec::new();
        for from in into {
            let most = from.ms.saturating_add(farthest);
            self.witness.search(&self.out, from.end, state, most);
            for to in out.iter().filter(|to| to.end != from.end) {
                let ms = from.ms.saturating_add(to.ms);
                if self.witness.ms(to.end) > ms {
                    needed.push((from.end, to.end, ms));
                }
            }
        }
        needed
    }

    fn take_out(&mut self, state: u32) {
        for (from, to, ms) in self.shortcuts(state) {
            self.join(from, to, ms, state);
        }
        let depth = self.depth[state as usize] + 1;
        let (out, into) = (
            self.out[state as usize].clone(),
            self.into[state as usize].clone(),
        );
        for edge in &out {
            self.into[edge.end as usize].retain(|back| back.end != state);
            self.depth[edge.end as usize] = self.depth[edge.end as usize].max(depth);
        }
        for edge in &into {
            self.out[edge.end as usize].retain(|on| on.end != state);
            self.depth[edge.end as usize] = self.depth[edge.end as usize].max(depth);
        }
        self.order.push(state);
    }

    /// An edge, unless there is one as quick.
    fn join(&mut self, from: u32, to: u32, ms: u32, via: u32) {
        if put(&mut self.out[from as usize], Edge { end: to, ms, via }) {
            put(&mut self.into[to as usize], Edge { end: from, ms, via });
        }
    }
}

fn put(edges: &mut Vec<Edge>, edge: Edge) -> bool {
    match edges.iter_mut().find(|known| known.end == edge.end) {
        Some(known) if known.ms <= edge.ms => return false,
        Some(known) => *known = edge,
        None => edges.push(edge),
    }
    true
}
