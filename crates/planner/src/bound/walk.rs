//! One class of gang-day, its tasks and what they count, while sets are gone through.
//!
//! What a set is over its prices at the least, and could be with any of the tasks after its last in order,
//! is looked up in tables, of which there are two for each way of counting time: in one every task counts its
//! least way (`ways`), in the other the chosen ones count their shortest tour and those to come none. What
//! comes out highest holds.

use super::classes::Class;
use super::fill::{At, Fill, HOUR, Item};
use super::ground::{COUNTS, Ground, ROUNDED, items};
use super::metric::{Metric, TOUR};
use super::prices::Prices;
use super::sets::Set;
use crate::setting::Setting;

/// What the chosen set comes to.
#[derive(Clone, Copy, Default)]
pub(super) struct Sums {
    pub(super) set_ups: i64,
    pub(super) price: i64,
    pub(super) closures: i64,
    /// By its tasks' least ways, and by its tour where that is longer.
    way: i64,
    tour: i64,
    /// As time is counted each way.
    times: [Time; COUNTS],
}

/// Time as it is counted one way: with the least ways, and without any; and whether any task is one that waits.
#[derive(Clone, Copy, Default)]
struct Time {
    with_ways: i64,
    work: i64,
    /// Whether some don't count their ways in full.
    partly: bool,
    waits: bool,
}

/// What could be added as time is counted one way.
struct Table {
    items: Vec<Item>,
    fill: Fill,
}

/// The class while its sets are gone through.
pub(super) struct Walk<'a> {
    pub(super) class: usize,
    own: &'a Class,
    ground: &'a Ground,
    metric: &'a Metric,
    rates: crate::Rates,
    pub(super) prices: &'a Prices,
    pub(super) day_price: i64,
    ways: Vec<Table>,
    /// None where only the first is asked.
    tours: Vec<Table>,
    /// For each task the least that a set of which it is the first is over its prices.
    rough: Vec<i64>,
    /// Places in order.
    pub(super) chosen: Vec<usize>,
    /// Sets that are unfair by more than `below` (in pence, not above nothing) are looked for.
    pub(super) below: i64,
    pub(super) found: Vec<(i64, Set)>,
    pub(super) cut_short: bool,
}

impl<'a> Walk<'a> {
    /// How many numbers its tables take.
    pub(super) fn size(ground: &Ground) -> usize {
        let counts = ground.counts.iter();
        counts
            .map(|count| Fill::size(ground.tasks.len(), &count.day))
            .sum()
    }

