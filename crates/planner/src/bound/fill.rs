//! The most that a class's tasks could still add to a gang-day, by how much time is left: a table that is
//! filled from the last task to the first, each of which is taken or not.
//!
//! Each task counts all its work at once, its set-up where its street has none yet, and its least way. The
//! gang-day then lasts so long at the least; and where some work is counted after which so much is still
//! to come in its own task (`after`), all of that work, and that time after it, which only work that does
//! not count can fill.
//!
//! Time is cut down to whole units for each task, so that what is left is never too little; money is rounded
//! up for each task.
//!
//! # Source
//! A knapsack with set-ups, by dynamic programming: Kellerer, Pferschy and Pisinger, "Knapsack Problems",
//! 2004, chapters 2 and 7.

/// Seconds in a unit of time.
const UNIT: i64 = 60;

/// Most units of what fills the time after counted work.
const FILLS: i64 = 12;

/// Less than any sum, and the most that one task may add.
const NEVER: i32 = -1_000_000_000;
const MOST: i64 = 2_000_000;

/// More than any sum.
const UNKNOWN: i64 = 1_000_000_000_000;

/// Seconds in an hour.
pub(super) const HOUR: i64 = 3_600;

/// What taking a task adds: to the time, to what does not count before the time after, and in parts of a
/// penny (of which there are as many as seconds in an hour).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Gain {
    pub(super) time: i64,
    pub(super) fills: i64,
    pub(super) worth: i64,
}

/// A task: where its street is entered already, and where it is not.
#[derive(Clone, Copy, Debug)]
pub(super) struct Item {
    pub(super) joins: Gain,
    pub(super) enters: Gain,
    /// Whether it is the first of its street.
    pub(super) first: bool,
    /// Whether it may be taken at all.
    pub(super) may: bool,
}

/// The time of a gang-day and what it costs, in pence an hour.
#[derive(Clone, Copy, Debug)]
pub(super) struct Day {
    pub(super) lasts: i64,
    /// So much at the end is dearer.
    pub(super) dear: i64,
    pub(super) hour: i64,
    pub(super) dearer: i64,
    /// So long after counted work, and how much one unit of filling it is.
    pub(super) after: i64,
    pub(super) fill: i64,
}

impl Day {
    /// With time after counted work in units of what usually fills it.
    pub(super) fn after(self, after: i64, usual: i64) -> Self {
        let fill = usual.max(after / FILLS).max(1);
        Self {
            after: after / fill * fill,
            fill,
            ..self
        }
    }

    /// What is left after so much, and how much of the time after counted work is filled.
    pub(super) fn state(&self, time: i64, fills: i64) -> Option<(usize, usize)> {
        let left = self.lasts - time;
        (left >= 0).then(|| ((left / UNIT) as usize, self.filled(fills)))
    }

    fn filled(&self, fills: i64) -> usize {
        // Up to a whole unit.
        ((fills + self.fill - 1) / self.fill).clamp(0, self.after / self.fill) as usize
    }

    /// What stopping here costs in all: the rest of the time after, and overtime.
    fn stopping(&self, left: usize, filled: usize) -> i32 {
        let idle = self.after - filled as i64 * self.fill;
        let left = left as i64 * UNIT + UNIT - 1 - idle;
        if left < 0 {
            return NEVER;
        }
        let past = (self.dear - left).max(0);
        -((self.hour * idle + self.dearer * past) / HOUR) as i32
    }
}

/// The filled table.
pub(super) struct Fill {
    day: Day,
    /// Of each row by time left, and how many rows are filled by what is filled.
    times: usize,
    fills: usize,
    /// By task, whether its street is entered, what is filled, and what is left.
    most: Vec<i32>,
    /// Whether some task would add more than the table holds: then nothing is known.
    blind: bool,
}

impl Fill {
    /// How many numbers it takes.
    pub(super) fn size(items: usize, day: &Day) -> usize {
        let (times, fills) = Self::lines(day);
        (items + 1) * 2 * times * fills
    }

