//! The plan while it is being changed, with the way back.

use smallvec::SmallVec;

use super::asking::Asking;
use super::clashes::clashes;
use super::order::Order;
use super::overnight::nights;
use super::place::{Place, could, merged};
use super::pool::Pool;
use super::route::Route;
use crate::rules::bonds::Closed;
use crate::setting::Setting;
use crate::timing::Step;
use crate::{CostParts, Solution};

/// In no route.
const NOWHERE: u32 = u32::MAX;

/// Every task is in one route or absent; the changes since [`State::set_mark`] can be undone.
pub(crate) struct State<'a> {
    pub(crate) setting: &'a Setting<'a>,
    pub(crate) routes: Vec<Route>,
    /// For each task, its route.
    home: Vec<u32>,
    /// Tasks in no route, in no order, but for the hopeless; for each task, its place among them.
    absent: Vec<u32>,
    rank: Vec<u32>,
    /// How many tasks no gang-day could do even were it empty: they are never tried.
    hopeless: usize,
    /// Gang-days with nothing in them, in no order; for each, its place among them.
    idle: Vec<u32>,
    idle_rank: Vec<u32>,
    /// All costs, left-out tasks counted.
    pub(crate) cost: i64,
    stamp: u64,
    /// Each planned task's closure, where there are clashes at all.
    pub(super) closed: Vec<Closed>,
    before: Vec<Route>,
    touched: Vec<bool>,
    cost_before: i64,
    pub(crate) asking: Option<Box<Asking>>,
    order: Box<Order>,
    /// The stamp that each gang-day's order was last gone through with.
    ordered: Vec<u64>,
    /// Gang-days that were come by, where that is of use.
    pool: Option<Box<Pool>>,
}

impl<'a> State<'a> {
    /// With every task absent.
    pub(crate) fn new(setting: &'a Setting<'a>) -> Self {
        let days = &setting.problem.gang_days;
        let tasks = setting.facts.len() as u32;
        let routes: Vec<Route> = (0..)
            .zip(days)
            .map(|(at, day)| Route::empty(at, *day))
            .collect();
        let could = |task: u32| routes.iter().any(|route| could(setting, route, task));
        let cut = |task: u32| {
            let cuts = setting.parts.cuts(task).iter();
            cuts.into_iter().any(|&cut| could(cut) && could(cut + 1))
        };
        let wholes = setting.wholes();
        let hopeless = wholes.end as usize;
        let absent: Vec<u32> = wholes.filter(|&task| could(task) || cut(task)).collect();
        let mut rank = vec![NOWHERE; tasks as usize];
        (0..)
            .zip(&absent)
            .for_each(|(at, &task)| rank[task as usize] = at);
        let idle = (0..days.len() as u32).collect::<Vec<_>>();
        Self {
            setting,
            routes,
            home: vec![NOWHERE; tasks as usize],
            hopeless: hopeless - absent.len(),
            absent,
            rank,
            idle_rank: idle.clone(),
            idle,
            cost: setting.wholes().map(|task| setting.left_out(task)).sum(),
            stamp: days.len() as u64,
            closed: vec![Closed::default(); setting.bonds.len()],
            before: Vec::new(),
            touched: vec![false; days.len()],
            cost_before: 0,
            asking: Some(Box::new(Asking::new(setting))),
            order: Box::default(),
            ordered: vec![0; days.len()],
            pool: Pool::of(setting).map(Box::new),
        }
    }

    /// Takes over what the problem says to begin with, as far as it can be done.
    pub(crate) fn begin(&mut self) {
        for begin in &self.setting.problem.begin {
            let day = &self.setting.problem.gang_days[begin.gang_day as usize];
            let steps = begin
                .steps
                .iter()
                .map(|&(task, block)| Step { task, block });
            let steps: Vec<Step> = steps
                .filter(|step| {
                    self.setting.may(step.task, day) && self.route_of(step.task).is_none()
                })
                .collect();
            self.change(begin.gang_day, &steps);
        }
        self.mend_parts();
    }

    /// The task's route.
    pub(crate) fn route_of(&self, task: u32) -> Option<u32> {
        let home = self.home[task as usize];
        (home != NOWHERE).then_some(home)
    }

