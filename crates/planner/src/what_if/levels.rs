//! How far a gang-day changed by hand keeps the rules: timed by as many of them as it can keep.

use gangday_model::CureTimes;

use crate::parts::Parts;
use crate::search::{Placer, Route, merged};
use crate::setting::{FOREVER, Setting};
use crate::timing::Step;
use crate::{GangDay, Load, Problem, Task};

/// How far the rules are kept, most first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Level {
    /// All of them.
    Kept,
    /// All that have to do with time; the gang may lack a ticket, or the date be wrong.
    Bent,
    /// Those of the tasks, not those of the day.
    Late,
    /// Order, waits and travel only.
    Loose,
}

/// The problem, and the same with fewer rules.
pub(super) struct Timed<'a> {
    pub(super) strict: Setting<'a>,
    /// Hours are kept, but anybody may do anything on any day for as long as it takes.
    later: Setting<'a>,
    loose: Setting<'a>,
}

/// Without what says who may do it when, and what it loads.
fn later_task(task: &Task) -> Task {
    Task {
        days: Vec::new(),
        tickets: 0,
        out: Load::default(),
        back: Load::default(),
        shake: 0,
        locked: None,
        weight: 0,
        ..task.clone()
    }
}

fn loose_task(task: &Task) -> Task {
    Task {
        windows: Vec::new(),
        most: Vec::new(),
        ..later_task(task)
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

fn with_fewer_rules(problem: &Problem, task: fn(&Task) -> Task) -> Problem {
    Problem {
        tasks: problem.tasks.iter().map(task).collect(),
        gang_days: problem.gang_days.iter().map(loose_day).collect(),
        travel: problem.travel.clone(),
        other_travel: problem.other_travel.clone(),
        hours: problem.hours.clone(),
        rates: problem.rates,
        cures: problem.cures.iter().map(CureTimes::at_any_cold).collect(),
        ..Problem::default()
    }
}

/// The problem without what says who may do what.
pub(super) fn later(problem: &Problem) -> Problem {
    with_fewer_rules(problem, later_task)
}

/// The problem with order, waits and travel only.
pub(super) fn loose(problem: &Problem) -> Problem {
    with_fewer_rules(problem, loose_task)
}

impl<'a> Timed<'a> {
    pub(super) fn new([strict, later, loose]: [&'a Problem; 3], parts: &Parts) -> Self {
        let setting = |problem| Setting::light(problem).apart(parts);
        Self {
            strict: setting(strict),
            later: setting(later),
            loose: setting(loose),
        }
    }

    /// By what a gang-day of this level was timed.
    pub(super) fn by(&self, level: Level) -> &Setting<'a> {
        match level {
            Level::Loose => &self.loose,
            _ => &self.strict,
        }
    }

    /// The gang-day with these steps, by as many of the rules as it can keep.
    pub(super) fn set(&self, route: &Route, steps: &[Step]) -> Option<(Route, Level)> {
        let stated = self.strict.problem.gang_days[route.gang_day as usize];
        let may = |step: &Step| self.strict.may(step.task, &stated);
        let timed = |setting: &Setting<'_>, day: GangDay| {
            let mut route = Route::empty(route.gang_day, day);
            route.set(setting, steps, 0).then_some(route)
        };
        if let Some(route) = timed(&self.strict, stated) {
            let kept = steps.iter().all(may);
            return Some((route, if kept { Level::Kept } else { Level::Bent }));
        }
        let late = loose_day(&stated);
        timed(&self.strict, late)
            .map(|route| (route, Level::Late))
            .or_else(|| Some((timed(&self.loose, late)?, Level::Loose)))
    }

    /// The gang-day with the task where it adds least, by as many of the rules as it can keep.
    pub(super) fn with(&self, route: &Route, task: u32) -> Option<(Route, Level)> {
        let stated = self.strict.problem.gang_days[route.gang_day as usize];
        let late = loose_day(&stated);
        let tries = [
            (&self.strict, stated),
            (&self.later, late),
            (&self.loose, late),
        ];
        let mut placer = Placer::default();
        let steps: Vec<Step> = route.steps().collect();
        tries.into_iter().find_map(|(setting, day)| {
            let mut route = Route::empty(route.gang_day, day);
            route.set(setting, &steps, 0).then_some(())?;
            let place = placer.best(setting, &route, task)?;
            let steps: Vec<Step> = merged(&route, task, &place.at).collect();
            self.set(&route, &steps)
        })
    }
}
