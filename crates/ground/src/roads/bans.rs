//! Forbidden turns, as sequences of runs that nobody may drive one after another.

use std::collections::{HashMap, HashSet};

use gangday_model::{Network, Turn};

use super::runs::{Leaving, Run};

/// A turn over more links than this is left out: real ones have two to five.
const LONGEST: usize = 32;

/// A turn over links that begin and end at one junction can be read in more than one way; no more
/// ways than these are looked at.
const MOST_WAYS: usize = 16;

/// What has been driven just now, as far as a turn depends on it; 0 where none does.
pub(super) type Memory = u32;

/// Every forbidden sequence, and every beginning of one that has to be remembered.
///
/// A turn over two links needs no memory, since one always knows the run one is on. One over more
/// needs to know whether the run before it was the first link of that turn.
pub(super) struct Bans {
    banned: HashSet<Vec<u32>>,
    begun: HashMap<Vec<u32>, Memory>,
    memories: Vec<Vec<u32>>,
    touched: HashSet<u32>,
}

impl Bans {
    /// The bans of a network.
    ///
    /// A forbidden turn is its own sequence. An order ("only") forbids, at each junction on its
    /// way, whatever is not the next link of it, turning round included. A turn over a link that
    /// nobody drives says nothing.
    pub(super) fn of(network: &Network, runs: &[Run], leaving: &Leaving) -> Self {
        let mut banned = HashSet::new();
        for turn in &network.turns {
            for way in ways(network, turn, runs) {
                if turn.only {
                    banned.extend(all_but(&way, runs, leaving));
                } else {
                    banned.insert(way);
                }
            }
        }
        Self::remembering(banned)
    }

    fn remembering(banned: HashSet<Vec<u32>>) -> Self {
        let mut beginnings: Vec<Vec<u32>> = banned
            .iter()
            .flat_map(|way| (2..way.len()).map(|length| way[..length].to_vec()))
            .collect();
        beginnings.sort();
        beginnings.dedup();
        let begun = (1..).zip(&beginnings).map(|(id, way)| (way.clone(), id));
        Self {
            begun: begun.collect(),
            touched: banned.iter().flatten().copied().collect(),
            memories: beginnings,
            banned,
        }
    }

    /// What is to be remembered after driving `next`, or nothing where that is forbidden.
    pub(super) fn step(&self, memory: Memory, run: u32, next: u32) -> Option<Memory> {
        if !self.touched.contains(&run) || !self.touched.contains(&next) {
            return Some(0);
        }
        let known = memory.checked_sub(1).map(|at| &self.memories[at as usize]);
        let mut driven = known.cloned().unwrap_or_else(|| vec![run]);
        driven.push(next);
        let latest = || (0..driven.len() - 1).map(|from| &driven[from..]);
        if latest().any(|way| self.banned.contains(way)) {
            return None;
        }
        Some(
            latest()
                .find_map(|way| self.begun.get(way))
                .copied()
                .unwrap_or(0),
        )
    }
}

/// The runs of a turn in order, in each way that its links can be read.
fn ways(network: &Network, turn: &Turn, runs: &[Run]) -> Vec<Vec<u32>> {
    let sound = (2..=LONGEST).contains(&turn.links.len())
        && turn
            .links
            .iter()
            .all(|link| (*link as usize) < network.links.len());
    if !sound {
        return Vec::new();
    }
    let first = both(turn.links[0]).filter(|run| runs[*run as usize].to == turn.via);
    let mut ways: Vec<Vec<u32>> = first.map(|run| vec![run]).collect();
    for link in &turn.links[1..] {
        ways = ways
            .iter()
            .flat_map(|way| followed(way, *link, runs))
            .collect();
        ways.truncate(MOST_WAYS);
    }
    ways.retain(|way| way.iter().all(|run| runs[*run as usize].is_driven()));
    ways
}

fn both(link: u32) -> impl Iterator<Item = u32> {
    [link * 2, link * 2 + 1].into_iter()
}

/// A way with this link after it, from the junction where the way ends.
fn followed(way: &[u32], link: u32, runs: &[Run]) -> Vec<Vec<u32>> {
    let end = way.last().map(|run| runs[*run as usize].to);
    let next = both(link).filter(|run| Some(runs[*run as usize].from) == end);
    next.map(|run| [way, &[run]].concat()).collect()
}

/// What an order forbids.
fn all_but(way: &[u32], runs: &[Run], leaving: &Leaving) -> Vec<Vec<u32>> {
    let mut banned = Vec::new();
    for at in 1..way.len() {
        let junction = runs[way[at - 1] as usize].to;
        let others = leaving.from(junction).iter().filter(|run| **run != way[at]);
        banned.extend(others.map(|other| [&way[..at], &[*other]].concat()));
    }
    banned
}
