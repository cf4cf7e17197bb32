//! The second reading of an extract: where the nodes of its ways are, and what stands there.

use super::barrier::{self, Barrier};
use super::block::Block;
use super::gather::{Purse, Way};
use super::tags::Tags;
use super::turns::{Ban, Via};
use super::wire::Broken;

/// The nodes that ways need, in the order of their ids.
pub(super) struct Nodes {
    ids: Vec<i64>,
    at: Vec<Option<(i32, i32)>>,
    barriers: Vec<Barrier>,
    /// Whether a ban on turning turns about it.
    via: Vec<bool>,
    /// How many were off the globe.
    pub(super) off_globe: usize,
    /// How many were stated again, somewhere else.
    pub(super) twice: usize,
}

/// A node that is needed, as a block states it.
pub(super) struct Found {
    index: u32,
    place: Option<(i32, i32)>,
    barrier: Barrier,
}

impl Nodes {
    /// The nodes of these ways, none found yet.
    pub(super) fn of(ways: &[Way], bans: &[Ban]) -> Self {
        let count = ways.iter().map(|way| way.nodes.len()).sum();
        let mut ids = Vec::with_capacity(count);
        ways.iter()
            .for_each(|way| ids.extend_from_slice(&way.nodes));
        ids.sort_unstable();
        ids.dedup();
        ids.shrink_to_fit();
        let mut nodes = Self {
            at: vec![None; ids.len()],
            barriers: vec![Barrier::Passable; ids.len()],
            via: vec![false; ids.len()],
            ids,
            off_globe: 0,
            twice: 0,
        };
        for ban in bans {
            if let Via::Node(id) = ban.via
                && let Some(index) = nodes.index(id)
            {
                nodes.via[index as usize] = true;
            }
        }
        nodes
    }

    pub(super) fn len(&self) -> usize {
        self.ids.len()
    }

    pub(super) fn index(&self, id: i64) -> Option<u32> {
        let index = self.ids.binary_search(&id).ok()?;
        u32::try_from(index).ok()
    }

    pub(super) fn place(&self, index: u32) -> Option<(i32, i32)> {
        self.at[index as usize]
    }

    pub(super) fn barrier(&self, index: u32) -> Barrier {
        self.barriers[index as usize]
    }

    pub(super) fn is_via(&self, index: u32) -> bool {
        self.via[index as usize]
    }

    /// The nodes that a ban turns about, with their indices.
    pub(super) fn vias(&self) -> impl Iterator<Item = (i64, u32)> {
        let all = self.ids.iter().zip(&self.via).zip(0_u32..);
        all.filter(|((_, via), _)| **via)
            .map(|((id, _), index)| (*id, index))
    }

    /// The needed nodes of one block. A block can't state more of them than there are without
    /// stating some twice, so what is kept of it is bounded by what is needed.
    pub(super) fn found_in(&self, block: &Block<'_>, purse: &Purse) -> Result<Vec<Found>, Broken> {
        let mut found = Vec::new();
        let mut next = 0;
        block.nodes(&mut |id, (lon, lat), tags| {
            let Some(index) = self.index_from(next, id) else {
                return Ok(());
            };
            next = index;
            if found.len() > self.ids.len() {
                purse.pay(size_of::<Found>())?;
            }
            let mut pairs = Vec::new();
            for pair in tags {
                let (key, value) = pair?;
                pairs.extend(block.text(key).zip(block.text(value)));
            }
            found.push(Found {
                index: u32::try_from(index).map_err(|_| Broken)?,
                place: block.place(lon, lat),
                barrier: barrier::of(&Tags(pairs)),
            });
            Ok(())
        })?;
        Ok(found)
    }

    /// The index of an id, sought first just after the one before: blocks are mostly in order.
    fn index_from(&self, from: usize, id: i64) -> Option<usize> {
        let near = self.ids.get(from..(from + 8).min(self.ids.len()))?;
        if let (Some(first), Some(last)) = (near.first(), near.last())
            && (*first..=*last).contains(&id)
        {
            return near
                .iter()
                .position(|other| *other == id)
                .map(|at| from + at);
        }
        self.ids.binary_search(&id).ok()
    }

    /// Takes what a block states; the first statement of a node stands.
    pub(super) fn take(&mut self, found: Vec<Found>) {
        for one in found {
            let index = one.index as usize;
            match (self.at[index], one.place) {
                (_, None) => self.off_globe += 1,
                (None, place) => {
                    self.at[index] = place;
                    self.barriers[index] = one.barrier;
                }
                (before, place) => self.twice += usize::from(before != place),
            }
        }
    }
}
