//! What does not depend on prices of a class's tasks: their work, their ways, and what time and money a
//! gang-day has.

use super::classes::Class;
use super::fill::{Day, Gain, HOUR, Item};
use super::metric::Metric;
use super::prices::Prices;
use super::ways::{Place, Ways};
use crate::setting::Setting;
use crate::timing::by_begun_hour;

/// Pence that rounding could come to.
pub(super) const ROUNDED: i64 = 4;

/// In how many ways a gang-day's time is counted at most.
pub(super) const COUNTS: usize = 9;

/// Time is counted in so many parts.
const PARTS: i64 = 2;

/// What does not depend on prices.
pub(super) struct Ground {
    pub(super) ways: Ways,
    /// For each place in order.
    pub(super) tasks: Vec<Fact>,
    pub(super) counts: Vec<Count>,
    /// Loading and unloading.
    pub(super) idle: i64,
}

pub(super) struct Fact {
    pub(super) closure: i64,
    pub(super) set_up: i64,
    pub(super) node: u32,
}

/// One way of counting how long a gang-day lasts at the least: by all its work and way; or by the work after
/// which so much is still to come, the way to where that is, and that time after it; or by both in parts.
pub(super) struct Count {
    pub(super) day: Day,
    /// For each place in order, what it counts of time, how many parts of its way, and whether it waits.
    pub(super) tasks: Vec<Own>,
}

#[derive(Clone, Copy)]
pub(super) struct Own {
    pub(super) time: i64,
    pub(super) way: i64,
    pub(super) waits: bool,
}

impl Own {
    /// So much of a way.
    pub(super) fn of(&self, way: i64) -> i64 {
        way * self.way / PARTS
    }

    /// Whether all of its way counts.
    pub(super) fn in_full(&self) -> bool {
        self.way == PARTS
    }
}

impl Ground {
    pub(super) fn of(setting: &Setting<'_>, own: &Class, metric: &Metric, tasks: &[u32]) -> Self {
        let ways = Ways::of(setting, own, metric, tasks);
        let tasks: Vec<u32> = ways.places.iter().map(|place| place.task).collect();
        Self {
            counts: counts(setting, own, &tasks),
            tasks: tasks.iter().map(|&task| fact(setting, own, task)).collect(),
            ways,
            idle: i64::from(own.day.load) + i64::from(own.day.unload),
        }
    }

    /// What crew and way of a set cost at the least by its work and its tour; none where there is not the time.
    pub(super) fn crew_and_way(
        &self,
        tasks: &[u32],
        (rates, depot, metric): (&crate::Rates, u32, &Metric),
    ) -> Option<i64> {
        let mut places: smallvec::SmallVec<[usize; 8]> = smallvec::SmallVec::new();
        places
            .extend((0..self.tasks.len()).filter(|&at| tasks.contains(&self.ways.places[at].task)));
        let nodes = places.iter().map(|&at| self.tasks[at].node);
        let tour = i64::from(metric.tour(depot, nodes)).max(self.least_tour(&places));
        let mut crew = 0;
        for count in &self.counts {
            let mut time = self.idle;
            let (mut waits, mut way) = (false, PARTS);
            for &at in &places {
                let own = &count.tasks[at];
                time += own.time;
                waits |= own.waits;
                way = way.min(own.way);
            }
            crew = crew.max(count.day.crew(time + tour * way / PARTS, waits)?);
        }
        Some((crew + rates.travel_hour * tour).div_euclid(HOUR) - ROUNDED)
    }

    fn least_tour(&self, places: &[usize]) -> i64 {
        let mut before = None;
        let mut ways = self.ways.depot;
        for &at in places {
            let place = &self.ways.places[at];
            let round = if before.is_none() { place.round } else { 0 };
            let entered = before.replace(place.street) == Some(place.street);
            ways += place.own + round + if entered { 0 } else { place.enter };
        }
        ways
    }
}

fn fact(setting: &Setting<'_>, own: &Class, task: u32) -> Fact {
    let stated = setting.task(task);
    let facts = setting.facts_at(task, own.day.pace);
    Fact {
        closure: by_begun_hour(stated.closure_hour, facts.shortest),
        set_up: stated.set_up.max(0),
        node: stated.node,
    }
}

