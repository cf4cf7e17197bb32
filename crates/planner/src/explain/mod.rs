//! Why tasks are left out.
//!
//! First what no plan could help, the tightest rule first: tickets, then dates, then site hours,
//! then the length of a day. Where nothing of that stands in the way, the plan does: then the
//! gang-days are asked what they would need.

mod why;

pub use why::Why;

use crate::search::{Placer, Route, merged};
use crate::setting::{FOREVER, Setting};
use crate::timing::{Step, Timing};
use crate::{GangDay, Problem, Solution};

/// Why the solution leaves this task out, the tightest reason first; never empty for a task that is
/// left out, and empty for one that is not.
#[must_use]
pub fn explain(problem: &Problem, solution: &Solution, task: u32) -> Vec<Why> {
    if !solution.left_out.contains(&task) {
        return Vec::new();
    }
    let setting = Setting::light(problem);
    Explainer::new(&setting, solution).why(task)
}

/// [`explain`] for every task left out, in order; faster than one by one.
#[must_use]
pub fn explain_all(problem: &Problem, solution: &Solution) -> Vec<(u32, Vec<Why>)> {
    let setting = Setting::light(problem);
    let mut explainer = Explainer::new(&setting, solution);
    solution
        .left_out
        .iter()
        .map(|&task| (task, explainer.why(task)))
        .collect()
}

struct Explainer<'a> {
    setting: &'a Setting<'a>,
    /// The plan's gang-days, and the same if they could last for ever.
    planned: Vec<Route>,
    endless: Vec<Route>,
    placer: Placer,
}

impl<'a> Explainer<'a> {
    fn new(setting: &'a Setting<'a>, solution: &Solution) -> Self {
        let mut planned = Vec::new();
        let mut endless = Vec::new();
        for (at, day) in (0..).zip(&setting.problem.gang_days) {
            planned.push(route(setting, solution, at, *day));
            endless.push(route(
                setting,
                solution,
                at,
                GangDay {
                    latest: FOREVER,
                    payload: None,
                    ..*day
                },
            ));
        }
        Self {
            setting,
            planned,
            endless,
            placer: Placer::default(),
        }
    }

    fn why(&mut self, task: u32) -> Vec<Why> {
        let mut whys = Vec::new();
        let days = self.able(task, &mut whys);
        self.hours(task, &mut whys);
        if whys.is_empty() {
            whys.extend(self.day(task, &days));
        }
        if whys.is_empty() {
            whys.push(self.plan(task, &days));
        }
        whys
    }

    /// The gang-days whose gang may do the task at all, or why there are none.
    fn able(&self, task: u32, whys: &mut Vec<Why>) -> Vec<u32> {
        let all = &self.setting.problem.gang_days;
        let stated = self.setting.task(task);
        if !self.setting.facts(task).sound {
            whys.push(Why::NoWork);
            return Vec::new();
        }
        let days: Vec<u32> = (0..)
            .zip(all)
            .filter(|(_, day)| self.setting.may(task, day))
            .map(|(at, _)| at)
            .collect();
        if days.is_empty() {
            let tickets = tickets(all, stated.tickets);
            let held = tickets.is_none();
            whys.extend(tickets);
            let others = all
                .iter()
                .filter(|day| allowed(&stated.days, day.day))
                .count();
            match others {
                0 => whys.push(Why::NoDay),
                others if held => whys.push(Why::NoGangThen {
                    others: others as u32,
                }),
                _ => {}
            }
        }
        days
    }

    fn hours(&self, task: u32, whys: &mut Vec<Why>) {
        let facts = self.setting.facts(task);
        let lengths = facts
            .windows
            .iter()
            .map(|&(open, until)| until.saturating_sub(open));
        if let Some(window) = lengths.max().filter(|&window| facts.shortest > window) {
            whys.push(Why::LongerThanHours {
                needs: facts.shortest,
                window,
            });
        }
    }

    /// What stands in the way even were the task alone on its gang-day.
    fn day(&self, task: u32, days: &[u32]) -> Option<Why> {
        let alone = days.iter().map(|&at| self.alone(task, at));
        let closest = alone
            .clone()
            .min_by_key(|alone| (alone.over, alone.gang_day))?;
        if closest.over == 0 {
            return None;
        }
        let long = alone.clone().all(|alone| alone.needs > alone.lasts);
        let shortest =
            alone.min_by_key(|alone| (alone.needs.saturating_sub(alone.lasts), alone.gang_day))?;
        let Alone {
            needs,
            lasts,
            gang_day,
            ..
        } = shortest;
        Some(if long {
            Why::LongerThanDay {
                needs,
                lasts,
                gang_day,
            }
        } else {
            Why::HoursOutsideDay {
                over: closest.over,
                gang_day: closest.gang_day,
            }
        })
    }

