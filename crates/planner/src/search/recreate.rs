//! Puts tasks back, each whole where it is cheapest among the gang-days worth asking.

use super::dice::Dice;
use super::memory::Memory;
use super::place::{Place, Placer};
use super::state::State;
use crate::setting::Setting;

/// Up to so many gang-days, all of them are asked.
const ASK_ALL: usize = 16;

/// Else, so many of those that have tasks nearby.
const ASK_NEAR: usize = 14;

/// And so many of those with nothing in them.
const ASK_IDLE: usize = 3;

/// So many times in a thousand, a gang-day is passed over, so that the cheapest isn't always taken.
const BLINK: usize = 10;

/// So many times in a thousand, a task takes another of the good places in its gang-day.
const STRAY: usize = 50;

/// So many times in a thousand, a round is generous: a gang-day that is not worth beginning for one
/// task may be for several.
const GENEROUS: usize = 100;

/// So many times in a thousand, a generous round takes a task's place, however dear it is.
const ANY_PRICE: usize = 700;

/// In which order tasks are put back.
#[derive(Clone, Copy, Debug)]
enum Order {
    Mixed,
    LongestFirst,
    FarthestFirst,
    NearestFirst,
    DearestFirst,
    TightestFirst,
}

/// Buffers for putting back.
pub(crate) struct Recreate {
    placer: Placer,
    memory: Memory,
    asked: Vec<u32>,
    seen: Vec<u64>,
    round: u64,
}

impl Recreate {
    pub(crate) fn new(setting: &Setting<'_>) -> Self {
        Self {
            placer: Placer::default(),
            memory: Memory::new(),
            asked: Vec::new(),
            seen: vec![0; setting.problem.gang_days.len()],
            round: 0,
        }
    }

    /// Puts these back, in an order thrown for; what fits nowhere for less than it costs to leave
    /// it out stays absent, but for a generous round.
    pub(crate) fn put_back(&mut self, state: &mut State<'_>, dice: &mut Dice, tasks: &mut [u32]) {
        let order = thrown(dice);
        sort(state.setting, tasks, order, dice);
        let generous = dice.per_mille(GENEROUS);
        for &task in &*tasks {
            let left_out = state.setting.task(task).left_out;
            let limit = if generous && dice.per_mille(ANY_PRICE) {
                i64::MAX
            } else {
                left_out
            };
            self.ask_some(state, dice, task);
            self.put(state, Some(dice), task, limit);
        }
    }

    /// Puts one task into the cheapest of all gang-days.
    pub(crate) fn put_anywhere(&mut self, state: &mut State<'_>, task: u32) {
        self.asked.clear();
        self.asked.extend(0..state.routes.len() as u32);
        self.put(state, None, task, state.setting.task(task).left_out);
    }

    /// Puts one task into the cheapest of the gang-days near it, else of all.
    pub(crate) fn put_first(&mut self, state: &mut State<'_>, dice: &mut Dice, task: u32) {
        self.ask_some(state, dice, task);
        self.put(state, None, task, state.setting.task(task).left_out);
        if state.home(task).is_none() && self.asked.len() < state.routes.len() {
            self.put_anywhere(state, task);
        }
    }

    /// Puts the task where it adds least, if that is less than the limit.
    fn put(&mut self, state: &mut State<'_>, mut dice: Option<&mut Dice>, task: u32, limit: i64) {
        let mut best: Option<(u32, Place)> = None;
        let mut cheapest = limit;
        for &at in &self.asked {
            let route = &state.routes[at as usize];
            if !state.setting.may(task, &route.day)
                || dice.as_mut().is_some_and(|dice| dice.per_mille(BLINK))
            {
                continue;
            }
            let placer = &mut self.placer;
            let found = self.memory.recall(task, route.stamp, || {
                placer.best(state.setting, route, task)
            });
            if let Some(place) = found.filter(|place| place.added < cheapest) {
                cheapest = place.added;
                best = Some((at, place.clone()));
            }
        }
        let Some((at, mut place)) = best else { return };
        if let Some(dice) = dice
            && dice.per_mille(STRAY)
        {
            let (route, pick) = (&state.routes[at as usize], dice.below(1 << 16));
            let other = self.placer.other(state.setting, route, task, pick);
            place = other.filter(|other| other.added < limit).unwrap_or(place);
        }
        state.insert(at, task, &place);
    }

