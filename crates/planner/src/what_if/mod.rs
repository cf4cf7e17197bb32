//! What a change by hand would do, before it is made: costs, times and broken rules.
//!
//! Only the gang-days that the change touches are worked out, so an answer takes as long for ten thousand
//! tasks as for ten. A change that breaks a rule is timed all the same, and the rules are named.

mod broken;

pub use broken::Broken;

use crate::search::{Placer, Route, merged};
use crate::setting::{FOREVER, Setting};
use crate::timing::Step;
use crate::{CostParts, DaySolution, GangDay, Load, Problem, Solution, Task};

/// Of the tasks left out, so many are tried at most on gang-days that are added.
const TRIED: usize = 40;

/// A change to a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// The task goes to this gang-day, where it adds least; from another, from none, or within it.
    Move {
        /// Which task.
        task: u32,
        /// Which gang-day.
        gang_day: u32,
    },
    /// The task is left out.
    LeaveOut {
        /// Which task.
        task: u32,
    },
    /// Each of two gang-days does what the other did.
    Swap {
        /// One.
        one: u32,
        /// The other.
        other: u32,
    },
    /// Gang-days that nobody worked so far get tasks that are left out, as far as that pays.
    Fill {
        /// Which gang-days.
        gang_days: Vec<u32>,
    },
}

/// What a change would do.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Outcome {
    /// The gang-days touched as they would be; one that would have nothing in it has no steps.
    pub days: Vec<DaySolution>,
    /// What the whole plan would cost, by part.
    pub costs: CostParts,
    /// How much more that is than now.
    pub added: i64,
    /// How many tasks would be left out.
    pub left_out: usize,
    /// The rules that it would break; none where it may be done.
    pub broken: Vec<Broken>,
}

/// A problem, and the same without the rules that a change by hand may break.
pub struct Board {
    problem: Problem,
    loose: Problem,
}

impl Board {
    /// For changes to plans of this problem.
    #[must_use]
    pub fn new(problem: Problem) -> Self {
        let loose = Problem {
            tasks: problem.tasks.iter().map(loose_task).collect(),
            gang_days: problem.gang_days.iter().map(loose_day).collect(),
            travel: problem.travel.clone(),
            rates: problem.rates,
            ..Problem::default()
        };
        Self { problem, loose }
    }

    /// For changes to this plan.
    #[must_use]
    pub fn what_if(&self, solution: &Solution) -> WhatIf<'_> {
        let (strict, loose) = (Setting::light(&self.problem), Setting::light(&self.loose));
        let mut routes: Vec<Route> = (0..)
            .zip(&self.problem.gang_days)
            .map(|(at, day)| Route::empty(at, *day))
            .collect();
        let mut home = vec![None; self.problem.tasks.len()];
        for day in &solution.days {
            let steps = day.steps.iter();
            let steps: Vec<Step> = steps.map(|step| step.step()).collect();
            let route = &mut routes[day.gang_day as usize];
            route.set(&strict, &steps, 0);
            route
                .tasks()
                .for_each(|task| home[task as usize] = Some(day.gang_day));
        }
        WhatIf {
            closed: broken::closures(&strict, &routes),
            costs: solution.costs,
            left_out: home.iter().filter(|home| home.is_none()).count(),
            strict,
            loose,
            routes,
            home,
        }
    }
}

fn loose_task(task: &Task) -> Task {
    Task {
        days: Vec::new(),
        windows: Vec::new(),
        tickets: 0,
        out: Load::default(),
        back: Load::default(),
        shake: 0,
        most: Vec::new(),
        locked: None,
        weight: 0,
        ..task.clone()
    }
}

fn loose_day(day: &GangDay) -> GangDay {
    GangDay {
        latest: FOREVER,
        payload: None,
        body: None,
        driving: None,
        shake: None,
        ..*day
    }
}

/// A plan that changes can be tried on.
pub struct WhatIf<'a> {
    strict: Setting<'a>,
    loose: Setting<'a>,
    routes: Vec<Route>,
    home: Vec<Option<u32>>,
    /// Each planned task's closure, where there are clashes.
    closed: Vec<Option<crate::rules::bonds::Closed>>,
    costs: CostParts,
    left_out: usize,
}

/// The gang-days that a change touches, as they would be.
#[derive(Default)]
struct Touched {
    routes: Vec<Route>,
    /// Of those, the ones that keep to the day only without its rules.
    loosely: Vec<bool>,
    /// What leaving out costs more than before, and how many tasks more are left out.
    left_out: i64,
    count: isize,
}

impl Touched {
    fn add(&mut self, route: Route, loosely: bool) {
        self.routes.push(route);
        self.loosely.push(loosely);
    }
}

