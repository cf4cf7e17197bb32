//! Why tasks are left out.
//!
//! First what no plan could help, the tightest rule first: tickets, then dates, then site hours,
//! then the length of a day. Where nothing of that stands in the way, the plan does: then the
//! gang-days are asked what they would need.

mod cures;
mod nights;
mod why;

pub use cures::Cure;
pub use why::Why;

use crate::parts::{Parts, apart};
use crate::rules::bonds::{Closed, closed};
use crate::search::{Placer, Route, merged};
use crate::setting::Setting;
use crate::timing::{Step, Timing};
use crate::{GangDay, Load, Problem, Solution, StepTime};
use cures::Loosened;

/// Why the solution leaves this task out, the tightest reason first; never empty for a task that is
/// left out, and empty for one that is not.
#[must_use]
pub fn explain(problem: &Problem, solution: &Solution, task: u32) -> Vec<Why> {
    if !solution.left_out.contains(&task) {
        return Vec::new();
    }
    let apart = apart(problem);
    let setting = setting(problem, apart.as_ref());
    Explainer::new(&setting, solution).why(task)
}

/// The problem, its tasks taken apart where they may be left over a night.
fn setting<'a>(problem: &'a Problem, apart: Option<&'a (Problem, Parts)>) -> Setting<'a> {
    match apart {
        Some((problem, parts)) => Setting::light(problem).apart(parts),
        None => Setting::light(problem),
    }
}

/// [`explain`] for every task left out, in order, and what would make it fit, as far as that was tried:
/// one thing changed at a time, in a stated number of tries.
#[must_use]
pub fn explain_all(problem: &Problem, solution: &Solution) -> Vec<(u32, Vec<Why>)> {
    let apart = apart(problem);
    let setting = setting(problem, apart.as_ref());
    let mut explainer = Explainer::new(&setting, solution);
    let mut all: Vec<(u32, Vec<Why>)> = solution
        .left_out
        .iter()
        .map(|&task| (task, explainer.why(task)))
        .collect();
    let loosened = Loosened::of(&setting, solution);
    for (task, cures) in loosened.cures(solution) {
        if let Ok(at) = all.binary_search_by_key(&task, |why| why.0) {
            let whys = &mut all[at].1;
            // That a day is full says already by how much.
            let said = |cure: &Cure| {
                let longer = matches!(cure, Cure::Longer { .. });
                longer && matches!(whys.first(), Some(Why::Full { .. }))
            };
            let new: Vec<Why> = cures
                .into_iter()
                .filter(|cure| !said(cure))
                .map(Why::If)
                .collect();
            whys.extend(new);
        }
    }
    all
}

struct Explainer<'a> {
    setting: &'a Setting<'a>,
    /// The plan's gang-days, and the same if they could last for ever.
    planned: Vec<Route>,
    endless: Vec<Route>,
    placer: Placer,
    /// Each planned task's closure, where there are clashes.
    closed: Vec<Option<Closed>>,
}

impl<'a> Explainer<'a> {
    fn new(setting: &'a Setting<'a>, solution: &Solution) -> Self {
        let mut planned = Vec::new();
        let mut endless = Vec::new();
        for (at, day) in (0..).zip(&setting.problem.gang_days) {
            planned.push(route(setting, solution, at, *day));
            endless.push(route(setting, solution, at, cures::endless(*day)));
        }
        Self {
            setting,
            closed: closures(setting, solution),
            planned,
            endless,
            placer: Placer::default(),
        }
    }

