//! What was stood at before while orders are tried, so that nothing is tried again that is no better.

use rustc_hash::FxHashMap;
use smallvec::SmallVec;

use super::spans::Spans;

/// So many are kept of those that nothing but the order tells apart.
const KEPT: usize = 8;

/// Where the gang is and which blocks are done.
pub(super) type Key = (u64, u32);

/// How one order of the same blocks, ending at the same place, has come out.
pub(super) struct Label {
    pub(super) time: u32,
    pub(super) driven: u32,
    /// What closures that are done cost more than at their shortest.
    pub(super) longer: i64,
    /// When each task's next block may start, and by when its last must be done.
    pub(super) tasks: SmallVec<[(u32, u32); 6]>,
    pub(super) spans: Spans,
}

impl Label {
    /// Whether whatever could follow the other could follow this, and cost no more.
    fn is_no_worse(&self, other: &Self, priced: &[bool]) -> bool {
        let ready = self.tasks.iter().zip(&other.tasks);
        self.time <= other.time
            && self.driven <= other.driven
            && self.longer <= other.longer
            && ready
                .into_iter()
                .all(|(own, its)| own.0 <= its.0.max(other.time) && own.1 >= its.1)
            && self.spans.are_no_longer(&other.spans, priced)
    }
}

/// All that was stood at.
#[derive(Default)]
pub(super) struct Labels(FxHashMap<Key, SmallVec<[Label; 2]>>);

impl Labels {
    /// Whether this is better in something than all that were there before; it is kept then.
    pub(super) fn is_new(&mut self, key: Key, label: Label, priced: &[bool]) -> bool {
        let before = self.0.entry(key).or_default();
        if before.iter().any(|known| known.is_no_worse(&label, priced)) {
            return false;
        }
        if before.len() >= KEPT {
            before.retain(|known| !label.is_no_worse(known, priced));
        }
        if before.len() < KEPT {
            before.push(label);
        }
        true
    }
}