impl WhatIf<'_> {
    /// What the change would do; nothing where it names what is not there, or changes nothing.
    #[must_use]
    pub fn try_change(&self, change: &Change) -> Option<Outcome> {
        let touched = match *change {
            Change::Move { task, gang_day } => self.shift(task, gang_day),
            Change::LeaveOut { task } => self.drop_out(task),
            Change::Swap { one, other } => self.swap(one, other),
            Change::Fill { ref gang_days } => self.fill(gang_days),
        }?;
        Some(self.outcome(&touched))
    }

    fn shift(&self, task: u32, to: u32) -> Option<Touched> {
        let mut touched = Touched::default();
        let from = *self.home.get(task as usize)?;
        let mut target = self.routes.get(to as usize)?.clone();
        if from == Some(to) {
            target = self.without(to, task);
        } else if let Some(from) = from {
            touched.add(self.without(from, task), false);
        } else {
            touched.left_out = -self.strict.task(task).left_out;
            touched.count = -1;
        }
        let (route, loosely) = self.with(&target, task)?;
        touched.add(route, loosely);
        Some(touched)
    }

    fn drop_out(&self, task: u32) -> Option<Touched> {
        let home = (*self.home.get(task as usize)?)?;
        let mut touched = Touched {
            left_out: self.strict.task(task).left_out,
            count: 1,
            ..Touched::default()
        };
        touched.add(self.without(home, task), false);
        Some(touched)
    }

    fn swap(&self, one: u32, other: u32) -> Option<Touched> {
        let mut touched = Touched::default();
        let both = [
            self.routes.get(one as usize)?,
            self.routes.get(other as usize)?,
        ];
        for (route, new) in [(both[0], both[1]), (both[1], both[0])] {
            let steps: Vec<Step> = new.steps().collect();
            let (route, loosely) = self.set(route, &steps)?;
            touched.add(route, loosely);
        }
        (one != other).then_some(touched)
    }

    /// Fills gang-days with tasks that are left out, the dearest first, as long as it pays.
    fn fill(&self, gang_days: &[u32]) -> Option<Touched> {
        let mut touched = Touched::default();
        let mut placer = Placer::default();
        let tasks = 0..self.home.len() as u32;
        let mut absent: Vec<u32> = tasks
            .filter(|&task| self.home[task as usize].is_none())
            .collect();
        absent.sort_by_key(|&task| (-self.strict.task(task).left_out, task));
        for &gang_day in gang_days {
            touched.add(self.routes.get(gang_day as usize)?.clone(), false);
        }
        let mut worth = vec![0; touched.routes.len()];
        for task in absent.into_iter().take(TRIED) {
            let left_out = self.strict.task(task).left_out;
            // What a gang-day costs before any work may be worth it for the next tasks.
            let pays = |route: &Route, added: i64| route.is_empty() || added < left_out;
            let places = touched.routes.iter().enumerate();
            let places = places.filter_map(|(at, route)| {
                let place = placer.best(&self.strict, route, task)?;
                pays(route, place.added).then_some((place, at))
            });
            let Some((place, at)) = places.min_by_key(|(place, at)| (place.added, *at)) else {
                continue;
            };
            let steps: Vec<Step> = merged(&touched.routes[at], task, &place.at).collect();
            if touched.routes[at].set(&self.strict, &steps, 0) {
                worth[at] += left_out;
            }
        }
        for (at, worth) in worth.into_iter().enumerate() {
            let before = &self.routes[touched.routes[at].gang_day as usize];
            let new = touched.routes[at].tasks().count() - before.tasks().count();
            if touched.routes[at].total - before.total < worth {
                touched.left_out -= worth;
                touched.count -= new as isize;
            } else {
                touched.routes[at] = before.clone();
            }
        }
        Some(touched)
    }

    fn without(&self, at: u32, task: u32) -> Route {
        let route = &self.routes[at as usize];
        let steps: Vec<Step> = route.steps().filter(|step| step.task != task).collect();
        self.set(route, &steps)
            .map_or_else(|| route.clone(), |set| set.0)
    }

    /// The gang-day with these steps, by the rules or, if need be, without them.
    fn set(&self, route: &Route, steps: &[Step]) -> Option<(Route, bool)> {
        let mut strict = Route::empty(route.gang_day, route.day);
        let may = steps
            .iter()
            .all(|step| self.strict.may(step.task, &route.day));
        if may && strict.set(&self.strict, steps, 0) {
            return Some((strict, false));
        }
        let mut loose = Route::empty(route.gang_day, loose_day(&route.day));
        loose.set(&self.loose, steps, 0).then_some((loose, true))
    }

    /// The gang-day with the task where it adds least, by the rules or, if need be, without them.
    fn with(&self, route: &Route, task: u32) -> Option<(Route, bool)> {
        let mut placer = Placer::default();
        if route.day.latest < FOREVER
            && let Some(place) = placer.best(&self.strict, route, task)
        {
            let steps: Vec<Step> = merged(route, task, &place.at).collect();
            return self.set(route, &steps);
        }
        let steps: Vec<Step> = route.steps().collect();
        let mut loose = Route::empty(route.gang_day, loose_day(&route.day));
        loose.set(&self.loose, &steps, 0).then_some(())?;
        let place = placer.best(&self.loose, &loose, task)?;
        let steps: Vec<Step> = merged(&loose, task, &place.at).collect();
        loose.set(&self.loose, &steps, 0).then_some((loose, true))
    }

    fn outcome(&self, touched: &Touched) -> Outcome {
        let mut costs = self.costs;
        let mut days = Vec::new();
        let mut broken = Vec::new();
        for (route, &loosely) in touched.routes.iter().zip(&touched.loosely) {
            let before = &self.routes[route.gang_day as usize];
            costs.take(&before.costs);
            costs.add(&route.costs);
            let setting = if loosely { &self.loose } else { &self.strict };
            days.push(route.timing.answer(setting, route.gang_day, &route.day));
            if loosely {
                broken.extend(broken::of_day(&self.strict, route));
            }
        }
        costs.left_out += touched.left_out;
        let (clashes, met) = self.clashes(touched);
        costs.clashes += clashes;
        broken.extend(met);
        Outcome {
            days,
            added: costs.total() - self.costs.total(),
            costs,
            left_out: self.left_out.saturating_add_signed(touched.count),
            broken,
        }
    }
}
