//! One class of gang-day, its tasks and what they count, while sets are gone through.
//!
//! What a set is over is found in several counts. The plain one counts all its work, its shortest tour,
//! its closures and set-ups. The others count only work after which so much is still to come in its own
//! task (waits and further blocks), and add that: the last of it can't be done later. What tasks could
//! still add is the best of them for their work, the last one in part.

use super::classes::Class;
use super::metric::{Metric, TOUR};
use super::prices::Prices;
use super::sets::Set;
use crate::setting::Setting;
use crate::timing::by_begun_hour;

/// So many ways of counting.
const COUNTS: usize = 4;

/// Seconds in an hour: money is counted in so many parts of a penny.
const HOUR: i64 = 3_600;

/// Pence that rounding could come to.
const ROUNDED: i64 = 2;

/// A task with what it counts.
pub(super) struct Candidate {
    pub(super) task: u32,
    node: u32,
    /// From the depot there and back.
    round: u32,
    street: Option<u32>,
    set_up: i64,
    price: i64,
    closure: i64,
    /// By each count its work, and what its price is over work and closure.
    work: [i64; COUNTS],
    worth: [i64; COUNTS],
}

/// A candidate that may still come, and the least tour through it and all that is chosen.
#[derive(Clone, Copy)]
pub(super) struct Open {
    pub(super) at: usize,
    tour: u32,
}

/// What the chosen set comes to.
#[derive(Clone, Copy, Default)]
pub(super) struct Sums {
    pub(super) tour: u32,
    pub(super) set_ups: i64,
    pub(super) price: i64,
    pub(super) closures: i64,
    work: [i64; COUNTS],
    worth: [i64; COUNTS],
    /// Whether some task does not count at all, and the farthest of those that do.
    partly: [bool; COUNTS],
    far: [u32; COUNTS],
}

/// What one more task could still add, by one count.
struct Item {
    at: usize,
    work: i64,
    worth: i64,
}

/// The class while its sets are gone through.
pub(super) struct Walk<'a> {
    pub(super) class: usize,
    own: &'a Class,
    metric: &'a Metric,
    rates: crate::Rates,
    pub(super) prices: &'a Prices,
    pub(super) day_price: i64,
    candidates: Vec<Candidate>,
    /// How much is still to come after what counts.
    after: [i64; COUNTS],
    /// Places in the list of candidates.
    pub(super) chosen: Vec<usize>,
    /// Sets that are unfair by more than `below` (in pence, not above nothing) are looked for.
    pub(super) below: i64,
    pub(super) found: Vec<(i64, Set)>,
    pub(super) cut_short: bool,
}