    fn why(&mut self, task: u32) -> Vec<Why> {
        let mut whys = Vec::new();
        let days = self.able(task, &mut whys);
        self.hours(task, &days, &mut whys);
        if whys.is_empty() {
            whys.extend(self.day(task, &days));
        }
        if whys.is_empty() {
            whys.extend(self.alone_but_for(task, &days));
        }
        if whys.is_empty() {
            whys.push(self.plan(task, &days));
        }
        self.over_a_night(task, &mut whys);
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
        if all.is_empty() {
            whys.push(Why::NoDay);
            return days;
        }
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
                _ if stated.locked.is_some() => whys.push(Why::Locked),
                _ if held && let Some(why) = self.too_much(task) => whys.push(why),
                others if held => whys.push(Why::NoGangThen {
                    others: others as u32,
                }),
                _ => {}
            }
        }
        days
    }

    /// What no vehicle bears and no gang-day may take.
    fn too_much(&self, task: u32) -> Option<Why> {
        let stated = self.setting.task(task);
        let all = || self.setting.problem.gang_days.iter();
        let needs = Load {
            kg: stated.out.kg.max(stated.back.kg),
            litres: stated.out.litres.max(stated.back.litres),
        };
        let most = Load {
            kg: all().map(|day| day.payload.unwrap_or(u32::MAX)).max()?,
            litres: all().map(|day| day.body.unwrap_or(u32::MAX)).max()?,
        };
        if needs.kg > most.kg || needs.litres > most.litres {
            return Some(Why::Heavy { needs, most });
        }
        let most = all().map(|day| day.shake.unwrap_or(u32::MAX)).max()?;
        let needs = stated.shake;
        (needs > most).then_some(Why::Shakes { needs, most })
    }

    /// Which of the other rules stands in the way even were the task alone on its gang-day.
    fn alone_but_for(&self, task: u32, days: &[u32]) -> Option<Why> {
        let steps =
            || (0..self.setting.task(task).blocks.len() as u32).map(|block| Step { task, block });
        let mut timing = Timing::default();
        let mut fits = |day: &GangDay| timing.run(self.setting, day, steps());
        let stated = |at: &u32| &self.setting.problem.gang_days[*at as usize];
        if days.is_empty() || days.iter().any(|at| fits(stated(at))) {
            return None;
        }
        if self.setting.task(task).locked.is_some() {
            return Some(Why::Locked);
        }
        let day = stated(days.first()?);
        let node = self.setting.task(task).node;
        let out = self.setting.travel(day, day.depot, node);
        let needs = out + self.setting.travel(day, node, day.depot);
        if let Some(most) = day.driving.filter(|most| needs > *most) {
            return Some(Why::Drive { needs, most });
        }
        let rested = |at: &u32| GangDay {
            break_lasts: 0,
            ..*stated(at)
        };
        if days.iter().any(|at| fits(&rested(at))) {
            let (lasts, after) = (day.break_lasts, day.break_after);
            return Some(Why::Break { lasts, after });
        }
        Some(Why::Gap)
    }

    /// Whether the place for the task would put its closure beside one that it must not meet.
    fn clashes(&self, task: u32, at: u32, place: &crate::search::Place) -> bool {
        let hard = self
            .setting
            .problem
            .clashes
            .iter()
            .filter(|clash| clash.price.is_none());
        let mut others = hard.filter_map(|clash| match (clash.one == task, clash.other == task) {
            (true, _) => Some(clash.other),
            (_, true) => Some(clash.one),
            _ => None,
        });
        let route = &self.planned[at as usize];
        let mut timing = Timing::default();
        if self.closed.is_empty()
            || !timing.run(self.setting, &route.day, merged(route, task, &place.at))
        {
            return false;
        }
        timing.settle(self.setting);
        let mut own = timing.closures_of(self.setting, route.day.day);
        let own = own.find(|own| own.0 == task).map(|own| own.1);
        own.is_some_and(|own| {
            others.any(|other| self.closed[other as usize].is_some_and(|closed| own.meets(&closed)))
        })
    }

    fn hours(&self, task: u32, days: &[u32], whys: &mut Vec<Why>) {
        let facts = self.setting.facts(task);
        let shortest = days.iter().map(|&at| {
            let pace = self.setting.problem.gang_days[at as usize].pace;
            self.setting.facts_at(task, pace).shortest
        });
        let needs = shortest.min().unwrap_or(facts.shortest);
        let lengths = facts
            .windows
            .iter()
            .map(|&(open, until)| until.saturating_sub(open));
        if let Some(window) = lengths.max().filter(|&window| needs > window) {
            whys.push(Why::LongerThanHours { needs, window });
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
        let facts = self.setting.facts_at(task, day.pace);
        let node = self.setting.task(task).node;
        let (loaded, way, back) = (day.start + day.load, (day.depot, node), (node, day.depot));
        let arrive = self.setting.drive(day, way, loaded).arrive;
        let home = |done: u32| {
            let back = self.setting.drive(day, back, done).arrive;
            back.saturating_add(day.unload)
        };
        let any = [(0, u32::MAX)];
        let windows = if facts.windows.is_empty() {
            &any[..]
        } else {
            &facts.windows
        };
        let over = |&(open, until): &(u32, u32)| {
            let done = arrive.max(open).saturating_add(facts.shortest);
            let too_late = done.saturating_sub(until);
            too_late.max(home(done).saturating_sub(day.latest))
        };
        Alone {
            gang_day,
            needs: home(arrive.saturating_add(facts.shortest)).saturating_sub(day.start),
            lasts: day.latest.saturating_sub(day.start),
            over: windows.iter().map(over).min().unwrap_or(0),
        }
    }

    /// What the gang-days of the plan would need, or what the task would add.
    fn plan(&mut self, task: u32, days: &[u32]) -> Why {
        let left_out = self.setting.task(task).left_out;
        let mut clash = false;
        let mut best = None;
        for &at in days {
            let route = &self.planned[at as usize];
            let Some(place) = self.placer.best(self.setting, route, task) else {
                continue;
            };
            if self.clashes(task, at, &place) {
                clash = true;
            } else if best.is_none_or(|best| (place.added, at) < best) {
                best = Some((place.added, at));
            }
        }
        if clash && best.is_none() {
            return Why::Clash;
        }
        if let Some((adds, gang_day)) = best {
            return Why::of_price(adds, left_out, gang_day);
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

fn closures(setting: &Setting<'_>, solution: &Solution) -> Vec<Option<Closed>> {
    let mut all = vec![None; setting.bonds.len()];
    for day in solution.days.iter().filter(|_| !setting.bonds.is_empty()) {
        let date = setting.problem.gang_days[day.gang_day as usize].day;
        let steps = parted(setting, &day.steps);
        for step in steps.iter().filter(|step| step.block == 0) {
            all[step.task as usize] = closed(setting, &steps, step.task, date);
        }
    }
    all
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
        let steps: Vec<Step> = planned.steps.iter().map(StepTime::step).collect();
        let steps = setting.parts.of_day(&steps);
        route.set(setting, &steps, u64::from(at));
    }
    route
}

/// The steps as those of whole tasks and parts.
fn parted(setting: &Setting<'_>, steps: &[StepTime]) -> Vec<StepTime> {
    let own: Vec<Step> = steps.iter().map(StepTime::step).collect();
    let named = setting.parts.of_day(&own).into_iter().zip(steps);
    let named = named.map(|(Step { task, block }, step)| StepTime {
        task,
        block,
        ..*step
    });
    named.collect()
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
