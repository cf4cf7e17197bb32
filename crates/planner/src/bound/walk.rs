//! One class of gang-day, its tasks and what they count, while sets are gone through.
//!
//! What a set is over its prices at the least, and could be with any of the tasks after its last in order,
//! is looked up in two tables: in one every task counts its least way (`ways`), in the other the chosen
//! ones count their shortest tour and those to come none.

use super::classes::Class;
use super::fill::{Fill, Gain, HOUR, Item};
use super::ground::{Ground, ROUNDED, items};
use super::metric::{Metric, TOUR};
use super::prices::Prices;
use super::sets::Set;
use crate::setting::Setting;

/// What the chosen set comes to: with the least way of each, and its tour.
#[derive(Clone, Copy, Default)]
pub(super) struct Sums {
    /// Time, what fills, and cost over prices in parts of a penny.
    gain: Gain,
    counted: bool,
    pub(super) set_ups: i64,
    pub(super) price: i64,
    pub(super) closures: i64,
    work: i64,
    spare: i64,
    tour: i64,
    /// Whether some task does not count at all, and the farthest of those that do.
    partly: bool,
    far: i64,
}

/// Tables of what could be added: by tasks of which some count before the time after, and by tasks of
/// which none does.
struct Tables {
    items: Vec<Item>,
    joint: Fill,
    bare: Option<Fill>,
}

impl Tables {
    fn of(ground: &Ground, items: Vec<Item>) -> Self {
        let joint = Fill::of(&items, ground.day);
        let bare = ground.bare.then(|| {
            let own = items.iter().zip(&ground.tasks);
            let own = own.map(|(item, fact)| Item {
                may: fact.counted == 0,
                ..*item
            });
            let own: Vec<Item> = own.collect();
            Fill::of(&own, ground.day.after(0, 1))
        });
        Self { items, joint, bare }
    }

