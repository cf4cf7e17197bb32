//! The most that a class's tasks could still add to a gang-day, by how much time is left: a table that is
//! filled from the last task to the first, each of which is taken or not.
//!
//! Each task counts some time, its set-up where its street has none yet, and its least way. The gang-day
//! then lasts so long at the least, and so much longer at its end where any of its tasks is one that waits.
//!
//! Time is cut down to whole units for each task, so that what is left is never too little; money is rounded
//! up for each task.
//!
//! # Source
//! A knapsack with set-ups, by dynamic programming: Kellerer, Pferschy and Pisinger, "Knapsack Problems",
//! 2004, chapters 2 and 7.

/// Seconds in a unit of time.
const UNIT: i64 = 60;

/// Less than any sum, and the most that one task may add.
const NEVER: i32 = -1_000_000_000;
const MOST: i64 = 2_000_000;

/// More than any sum.
const UNKNOWN: i64 = 1_000_000_000_000;

/// Seconds in an hour.
pub(super) const HOUR: i64 = 3_600;

/// What taking a task adds: to the time, and in parts of a penny (of which there are as many as seconds in
/// an hour).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Gain {
    pub(super) time: i64,
    pub(super) worth: i64,
}

/// A task: where its street is entered already, and where it is not.
#[derive(Clone, Copy, Debug)]
pub(super) struct Item {
    pub(super) joins: Gain,
    pub(super) enters: Gain,
    /// Whether it is the first of its street.
    pub(super) first: bool,
    /// Whether it is one that waits.
    pub(super) waits: bool,
}

/// The time of a gang-day and what it costs, in pence an hour.
#[derive(Clone, Copy, Debug)]
pub(super) struct Day {
    pub(super) lasts: i64,
    /// So much at the end is dearer.
    pub(super) dear: i64,
    pub(super) hour: i64,
    pub(super) dearer: i64,
    /// So much longer it lasts with a task that waits.
    pub(super) after: i64,
    /// What lasts longer than this has a break of so long.
    pub(super) rest: Option<(i64, i64)>,
}

impl Day {
    /// What a gang-day that counts so much time costs for its crew, in parts of a penny; none where it can't
    /// last so long.
    pub(super) fn crew(&self, time: i64, waits: bool) -> Option<i64> {
        let mut all = time + if waits { self.after } else { 0 };
        if let Some((after, lasts)) = self.rest
            && all > after
        {
            all += lasts;
        }
        let past = (all - (self.lasts - self.dear)).max(0);
        (all <= self.lasts).then_some(self.hour * all + self.dearer * past)
    }

    fn left(&self, time: i64) -> Option<usize> {
        let left = self.lasts - time;
        (left >= 0).then_some((left / UNIT) as usize)
    }

    /// What stopping here costs in all, over the time that was counted.
    fn stopping(&self, left: usize, waits: bool) -> i32 {
        let time = (self.lasts - (left as i64 * UNIT + UNIT - 1)).max(0);
        match self.crew(time, waits) {
            Some(crew) => -((crew - self.hour * time) / HOUR) as i32,
            None => NEVER,
        }
    }
}

/// Where a table is looked up: the first task that may be taken, whether its street is entered, and whether
/// any that waits is taken.
#[derive(Clone, Copy)]
pub(super) struct At {
    pub(super) task: usize,
    pub(super) entered: bool,
    pub(super) waits: bool,
}

/// The filled table.
pub(super) struct Fill {
    day: Day,
    /// Of each row by time left.
    times: usize,
    /// By task, whether its street is entered, whether any waits, and what is left.
    most: Vec<i32>,
    /// Whether some task would add more than the table holds: then nothing is known.
    blind: bool,
}

impl Fill {
    /// How many numbers it takes.
    pub(super) fn size(items: usize, day: &Day) -> usize {
        (items + 1) * 4 * Self::times(day)
    }

