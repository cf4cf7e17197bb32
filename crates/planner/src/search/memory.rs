//! What was found for a task and a route, while neither changes.

use super::place::Place;

/// How many answers are remembered.
const SLOTS: usize = 1 << 17;

/// Answers by task and route stamp; a new answer pushes out an old one in the same slot.
pub(crate) struct Memory {
    slots: Vec<Slot>,
}

#[derive(Clone)]
struct Slot {
    task: u32,
    stamp: u64,
    place: Option<Place>,
}

impl Memory {
    /// With nothing in it.
    pub(crate) fn new() -> Self {
        let nothing = Slot {
            task: u32::MAX,
            stamp: 0,
            place: None,
        };
        Self {
            slots: vec![nothing; SLOTS],
        }
    }

    /// The answer remembered, or else worked out and remembered.
    pub(crate) fn recall(
        &mut self,
        task: u32,
        stamp: u64,
        work_out: impl FnOnce() -> Option<Place>,
    ) -> Option<&Place> {
        let slot = &mut self.slots[index(task, stamp)];
        if slot.task != task || slot.stamp != stamp {
            *slot = Slot {
                task,
                stamp,
                place: work_out(),
            };
        }
        slot.place.as_ref()
    }
}

fn index(task: u32, stamp: u64) -> usize {
    let mixed = (stamp << 20 ^ u64::from(task)).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    (mixed >> 47) as usize
}
