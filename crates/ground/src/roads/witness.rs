//! Whether there is another way as quick, looked for a little.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::contract::{Edge, NONE};

/// A search gives up after so many states; a shortcut too many costs a little, one too few would be
/// wrong, and none is.
const MOST: u32 = 64;

/// A bounded Dijkstra whose tables are used again and again.
pub(super) struct Witness {
    times: Vec<u32>,
    touched: Vec<u32>,
    heap: BinaryHeap<Reverse<(u32, u32)>>,
}

impl Witness {
    pub(super) fn new(count: usize) -> Self {
        Self {
            times: vec![NONE; count],
            touched: Vec::new(),
            heap: BinaryHeap::new(),
        }
    }

    /// Looks around from a state, never through `past`, no farther than `most`.
    pub(super) fn search(&mut self, out: &[Vec<Edge>], from: u32, past: u32, most: u32) {
        for state in self.touched.drain(..) {
            self.times[state as usize] = NONE;
        }
        self.heap.clear();
        self.offer(from, 0);
        let mut settled = 0;
        while let Some(Reverse((ms, state))) = self.heap.pop() {
            if self.times[state as usize] < ms {
                continue;
            }
            settled += 1;
            if ms > most || settled > MOST {
                return;
            }
            for edge in out[state as usize].iter().filter(|edge| edge.end != past) {
                self.offer(edge.end, ms.saturating_add(edge.ms));
            }
        }
    }

    fn offer(&mut self, state: u32, ms: u32) {
        let known = &mut self.times[state as usize];
        if ms < *known {
            if *known == NONE {
                self.touched.push(state);
            }
            *known = ms;
            self.heap.push(Reverse((ms, state)));
        }
    }

    /// The quickest way found to a state; an upper bound where the search gave up.
    pub(super) fn ms(&self, state: u32) -> u32 {
        self.times[state as usize]
    }
}