    fn most(&self, (at, entered): (usize, bool), gain: &Gain, counted: bool) -> Option<i64> {
        let joint = self.joint.most(at, entered, gain.time, gain.fills);
        match &self.bare {
            Some(bare) if !counted => joint.max(bare.most(at, entered, gain.time, 0)),
            _ => joint,
        }
    }
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
    ways: Tables,
    /// None where only the first is asked.
    tours: Option<Tables>,
    /// For each task the least that a set of which it is the first, or one after it, is over its prices.
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
        Fill::size(ground.tasks.len(), &ground.day)
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
            ways: Tables::of(ground, items(ground, prices, &rates, true)),
            tours: None,
            rough: Vec::new(),
            chosen: Vec::new(),
            below: 0,
            found: Vec::new(),
            cut_short: false,
        };
        let mut rough: Vec<i64> = (0..ground.tasks.len()).map(|at| walk.from(at)).collect();
        for at in (1..rough.len()).rev() {
            rough[at - 1] = rough[at - 1].min(rough[at]);
        }
        walk.rough = rough;
        walk
    }

    /// Makes the second table too.
    pub(super) fn with_tours(&mut self) {
        let items = items(self.ground, self.prices, &self.rates, false);
        self.tours = Some(Tables::of(self.ground, items));
    }

    pub(super) fn len(&self) -> usize {
        self.ground.tasks.len()
    }

    /// The least that a set is over its prices whose first task is this one or comes after it, in pence.
    pub(super) fn rough(&self, first: usize) -> i64 {
        self.rough.get(first).copied().unwrap_or(0).min(0)
    }

    /// The same of those whose first task is this one.
    fn from(&self, first: usize) -> i64 {
        let with = self.with(&Sums::default(), first);
        self.least(&with, first + 1).unwrap_or(i64::MAX)
    }

    /// The sets that come to these least sums, the most unfair first, with what they cost by them.
    pub(super) fn likely(&self) -> Vec<(i64, Set)> {
        let mut firsts: Vec<(i64, usize)> = (0..self.len()).map(|at| (self.from(at), at)).collect();
        firsts.retain(|(over, _)| *over < 0);
        firsts.sort_unstable();
        firsts
            .iter()
            .map(|&(over, first)| (over, self.least_set(over, first)))
            .collect()
    }

    fn least_set(&self, over: i64, first: usize) -> Set {
        let with = self.with(&Sums::default(), first);
        let at = (first + 1, self.goes_on(first));
        let (gain, tables) = (&with.gain, &self.ways);
        let joint = tables.joint.most(at.0, at.1, gain.time, gain.fills);
        let more = match &tables.bare {
            Some(bare) if !with.counted && bare.most(at.0, at.1, gain.time, 0) > joint => {
                bare.taken(&tables.items, at, (gain.time, 0))
            }
            _ => tables
                .joint
                .taken(&tables.items, at, (gain.time, gain.fills)),
        };
        let places = [first].into_iter().chain(more);
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
        self.ways.items.get(at + 1).is_some_and(|next| !next.first)
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
        let (place, fact, item) = (
            &self.ground.ways.places[at],
            &self.ground.tasks[at],
            &self.ways.items[at],
        );
        let mut more = *sums;
        let begins = self.chosen.is_empty();
        let gain = if self.entered(at) {
            item.joins
        } else {
            item.enters
        };
        if begins {
            let rates = &self.rates;
            let idle = self.ground.idle + self.ground.ways.depot;
            more.gain.time = idle + place.round;
            let way = self.ground.ways.depot + place.round;
            more.gain.worth = -(HOUR * (rates.gang_day + self.day_price)
                + rates.crew_hour * (idle + place.round)
                + rates.travel_hour * way);
            more.tour = way;
            if self.ground.day.after > 0 && fact.counted == 0 {
                more.gain.fills = place.round;
            }
        }
        if !self.entered(at) {
            more.set_ups += fact.set_up;
        }
        more.gain.time += gain.time;
        more.gain.fills += gain.fills;
        more.gain.worth += gain.worth;
        more.counted |= fact.counted > 0;
        more.price += self.prices.tasks[place.task as usize];
        more.closures += fact.closure;
        more.work += fact.work;
        more.spare += fact.work - fact.counted;
        if fact.counted == 0 {
            more.partly = true;
        } else {
            more.far = more.far.max(fact.round);
        }
        more
    }

    /// The least that the set is over its prices, or could be with tasks from this one on; none where it
    /// can't be done.
    fn least(&self, sums: &Sums, at: usize) -> Option<i64> {
        let entered = match self.chosen.last() {
            Some(_) => self.entered(at),
            // Asked of a set of one task.
            None => self.goes_on(at - 1),
        };
        let most = self.ways.most((at, entered), &sums.gain, sums.counted)?;
        Some((-sums.gain.worth).div_euclid(HOUR) - most - ROUNDED)
    }

    /// Whether the chosen set, with tasks from this one on, could be unfair enough.
    pub(super) fn promises(&self, sums: &Sums, at: usize) -> bool {
        if self.chosen.is_empty() {
            return self.rough(at) < self.below;
        }
        self.least(sums, at).is_some_and(|over| over < self.below)
    }

    /// The same by the chosen set's tour, which it works out.
    pub(super) fn promises_by_tour(&self, sums: &mut Sums, at: usize) -> bool {
        let own = sums.gain.time - self.ground.idle - sums.work;
        sums.tour = sums.tour.max(own);
        if self.chosen.len() <= TOUR {
            let nodes = self.chosen.iter().map(|&at| self.ground.tasks[at].node);
            let tour = self.metric.tour(self.own.day.depot, nodes);
            sums.tour = sums.tour.max(i64::from(tour));
        }
        let Some(tables) = &self.tours else {
            return true;
        };
        let gain = self.by_tour(sums);
        let most = tables.most((at, self.entered(at)), &gain, sums.counted);
        most.is_some_and(|most| (-gain.worth).div_euclid(HOUR) - most - ROUNDED < self.below)
    }

    fn by_tour(&self, sums: &Sums) -> Gain {
        let rates = &self.rates;
        let time = self.ground.idle + sums.work + sums.tour;
        let way = if sums.partly { sums.far } else { sums.tour };
        let fixed = rates.gang_day + self.day_price + sums.set_ups + sums.closures - sums.price;
        Gain {
            time,
            fills: sums.spare + (sums.tour - way).max(0),
            worth: -(HOUR * fixed + rates.crew_hour * time + rates.travel_hour * sums.tour),
        }
    }

    /// Whether the chosen set itself could be unfair enough.
    pub(super) fn tells(&self, sums: &Sums) -> bool {
        let gain = self.by_tour(sums);
        let day = &self.ground.day;
        let idle = if sums.counted {
            (day.after - gain.fills).max(0)
        } else {
            0
        };
        let left = day.lasts - gain.time - idle;
        let past = (day.dear - left).max(0);
        let over = -gain.worth + day.hour * idle + day.dearer * past;
        left >= 0 && over.div_euclid(HOUR) - ROUNDED < self.below
    }
}
