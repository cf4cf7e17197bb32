//! The second reading of an extract: where the nodes of its ways and buildings are, what stands
//! there, and which nodes are addresses.

use super::addresses::{self, Door};
use super::barrier::{self, Barrier};
use super::block::Block;
use super::gather::{Gathered, Purse};
use super::tags::Tags;
use super::turns::Via;
use super::wire::Broken;

/// The nodes that ways and buildings need, in the order of their ids.
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

/// What a block states.
#[derive(Default)]
pub(super) struct Part {
    pub(super) found: Vec<Found>,
    pub(super) doors: Vec<Door>,
}

impl Nodes {
    /// The nodes of what was gathered, none found yet.
    pub(super) fn of(gathered: &Gathered) -> Self {
        let of_ways = gathered.ways.iter().map(|way| &way.nodes);
        let of_buildings = gathered.buildings.iter().map(|building| &building.corners);
        let lists = of_ways.chain(of_buildings);
        let mut ids = Vec::with_capacity(lists.clone().map(Vec::len).sum());
        lists.for_each(|nodes| ids.extend_from_slice(nodes));
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
        for ban in &gathered.bans {
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
    /// An address is paid for as it is kept.
    pub(super) fn found_in(&self, block: &Block<'_>, purse: &Purse) -> Result<Part, Broken> {
        let Part {
            mut found,
            mut doors,
        } = Part::default();
        let mut next = 0;
        block.nodes(&mut |id, (lon, lat), tags| {
            doors.extend(addresses::of_node(block, (id, (lon, lat)), tags, purse)?);
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
        Ok(Part { found, doors })
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
