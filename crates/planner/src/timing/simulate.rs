//! One gang-day's times and costs, for whoever asks.

use rustc_hash::FxHashMap;

use super::{Step, Timing, Turn};
use crate::rules::haul::{Call, Way};
use crate::setting::Setting;
use crate::{DaySolution, GangDay, Halt, HaltKind, Problem, StepTime};

/// The times and costs of one gang-day that does these steps in this order, or nothing if it can't.
///
/// It can't where a task is not complete or its blocks not in order, a ticket is not held, a day is
/// not allowed, the vehicle does not bear them, no window holds the whole task, the day gets longer
/// than `GangDay::latest`, or one of its other limits is passed. Tips, reloads and the break come of
/// themselves.
///
/// # Units
/// Seconds from the day's midnight; pence.
///
/// ```
/// use gangday_planner::*;
/// let minutes = |m: u32| m * 60;
/// let problem = Problem {
///     tasks: vec![Task {
///         node: 1,
///         blocks: vec![
///             Block { work: minutes(120), wait: minutes(60) },
///             Block { work: minutes(30), wait: 0 },
///         ],
///         ..Task::default()
///     }],
///     gang_days: vec![GangDay {
///         start: minutes(450),
///         end: minutes(990),
///         latest: minutes(990),
///         load: minutes(20),
///         unload: minutes(10),
///         ..GangDay::default()
///     }],
///     travel: Travel::Matrix { nodes: 2, seconds: vec![0, 600, 600, 0] },
///     ..Problem::default()
/// };
/// let steps = [Step { task: 0, block: 0 }, Step { task: 0, block: 1 }];
/// let day = simulate(&problem, 0, &steps).unwrap();
/// // 07:30 + load 20 + drive 10 = 08:00; dig until 10:00; wait until 11:00; done at 11:30.
/// assert_eq!(day.steps[1].start, minutes(11 * 60));
/// assert_eq!(day.end, minutes(11 * 60 + 30 + 10 + 10));
/// ```
#[must_use]
pub fn simulate(problem: &Problem, gang_day: u32, steps: &[Step]) -> Option<DaySolution> {
    let setting = Setting::light(problem);
    let day = problem.gang_days.get(gang_day as usize)?;
    if !in_order(&setting, day, steps) || !bears(&setting, day, steps) {
        return None;
    }
    let mut timing = Timing::default();
    if !timing.run(&setting, day, steps.iter().copied()) {
        return None;
    }
    timing.settle(&setting);
    Some(timing.answer(&setting, gang_day, day))
}

/// Whether the vehicle bears all tasks together.
pub(crate) fn bears(setting: &Setting<'_>, day: &GangDay, steps: &[Step]) -> bool {
    let begun = steps.iter().filter(|step| step.block == 0);
    let weights = begun.map(|step| u64::from(setting.task(step.task).weight));
    let weight: u64 = weights.sum();
    day.payload
        .is_none_or(|payload| weight <= u64::from(payload))
}

/// Whether each task is complete and in order, and the gang may do it.
fn in_order(setting: &Setting<'_>, day: &GangDay, steps: &[Step]) -> bool {
    let mut done: FxHashMap<u32, u32> = FxHashMap::default();
    for step in steps {
        let known = (step.task as usize) < setting.facts.len() && setting.may(step.task, day);
        let blocks = done.entry(step.task).or_insert(0);
        if !known || *blocks != step.block {
            return false;
        }
        *blocks += 1;
    }
    done.iter()
        .all(|(&task, &blocks)| blocks as usize == setting.task(task).blocks.len())
}

impl Timing {
    /// The day as the caller sees it, once it is settled.
    pub(crate) fn answer(
        &self,
        setting: &Setting<'_>,
        gang_day: u32,
        day: &GangDay,
    ) -> DaySolution {
        let depart = self.depart(setting, day);
        let (mut node, mut left) = (day.depot, depart);
        let mut steps = Vec::with_capacity(self.turns.len());
        let mut halts = Vec::new();
        for (at, turn) in self.turns.iter().enumerate() {
            pause(&mut halts, at, left, turn.pause);
            let free = left + turn.pause;
            let way = turn.call.way(setting, day, (node, turn.node), free);
            halts.extend(call((at, turn), &way));
            let (arrive, finish) = (way.arrive, self.settled_finish(at));
            let Step { task, block } = turn.step;
            steps.push(StepTime {
                task,
                block,
                arrive,
                start: turn.settled,
                finish,
            });
            (node, left) = (turn.node, finish);
        }
        pause(&mut halts, self.turns.len(), left, self.home_pause);
        DaySolution {
            gang_day,
            depart,
            steps,
            halts,
            back: self.back,
            end: self.end,
            costs: self.price(setting, day),
        }
    }
}

/// The break, where it stands before this turn.
fn pause(halts: &mut Vec<Halt>, at: usize, from: u32, lasts: u32) {
    if lasts > 0 {
        halts.push(Halt {
            before: at as u32,
            kind: HaltKind::Break,
            from,
            until: from + lasts,
        });
    }
}

/// The call on the way to this turn.
fn call((at, turn): (usize, &Turn), way: &Way) -> Option<Halt> {
    let kind = match turn.call {
        Call::Nowhere => return None,
        Call::Tip(place) => HaltKind::Tip(place),
        Call::Reload => HaltKind::Reload,
    };
    Some(Halt {
        before: at as u32,
        kind,
        from: way.there,
        until: way.there + way.stay,
    })
}
