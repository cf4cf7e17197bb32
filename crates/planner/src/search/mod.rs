//! The search: a first plan by cheapest insertion, then ruin and recreate.
//!
//! Each round takes strings of neighbouring tasks out of gang-days near each other, puts them back
//! whole where they are cheapest, and keeps or undoes the change by simulated annealing. Only the
//! gang-days touched are timed again.

mod asking;
mod bag;
mod clashes;
mod cooling;
mod dice;
mod memory;
mod order;
mod overnight;
mod place;
mod plan;
mod pool;
mod recreate;
mod rich;
mod route;
mod ruin;
mod simple;
mod state;
mod threads;

pub(crate) use place::{Place, Placer, Positions, merged};
pub(crate) use route::Route;
pub use threads::solve_at_once;

use crate::parts::{Parts, apart};
use crate::setting::Setting;
use crate::stop::WHOLE;
use crate::{Problem, Solution, Stop};
use cooling::Cooling;
use dice::Dice;
use plan::Plan;
use recreate::{first_order, put_back};
use ruin::Ruin;
use simple::{Chains, Plain};
use state::State;

/// Rounds between two reports.
const REPORT: u64 = 100;

/// Tasks between two reports while the first plan is made.
const FIRST_REPORT: usize = 32;

/// Of the absent tasks, how many are tried again in one round.
const ABSENT: usize = 6;

/// So often remembered gang-days are put together anew.
const GATHERINGS: u32 = 6;

/// At the end, how many pairs of absent task and gang-day are tried at most.
const LAST_TRIES: usize = 20_000;

/// And how many gang-days are brought into a cheaper order.
const LAST_ORDERS: usize = 50;

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
    best: &'a dyn Fn() -> Solution,
}

impl Progress<'_> {
    /// The best plan so far.
    #[must_use]
    pub fn best(&self) -> Solution {
        (self.best)()
    }
}

/// Plans the gang-days.
///
/// `watch` is told how far the search is, every now and then and once at the end, and may stop it;
/// what it does otherwise has no effect on the plan. The same problem, seed and
/// [`crate::Iterations`] give the same plan on every machine. Every task is in one gang-day, in two if it may
/// be left over a night, or left out.
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
///     ..Problem::default()
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
    let apart = apart(problem);
    let setting = setting(problem, apart.as_ref());
    let plain = Plain::of(&setting);
    search(&setting, plain.as_ref(), stop, seed, watch)
}

/// The problem, its tasks taken apart where they may be left over a night.
fn setting<'a>(problem: &'a Problem, apart: Option<&'a (Problem, Parts)>) -> Setting<'a> {
    match apart {
        Some((problem, parts)) => Setting::full(problem).apart(parts),
        None => Setting::full(problem),
    }
}

