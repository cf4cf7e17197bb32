//! How long closures last at the least, by the order of the blocks alone: from a task's first block on, all
//! that the gang does in between, its ways and the waits have to fit in.

use smallvec::SmallVec;

/// Not begun, or done.
const NOT: u32 = u32::MAX;

/// For each of a few tasks, the least time since its first block started.
#[derive(Clone)]
pub(super) struct Spans {
    count: usize,
    /// Until now.
    now: SmallVec<[u32; 6]>,
    /// Until the end of the last block of each other, row by row.
    until: SmallVec<[u32; 36]>,
}

impl Spans {
    pub(super) fn new(count: usize) -> Self {
        Self {
            count,
            now: SmallVec::from_elem(NOT, count),
            until: SmallVec::from_elem(NOT, count * count),
        }
    }

    /// A block of this task is done next, after so much way and so much wait since its last.
    pub(super) fn step(&mut self, task: usize, is_first: bool, (leg, wait): (u32, u32), work: u32) {
        for of in 0..self.count {
            if self.now[of] == NOT {
                continue;
            }
            let mut start = self.now[of].saturating_add(leg);
            let until = self.until[of * self.count + task];
            if until != NOT {
                start = start.max(until.saturating_add(wait));
            }
            self.now[of] = start.saturating_add(work);
            self.until[of * self.count + task] = self.now[of];
        }
        if is_first {
            self.now[task] = work;
            self.until[task * self.count + task] = work;
        }
    }

    /// How long this task's closure has been there.
    pub(super) fn so_far(&self, task: usize) -> u32 {
        self.now[task]
    }

    /// How long it has been there when its next block starts.
    pub(super) fn next(&self, task: usize, leg: u32, wait: u32) -> u32 {
        let until = self.until[task * self.count + task];
        let way = self.now[task].saturating_add(leg);
        way.max(until.saturating_add(wait))
    }

    /// Whether none of the closures that are there and have a price has lasted longer than in the other, or
    /// would by what is still to come.
    pub(super) fn are_no_longer(&self, other: &Self, priced: &[bool]) -> bool {
        // None is before all.
        let early = |time: u32| time.wrapping_add(1);
        let there = |of: &usize| self.now[*of] != NOT;
        let until = |of: usize, task: usize| of * self.count + task;
        (0..self.count)
            .filter(there)
            .filter(|&of| priced[of])
            .all(|of| {
                self.now[of] <= other.now[of]
                    && (0..self.count).filter(there).all(|task| {
                        let at = until(of, task);
                        early(self.until[at]) <= early(other.until[at])
                    })
            })
    }

    /// It is there no more.
    pub(super) fn end(&mut self, task: usize) {
        self.now[task] = NOT;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Dig A 10, drive 5, dig B 20, drive 5, build A 10 after a wait of 25 since its dig: A lasts
    /// 10 + 5 + 20 + 5 + 10 = 50, more than 10 + 25 + 10; build B after a wait of 60 and 8: by A's own
    /// time nothing, by B's 20 + 60 + 8.
    #[test]
    fn what_is_done_in_between_fits_in() {
        let mut spans = Spans::new(2);
        spans.step(0, true, (7, 0), 10);
        spans.step(1, true, (5, 0), 20);
        assert_eq!(spans.next(0, 5, 25), 40);
        spans.step(0, false, (5, 25), 10);
        assert_eq!(spans.so_far(0), 50);
        spans.end(0);
        spans.step(1, false, (5, 60), 8);
        assert_eq!(spans.so_far(1), 88);
    }
}