    fn alone(&self, task: u32, gang_day: u32) -> Alone {
        let day = &self.setting.problem.gang_days[gang_day as usize];
        let facts = self.setting.facts(task);
        let node = self.setting.task(task).node;
        let out = day
            .load
            .saturating_add(self.setting.travel(day, day.depot, node));
        let home = self
            .setting
            .travel(day, node, day.depot)
            .saturating_add(day.unload);
        let arrive = day.start.saturating_add(out);
        let any = [(0, u32::MAX)];
        let windows = if facts.windows.is_empty() {
            &any[..]
        } else {
            &facts.windows
        };
        let over = |&(open, until): &(u32, u32)| {
            let done = arrive.max(open).saturating_add(facts.shortest);
            let too_late = done.saturating_sub(until);
            too_late.max(done.saturating_add(home).saturating_sub(day.latest))
        };
        Alone {
            gang_day,
            needs: out.saturating_add(facts.shortest).saturating_add(home),
            lasts: day.latest.saturating_sub(day.start),
            over: windows.iter().map(over).min().unwrap_or(0),
        }
    }

    /// What the gang-days of the plan would need, or what the task would add.
    fn plan(&mut self, task: u32, days: &[u32]) -> Why {
        let left_out = self.setting.task(task).left_out;
        let fits = days.iter().filter_map(|&at| {
            let place = self
                .placer
                .best(self.setting, &self.planned[at as usize], task)?;
            Some((place.added, at))
        });
        if let Some((adds, gang_day)) = fits.min() {
            return if adds < left_out {
                Why::Stopped { adds, gang_day }
            } else {
                Why::NotWorth {
                    adds,
                    left_out,
                    gang_day,
                }
            };
        }
        let tightest = days
            .iter()
            .filter_map(|&at| Some((self.over(task, at)?, at)))
            .min();
        match tightest {
            Some(((over, end), gang_day)) => {
                let shift = self.setting.problem.gang_days[gang_day as usize].end;
                Why::Full {
                    over,
                    gang_day,
                    past_shift: end.saturating_sub(shift),
                }
            }
            None => Why::Taken {
                gang_days: days.len() as u32,
            },
        }
    }

    /// By how much the gang-day would have to be longer to take the task as well, and its end then.
    fn over(&mut self, task: u32, at: u32) -> Option<(u32, u32)> {
        let route = &self.endless[at as usize];
        let place = self.placer.best(self.setting, route, task)?;
        let mut timing = Timing::default();
        timing
            .run(self.setting, &route.day, merged(route, task, &place.at))
            .then_some(())?;
        let latest = self.setting.problem.gang_days[at as usize].latest;
        Some((timing.end.saturating_sub(latest), timing.end))
    }
}

/// A task alone on a gang-day.
struct Alone {
    gang_day: u32,
    /// How long it takes, loading to unloading, without a wait for its site hours.
    needs: u32,
    /// How long the day may last.
    lasts: u32,
    /// By how much it is too long, or its site hours too early.
    over: u32,
}

fn route(setting: &Setting<'_>, solution: &Solution, at: u32, day: GangDay) -> Route {
    let mut route = Route::empty(at, day);
    if let Some(planned) = solution.days.iter().find(|planned| planned.gang_day == at) {
        let steps = planned.steps.iter().map(|step| Step {
            task: step.task,
            block: step.block,
        });
        let steps: Vec<Step> = steps.collect();
        route.set(setting, &steps, u64::from(at));
    }
    route
}

fn allowed(days: &[bool], day: u32) -> bool {
    days.is_empty() || days.get(day as usize).copied().unwrap_or(false)
}

/// Why no gang may do a task that needs these tickets, if it is for them.
fn tickets(all: &[GangDay], needed: u64) -> Option<Why> {
    let held = all.iter().fold(0, |held, day| held | day.tickets);
    if needed & !held != 0 {
        return Some(Why::NobodyHolds {
            tickets: needed & !held,
        });
    }
    let lacking = |(_, day): &(u32, &GangDay)| (needed & !day.tickets).count_ones();
    let (gang_day, best) = (0..).zip(all).min_by_key(lacking)?;
    let lacking = needed & !best.tickets;
    (lacking != 0).then_some(Why::NoGangHoldsAll { lacking, gang_day })
}
