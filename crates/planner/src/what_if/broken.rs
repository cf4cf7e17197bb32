//! The rules that a change by hand would break, in the plan's own words.

use super::{Touched, WhatIf};
use crate::rules::bonds::Closed;
use crate::rules::{gap, haul, locked};
use crate::search::Route;
use crate::setting::Setting;
use crate::{Clash, Load};

/// A rule that a change would break.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    /// The checker's code for it.
    pub code: &'static str,
    /// Which gang-day.
    pub gang_day: u32,
    /// Which task, where it is about one.
    pub task: Option<u32>,
    /// By how many seconds, kilograms or points, where that says something.
    pub by: u32,
}

impl Broken {
    pub(super) fn of(code: &'static str, gang_day: u32, task: u32) -> Self {
        Self {
            code,
            gang_day,
            task: Some(task),
            by: 0,
        }
    }
}

/// Each planned task's closure, where there are clashes.
pub(super) fn closures(setting: &Setting<'_>, routes: &[Route]) -> Vec<Option<Closed>> {
    let mut all = vec![None; setting.bonds.len()];
    for route in routes.iter().filter(|_| !setting.bonds.is_empty()) {
        for (task, closed) in route.timing.closures_of(setting, route.day.day) {
            all[task as usize] = Some(closed);
        }
    }
    all
}

/// The rules that this gang-day, timed without them, breaks.
pub(super) fn of_day(setting: &Setting<'_>, route: &Route) -> Vec<Broken> {
    let stated = &setting.problem.gang_days[route.gang_day as usize];
    let timing = &route.timing;
    let mut all = Vec::new();
    let mut add = |code, task, by| {
        all.push(Broken {
            code,
            gang_day: route.gang_day,
            task,
            by,
        });
    };
    if timing.end > stated.latest {
        add("R-SHIFTEND", None, timing.end - stated.latest);
    }
    if let Some(most) = stated.driving.filter(|most| timing.travel > *most) {
        add("R-DRIVE", None, timing.travel - most);
    }
    let shaken: u64 = route
        .tasks()
        .map(|task| u64::from(setting.task(task).shake))
        .sum();
    if let Some(most) = stated.shake.filter(|most| shaken > u64::from(*most)) {
        add(
            "R-SHAKE",
            None,
            u32::try_from(shaken).unwrap_or(u32::MAX) - most,
        );
    }
    let mut turns = timing.turns.clone();
    if setting.hauls && !haul::plan_calls(setting, stated, &mut turns) {
        add("R-LOAD", None, over(setting, route));
    } else if turns
        .iter()
        .zip(&timing.turns)
        .any(|(new, old)| new.call != old.call)
    {
        // It could be borne by way of the tip or the depot, for which there is no time.
        add("R-LOAD", None, 0);
    }
    for (task, worked) in timing.worked_of(setting) {
        let own = setting.task(task);
        let within = |window: &(u32, u32)| window.0 <= worked.0 && worked.1 <= window.1;
        if own.tickets & !stated.tickets != 0 {
            add("R-TICKET", Some(task), 0);
        }
        if !may_be_on(setting, task, stated.day) {
            add("R-DATES", Some(task), 0);
        }
        if !own.windows.is_empty() && !own.windows.iter().any(within) {
            add("R-HOURS", Some(task), 0);
        }
        if unlocked(setting, route, task) {
            add("R-LOCKED", Some(task), 0);
        }
        if turns_late(setting, route, task) {
            add("R-GAP", Some(task), 0);
        }
    }
    all
}

/// Whether its dates allow the task a day. A part has the days of its cuts, which are another rule, besides those of
/// the whole.
fn may_be_on(setting: &Setting<'_>, task: u32, day: u32) -> bool {
    let allows = |task: u32| {
        let days = &setting.task(task).days;
        days.is_empty() || days.get(day as usize).copied().unwrap_or(false)
    };
    allows(task) || allows(setting.parts.whole(task))
}

/// Whether the task is locked, and not here or not now.
fn unlocked(setting: &Setting<'_>, route: &Route, task: u32) -> bool {
    let own = route.timing.turns.iter();
    let mut own = own.filter(|turn| turn.step.task == task);
    !locked::may(setting.task(task), &route.day)
        || own.any(|turn| locked::start(setting, turn.step).is_some_and(|at| at != turn.settled))
}

fn turns_late(setting: &Setting<'_>, route: &Route, task: u32) -> bool {
    let turns = &route.timing.turns;
    let own = (0..turns.len()).filter(|&at| turns[at].step.task == task);
    own.into_iter()
        .any(|at| gap::pull(setting, turns, at).is_some())
}

/// By how many kilograms the heaviest task passes the payload.
fn over(setting: &Setting<'_>, route: &Route) -> u32 {
    let most = setting.problem.gang_days[route.gang_day as usize].payload;
    let heaviest = |load: Load| load.kg.saturating_sub(most.unwrap_or(u32::MAX));
    let tasks = route.tasks().map(|task| setting.task(task));
    let by = tasks.map(|task| heaviest(task.out).max(heaviest(task.back)));
    by.max().unwrap_or(0)
}

impl WhatIf<'_> {
    /// What the clashes of the plan cost now.
    pub(super) fn clashes_now(&self) -> i64 {
        let clashes = self.timed.strict.problem.clashes.iter();
        let meets = |clash: &&Clash| {
            let both = [clash.one, clash.other].map(|task| self.closed[task as usize]);
            both[0]
                .zip(both[1])
                .is_some_and(|(one, other)| one.meets(&other))
        };
        clashes.filter(meets).filter_map(|clash| clash.price).sum()
    }

    /// What the clashes of the touched gang-days cost more, and those that must not be.
    pub(super) fn clashes(&self, touched: &Touched) -> (i64, Vec<Broken>) {
        let mut closed: Vec<(u32, u32, Closed)> = Vec::new();
        let mut before: Vec<u32> = Vec::new();
        if self.closed.is_empty() {
            return (0, Vec::new());
        }
        for route in &touched.routes {
            let now = route.timing.closures_of(&self.timed.strict, route.day.day);
            closed.extend(now.map(|(task, own)| (task, route.gang_day, own)));
            before.extend(self.routes[route.gang_day as usize].tasks());
        }
        let mut cost = 0;
        let mut broken = Vec::new();
        for clash in &self.timed.strict.problem.clashes {
            let own = [clash.one, clash.other];
            let is_new = |task: u32| closed.iter().find(|closure| closure.0 == task);
            if own
                .iter()
                .all(|&task| is_new(task).is_none() && !before.contains(&task))
            {
                continue;
            }
            let then = own.map(|task| self.closed[task as usize]);
            let now = own.map(|task| match is_new(task) {
                Some(closure) => Some(closure.2),
                None if before.contains(&task) => None,
                None => self.closed[task as usize],
            });
            let meets = |both: [Option<Closed>; 2]| {
                both[0]
                    .zip(both[1])
                    .is_some_and(|(one, other)| one.meets(&other))
            };
            match clash.price {
                Some(price) => cost += price * (i64::from(meets(now)) - i64::from(meets(then))),
                None if meets(now) => {
                    let at = own.iter().find_map(|&task| is_new(task));
                    broken.extend(at.map(|&(task, day, _)| Broken::of("R-CLASH", day, task)));
                }
                None => {}
            }
        }
        (cost, broken)
    }
}