    fn lines(day: &Day) -> (usize, usize) {
        let times = day.lasts.max(0) / UNIT + 1;
        (times as usize, (day.after / day.fill + 1) as usize)
    }

    pub(super) fn of(items: &[Item], day: Day) -> Self {
        let (times, fills) = Self::lines(&day);
        let mut all = Self {
            day,
            times,
            fills,
            most: vec![NEVER; Self::size(items.len(), &day)],
            blind: items
                .iter()
                .any(|item| item.may && item.joins.worth >= MOST * HOUR),
        };
        for entered in [false, true] {
            for filled in 0..fills {
                let line = all.line(items.len(), entered, filled);
                for left in 0..times {
                    all.most[line + left] = day.stopping(left, filled);
                }
            }
        }
        for at in (0..items.len()).rev() {
            for entered in [false, true] {
                for filled in 0..fills {
                    all.take(items, at, (entered, filled));
                }
            }
        }
        all
    }

    /// Where a line of the table begins.
    fn line(&self, at: usize, entered: bool, filled: usize) -> usize {
        ((at * 2 + usize::from(entered)) * self.fills + filled) * self.times
    }

    /// Fills one line: without the task, or with it.
    fn take(&mut self, items: &[Item], at: usize, (entered, filled): (bool, usize)) {
        let item = &items[at];
        let here = self.line(at, entered, filled);
        let next_is_first = items.get(at + 1).is_none_or(|next| next.first);
        let on = at + 1;
        let without = self.line(on, entered && !next_is_first, filled);
        let next = self.line(on, false, 0);
        let (before, after) = self.most.split_at_mut(next);
        let base = before.len();
        let own = &mut before[here..here + self.times];
        own.copy_from_slice(&after[without - base..without - base + self.times]);
        let gain = if entered && !item.first {
            item.joins
        } else {
            item.enters
        };
        let took = (gain.time.max(0) / UNIT) as usize;
        if !item.may || took >= self.times {
            return;
        }
        let fills = filled + self.day.filled(gain.fills);
        let fills = fills.min(self.fills - 1);
        let with =
            ((on * 2 + usize::from(!next_is_first)) * self.fills + fills) * self.times - base;
        let worth = worth(gain.worth);
        let with = &after[with..with + self.times - took];
        for (own, with) in own[took..].iter_mut().zip(with) {
            *own = (*own).max(with + worth);
        }
    }

    /// The most, in pence, that tasks from this one on add after so much time and what fills, less what
    /// stopping costs; none where the gang-day can't be ended at all.
    pub(super) fn most(&self, at: usize, entered: bool, time: i64, fills: i64) -> Option<i64> {
        let (left, filled) = self.day.state(time, fills)?;
        if self.blind {
            return Some(UNKNOWN);
        }
        let most = self.most[self.line(at, entered, filled) + left];
        (most > NEVER / 2).then_some(i64::from(most))
    }

    /// The tasks from this one on that add the most.
    pub(super) fn taken(
        &self,
        items: &[Item],
        (at, mut entered): (usize, bool),
        (time, fills): (i64, i64),
    ) -> Vec<usize> {
        let mut taken = Vec::new();
        let Some((mut left, mut filled)) = self.day.state(time, fills) else {
            return taken;
        };
        for at in at..items.len() {
            let item = &items[at];
            entered &= !item.first;
            let next_is_first = items.get(at + 1).is_none_or(|next| next.first);
            let here = self.most[self.line(at, entered, filled) + left];
            let without = self.line(at + 1, entered && !next_is_first, filled) + left;
            if here == self.most[without] {
                continue;
            }
            let gain = if entered { item.joins } else { item.enters };
            left -= (gain.time.max(0) / UNIT) as usize;
            filled = (filled + self.day.filled(gain.fills)).min(self.fills - 1);
            entered = true;
            taken.push(at);
        }
        taken
    }
}

/// In pence, up.
fn worth(parts: i64) -> i32 {
    (parts.div_euclid(HOUR) + 1).clamp(-MOST, MOST) as i32
}