    /// Tasks in no route that some gang-day could do.
    pub(crate) fn absent_tasks(&self) -> &[u32] {
        &self.absent
    }

    /// Gang-days with nothing in them.
    pub(crate) fn idle_days(&self) -> &[u32] {
        &self.idle
    }

    /// How many tasks are in routes.
    pub(crate) fn planned_tasks(&self) -> usize {
        self.setting.wholes().len() - self.hopeless - self.absent.len()
    }

    /// From here on, changes can be undone.
    pub(crate) fn set_mark(&mut self) {
        for route in self.before.drain(..) {
            self.touched[route.gang_day as usize] = false;
        }
        self.cost_before = self.cost;
    }

    /// Remembers the routes changed since the mark.
    pub(crate) fn remember_touched(&mut self) {
        if let Some(pool) = &mut self.pool {
            for before in &self.before {
                pool.remember(&self.routes[before.gang_day as usize]);
            }
        }
    }

    /// A plan of remembered routes that costs less than this.
    pub(crate) fn gather_cheaper(&mut self, than: i64) -> Option<Vec<Route>> {
        let mut routes = self.pool.as_ref()?.cheaper(self.setting, than)?;
        for route in routes.iter_mut().filter(|route| !route.is_empty()) {
            self.stamp += 1;
            route.stamp = self.stamp;
        }
        Some(routes)
    }

