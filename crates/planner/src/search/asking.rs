//! Where a task is cheapest among the gang-days worth asking.

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

/// So many times in a thousand, a task that may be left over a night is left though it is dearer, and so
/// many times it is not though it is cheaper.
const OTHER: usize = 100;
const TWICE_OTHER: usize = 2 * OTHER;
const WHICHEVER: usize = 1_000;

/// For the first plan, so many gang-days are asked at most by tasks that no near one takes.
const FIRST_TRIES: usize = 400_000;

/// Buffers for asking.
pub(crate) struct Asking {
    placer: Placer,
    memory: Memory,
    pub(super) asked: Vec<u32>,
    seen: Vec<u64>,
    round: u64,
    /// Of [`FIRST_TRIES`], how many are left.
    spare: usize,
}

impl Asking {
    pub(crate) fn new(setting: &Setting<'_>) -> Self {
        Self {
            placer: Placer::default(),
            memory: Memory::new(),
            asked: Vec::new(),
            seen: vec![0; setting.problem.gang_days.len()],
            round: 0,
            spare: FIRST_TRIES,
        }
    }

    /// Puts one task into the cheapest of all gang-days.
    pub(crate) fn put_anywhere(&mut self, state: &mut State<'_>, task: u32) {
        self.asked.clear();
        self.asked.extend(0..state.routes.len() as u32);
        self.put(state, None, task, state.setting.task(task).left_out);
    }

    /// Puts one task into the cheapest of the gang-days near it, else of all while tries are left.
    pub(crate) fn put_first(&mut self, state: &mut State<'_>, dice: &mut Dice, task: u32) {
        self.ask_some(state, dice, task);
        self.put(state, None, task, state.setting.task(task).left_out);
        let all = state.routes.len();
        if state.home_of(task).is_none() && self.asked.len() < all && self.spare >= all {
            self.spare -= all;
            self.put_anywhere(state, task);
        }
    }

    /// Puts one task where it adds least among those worth asking, if that is less than the limit.
    pub(crate) fn put_near(
        &mut self,
        state: &mut State<'_>,
        dice: &mut Dice,
        task: u32,
        limit: i64,
    ) {
        self.ask_some(state, dice, task);
        self.put(state, Some(dice), task, limit);
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
            if state.is_bonded(at, task) {
                let place = bonded(&mut self.placer, state, at, task);
                if let Some(place) = place.filter(|place| place.added < cheapest) {
                    cheapest = place.added;
                    best = Some((at, place));
                }
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
        let most = night_limit(state, dice.as_deref_mut(), task, (cheapest, limit));
        if let Some(parts) = most.and_then(|most| self.over_a_night(state, task, most)) {
            for (part, at, place) in parts {
                state.insert(at, part, &place);
            }
            return;
        }
        let Some((at, mut place)) = best else { return };
        if let Some(dice) = dice
            && dice.per_mille(STRAY)
            && !state.is_bonded(at, task)
        {
            let (route, pick) = (&state.routes[at as usize], dice.below(1 << 16));
            let other = self.placer.other(state.setting, route, task, pick);
            place = other.filter(|other| other.added < limit).unwrap_or(place);
        }
        state.insert(at, task, &place);
    }

    /// Where the task is cheapest in one gang-day.
    pub(super) fn place(&mut self, state: &State<'_>, at: u32, task: u32) -> Option<Place> {
        if state.is_bonded(at, task) {
            return bonded(&mut self.placer, state, at, task);
        }
        let (placer, route) = (&mut self.placer, &state.routes[at as usize]);
        let found = self.memory.recall(task, route.stamp, || {
            placer.best(state.setting, route, task)
        });
        found.cloned()
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
            let Some(home) = state.home_of(other) else {
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
        let idle = state.idle_days();
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

/// What leaving the task over a night may add where doing it in a day adds as much as is found, and leaving
/// it out costs the limit: now and then the dearer of the two is taken. None where no night is tried.
fn night_limit(
    state: &State<'_>,
    dice: Option<&mut Dice>,
    task: u32,
    (found, limit): (i64, i64),
) -> Option<i64> {
    if state.setting.parts.cuts(task).is_empty() {
        return None;
    }
    match dice.map_or(WHICHEVER, |dice| dice.below(1_000)) {
        0..OTHER => Some(limit),
        OTHER..TWICE_OTHER => None,
        _ => Some(found),
    }
}

/// Where the task is cheapest in a gang-day in which clashes have a say.
fn bonded(placer: &mut Placer, state: &State<'_>, at: u32, task: u32) -> Option<Place> {
    let (route, before) = (&state.routes[at as usize], state.clashes_of(at));
    placer.best_with(state.setting, route, task, |timing| {
        state.clashes_if(at, timing) - before
    })
}
