//! Which tasks may well come before or after which, and which are near for a string.
//!
//! # Source
//! Vidal, Crainic, Gendreau and Prins, "A hybrid genetic algorithm with adaptive diversity
//! management for a large class of vehicle routing problems with time-windows", Computers &
//! Operations Research 40(1), 2013, section 4.5: travel, plus a fifth of the wait and all of the
//! lateness that can't be avoided between the two.

use super::plain::Site;

/// How many are listed as good to come before, and as many as good to come after.
const BESIDE: usize = 24;

/// How many are listed as near for a string.
const AROUND: usize = 100;

/// Lists of tasks, all of one kind equally long, the best first.
pub(crate) struct Near {
    before: Lists,
    after: Lists,
    around: Lists,
}

#[derive(Default)]
struct Lists {
    long: usize,
    flat: Vec<u32>,
}

impl Near {
    pub(crate) fn new(sites: &[Site], table: &[i32], timed: bool) -> Self {
        let width = sites.len() + 1;
        let leg = |from: u32, to: u32| i64::from(table[from as usize * width + to as usize]);
        let gap = |from: u32, to: u32| {
            let leg = leg(from, to);
            if !timed {
                return 5 * leg;
            }
            let (from, to) = (&sites[from as usize], &sites[to as usize]);
            let ends = |start: i32| i64::from(start) + i64::from(from.work) + leg;
            let wait = (i64::from(to.open) - ends(from.due)).max(0);
            let late = (ends(from.open) - i64::from(to.due)).max(0);
            5 * (leg + late) + wait
        };
        let tasks = sites.len() as u32;
        Self {
            before: Lists::new(tasks, BESIDE, |own, other| gap(other, own)),
            after: Lists::new(tasks, BESIDE, gap),
            around: Lists::new(tasks, AROUND, leg),
        }
    }

    /// Tasks that may well come before this one.
    pub(crate) fn before(&self, task: u32) -> &[u32] {
        self.before.of(task)
    }

    /// Tasks that may well come after this one.
    pub(crate) fn after(&self, task: u32) -> &[u32] {
        self.after.of(task)
    }

    /// Tasks near this one.
    pub(crate) fn around(&self, task: u32) -> &[u32] {
        self.around.of(task)
    }
}

impl Lists {
    fn new(tasks: u32, long: usize, far: impl Fn(u32, u32) -> i64) -> Self {
        let long = long.min((tasks as usize).saturating_sub(1));
        let mut flat = Vec::with_capacity(tasks as usize * long);
        let mut others: Vec<(i64, u32)> = Vec::new();
        for own in 0..tasks {
            others.clear();
            let all = (0..tasks).filter(|&other| other != own);
            others.extend(all.map(|other| (far(own, other), other)));
            if long > 0 && long < others.len() {
                others.select_nth_unstable(long - 1);
                others.truncate(long);
            }
            others.sort_unstable();
            flat.extend(others.iter().map(|&(_, other)| other));
        }
        Self { long, flat }
    }

    fn of(&self, task: u32) -> &[u32] {
        &self.flat[task as usize * self.long..][..self.long]
    }
}
