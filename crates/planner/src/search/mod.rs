//! The search: a first plan by cheapest insertion, then ruin and recreate.
//!
//! Each round takes strings of neighbouring tasks out of gang-days near each other, puts them back
//! whole where they are cheapest, and keeps or undoes the change by simulated annealing. Only the
//! gang-days touched are timed again.

mod cooling;
mod dice;
mod memory;
mod place;
mod recreate;
mod route;
mod ruin;
mod state;

pub(crate) use place::{Placer, merged};
pub(crate) use route::Route;

use crate::setting::Setting;
use crate::stop::WHOLE;
use crate::{Problem, Solution, Stop};
use cooling::Cooling;
use dice::Dice;
use recreate::{Recreate, first_order};
use ruin::ruin;
use state::{State, answer};

/// Rounds between two reports.
const REPORT: u64 = 100;

/// Tasks between two reports while the first plan is made.
const FIRST_REPORT: usize = 32;

/// Of the absent tasks, how many are tried again in one round.
const ABSENT: usize = 6;

/// At the end, how many pairs of absent task and gang-day are tried at most.
const LAST_TRIES: usize = 20_000;

/// Whether the search goes on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Go {
    /// On.
    On,
    /// Stop here and keep the best plan.
    Stop,
}

/// How far the search is.
pub struct Progress<'a> {
    /// Rounds done.
    pub iteration: u64,
    /// How much of the allowance is used, in parts of [`WHOLE`].
    pub used: u32,
    /// What the best plan costs, in pence.
    pub best_cost: i64,
    /// How many tasks it has in gang-days.
    pub planned: usize,
    /// How many tasks there are.
    pub tasks: usize,
    setting: &'a Setting<'a>,
    best: &'a [Route],
}

impl Progress<'_> {
    /// The best plan so far.
    #[must_use]
    pub fn best(&self) -> Solution {
        answer(self.setting, self.best)
    }
}

/// Plans the gang-days.
///
/// `watch` is told how far the search is, every now and then and once at the end, and may stop it;
/// what it does otherwise has no effect on the plan. The same problem, seed and
/// [`crate::Iterations`] give the same plan on every machine. Every task is in one gang-day or left out.
///
/// # Panics
/// Where the problem speaks of nodes or neighbours that it doesn't have.
///
/// ```
/// use gangday_planner::*;
/// let job = |node| Task {
///     node,
///     // Dig two hours, wait two hours for the base, build for one.
///     blocks: vec![Block { work: 7_200, wait: 7_200 }, Block { work: 3_600, wait: 0 }],
///     left_out: 100_000,
///     ..Task::default()
/// };
/// let problem = Problem {
///     tasks: vec![job(1), job(2)],
///     gang_days: vec![GangDay { start: 27_000, end: 59_400, latest: 59_400, ..GangDay::default() }],
///     travel: Travel::Matrix { nodes: 3, seconds: vec![0, 600, 600, 600, 0, 60, 600, 60, 0] },
///     near: vec![vec![1], vec![0]],
///     rates: Rates { crew_hour: 6_000, ..Rates::default() },
/// };
/// let plan = solve(&problem, &mut Iterations(100), 1, &mut |_| Go::On);
/// // Drive 10 min, dig 2 h, next door 1 min, dig 2 h; build the first while the second waits its
/// // 2 h; build the second 1 h, drive 10 min. One after the other would take over 10 h.
/// assert_eq!(plan.days[0].end - 27_000, 60 * (10 + 120 + 1 + 120 + 120 + 60 + 10));
/// ```
pub fn solve(
    problem: &Problem,
    stop: &mut dyn Stop,
    seed: u64,
    watch: &mut dyn FnMut(&Progress<'_>) -> Go,
) -> Solution {
    let setting = Setting::full(problem);
    let mut search = Search::new(&setting, seed);
    let mut go = search.first_plan(stop, watch);
    let mut iteration = 0;
    let cooling = Cooling::from(search.warmth());
    while go == Go::On {
        let used = stop.used(iteration);
        if iteration % REPORT == 0 {
            go = search.report(iteration, used, watch);
        }
        if used >= WHOLE || go == Go::Stop {
            break;
        }
        search.round(&cooling, used);
        iteration += 1;
    }
    search.last_tries();
    search.report(iteration, WHOLE, watch);
    answer(&setting, &search.best)
}

struct Search<'a> {
    state: State<'a>,
    recreate: Recreate,
    dice: Dice,
    best: Vec<Route>,
    best_cost: i64,
    best_planned: usize,
    /// Routes in which `best` differs from the present plan.
    stale: Vec<bool>,
    pool: Vec<u32>,
}