impl<'a> Walk<'a> {
    pub(super) fn of(
        setting: &Setting<'_>,
        (at, own): (usize, &'a Class),
        metric: &'a Metric,
        prices: &'a Prices,
    ) -> Self {
        let after = afters(setting, own);
        let mut walk = Self {
            class: at,
            own,
            metric,
            rates: setting.problem.rates,
            prices,
            day_price: prices.days[at],
            candidates: Vec::new(),
            after,
            chosen: Vec::new(),
            below: 0,
            found: Vec::new(),
            cut_short: false,
        };
        let candidate = |&task: &u32| walk.candidate(setting, task, prices);
        let mut candidates: Vec<Candidate> = own.tasks.iter().map(candidate).collect();
        let worth = |one: &Candidate| one.worth[0] / one.work[0].max(1);
        candidates.sort_by_key(|one| (-worth(one), one.task));
        walk.candidates = candidates;
        walk
    }

    fn candidate(&self, setting: &Setting<'_>, task: u32, prices: &Prices) -> Candidate {
        let stated = setting.task(task);
        let facts = setting.facts_at(task, self.own.day.pace);
        let closure = by_begun_hour(stated.closure_hour, facts.shortest);
        let price = prices.tasks[task as usize];
        let (mut work, mut worth) = ([0; COUNTS], [0; COUNTS]);
        for (count, after) in self.after.iter().enumerate() {
            for block in 0..stated.blocks.len() {
                let own = setting.block(task, block as u32, self.own.day.pace).work;
                if i64::from(facts.tail[block] - own) >= *after {
                    work[count] += i64::from(own);
                }
            }
            worth[count] = HOUR * (price - closure) - self.rates.crew_hour * work[count];
        }
        let depot = self.own.day.depot;
        let out = self.metric.seconds(depot, stated.node);
        Candidate {
            task,
            node: stated.node,
            round: out.saturating_add(self.metric.seconds(stated.node, depot)),
            street: stated.street,
            set_up: stated.set_up.max(0),
            price,
            closure,
            work,
            worth,
        }
    }

    /// All candidates.
    pub(super) fn all(&self) -> Vec<Open> {
        let open = |(at, one): (usize, &Candidate)| Open {
            at,
            tour: one.round,
        };
        self.candidates.iter().enumerate().map(open).collect()
    }

    /// The chosen tasks.
    pub(super) fn tasks(&self) -> Vec<u32> {
        let chosen = self.chosen.iter();
        chosen.map(|&at| self.candidates[at].task).collect()
    }

    /// With one more task.
    pub(super) fn with(&self, sums: &Sums, open: Open) -> Sums {
        let one = &self.candidates[open.at];
        let mut more = *sums;
        more.tour = sums.tour.max(open.tour);
        more.set_ups += one.set_up - self.shared(one);
        more.price += one.price;
        more.closures += one.closure;
        for count in 0..COUNTS {
            more.work[count] += one.work[count];
            more.worth[count] += one.worth[count];
            if one.work[count] == 0 {
                more.partly[count] = true;
            } else {
                more.far[count] = more.far[count].max(one.round);
            }
        }
        more
    }

    /// How much of its set-up is paid already: up to the dearest of the chosen in its street.
    fn shared(&self, one: &Candidate) -> i64 {
        if one.street.is_none() {
            return 0;
        }
        let chosen = self.chosen.iter().map(|&at| &self.candidates[at]);
        let same = chosen.filter(|other| other.street == one.street);
        same.map(|other| other.set_up)
            .max()
            .unwrap_or(0)
            .min(one.set_up)
    }

    /// The time left by this count, none where nothing counts, and what the gang-day costs over its
    /// tasks' prices, in parts of a penny.
    fn over(&self, count: usize, sums: &Sums) -> Option<(i64, i64)> {
        let after = self.after[count];
        if after > 0 && sums.work[count] == 0 {
            return None;
        }
        let day = &self.own.day;
        let way = if sums.partly[count] {
            sums.far[count]
        } else {
            sums.tour
        };
        let idle = after + i64::from(way) + i64::from(day.load) + i64::from(day.unload);
        let lasts = idle + sums.work[count];
        let past = (lasts - (i64::from(day.end) - i64::from(day.start)).max(0)).max(0);
        let rates = &self.rates;
        let fixed = HOUR * (rates.gang_day + self.day_price + sums.set_ups);
        let cost = fixed
            + rates.crew_hour * idle
            + rates.overtime_hour * past
            + rates.travel_hour * i64::from(sums.tour);
        let all = i64::from(day.latest) - i64::from(day.start);
        Some((all - lasts, cost - sums.worth[count]))
    }

    /// Whether the set could be done and be unfair enough, with this much more at the most by each count.
    fn could(&self, sums: &Sums, more: impl Fn(usize, i64) -> i64) -> bool {
        let most = HOUR * (self.below + ROUNDED);
        (0..COUNTS).all(|count| {
            (count > 0 && self.after[count] == 0)
                || self.over(count, sums).is_none_or(|(left, over)| {
                    left >= 0 && (over < most || over - more(count, left) < most)
                })
        })
    }

    /// Whether the set itself could.
    pub(super) fn tells(&self, sums: &Sums) -> bool {
        self.could(sums, |_, _| 0)
    }

    /// The candidates with which, and with others of them, the set could still be unfair enough.
    pub(super) fn promising(&self, sums: &Sums, open: &[Open]) -> Vec<Open> {
        let mut near: Vec<Open> = Vec::with_capacity(open.len());
        for &one in open {
            let tour = one.tour.max(sums.tour).max(self.tour(one.at));
            let one = Open { at: one.at, tour };
            if self.with_time(sums, one) {
                near.push(one);
            }
        }
        let items: [Vec<Item>; COUNTS] = std::array::from_fn(|count| self.items(count, &near));
        let own = |one: &Open| {
            let with = self.with(sums, *one);
            self.could(&with, |count, left| most(&items[count], one.at, left))
        };
        near.iter().filter(|one| own(one)).copied().collect()
    }

    /// Whether there is time for it.
    fn with_time(&self, sums: &Sums, one: Open) -> bool {
        let with = self.with(sums, one);
        (0..COUNTS).all(|count| self.over(count, &with).is_none_or(|(left, _)| left >= 0))
    }

    fn tour(&self, at: usize) -> u32 {
        if self.chosen.len() >= TOUR {
            return 0;
        }
        let chosen = self.chosen.iter().chain([&at]);
        let nodes = chosen.map(|&at| self.candidates[at].node);
        self.metric.tour(self.own.day.depot, nodes)
    }

    /// What the open ones add at the most, the best for their work first. Set-ups in new streets are
    /// paid in equal parts by all that are open there.
    fn items(&self, count: usize, open: &[Open]) -> Vec<Item> {
        if count > 0 && self.after[count] == 0 {
            return Vec::new();
        }
        let item = |one: &Open| {
            let own = &self.candidates[one.at];
            let worth = own.worth[count] - HOUR * self.part_of_set_up(own, open);
            Item {
                at: one.at,
                work: own.work[count],
                worth,
            }
        };
        let mut items: Vec<Item> = open.iter().map(item).filter(|one| one.worth > 0).collect();
        items.sort_by(|a, b| {
            let (one, other) = (
                i128::from(a.worth) * i128::from(b.work),
                i128::from(b.worth) * i128::from(a.work),
            );
            other.cmp(&one).then(a.at.cmp(&b.at))
        });
        items
    }

    fn part_of_set_up(&self, one: &Candidate, open: &[Open]) -> i64 {
        if one.street.is_none() {
            return one.set_up;
        }
        let here = |other: &&Candidate| other.street == one.street;
        if self.chosen.iter().any(|&at| here(&&self.candidates[at])) {
            return 0;
        }
        let same = open
            .iter()
            .map(|other| &self.candidates[other.at])
            .filter(here);
        let (count, least) = same.fold((0, i64::MAX), |(count, least), other| {
            (count + 1, least.min(other.set_up))
        });
        least / count.max(1)
    }
}

/// The most that items but one could add in so much time.
fn most(items: &[Item], but: usize, left: i64) -> i64 {
    let (mut sum, mut left) = (0, left);
    for item in items.iter().filter(|item| item.at != but) {
        if item.work > left {
            let part = i128::from(item.worth) * i128::from(left) / i128::from(item.work);
            return sum + part as i64 + 1;
        }
        sum += item.worth;
        left -= item.work;
    }
    sum
}

/// How much is still to come after the blocks of the class's tasks: nothing, and three quarters of the way.
fn afters(setting: &Setting<'_>, class: &Class) -> [i64; COUNTS] {
    let pace = class.day.pace;
    let mut tails: Vec<i64> = Vec::new();
    for &task in &class.tasks {
        let facts = setting.facts_at(task, pace);
        let blocks = (0..).zip(&facts.tail);
        tails.extend(blocks.map(|(block, tail)| {
            i64::from(*tail) - i64::from(setting.block(task, block, pace).work)
        }));
    }
    tails.retain(|tail| *tail > 0);
    tails.sort_unstable();
    let at = |quarter: usize| tails.get(tails.len() * quarter / 4).copied().unwrap_or(0);
    [0, at(1), at(2), at(3)]
}
