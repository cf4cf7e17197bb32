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

/// What does not depend on prices.
pub(super) struct Ground {
    pub(super) ways: Ways,
    /// For each place in order.
    pub(super) tasks: Vec<Fact>,
    pub(super) day: Day,
    /// Loading and unloading.
    pub(super) idle: i64,
    /// Whether some tasks count no work before the time after, though there is such a time.
    pub(super) bare: bool,
}

pub(super) struct Fact {
    pub(super) work: i64,
    /// After which so much is still to come.
    pub(super) counted: i64,
    pub(super) closure: i64,
    pub(super) set_up: i64,
    pub(super) node: u32,
    /// From the depot there and back.
    pub(super) round: i64,
}

impl Ground {
    pub(super) fn of(setting: &Setting<'_>, own: &Class, metric: &Metric, tasks: &[u32]) -> Self {
        let ways = Ways::of(setting, own, metric, tasks);
        let rates = &setting.problem.rates;
        let idle = i64::from(own.day.load) + i64::from(own.day.unload);
        let (start, end) = (i64::from(own.day.start), i64::from(own.day.end));
        let after = after(setting, own, tasks);
        let fact = |task: u32| fact(setting, own, (task, after), metric);
        let facts: Vec<Fact> = ways.places.iter().map(|place| fact(place.task)).collect();
        let spare = facts.iter().filter(|fact| fact.counted > 0);
        let usual = spare
            .map(|fact| fact.work - fact.counted)
            .filter(|spare| *spare > 0)
            .min();
        let day = Day {
            lasts: i64::from(own.day.latest) - start,
            dear: i64::from(own.day.latest) - end.max(start),
            hour: rates.crew_hour,
            dearer: rates.overtime_hour,
            after: 0,
            fill: 1,
        };
        let day = day.after(after, usual.unwrap_or(1));
        Self {
            bare: day.after > 0 && facts.iter().any(|fact| fact.counted == 0),
            tasks: facts,
            ways,
            day,
            idle,
        }
    }
}

impl Ground {
    /// What crew and way of a set cost at the least by its work and its tour; none where there is not the time.
    pub(super) fn crew_and_way(
        &self,
        tasks: &[u32],
        (rates, depot, metric): (&crate::Rates, u32, &Metric),
    ) -> Option<i64> {
        let places = self.ways.places.iter().zip(&self.tasks);
        let own = places.filter(|(place, _)| tasks.contains(&place.task));
        let (mut work, mut spare, mut far) = (0, 0, 0);
        let (mut ways, mut partly, mut before) = (self.ways.depot, false, None);
        for (place, fact) in own.clone() {
            work += fact.work;
            spare += fact.work - fact.counted;
            partly |= fact.counted == 0;
            if fact.counted > 0 {
                far = far.max(fact.round);
            }
            let round = if before.is_none() { place.round } else { 0 };
            let entered = before.replace(place.street) == Some(place.street);
            ways += place.own + round + if entered { 0 } else { place.enter };
        }
        let nodes = own.clone().map(|(_, fact)| fact.node);
        let tour = i64::from(metric.tour(depot, nodes)).max(ways);
        let time = self.idle + work + tour;
        let filled = spare + (tour - if partly { far } else { tour }).max(0);
        let counted = own.clone().any(|(_, fact)| fact.counted > 0);
        let idle = if counted {
            (self.day.after - filled).max(0)
        } else {
            0
        };
        let left = self.day.lasts - time - idle;
        let past = (self.day.dear - left).max(0);
        let parts =
            rates.crew_hour * (time + idle) + rates.overtime_hour * past + rates.travel_hour * tour;
        (left >= 0).then_some(parts.div_euclid(HOUR) - ROUNDED)
    }
}

fn fact(setting: &Setting<'_>, own: &Class, (task, after): (u32, i64), metric: &Metric) -> Fact {
    let stated = setting.task(task);
    let facts = setting.facts_at(task, own.day.pace);
    let mut counted = 0;
    for (at, block) in stated.blocks_at(own.day.pace).iter().enumerate() {
        if i64::from(facts.tail[at]) - i64::from(block.work) >= after {
            counted += i64::from(block.work);
        }
    }
    let depot = own.day.depot;
    let round = i64::from(metric.seconds(depot, stated.node))
        + i64::from(metric.seconds(stated.node, depot));
    Fact {
        work: i64::from(facts.work),
        counted,
        closure: by_begun_hour(stated.closure_hour, facts.shortest),
        set_up: stated.set_up.max(0),
        node: stated.node,
        round,
    }
}

/// How much is still to come after most of the blocks of the class's tasks that anything comes after: a
/// quarter of the way.
fn after(setting: &Setting<'_>, class: &Class, tasks: &[u32]) -> i64 {
    let pace = class.day.pace;
    let mut tails: Vec<i64> = Vec::new();
    for &task in tasks {
        let tail = setting.facts_at(task, pace).tail.iter();
        let blocks = tail.zip(setting.task(task).blocks_at(pace));
        tails.extend(blocks.map(|(tail, block)| i64::from(*tail) - i64::from(block.work)));
    }
    tails.retain(|tail| *tail > 0);
    tails.sort_unstable();
    tails.get(tails.len() / 4).copied().unwrap_or(0)
}

/// What each task adds, with its least way or without any.
pub(super) fn items(
    ground: &Ground,
    prices: &Prices,
    rates: &crate::Rates,
    ways: bool,
) -> Vec<Item> {
    let mut before = None;
    let places = ground.ways.places.iter().zip(&ground.tasks);
    let item = |(place, fact): (&Place, &Fact)| {
        let (own, enter) = if ways {
            (place.own, place.enter)
        } else {
            (0, 0)
        };
        let all = ground.day.after > 0 && fact.counted == 0;
        let way = rates.crew_hour + rates.travel_hour;
        let price = prices.tasks[place.task as usize];
        let joins = Gain {
            time: fact.work + own,
            fills: fact.work - fact.counted + if all { own } else { 0 },
            worth: HOUR * (price - fact.closure) - rates.crew_hour * fact.work - way * own,
        };
        let enters = Gain {
            time: joins.time + enter,
            fills: joins.fills + if all { enter } else { 0 },
            worth: joins.worth - HOUR * fact.set_up - way * enter,
        };
        let first = before.replace(place.street) != Some(place.street);
        Item {
            joins,
            enters,
            first,
            may: true,
        }
    };
    places.map(item).collect()
}