    /// Lists the gang-days worth asking for this task.
    fn ask_some(&mut self, state: &State<'_>, dice: &mut Dice, task: u32) {
        self.asked.clear();
        if state.routes.len() <= ASK_ALL {
            self.asked.extend(0..state.routes.len() as u32);
            return;
        }
        self.round += 1;
        let near = state.setting.problem.near.get(task as usize);
        for &other in near.into_iter().flatten() {
            let Some(home) = state.home(other) else {
                continue;
            };
            if std::mem::replace(&mut self.seen[home as usize], self.round) != self.round {
                self.asked.push(home);
                if self.asked.len() == ASK_NEAR {
                    break;
                }
            }
        }
        self.ask_idle(state, dice, task);
    }

    fn ask_idle(&mut self, state: &State<'_>, dice: &mut Dice, task: u32) {
        let idle = state.idle();
        let mut found = 0;
        for _ in 0..(4 * ASK_IDLE).min(2 * idle.len()) {
            let at = idle[dice.below(idle.len())];
            let new = std::mem::replace(&mut self.seen[at as usize], self.round) != self.round;
            if new && state.setting.may(task, &state.routes[at as usize].day) {
                self.asked.push(at);
                found += 1;
                if found == ASK_IDLE {
                    break;
                }
            }
        }
    }
}

fn thrown(dice: &mut Dice) -> Order {
    match dice.below(14) {
        0..4 => Order::Mixed,
        4..7 => Order::LongestFirst,
        7..9 => Order::FarthestFirst,
        9 => Order::NearestFirst,
        10..12 => Order::DearestFirst,
        _ => Order::TightestFirst,
    }
}

/// Brings the tasks into the order, by chance where it doesn't say.
fn sort(setting: &Setting<'_>, tasks: &mut [u32], order: Order, dice: &mut Dice) {
    tasks.sort_unstable();
    dice.shuffle(tasks);
    let from_depot = |task: u32| {
        let depot = setting.problem.gang_days.first().map_or(0, |day| day.depot);
        i64::from(setting.travel(depot, setting.task(task).node))
    };
    tasks.sort_by_key(|&task| match order {
        Order::Mixed => 0,
        Order::LongestFirst => -i64::from(setting.facts(task).shortest),
        Order::FarthestFirst => -from_depot(task),
        Order::NearestFirst => from_depot(task),
        Order::DearestFirst => -setting.task(task).left_out,
        Order::TightestFirst => tightness(setting, task),
    });
}

/// The spare time in the widest window, less where few days are allowed.
fn tightness(setting: &Setting<'_>, task: u32) -> i64 {
    let facts = setting.facts(task);
    let widest = facts
        .windows
        .iter()
        .map(|&(open, until)| until.saturating_sub(open))
        .max();
    let spare = i64::from(widest.unwrap_or(86_400)) - i64::from(facts.shortest);
    let days = &setting.task(task).days;
    let allowed = days.iter().filter(|&&day| day).count();
    spare * if days.is_empty() { 7 } else { allowed as i64 }
}

/// The order of the first plan: dearest to leave out first, then tightest, then farthest.
pub(crate) fn first_order(setting: &Setting<'_>, tasks: &[u32]) -> Vec<u32> {
    let mut tasks = tasks.to_vec();
    tasks.sort_by_key(|&task| (-setting.task(task).left_out, tightness(setting, task), task));
    tasks
}