    pub(super) fn of(
        setting: &Setting<'_>,
        (at, own): (usize, &'a Class),
        (ground, metric): (&'a Ground, &'a Metric),
        prices: &'a Prices,
    ) -> Self {
        let rates = setting.problem.rates;
        let mut walk = Self {
            class: at,
            own,
            ground,
            metric,
            rates,
            prices,
            day_price: prices.days[at],
            ways: tables(ground, prices, &rates, true),
            tours: Vec::new(),
            rough: Vec::new(),
            chosen: Vec::new(),
            below: 0,
            found: Vec::new(),
            cut_short: false,
        };
        walk.rough = (0..ground.tasks.len()).map(|at| walk.from(at)).collect();
        walk
    }

    /// Makes the second table too.
    pub(super) fn with_tours(&mut self) {
        self.tours = tables(self.ground, self.prices, &self.rates, false);
    }

    pub(super) fn len(&self) -> usize {
        self.ground.tasks.len()
    }

    /// The least that any set is over its prices, in pence, not above nothing.
    pub(super) fn rough(&self) -> i64 {
        self.rough.iter().copied().min().unwrap_or(0).min(0)
    }

    /// The least that a set is over its prices whose first task is this one.
    fn from(&self, first: usize) -> i64 {
        let with = self.with(&Sums::default(), first);
        let least = self.least(&with, (first + 1, self.goes_on(first)));
        least.map_or(i64::MAX, |(over, _)| over)
    }

    /// Tasks in order of the least that sets of which they are the first are over their prices.
    pub(super) fn firsts(&self) -> Vec<(i64, usize)> {
        let mut firsts: Vec<(i64, usize)> = self.rough.iter().copied().zip(0..).collect();
        firsts.sort_unstable();
        firsts
    }

    /// The sets that come to these least sums, the most unfair first, with what they cost by them.
    pub(super) fn likely(&self) -> Vec<(i64, Set)> {
        let unfair = self.firsts().into_iter().filter(|(over, _)| *over < 0);
        unfair
            .map(|(over, first)| (over, self.least_set(over, first)))
            .collect()
    }

    fn least_set(&self, over: i64, first: usize) -> Set {
        let with = self.with(&Sums::default(), first);
        let at = (first + 1, self.goes_on(first));
        let least = self.least(&with, at);
        let more = least.map(|(_, count)| {
            let (time, table) = (&with.times[count], &self.ways[count]);
            let at = At {
                task: at.0,
                entered: at.1,
                waits: time.waits,
            };
            table.fill.taken(&table.items, at, time.with_ways)
        });
        let places = [first].into_iter().chain(more.unwrap_or_default());
        let tasks: Vec<u32> = places.map(|at| self.ground.ways.places[at].task).collect();
        let price: i64 = tasks
            .iter()
            .map(|&task| self.prices.tasks[task as usize])
            .sum();
        Set {
            class: self.class,
            cost: over + price - self.day_price,
            tasks,
        }
    }

    /// Whether the task after this one is in the same street.
    fn goes_on(&self, at: usize) -> bool {
        self.ways[0]
            .items
            .get(at + 1)
            .is_some_and(|next| !next.first)
    }

    /// The chosen tasks.
    pub(super) fn tasks(&self) -> Vec<u32> {
        let chosen = self.chosen.iter();
        chosen.map(|&at| self.ground.ways.places[at].task).collect()
    }

    /// Whether this task is in the street of the last chosen one.
    fn entered(&self, at: usize) -> bool {
        let street = |at: usize| self.ground.ways.places.get(at).map(|place| place.street);
        self.chosen
            .last()
            .is_some_and(|&last| street(last) == street(at))
    }

    /// With one more task, but for its tour.
    pub(super) fn with(&self, sums: &Sums, at: usize) -> Sums {
        let (place, fact) = (&self.ground.ways.places[at], &self.ground.tasks[at]);
        let mut more = *sums;
        let begins = self.chosen.is_empty();
        let entered = self.entered(at);
        let mut own = place.own + if entered { 0 } else { place.enter };
        if begins {
            own += place.round;
            more.way = self.ground.ways.depot;
        }
        more.way += own;
        if !entered {
            more.set_ups += fact.set_up;
        }
        for (time, count) in more.times.iter_mut().zip(&self.ground.counts) {
            let counted = &count.tasks[at];
            if begins {
                *time = Time {
                    with_ways: self.ground.idle + counted.of(self.ground.ways.depot),
                    work: self.ground.idle,
                    ..*time
                };
            }
            time.work += counted.time;
            time.with_ways += counted.time + counted.of(own);
            time.partly |= !counted.in_full();
            time.waits |= counted.waits;
        }
        more.price += self.prices.tasks[place.task as usize];
        more.closures += fact.closure;
        more
    }

    /// What the set costs over its prices but for its crew, in parts of a penny, with so much way.
    fn but_crew(&self, sums: &Sums, way: i64) -> i64 {
        let fixed =
            self.rates.gang_day + self.day_price + sums.set_ups + sums.closures - sums.price;
        HOUR * fixed + self.rates.travel_hour * way
    }

    /// The least that the set is over its prices, or could be with tasks from this one on, and by which count
    /// of time; none where it can't be done.
    fn least(&self, sums: &Sums, at: (usize, bool)) -> Option<(i64, usize)> {
        let fixed = self.but_crew(sums, sums.way);
        let mut least = (i64::MIN, 0);
        for (count, table) in self.ways.iter().enumerate() {
            let time = &sums.times[count];
            let over = self.over(table, (fixed, at), (time.with_ways, time.waits))?;
            least = least.max((over, count));
        }
        Some(least)
    }

    fn over(
        &self,
        table: &Table,
        (fixed, at): (i64, (usize, bool)),
        (time, waits): (i64, bool),
    ) -> Option<i64> {
        let at = At {
            task: at.0,
            entered: at.1,
            waits,
        };
        let most = table.fill.most(at, time)?;
        Some((fixed + self.rates.crew_hour * time).div_euclid(HOUR) - most - ROUNDED)
    }

    /// Whether the chosen set, with tasks from this one on, could be unfair enough.
    pub(super) fn promises(&self, sums: &Sums, at: usize) -> bool {
        let fixed = self.but_crew(sums, sums.way);
        let from = (at, self.entered(at));
        self.ways.iter().zip(&sums.times).all(|(table, time)| {
            let over = self.over(table, (fixed, from), (time.with_ways, time.waits));
            over.is_some_and(|over| over < self.below)
        })
    }

    /// The same by the chosen set's tour, which it works out.
    pub(super) fn promises_by_tour(&self, sums: &mut Sums, at: usize) -> bool {
        sums.tour = sums.tour.max(sums.way);
        if self.chosen.len() <= TOUR {
            let nodes = self.chosen.iter().map(|&at| self.ground.tasks[at].node);
            let tour = self.metric.tour(self.own.day.depot, nodes);
            sums.tour = sums.tour.max(i64::from(tour));
        }
        let fixed = self.but_crew(sums, sums.tour);
        let from = (at, self.entered(at));
        self.tours.iter().zip(&sums.times).all(|(table, time)| {
            let over = self.over(table, (fixed, from), (by_tour(sums, time), time.waits));
            over.is_some_and(|over| over < self.below)
        })
    }

    /// Whether the chosen set itself could be unfair enough.
    pub(super) fn tells(&self, sums: &Sums) -> bool {
        let fixed = self.but_crew(sums, sums.tour);
        self.ground
            .counts
            .iter()
            .zip(&sums.times)
            .all(|(count, time)| {
                let crew = count.day.crew(by_tour(sums, time), time.waits);
                crew.is_some_and(|crew| (fixed + crew).div_euclid(HOUR) - ROUNDED < self.below)
            })
    }
}

/// How long it takes by its tour, where that counts.
fn by_tour(sums: &Sums, time: &Time) -> i64 {
    if time.partly {
        time.with_ways
    } else {
        time.work + sums.tour
    }
}

fn tables(ground: &Ground, prices: &Prices, rates: &crate::Rates, ways: bool) -> Vec<Table> {
    let counts = ground.counts.iter();
    counts
        .map(|count| {
            let items = items((ground, count), prices, rates, ways);
            let fill = Fill::of(&items, count.day);
            Table { items, fill }
        })
        .collect()
}