    fn times(day: &Day) -> usize {
        (day.lasts.max(0) / UNIT + 1) as usize
    }

    pub(super) fn of(items: &[Item], day: Day) -> Self {
        let times = Self::times(&day);
        let mut all = Self {
            day,
            times,
            most: vec![NEVER; Self::size(items.len(), &day)],
            blind: items.iter().any(|item| item.joins.worth >= MOST * HOUR),
        };
        for (entered, waits) in STATES {
            let line = all.line(At {
                task: items.len(),
                entered,
                waits,
            });
            for left in 0..times {
                all.most[line + left] = day.stopping(left, waits);
            }
        }
        for task in (0..items.len()).rev() {
            for (entered, waits) in STATES {
                all.take(
                    items,
                    At {
                        task,
                        entered,
                        waits,
                    },
                );
            }
        }
        all
    }

    /// Where a line of the table begins.
    fn line(&self, at: At) -> usize {
        let state = usize::from(at.entered) * 2 + usize::from(at.waits);
        (at.task * 4 + state) * self.times
    }

    /// Fills one line: without the task, or with it.
    fn take(&mut self, items: &[Item], at: At) {
        let (here, without) = (self.line(at), self.line(without(items, at)));
        let (with, gain) = with(items, at);
        let (with, next) = (
            self.line(with),
            self.line(At {
                task: at.task + 1,
                entered: false,
                waits: false,
            }),
        );
        let (before, after) = self.most.split_at_mut(next);
        let own = &mut before[here..here + self.times];
        own.copy_from_slice(&after[without - next..without - next + self.times]);
        let took = (gain.time.max(0) / UNIT) as usize;
        if took >= self.times {
            return;
        }
        let worth = worth(gain.worth);
        let with = &after[with - next..with - next + self.times - took];
        for (own, with) in own[took..].iter_mut().zip(with) {
            *own = (*own).max(with + worth);
        }
    }

    /// The most, in pence, that tasks from this one on add after so much time, less what stopping costs over
    /// that time; none where the gang-day can't be ended at all.
    pub(super) fn most(&self, at: At, time: i64) -> Option<i64> {
        let left = self.day.left(time)?;
        if self.blind {
            return Some(UNKNOWN);
        }
        let most = self.most[self.line(at) + left];
        (most > NEVER / 2).then_some(i64::from(most))
    }

    /// The tasks from this one on that add the most.
    pub(super) fn taken(&self, items: &[Item], mut at: At, time: i64) -> Vec<usize> {
        let mut taken = Vec::new();
        let Some(mut left) = self.day.left(time) else {
            return taken;
        };
        while at.task < items.len() {
            at.entered &= !items[at.task].first;
            let here = self.most[self.line(at) + left];
            let without = without(items, at);
            if here == self.most[self.line(without) + left] {
                at = without;
                continue;
            }
            let (with, gain) = with(items, at);
            left -= (gain.time.max(0) / UNIT) as usize;
            taken.push(at.task);
            at = with;
        }
        taken
    }
}

const STATES: [(bool, bool); 4] = [(false, false), (false, true), (true, false), (true, true)];

fn next_is_first(items: &[Item], at: At) -> bool {
    items.get(at.task + 1).is_none_or(|next| next.first)
}

fn without(items: &[Item], at: At) -> At {
    At {
        task: at.task + 1,
        entered: at.entered && !next_is_first(items, at),
        ..at
    }
}

fn with(items: &[Item], at: At) -> (At, Gain) {
    let item = &items[at.task];
    let gain = if at.entered && !item.first {
        item.joins
    } else {
        item.enters
    };
    let with = At {
        task: at.task + 1,
        entered: !next_is_first(items, at),
        waits: at.waits || item.waits,
    };
    (with, gain)
}

/// In pence, up.
fn worth(parts: i64) -> i32 {
    (parts.div_euclid(HOUR) + 1).clamp(-MOST, MOST) as i32
}