/// One search, on simple gang-days where the problem is simple.
fn search(
    setting: &Setting<'_>,
    plain: Option<&Plain>,
    stop: &mut dyn Stop,
    seed: u64,
    watch: &mut dyn FnMut(&Progress<'_>) -> Go,
) -> Solution {
    match plain {
        Some(plain) => Search::new(Chains::new(setting, plain), seed).run(stop, watch),
        None => {
            let mut state = State::new(setting);
            state.begin();
            Search::new(state, seed).run(stop, watch)
        }
    }
}

struct Search<P: Plan> {
    plan: P,
    ruin: Ruin,
    dice: Dice,
    best: Vec<P::Kept>,
    best_cost: i64,
    best_planned: usize,
    /// Gang-days in which `best` may differ from the present plan, listed and marked.
    stale: Vec<u32>,
    is_stale: Vec<bool>,
    pool: Vec<u32>,
    changed: Vec<u32>,
    /// How often remembered gang-days were put together anew.
    gathered: u32,
}

impl<P: Plan> Search<P> {
    fn new(plan: P, seed: u64) -> Self {
        let mut best = vec![P::Kept::default(); plan.gang_days()];
        (0..)
            .zip(&mut best)
            .for_each(|(at, kept)| plan.keep(at, kept));
        Self {
            best,
            best_cost: plan.cost(),
            best_planned: 0,
            stale: Vec::new(),
            is_stale: vec![false; plan.gang_days()],
            ruin: Ruin::default(),
            dice: Dice::new(seed),
            pool: Vec::new(),
            changed: Vec::new(),
            gathered: 0,
            plan,
        }
    }

    fn run(mut self, stop: &mut dyn Stop, watch: &mut dyn FnMut(&Progress<'_>) -> Go) -> Solution {
        let mut go = self.first_plan(stop, watch);
        let mut iteration = 0;
        let cooling = Cooling::from(self.warmth(), P::MANNER.halvings);
        while go == Go::On && self.plan.tasks() > 0 {
            let used = stop.used(iteration);
            if iteration % REPORT == 0 {
                go = self.report(iteration, used, watch);
            }
            if used >= WHOLE || go == Go::Stop {
                break;
            }
            self.gather(used);
            self.plan.sway(used);
            self.round(&cooling, stretched(P::MANNER.stretch, used));
            iteration += 1;
        }
        self.last_tries();
        self.report(iteration, WHOLE, watch);
        self.plan.answer(&self.best)
    }

    /// Whenever what is left of the allowance has halved, puts gang-days that the search came by
    /// together anew; what is cheaper than the best so far is walked on from.
    fn gather(&mut self, used: u32) {
        if self.gathered >= GATHERINGS || used < WHOLE - (WHOLE >> (self.gathered + 1)) {
            return;
        }
        self.gathered += 1;
        let Some(cheaper) = self.plan.gathered(self.best_cost) else {
            return;
        };
        self.plan.adopt(&cheaper);
        self.plan.mark();
        self.stale.clear();
        self.is_stale.fill(false);
        self.best = cheaper;
        self.best_cost = self.plan.cost();
        self.best_planned = self.plan.planned();
    }

    /// Every task in the cheapest gang-day, one after the other.
    fn first_plan(
        &mut self,
        stop: &mut dyn Stop,
        watch: &mut dyn FnMut(&Progress<'_>) -> Go,
    ) -> Go {
        for (done, task) in first_order(&self.plan).into_iter().enumerate() {
            if done > 0 && done % FIRST_REPORT == 0 {
                self.keep_if_best();
                if stop.overdue() || self.report(0, 0, watch) == Go::Stop {
                    return Go::Stop;
                }
            }
            self.plan.put_first(&mut self.dice, task);
            self.note_changes();
        }
        self.keep_if_best();
        Go::On
    }

    /// The temperature to begin with: a part of what a task costs on average, planned or not.
    fn warmth(&self) -> i64 {
        let plan = &self.plan;
        let (part, of) = P::MANNER.warmth;
        match plan.planned() as i64 {
            0 => plan.cost() / plan.absent().len().max(1) as i64 * part / of,
            planned => plan.spent() * part / (planned * of),
        }
    }

    fn round(&mut self, cooling: &Cooling, used: u32) {
        self.plan.mark();
        if P::MANNER.cross > 0 && self.dice.per_mille(P::MANNER.cross) {
            return self.cross(cooling, used);
        }
        if P::MANNER.order > 0 && self.dice.per_mille(P::MANNER.order) {
            return self.reorder();
        }
        let before = self.plan.swayed();
        self.ruin
            .ruin(&mut self.plan, &mut self.dice, &mut self.pool);
        self.add_absent();
        put_back(&mut self.plan, &mut self.dice, &mut self.pool);
        self.plan.remember();
        let leeway = cooling.leeway(used, &mut self.dice);
        if self.plan.swayed() < before.saturating_add(leeway.max(1)) {
            self.note_changes();
            self.keep_if_best();
        } else {
            self.plan.undo();
        }
    }

    /// Lets two gang-days exchange their tails.
    fn cross(&mut self, cooling: &Cooling, used: u32) {
        let task = self.dice.below(self.plan.tasks().max(1)) as u32;
        let leeway = cooling.leeway(used, &mut self.dice);
        if self.plan.cross(task, leeway.max(1)) {
            self.note_changes();
            self.keep_if_best();
        }
    }

    /// Brings a gang-day into a cheaper order.
    fn reorder(&mut self) {
        let task = self.dice.below(self.plan.tasks().max(1)) as u32;
        if let Some(at) = self.plan.home(task) {
            self.plan.reorder(at);
            self.plan.remember();
            self.note_changes();
            self.keep_if_best();
        }
    }

    /// Adds some of the tasks that are left out to those that are put back: any one and some of its
    /// neighbours, then others.
    fn add_absent(&mut self) {
        let (plan, pool) = (&self.plan, &mut self.pool);
        let absent = plan.absent();
        if absent.len() <= pool.len() && absent.iter().all(|task| pool.contains(task)) {
            return;
        }
        let most = pool.len() + ABSENT;
        let one = absent[self.dice.below(absent.len())];
        let near = plan.near(one).iter().copied();
        let near = near.filter(|&task| plan.home(task).is_none());
        for task in std::iter::once(one).chain(near.take(ABSENT / 2)) {
            if !pool.contains(&task) {
                pool.push(task);
            }
        }
        for _ in 0..ABSENT {
            let task = absent[self.dice.below(absent.len())];
            if pool.len() < most && !pool.contains(&task) {
                pool.push(task);
            }
        }
    }

    fn note_changes(&mut self) {
        self.changed.clear();
        self.plan.changed(&mut self.changed);
        for &at in &self.changed {
            if !std::mem::replace(&mut self.is_stale[at as usize], true) {
                self.stale.push(at);
            }
        }
        self.plan.mark();
    }

    fn keep_if_best(&mut self) {
        if self.plan.cost() >= self.best_cost {
            return;
        }
        self.best_cost = self.plan.cost();
        self.best_planned = self.plan.planned();
        for at in self.stale.drain(..) {
            self.is_stale[at as usize] = false;
            self.plan.keep(at, &mut self.best[at as usize]);
        }
    }

    /// Tries once more, in all gang-days of the best plan, what it leaves out.
    fn last_tries(&mut self) {
        self.plan.adopt(&self.best);
        self.plan.mark();
        self.plan.mend();
        self.stale.clear();
        self.is_stale.fill(false);
        let mut absent = self.plan.absent().to_vec();
        absent.sort_by_key(|&task| (-self.plan.left_out(task), task));
        absent.truncate(LAST_TRIES / self.plan.gang_days().max(1));
        for task in absent {
            self.plan.put_anywhere(task);
        }
        for at in 0..self.plan.gang_days().min(LAST_ORDERS) {
            self.plan.reorder(at as u32);
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
            tasks: self.plan.tasks(),
            best: &|| self.plan.answer(&self.best),
        })
    }
}

/// How far the cooling is, where only a stretch of it is gone through.
fn stretched((from, to): (u32, u32), used: u32) -> u32 {
    let hundredths = u64::from(from) * u64::from(WHOLE) + u64::from(used) * u64::from(to - from);
    u32::try_from(hundredths / 100).unwrap_or(WHOLE)
}