    /// The routes changed since the mark.
    pub(crate) fn touched_days(&self) -> impl Iterator<Item = u32> + '_ {
        self.before.iter().map(|route| route.gang_day)
    }

    /// Back to the mark.
    pub(crate) fn take_back(&mut self) {
        let before = std::mem::take(&mut self.before);
        for route in &before {
            self.release(route.gang_day);
        }
        for route in before {
            self.touched[route.gang_day as usize] = false;
            self.cost += route.total;
            for task in route.tasks() {
                self.settle_in(task, route.gang_day);
            }
            let at = route.gang_day;
            self.routes[at as usize] = route;
            self.note_closed(at);
            self.note_idle(at);
        }
        debug_assert!(!self.setting.bonds.is_empty() || self.cost == self.cost_before);
        self.cost = self.cost_before;
    }

    /// Takes over this plan; there is no way back from it.
    pub(crate) fn take_over(&mut self, plan: &[Route]) {
        self.set_mark();
        for at in 0..self.routes.len() as u32 {
            self.cost -= self.clashes_of(at);
            self.release(at);
        }
        self.routes.clone_from_slice(plan);
        for at in 0..self.routes.len() as u32 {
            let tasks: Vec<u32> = self.routes[at as usize].tasks().collect();
            self.cost += self.routes[at as usize].total;
            tasks.into_iter().for_each(|task| self.settle_in(task, at));
            self.note_closed(at);
            self.cost += self.clashes_of(at);
            self.note_idle(at);
        }
    }

    /// Takes these tasks out of the route.
    pub(crate) fn take_out(&mut self, at: u32, tasks: &[u32]) {
        let kept: SmallVec<[Step; 32]> = self.routes[at as usize]
            .steps()
            .filter(|step| !tasks.contains(&step.task))
            .collect();
        self.change(at, &kept);
    }

    /// Puts the task into the route.
    pub(crate) fn insert(&mut self, at: u32, task: u32, place: &Place) {
        let route = &self.routes[at as usize];
        let steps: SmallVec<[Step; 32]> = merged(route, task, &place.at).collect();
        self.change(at, &steps);
    }

    /// Brings the route into a cheaper order, where no other gang-day has a say and that was not tried yet.
    pub(crate) fn order_anew(&mut self, at: u32) {
        let route = &self.routes[at as usize];
        let stamp = std::mem::replace(&mut self.ordered[at as usize], route.stamp);
        if stamp == route.stamp || route.tasks().any(|task| self.is_bonded(at, task)) {
            return;
        }
        if let Some(steps) = self.order.cheaper(self.setting, route) {
            self.change(at, &steps);
        }
    }

    /// Gives the route other steps; where they can't be done, its tasks are absent afterwards, and what
    /// of them is left over a night is so altogether.
    fn change(&mut self, at: u32, steps: &[Step]) {
        let cut = !self.setting.parts.is_empty();
        let had = cut.then(|| {
            self.routes[at as usize]
                .tasks()
                .collect::<SmallVec<[u32; 16]>>()
        });
        if !std::mem::replace(&mut self.touched[at as usize], true) {
            self.before.push(self.routes[at as usize].clone());
        }
        self.cost -= self.clashes_of(at);
        self.release(at);
        self.stamp += 1;
        let route = &mut self.routes[at as usize];
        let fits = route.set(self.setting, steps, self.stamp);
        self.cost += route.total;
        let tasks: SmallVec<[u32; 16]> = route.tasks().collect();
        tasks.into_iter().for_each(|task| self.settle_in(task, at));
        self.note_closed(at);
        self.cost += self.clashes_of(at);
        self.note_idle(at);
        if let Some(mut had) = had.filter(|_| !fits) {
            had.extend(steps.iter().map(|step| step.task));
            self.take_halves(&had);
        }
    }

    /// Its tasks are absent and it costs nothing, until it is set.
    fn release(&mut self, at: u32) {
        self.cost -= self.routes[at as usize].total;
        let tasks: SmallVec<[u32; 16]> = self.routes[at as usize].tasks().collect();
        for task in tasks {
            let left_out = if self.setting.parts.part(task).is_some() {
                self.joined(task).map(|joined| -joined)
            } else {
                Some(self.setting.left_out(task))
            };
            self.home[task as usize] = NOWHERE;
            if let Some(left_out) = left_out {
                let whole = self.setting.parts.whole(task);
                self.rank[whole as usize] = self.absent.len() as u32;
                self.absent.push(whole);
                self.cost += left_out;
            }
        }
    }

    fn settle_in(&mut self, task: u32, at: u32) {
        self.home[task as usize] = at;
        let left_out = if self.setting.parts.part(task).is_some() {
            self.joined(task).map(|joined| -joined)
        } else {
            Some(self.setting.left_out(task))
        };
        if let Some(left_out) = left_out {
            self.cost -= left_out;
            let whole = self.setting.parts.whole(task);
            drop_from(&mut self.absent, &mut self.rank, whole);
        }
    }

    fn note_idle(&mut self, at: u32) {
        let listed = self.idle.get(self.idle_rank[at as usize] as usize) == Some(&at);
        match (self.routes[at as usize].is_empty(), listed) {
            (true, false) => {
                self.idle_rank[at as usize] = self.idle.len() as u32;
                self.idle.push(at);
            }
            (false, true) => drop_from(&mut self.idle, &mut self.idle_rank, at),
            _ => {}
        }
    }
}

/// Takes the item out of a list without order that knows each one's place.
fn drop_from(list: &mut Vec<u32>, rank: &mut [u32], item: u32) {
    let at = rank[item as usize];
    list.swap_remove(at as usize);
    if let Some(&moved) = list.get(at as usize) {
        rank[moved as usize] = at;
    }
}

/// The plan of these routes, for the caller.
pub(crate) fn answer(setting: &Setting<'_>, routes: &[Route]) -> Solution {
    let mut planned = vec![false; setting.wholes().len()];
    let whole = |task: u32| setting.parts.whole(task) as usize;
    let mut costs = CostParts::default();
    let mut days = Vec::new();
    for route in routes.iter().filter(|route| !route.is_empty()) {
        route.tasks().for_each(|task| planned[whole(task)] = true);
        costs.add(&route.costs);
        let day = route.timing.answer(setting, route.gang_day, &route.day);
        days.push(setting.parts.made_whole(day));
    }
    let tasks = setting.wholes();
    let left_out: Vec<u32> = tasks.filter(|&task| !planned[task as usize]).collect();
    costs.left_out = left_out.iter().map(|&task| setting.left_out(task)).sum();
    costs.clashes = clashes(setting, routes);
    nights(setting, routes, &mut costs);
    Solution {
        days,
        left_out,
        costs,
    }
}