/// Of so much time after blocks, as parts of all blocks that anything comes after.
const AFTERS: [usize; 4] = [1, 3, 5, 7];

fn counts(setting: &Setting<'_>, own: &Class, tasks: &[u32]) -> Vec<Count> {
    let day = &own.day;
    let rates = &setting.problem.rates;
    let lasts = i64::from(day.latest) - i64::from(day.start);
    let all = Day {
        lasts,
        dear: i64::from(day.latest) - i64::from(day.end).max(i64::from(day.start)),
        hour: rates.crew_hour,
        dearer: rates.overtime_hour,
        after: 0,
        rest: (day.break_lasts > 0)
            .then_some((i64::from(day.break_after), i64::from(day.break_lasts))),
    };
    let work = |task: u32| i64::from(setting.facts_at(task, day.pace).work);
    let by_work = tasks.iter().map(|&task| Own {
        time: work(task),
        way: PARTS,
        waits: false,
    });
    let mut counts = vec![Count {
        day: all,
        tasks: by_work.collect(),
    }];
    let tails = tails(setting, own, tasks);
    let mut afters: Vec<i64> = AFTERS
        .iter()
        .filter_map(|part| tails.get(tails.len() * part / 8).copied())
        .collect();
    afters.dedup();
    for after in afters {
        for parts in [0, 1] {
            let own = |&task: &u32| {
                let counted = counted(setting, own, (task, after));
                let waits = counted > 0;
                let way = if waits { PARTS } else { parts };
                Own {
                    time: (counted * (PARTS - parts) + work(task) * parts) / PARTS,
                    way,
                    waits,
                }
            };
            let day = Day {
                after: after * (PARTS - parts) / PARTS,
                rest: None,
                ..all
            };
            counts.push(Count {
                day,
                tasks: tasks.iter().map(own).collect(),
            });
        }
    }
    counts
}

/// A task's work after which so much is still to come.
fn counted(setting: &Setting<'_>, own: &Class, (task, after): (u32, i64)) -> i64 {
    let pace = own.day.pace;
    let tail = setting.facts_at(task, pace).tail.iter();
    let blocks = tail.zip(setting.task(task).blocks_at(pace));
    let own = blocks.filter(|(tail, block)| i64::from(**tail) - i64::from(block.work) >= after);
    own.map(|(_, block)| i64::from(block.work)).sum()
}

/// How much is still to come after each of the blocks of the class's tasks that anything comes after, in
/// order.
fn tails(setting: &Setting<'_>, class: &Class, tasks: &[u32]) -> Vec<i64> {
    let pace = class.day.pace;
    let mut tails: Vec<i64> = Vec::new();
    for &task in tasks {
        let tail = setting.facts_at(task, pace).tail.iter();
        let blocks = tail.zip(setting.task(task).blocks_at(pace));
        tails.extend(blocks.map(|(tail, block)| i64::from(*tail) - i64::from(block.work)));
    }
    tails.retain(|tail| *tail > 0);
    tails.sort_unstable();
    tails
}

/// What each task adds as time is counted so, with its least way or without any.
pub(super) fn items(
    (ground, count): (&Ground, &Count),
    prices: &Prices,
    rates: &crate::Rates,
    ways: bool,
) -> Vec<Item> {
    let mut before = None;
    let places = ground
        .ways
        .places
        .iter()
        .zip(&ground.tasks)
        .zip(&count.tasks);
    let item = |((place, fact), counted): ((&Place, &Fact), &Own)| {
        let (own, enter) = if ways {
            (place.own, place.enter)
        } else {
            (0, 0)
        };
        let price = prices.tasks[place.task as usize];
        let time = counted.time + counted.of(own);
        let joins = Gain {
            time,
            worth: HOUR * (price - fact.closure) - rates.crew_hour * time - rates.travel_hour * own,
        };
        let more = counted.of(enter);
        let enters = Gain {
            time: time + more,
            worth: joins.worth
                - HOUR * fact.set_up
                - rates.crew_hour * more
                - rates.travel_hour * enter,
        };
        let first = before.replace(place.street) != Some(place.street);
        Item {
            joins,
            enters,
            first,
            waits: counted.waits,
        }
    };
    places.map(item).collect()
}
