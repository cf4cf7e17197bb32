//! Tasks that are left over a night: both parts are in the plan, on two days on which they may be, or
//! neither.

use smallvec::SmallVec;

use super::asking::Asking;
use super::place::Place;
use super::route::Route;
use super::state::State;
use crate::CostParts;
use crate::setting::{Night, Setting};

/// A part, its gang-day and its place there.
type Put = (u32, u32, Place);

impl State<'_> {
    /// The gang-day of a whole task, or of its part before the night.
    pub(super) fn home_of(&self, whole: u32) -> Option<u32> {
        self.route_of(self.stands_for(whole))
    }

    /// The first part of a task that is left over a night; else the task itself.
    pub(super) fn stands_for(&self, whole: u32) -> u32 {
        let mut cuts = self.setting.parts.cuts(whole).iter().copied();
        cuts.find(|&cut| self.route_of(cut).is_some())
            .unwrap_or(whole)
    }

    /// Takes these whole tasks or parts of them out of the gang-day, and other parts wherever they are.
    pub(super) fn take_whole(&mut self, at: u32, tasks: &[u32]) {
        if self.setting.parts.is_empty() {
            return self.take_out(at, tasks);
        }
        let own: SmallVec<[u32; 16]> = tasks.iter().map(|&task| self.stands_for(task)).collect();
        self.take_out(at, &own);
        self.take_halves(&own);
    }

    /// Takes out the other part of each of these that is in no gang-day.
    pub(super) fn take_halves(&mut self, tasks: &[u32]) {
        for &task in tasks {
            if self.route_of(task).is_some() {
                continue;
            }
            let other = self.setting.parts.both(task).map(|(other, _)| other);
            let there = other.and_then(|other| Some((self.route_of(other)?, other)));
            if let Some((at, other)) = there {
                self.take_out(at, &[other]);
            }
        }
    }

    /// Takes out every part whose other is in no gang-day, or on one on which it may not be.
    pub(super) fn mend_parts(&mut self) {
        let all = self.setting.parts.with_cuts();
        let cuts = all.flat_map(|whole| self.setting.parts.cuts(whole));
        let cuts: Vec<u32> = cuts.copied().collect();
        for first in cuts {
            let homes = [first, first + 1].map(|part| self.route_of(part));
            let days = homes.map(|home| home.map(|at| self.routes[at as usize].day.day));
            let fine = match (days[0], days[1]) {
                (None, None) => true,
                (Some(left), Some(next)) => self.setting.parts.may(first, (left, next)),
                _ => false,
            };
            for (home, part) in homes.into_iter().zip([first, first + 1]) {
                if let Some(at) = home.filter(|_| !fine) {
                    self.take_out(at, &[part]);
                }
            }
        }
    }

    /// What having both parts costs more than having neither, once both are in gang-days; nothing else
    /// where one is not.
    pub(super) fn joined(&self, task: u32) -> Option<i64> {
        let (_, [first, rest]) = self.setting.parts.both(task)?;
        let day = |part: u32| Some(self.routes[self.route_of(part)? as usize].day.day);
        let night = self.setting.night_price(first, (day(first)?, day(rest)?));
        Some(night.total() - self.setting.left_out(first))
    }
}

/// What all nights of a plan cost, and the days between them.
pub(super) fn nights(setting: &Setting<'_>, routes: &[Route], costs: &mut CostParts) {
    for night in of_routes(setting, routes) {
        costs.nights += night.price;
        costs.closure += night.closure;
    }
}

fn of_routes(setting: &Setting<'_>, routes: &[Route]) -> Vec<Night> {
    let all = routes.iter().flat_map(|route| {
        let tasks = route.tasks().map(|task| (task, route.day.day));
        tasks.filter(|(task, _)| setting.parts.part(*task).is_some())
    });
    let days: rustc_hash::FxHashMap<u32, u32> = all.collect();
    let firsts = days.iter().filter_map(|(&task, &day)| {
        let (_, [first, rest]) = setting.parts.both(task)?;
        let next = *days.get(&rest)?;
        (first == task).then(|| setting.night_price(first, (day, next)))
    });
    firsts.collect()
}

impl Asking {
    /// The two places where the parts of one of the task's cuts add least, if that is less than the
    /// limit, night and all.
    pub(super) fn over_a_night(
        &mut self,
        state: &State<'_>,
        task: u32,
        limit: i64,
    ) -> Option<[Put; 2]> {
        let setting = state.setting;
        let mut best: Option<[Put; 2]> = None;
        let mut cheapest = limit;
        for &first in setting.parts.cuts(task) {
            let before = self.places(state, first);
            if before.is_empty() {
                continue;
            }
            let after = self.places(state, first + 1);
            for (at, place) in &before {
                for (next, later) in &after {
                    let days = [*at, *next].map(|at| state.routes[at as usize].day.day);
                    let Some(night) = setting.night(first, (days[0], days[1])) else {
                        continue;
                    };
                    let added = place.added + later.added + night.total();
                    if added < cheapest {
                        cheapest = added;
                        let rest = (first + 1, *next, later.clone());
                        best = Some([(first, *at, place.clone()), rest]);
                    }
                }
            }
        }
        best
    }

    /// The part's place in each gang-day asked that has one.
    fn places(&mut self, state: &State<'_>, part: u32) -> Vec<(u32, Place)> {
        let asked = std::mem::take(&mut self.asked);
        let places = asked.iter().filter_map(|&at| {
            let may = state.setting.may(part, &state.routes[at as usize].day);
            let place = may.then(|| self.place(state, at, part)).flatten();
            place.map(|place| (at, place))
        });
        let places = places.collect();
        self.asked = asked;
        places
    }
}
