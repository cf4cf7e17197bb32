//! What a change by hand would do, before it is made: costs, times and broken rules.
//!
//! Only the gang-days that the change touches are worked out, so an answer takes as long for ten thousand
//! tasks as for ten. A change that breaks a rule is timed all the same, and the rules are named.

mod arrange;
mod broken;
mod done;
mod gather;
mod levels;
mod nights;

pub use broken::Broken;

use crate::parts::Parts;
use crate::search::{Placer, Route, merged};
use crate::timing::Step;
use crate::{CostParts, DaySolution, Problem, Solution};
use done::Done;
use levels::{Level, Timed};

/// Of the tasks left out, so many are tried at most on gang-days that are added.
const TRIED: usize = 40;

/// A change to a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// The task goes to this gang-day; from another, from none, or within it. One that is left over a night
    /// is then done in one day. Of one whose first blocks are done only the rest goes to a later day.
    Move {
        /// Which task.
        task: u32,
        /// Which gang-day.
        gang_day: u32,
        /// Its first block comes after every step that starts before then; where none, the task goes
        /// where it adds least.
        at: Option<u32>,
    },
    /// One block goes to another place in its gang-day; the task's others follow where they add least.
    Shift {
        /// Which task.
        task: u32,
        /// Which of its blocks.
        block: u32,
        /// It comes after every step that starts before then.
        at: u32,
    },
    /// The task is left out.
    LeaveOut {
        /// Which task.
        task: u32,
    },
    /// Each of two gang-days does what the other did; what is done stays, and the rest of a task goes where
    /// that is later.
    Swap {
        /// One.
        one: u32,
        /// The other.
        other: u32,
    },
    /// Several tasks go to one gang-day, in the order that they have where they are, or each where it
    /// adds least, whichever breaks and costs less. What is done stays, and the rest of a task goes where
    /// that is later.
    Gather {
        /// Which tasks; those that are there already stay as they are.
        tasks: Vec<u32>,
        /// Which gang-day.
        gang_day: u32,
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

/// A problem, and the same with ever fewer of the rules that a change by hand may break.
pub struct Board {
    /// Its tasks taken apart where they may be left over a night, and which are parts of which.
    problem: Problem,
    parts: Parts,
    done: Done,
    later: Problem,
    loose: Problem,
}

impl Board {
    /// For changes to plans of this problem.
    #[must_use]
    pub fn new(problem: Problem) -> Self {
        Self::begun(problem, &[])
    }

    /// The same where so many blocks of each task are done, from its first on: they are locked where they are, and
    /// what comes after them may go elsewhere by itself.
    #[must_use]
    pub fn begun(problem: Problem, done: &[u32]) -> Self {
        let (problem, parts, done) = done::taken_apart(problem, done);
        Self {
            parts,
            done,
            later: levels::later(&problem),
            loose: levels::loose(&problem),
            problem,
        }
    }

    /// For changes to this plan, of which only the steps are read; they may break rules already.
    ///
    /// A gang-day whose steps nobody could ever do in their order counts as empty.
    #[must_use]
    pub fn what_if(&self, solution: &Solution) -> WhatIf<'_> {
        let problems = [&self.problem, &self.later, &self.loose];
        let timed = Timed::new(problems, &self.parts);
        let days = (0..).zip(&self.problem.gang_days);
        let mut routes: Vec<Route> = days.map(|(at, day)| Route::empty(at, *day)).collect();
        let mut levels = vec![Level::Kept; routes.len()];
        let mut home = vec![None; self.problem.tasks.len()];
        for day in &solution.days {
            let steps: Vec<Step> = day.steps.iter().map(|step| step.step()).collect();
            let steps = self.parts.of_day(&steps);
            let route = &mut routes[day.gang_day as usize];
            if let Some((set, level)) = timed.set(route, &steps) {
                *route = set;
                levels[day.gang_day as usize] = level;
            }
            route
                .tasks()
                .for_each(|task| home[task as usize] = Some(day.gang_day));
        }
        let mut what_if = WhatIf {
            closed: broken::closures(&timed.strict, &routes),
            costs: CostParts::default(),
            done: &self.done,
            left_out: 0,
            timed,
            routes,
            levels,
            home,
        };
        what_if.left_out = what_if.absent().count();
        what_if.costs = what_if.costs_now();
        what_if
    }
}