impl<'a> Search<'a> {
    fn new(setting: &'a Setting<'a>, seed: u64) -> Self {
        let state = State::new(setting);
        Self {
            best: state.routes.clone(),
            best_cost: state.cost,
            best_planned: 0,
            stale: vec![false; state.routes.len()],
            recreate: Recreate::new(setting),
            dice: Dice::new(seed),
            pool: Vec::new(),
            state,
        }
    }

    /// Every task in the cheapest gang-day, one after the other.
    fn first_plan(
        &mut self,
        stop: &mut dyn Stop,
        watch: &mut dyn FnMut(&Progress<'_>) -> Go,
    ) -> Go {
        let order = first_order(self.state.setting, self.state.absent());
        for (done, task) in order.into_iter().enumerate() {
            if done > 0 && done % FIRST_REPORT == 0 {
                self.keep_if_best();
                if stop.overdue() || self.report(0, 0, watch) == Go::Stop {
                    return Go::Stop;
                }
            }
            self.recreate
                .put_first(&mut self.state, &mut self.dice, task);
            self.note_changes();
        }
        self.keep_if_best();
        Go::On
    }

    /// The temperature to begin with: a quarter of what a task costs on average, planned or not.
    fn warmth(&self) -> i64 {
        let routes: i64 = self.state.routes.iter().map(|route| route.total).sum();
        match self.state.planned() as i64 {
            0 => self.state.cost / self.state.absent().len().max(1) as i64 / 4,
            planned => routes / planned / 4,
        }
    }

    fn round(&mut self, cooling: &Cooling, used: u32) {
        let before = self.state.cost;
        self.state.mark();
        ruin(&mut self.state, &mut self.dice, &mut self.pool);
        self.add_absent();
        self.recreate
            .put_back(&mut self.state, &mut self.dice, &mut self.pool);
        let leeway = cooling.leeway(used, &mut self.dice);
        if self.state.cost < before.saturating_add(leeway.max(1)) {
            self.note_changes();
            self.keep_if_best();
        } else {
            self.state.undo();
        }
    }

    /// Adds some of the tasks that are left out to those that are put back: any one and some of its
    /// neighbours, then others.
    fn add_absent(&mut self) {
        let absent = self.state.absent();
        if absent.is_empty() {
            return;
        }
        let most = self.pool.len() + ABSENT;
        let one = absent[self.dice.below(absent.len())];
        let near = self.state.setting.problem.near.get(one as usize);
        let near = near
            .into_iter()
            .flatten()
            .copied()
            .filter(|&task| self.state.home(task).is_none());
        for task in std::iter::once(one).chain(near.take(ABSENT / 2)) {
            if !self.pool.contains(&task) {
                self.pool.push(task);
            }
        }
        for _ in 0..ABSENT {
            let task = absent[self.dice.below(absent.len())];
            if self.pool.len() < most && !self.pool.contains(&task) {
                self.pool.push(task);
            }
        }
    }

    fn note_changes(&mut self) {
        for at in self.state.changed() {
            self.stale[at as usize] = true;
        }
        self.state.mark();
    }

    fn keep_if_best(&mut self) {
        if self.state.cost >= self.best_cost {
            return;
        }
        self.best_cost = self.state.cost;
        self.best_planned = self.state.planned();
        for (at, stale) in self.stale.iter_mut().enumerate() {
            if std::mem::take(stale) {
                self.best[at].clone_from(&self.state.routes[at]);
            }
        }
    }

    /// Tries once more, in all gang-days of the best plan, what it leaves out.
    fn last_tries(&mut self) {
        self.state.adopt(&self.best);
        self.stale.fill(false);
        let mut absent = self.state.absent().to_vec();
        absent.sort_by_key(|&task| (-self.state.setting.task(task).left_out, task));
        absent.truncate(LAST_TRIES / self.state.routes.len().max(1));
        for task in absent {
            self.recreate.put_anywhere(&mut self.state, task);
        }
        self.note_changes();
        self.keep_if_best();
    }

    fn report(&self, iteration: u64, used: u32, watch: &mut dyn FnMut(&Progress<'_>) -> Go) -> Go {
        watch(&Progress {
            iteration,
            used,
            best_cost: self.best_cost,
            planned: self.best_planned,
            tasks: self.state.setting.facts.len(),
            setting: self.state.setting,
            best: &self.best,
        })
    }
}
