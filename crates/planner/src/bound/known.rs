//! What sets of tasks cost on gang-days that cost and allow the same, as far as that was found out.

use rustc_hash::FxHashMap;
use smallvec::SmallVec;

use super::chains::Tried;

/// So many sets are remembered at most.
const MOST: usize = 1_000_000;

/// A kind of gang-day, and tasks in order.
pub(super) type Key = (u32, SmallVec<[u32; 8]>);

/// What is known of a set.
#[derive(Clone, Copy)]
enum What {
    Costs(i64),
    CostsAtLeast(i64),
    Never,
}

/// What the set costs if that is less than what was asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Answer {
    Less(i64),
    NotLess,
    /// It can't be done at all, nor can any set with more tasks.
    Never,
}

/// All that is known.
#[derive(Default)]
pub(super) struct Known {
    least: FxHashMap<Key, What>,
    /// What sets cost about; none where no order was found soon.
    about: FxHashMap<Key, Option<i64>>,
}

impl Known {
    /// The key of tasks in any order.
    pub(super) fn key(kind: usize, tasks: &[u32]) -> Key {
        let mut tasks: SmallVec<[u32; 8]> = tasks.into();
        tasks.sort_unstable();
        (kind as u32, tasks)
    }

    /// Whether the set costs less than `most`, if that much is known.
    pub(super) fn below(&self, key: &Key, most: i64) -> Option<Answer> {
        match self.least.get(key)? {
            What::Costs(cost) if *cost < most => Some(Answer::Less(*cost)),
            What::Costs(_) => Some(Answer::NotLess),
            What::CostsAtLeast(least) => (*least >= most).then_some(Answer::NotLess),
            What::Never => Some(Answer::Never),
        }
    }

    /// Remembers what came of trying the set's orders up to a cost of `most`.
    pub(super) fn remember(&mut self, key: Key, tried: &Tried, most: i64) {
        let what = match tried.cost {
            Some(cost) => What::Costs(cost),
            None if tried.never => What::Never,
            None => What::CostsAtLeast(most),
        };
        if self.least.len() < MOST || self.least.contains_key(&key) {
            self.least.insert(key, what);
        }
    }

    /// What the set costs about, if that was asked before.
    pub(super) fn about(&self, key: &Key) -> Option<Option<i64>> {
        self.about.get(key).copied()
    }

    /// Remembers what it costs about.
    pub(super) fn remember_about(&mut self, key: Key, cost: Option<i64>) {
        if self.about.len() < MOST {
            self.about.insert(key, cost);
        }
    }
}
