//! What each task of a class asks for of way at the least, whatever others it is with.
//!
//! A tour comes to each of its places once and leaves it once. So each place may take half of the shortest
//! way to it and half of the shortest away for its own, and what is left of every way is still no less than
//! nothing. The same is done a second time between streets; a tour comes to each of its streets at least
//! once. What is then left of the tour is no less than what is left of the way to its farthest street and
//! back. Tasks are put in order by that, so that the first of a set is in its farthest street.
//!
//! # Source
//! Potentials of places that leave a shorter tour: Held and Karp, "The Traveling-Salesman Problem and
//! Minimum Spanning Trees", Operations Research 18(6), 1970; here worked out once and not raised.

use super::classes::Class;
use super::metric::Metric;
use crate::setting::Setting;

/// A task of a class, with seconds of way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) task: u32,
    /// Its street, by number in this order; that of a task without one is its own.
    pub(super) street: u32,
    /// Its own, its street's, and what is left of the way there and back.
    pub(super) own: i64,
    pub(super) enter: i64,
    pub(super) round: i64,
}

/// A class's tasks in order.
#[derive(Debug)]
pub(super) struct Ways {
    pub(super) places: Vec<Place>,
    /// The depot's own.
    pub(super) depot: i64,
}

/// Ways between a few points, row by row, the first of which is the depot.
struct Table {
    width: usize,
    seconds: Vec<i64>,
}

impl Ways {
    pub(super) fn of(setting: &Setting<'_>, class: &Class, metric: &Metric, tasks: &[u32]) -> Self {
        let (streets, of) = streets(setting, tasks);
        let node = |task: &u32| setting.task(*task).node;
        let nodes: Vec<u32> = [class.day.depot]
            .into_iter()
            .chain(tasks.iter().map(node))
            .collect();
        let mut table = Table::of(nodes.len(), |from, to| {
            i64::from(metric.seconds(nodes[from], nodes[to]))
        });
        let own = table.shares();
        // Between streets, from whichever place to whichever place is nearest.
        let mut between = Table::of(streets + 1, |_, _| i64::MAX);
        let street = |point: usize| point.checked_sub(1).map_or(0, |at| of[at] + 1);
        for from in 0..nodes.len() {
            for to in 0..nodes.len() {
                let way = between.at(street(from), street(to));
                *way = (*way).min(*table.at(from, to));
            }
        }
        let enter = between.shares();
        between.shorten();
        let place = |(at, &task): (usize, &u32)| {
            let street = of[at] + 1;
            Place {
                task,
                street: of[at] as u32,
                own: own[at + 1],
                enter: enter[street],
                round: *between.at(0, street) + *between.at(street, 0),
            }
        };
        let mut places: Vec<Place> = tasks.iter().enumerate().map(place).collect();
        let key = |place: &Place| {
            let set_up = setting.task(place.task).set_up;
            (-place.round, place.street, -set_up, place.task)
        };
        places.sort_by_key(key);
        Self {
            places,
            depot: own[0] + enter[0],
        }
    }
}

/// How many streets there are, and which each task is in.
fn streets(setting: &Setting<'_>, tasks: &[u32]) -> (usize, Vec<usize>) {
    let mut known: Vec<Option<u32>> = Vec::new();
    let of = tasks.iter().map(|&task| {
        let street = setting.task(task).street;
        let before = known
            .iter()
            .position(|one| street.is_some() && *one == street);
        before.unwrap_or_else(|| {
            known.push(street);
            known.len() - 1
        })
    });
    let of = of.collect();
    (known.len(), of)
}

impl Table {
    fn of(width: usize, way: impl Fn(usize, usize) -> i64) -> Self {
        let pairs = (0..width).flat_map(|from| (0..width).map(move |to| (from, to)));
        Self {
            width,
            seconds: pairs.map(|(from, to)| way(from, to)).collect(),
        }
    }

    fn at(&mut self, from: usize, to: usize) -> &mut i64 {
        &mut self.seconds[from * self.width + to]
    }

    /// What each point takes for its own: half of the least way to it and half of the least away. All ways
    /// are shorter by that after.
    fn shares(&mut self) -> Vec<i64> {
        let width = self.width;
        let least = |ways: &mut dyn Iterator<Item = i64>| ways.min().unwrap_or(0) / 2;
        let others = |own: usize| (0..width).filter(move |other| *other != own);
        let away: Vec<i64> = (0..width)
            .map(|own| least(&mut others(own).map(|to| self.seconds[own * width + to])))
            .collect();
        let there: Vec<i64> = (0..width)
            .map(|own| least(&mut others(own).map(|from| self.seconds[from * width + own])))
            .collect();
        for (from, away) in away.iter().enumerate() {
            for to in others(from) {
                *self.at(from, to) -= away + there[to];
            }
        }
        away.iter()
            .zip(&there)
            .map(|(away, there)| away + there)
            .collect()
    }

    /// By way of every point, if that is shorter.
    fn shorten(&mut self) {
        for via in 0..self.width {
            for from in 0..self.width {
                for to in 0..self.width {
                    let round = *self.at(from, via) + *self.at(via, to);
                    let direct = self.at(from, to);
                    *direct = (*direct).min(round);
                }
            }
        }
    }
}
