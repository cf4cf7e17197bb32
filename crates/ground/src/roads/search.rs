//! Plain Dijkstra over states.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::RoadGraph;

const NEVER: u32 = u32::MAX;

/// The quickest way through states.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// What it takes, start and end offsets counted.
    pub(super) ms: u32,
    /// What it took to come to its first state.
    pub(super) start: u32,
    /// The states, in order.
    pub(super) states: Vec<u32>,
}

/// The quickest way from any start to any end, over allowed runs; each end with what it takes from
/// its state to the place.
///
/// Of ways as quick the one found first is kept, and states as near are taken by number, so that
/// the way never depends on anything but the graph.
pub(super) fn spread(
    graph: &RoadGraph,
    starts: &[(u32, u32)],
    ends: &[(u32, u32)],
    allowed: impl Fn(u32) -> bool,
) -> Option<Found> {
    let mut front = Front::new(graph.states.len());
    let may = |state: u32| allowed(graph.states.run[state as usize]);
    for &(state, ms) in starts.iter().filter(|(state, _)| may(*state)) {
        front.offer(state, ms, NEVER);
    }
    let (mut best, mut last) = (NEVER, NEVER);
    while let Some((ms, state)) = front.take() {
        if ms >= best {
            break;
        }
        for (_, rest) in ends.iter().filter(|(end, _)| *end == state) {
            let all = ms.saturating_add(*rest);
            if all < best {
                (best, last) = (all, state);
            }
        }
        let after = ms.saturating_add(graph.ms_of(state));
        for &next in graph
            .states
            .next
            .of_one(state)
            .iter()
            .filter(|next| may(**next))
        {
            front.offer(next, after, state);
        }
    }
    (last != NEVER).then(|| front.way(best, last))
}

/// The times from these starts to every state; [`NO_WAY`](super::NO_WAY) where there is no way.
pub(super) fn all_times(graph: &RoadGraph, starts: &[(u32, u32)]) -> Vec<u32> {
    let mut front = Front::new(graph.states.len());
    for &(state, ms) in starts {
        front.offer(state, ms, NEVER);
    }
    while let Some((ms, state)) = front.take() {
        let after = ms.saturating_add(graph.ms_of(state));
        for &next in graph.states.next.of_one(state) {
            front.offer(next, after, state);
        }
    }
    front.times
}

/// Times so far and the heap.
struct Front {
    times: Vec<u32>,
    before: Vec<u32>,
    heap: BinaryHeap<Reverse<(u32, u32)>>,
}

impl Front {
    fn new(count: usize) -> Self {
        Self {
            times: vec![NEVER; count],
            before: vec![NEVER; count],
            heap: BinaryHeap::new(),
        }
    }

    fn offer(&mut self, state: u32, ms: u32, before: u32) {
        if ms < self.times[state as usize] {
            self.times[state as usize] = ms;
            self.before[state as usize] = before;
            self.heap.push(Reverse((ms, state)));
        }
    }

    fn take(&mut self) -> Option<(u32, u32)> {
        loop {
            let Reverse((ms, state)) = self.heap.pop()?;
            if self.times[state as usize] == ms {
                return Some((ms, state));
            }
        }
    }

    fn way(&self, ms: u32, last: u32) -> Found {
        let mut states = vec![last];
        let mut at = last;
        while self.before[at as usize] != NEVER {
            at = self.before[at as usize];
            states.push(at);
        }
        states.reverse();
        Found {
            ms,
            start: self.times[at as usize],
            states,
        }
    }
}
