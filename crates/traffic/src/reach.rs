//! Which links vehicles can come to and leave while one is closed, where they may turn round at the
//! closure's own ends: drivers do, in what the closure makes a dead end.

use gangday_ground::roads::RoadGraph;
use gangday_model::Passage;

/// Junctions joined by links that vehicles may use, in the direction in which they may.
pub(crate) struct Reach {
    out: Vec<Vec<(u32, u32)>>,
    back: Vec<Vec<(u32, u32)>>,
    ends: Vec<(u32, u32)>,
}

impl Reach {
    pub(crate) fn of(graph: &RoadGraph) -> Self {
        let network = graph.network();
        let count = network.junctions.len();
        let (mut out, mut back) = (vec![Vec::new(); count], vec![Vec::new(); count]);
        for (number, link) in (0..).zip(&network.links) {
            let ways = [
                (link.along, link.from, link.to),
                (link.against, link.to, link.from),
            ];
            for (passage, from, to) in ways {
                if passage != Passage::Shut {
                    out[from as usize].push((to, number));
                    back[to as usize].push((from, number));
                }
            }
        }
        let ends = network.links.iter().map(|link| (link.from, link.to));
        Self {
            out,
            back,
            ends: ends.collect(),
        }
    }

    /// Whether a link can be come to and left without the closed one, for every link.
    pub(crate) fn without(&self, closed: u32) -> Vec<bool> {
        let main = self.main(closed);
        let meets = |(number, (from, to)): (usize, &(u32, u32))| {
            number != closed as usize && main[*from as usize] && main[*to as usize]
        };
        self.ends.iter().enumerate().map(meets).collect()
    }

    /// The largest set of junctions from each of which one can drive to all others.
    fn main(&self, closed: u32) -> Vec<bool> {
        let count = self.out.len();
        let mut tried = vec![false; count];
        let mut best = vec![false; count];
        let mut most = 0;
        for seed in 0..count {
            if tried[seed] {
                continue;
            }
            let come = spread(&self.out, seed, closed);
            let go = spread(&self.back, seed, closed);
            let both: Vec<bool> = come.iter().zip(&go).map(|(a, b)| *a && *b).collect();
            let size = both.iter().filter(|one| **one).count();
            for (tried, one) in tried.iter_mut().zip(&both) {
                *tried |= *one;
            }
            if size > most {
                (best, most) = (both, size);
            }
            if most * 2 > count {
                break;
            }
        }
        best
    }
}

fn spread(ways: &[Vec<(u32, u32)>], seed: usize, closed: u32) -> Vec<bool> {
    let mut seen = vec![false; ways.len()];
    seen[seed] = true;
    let mut left = vec![seed];
    while let Some(at) = left.pop() {
        for (next, link) in &ways[at] {
            let next = *next as usize;
            if *link != closed && !seen[next] {
                seen[next] = true;
                left.push(next);
            }
        }
    }
    seen
}