/// A plan that changes can be tried on.
pub struct WhatIf<'a> {
    timed: Timed<'a>,
    done: &'a Done,
    routes: Vec<Route>,
    /// Of each, how far it keeps the rules.
    levels: Vec<Level>,
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
    /// Of each, how far it keeps the rules.
    levels: Vec<Level>,
    /// Tasks that are moved although they are locked, and where they were.
    unlocked: Vec<(u32, u32)>,
    /// What leaving out costs more than before, and how many tasks more are left out.
    left_out: i64,
    count: isize,
}

impl Touched {
    fn add(&mut self, (route, level): (Route, Level)) {
        self.routes.push(route);
        self.levels.push(level);
    }
}

impl WhatIf<'_> {
    /// What the change would do; nothing where it names what is not there, or changes nothing.
    #[must_use]
    pub fn try_change(&self, change: &Change) -> Option<Outcome> {
        let touched = match *change {
            Change::Move { task, gang_day, at } => self.shift(task, gang_day, at),
            Change::Shift { task, block, at } => self.rearrange(task, block, at),
            Change::LeaveOut { task } => self.drop_out(task),
            Change::Swap { one, other } => self.swap(one, other),
            Change::Gather {
                ref tasks,
                gang_day,
            } => self.gather(tasks, gang_day),
            Change::Fill { ref gang_days } => self.fill(gang_days),
        }?;
        Some(self.outcome(&touched))
    }

    /// What the plan costs, by part.
    fn costs_now(&self) -> CostParts {
        let mut costs = CostParts::default();
        self.routes.iter().for_each(|route| costs.add(&route.costs));
        let left_out = |task: u32| self.timed.strict.task(task).left_out;
        costs.left_out = self.absent().map(left_out).sum();
        costs.clashes = self.clashes_now();
        costs.add(&self.nights(|task| self.home_of(task)));
        costs
    }

    /// The plan's costs now, by part, and how many tasks are left out.
    #[must_use]
    pub fn now(&self) -> (CostParts, usize) {
        (self.costs, self.left_out)
    }

    /// The plan's gang-days with work in them, timed anew in the order of their steps.
    #[must_use]
    pub fn days(&self) -> Vec<DaySolution> {
        let routes = self.routes.iter().zip(&self.levels);
        let worked = routes.filter(|(route, _)| !route.is_empty());
        worked
            .map(|(route, level)| self.answer(route, *level))
            .collect()
    }

    fn answer(&self, route: &Route, level: Level) -> DaySolution {
        let setting = self.timed.by(level);
        let day = route.timing.answer(setting, route.gang_day, &route.day);
        setting.parts.made_whole(day)
    }

    /// Whole tasks in no gang-day.
    fn absent(&self) -> impl Iterator<Item = u32> + '_ {
        let wholes = self.timed.strict.wholes();
        wholes.filter(|&task| self.placed(task).is_empty())
    }

    fn shift(&self, task: u32, to: u32, at: Option<u32>) -> Option<Touched> {
        if let Some(rest) = self.rest_to(task, to) {
            return self.shift_rest(task, (rest, to), at);
        }
        let mut touched = Touched::default();
        self.home.get(task as usize)?;
        let mut target = self.routes.get(to as usize)?.clone();
        let placed = self.placed(task);
        // Of what comes back to the day of what is done, that is put somewhere.
        let block = match placed.len() {
            2 => self.first_left(task),
            _ => 0,
        };
        if placed.is_empty() {
            touched.left_out = -self.timed.strict.task(task).left_out;
            touched.count = -1;
        }
        for (part, from) in placed {
            if from == to {
                target = self.without(to, part).0;
            } else {
                touched.add(self.without(from, part));
            }
        }
        touched.add(match at {
            Some(at) => self.timed.arranged(&target, (task, block), at)?,
            None => self.timed.with(&target, task)?,
        });
        Some(touched)
    }

    fn rearrange(&self, task: u32, block: u32, at: u32) -> Option<Touched> {
        let Step { task, block } = self.step_of(task, block)?;
        let home = (*self.home.get(task as usize)?)?;
        let mut touched = Touched::default();
        let rest = self.without(home, task).0;
        touched.add(self.timed.arranged(&rest, (task, block), at)?);
        Some(touched)
    }

    fn drop_out(&self, task: u32) -> Option<Touched> {
        self.home.get(task as usize)?;
        let placed = self.placed(task);
        let mut touched = Touched {
            left_out: self.timed.strict.task(task).left_out,
            count: 1,
            ..Touched::default()
        };
        placed.first()?;
        for (part, home) in placed {
            if self.timed.strict.task(part).locked.is_some() {
                touched.unlocked.push((task, home));
            }
            touched.add(self.without(home, part));
        }
        Some(touched)
    }

    /// Fills gang-days with tasks that are left out, the dearest first, as long as it pays.
    fn fill(&self, gang_days: &[u32]) -> Option<Touched> {
        let mut touched = Touched::default();
        let mut placer = Placer::default();
        let mut absent: Vec<u32> = self.absent().collect();
        absent.sort_by_key(|&task| (-self.timed.strict.task(task).left_out, task));
        for &gang_day in gang_days {
            let route = self.routes.get(gang_day as usize)?;
            let steps: Vec<Step> = route.steps().collect();
            touched.add(self.timed.set(route, &steps)?);
        }
        let mut worth = vec![0; touched.routes.len()];
        for task in absent.into_iter().take(TRIED) {
            let left_out = self.timed.strict.task(task).left_out;
            // What a gang-day costs before any work may be worth it for the next tasks.
            let pays = |route: &Route, added: i64| route.is_empty() || added < left_out;
            let places = touched.routes.iter().enumerate();
            let places = places.filter_map(|(at, route)| {
                let place = placer.best(&self.timed.strict, route, task)?;
                pays(route, place.added).then_some((place, at))
            });
            let Some((place, at)) = places.min_by_key(|(place, at)| (place.added, *at)) else {
                continue;
            };
            let steps: Vec<Step> = merged(&touched.routes[at], task, &place.at).collect();
            if touched.routes[at].set(&self.timed.strict, &steps, 0) {
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

    fn without(&self, at: u32, task: u32) -> (Route, Level) {
        let route = &self.routes[at as usize];
        let steps: Vec<Step> = route.steps().filter(|step| step.task != task).collect();
        let set = self.timed.set(route, &steps);
        set.unwrap_or_else(|| (route.clone(), Level::Loose))
    }

    fn outcome(&self, touched: &Touched) -> Outcome {
        let mut costs = self.costs;
        let mut days = Vec::new();
        let mut broken = Vec::new();
        for (route, &level) in touched.routes.iter().zip(&touched.levels) {
            let before = &self.routes[route.gang_day as usize];
            costs.take(&before.costs);
            costs.add(&route.costs);
            days.push(self.answer(route, level));
            if level != Level::Kept {
                broken.extend(broken::of_day(&self.timed.strict, route));
            }
        }
        let unlocked = touched.unlocked.iter();
        broken.extend(unlocked.map(|&(task, gang_day)| Broken::of("R-LOCKED", gang_day, task)));
        costs.left_out += touched.left_out;
        let (clashes, met) = self.clashes(touched);
        costs.clashes += clashes;
        broken.extend(met);
        broken.extend(self.nights_after(touched, &mut costs));
        let parts = &self.timed.strict.parts;
        for one in &mut broken {
            one.task = one.task.map(|task| parts.whole(task));
        }
        Outcome {
            days,
            added: costs.total() - self.costs.total(),
            costs,
            left_out: self.left_out.saturating_add_signed(touched.count),
            broken,
        }
    }
}
