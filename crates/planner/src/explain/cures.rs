//! What would make a task fit: one thing at a time is changed, and the gang-days of the plan are asked
//! again.

use super::nights;
use super::why::{pounds, up};
use crate::parts::Parts;
use crate::search::{Placer, Route};
use crate::setting::{FOREVER, Setting};
use crate::timing::Timing;
use crate::{GangDay, Problem, Solution, Task};

/// So many pairs of task and gang-day are asked at most, so that a long list of tasks left out takes
/// no longer than a short one.
const ASKED: usize = 20_000;

/// One change that would make a task fit, on the gang-day where it adds least.
///
/// # Units
/// Seconds; pence; gang-days by their place in the problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cure {
    /// Somebody with these tickets on that gang-day.
    Tickets {
        /// The tickets that the gang lacks, a bit each.
        lacking: u64,
        /// That gang-day.
        gang_day: u32,
        /// What the task would add then.
        adds: i64,
    },
    /// That gang-day so much longer.
    Longer {
        /// How much longer.
        over: u32,
        /// That gang-day.
        gang_day: u32,
        /// What the task would add then, overtime included.
        adds: i64,
    },
    /// That gang-day, were it among its dates.
    Date {
        /// That gang-day.
        gang_day: u32,
        /// What the task would add then.
        adds: i64,
    },
    /// A night over which its works are left, which it does not allow.
    Night {
        /// The gang-day before the night.
        gang_day: u32,
        /// The one after it.
        next: u32,
        /// What the task would add then, the night included.
        adds: i64,
    },
    /// Any time of that gang-day, were it not held to its site hours.
    Hours {
        /// That gang-day.
        gang_day: u32,
        /// What the task would add then.
        adds: i64,
    },
}

impl Cure {
    /// The change in words; names are the caller's to add.
    #[must_use]
    pub fn words(&self) -> String {
        match *self {
            Self::Tickets { lacking, adds, .. } => format!(
                "With somebody who holds {} more of its tickets on one gang-day it would fit for £{}.",
                lacking.count_ones(),
                pounds(adds)
            ),
            Self::Longer { over, adds, .. } => format!(
                "With {} min more on one gang-day it would fit for £{}.",
                up(over),
                pounds(adds)
            ),
            Self::Date { adds, .. } => {
                format!(
                    "On a day outside its dates it would fit for £{}.",
                    pounds(adds)
                )
            }
            Self::Night { adds, .. } => format!(
                "Left over one night it would fit for £{}; allow that with `nights`.",
                pounds(adds)
            ),
            Self::Hours { adds, .. } => {
                format!("Outside its site hours it would fit for £{}.", pounds(adds))
            }
        }
    }
}

/// The problem with each left-out task once more for each change that is tried.
pub(super) struct Loosened {
    problem: Problem,
    parts: Parts,
    tasks: Vec<Looked>,
}

/// A task looked at: itself, and its place without tickets, without dates, without hours; and the first
/// parts of its cuts, were a night allowed.
type Looked = (u32, [u32; 3], Vec<u32>);

impl Loosened {
    pub(super) fn of(setting: &Setting<'_>, solution: &Solution) -> Self {
        let problem = setting.problem;
        let (mut loose, mut parts) = (problem.clone(), setting.parts.clone());
        let days = problem.gang_days.len().max(1);
        let looked = || solution.left_out.iter().take(ASKED / (4 * days)).copied();
        // Parts come first, one after the other.
        let cuts: Vec<Vec<u32>> = looked()
            .map(|task| nights::allowed(&mut loose, &mut parts, task))
            .collect();
        let mut tasks = Vec::new();
        for (task, cuts) in looked().zip(cuts) {
            let stated = &problem.tasks[task as usize];
            let at = loose.tasks.len() as u32;
            loose.tasks.extend(versions(stated));
            tasks.push((task, [at, at + 1, at + 2], cuts));
        }
        Self {
            problem: loose,
            parts,
            tasks,
        }
    }

    /// For each task looked at, the changes that would make it fit, the cheapest first.
    pub(super) fn cures(&self, solution: &Solution) -> Vec<(u32, Vec<Cure>)> {
        if self.tasks.is_empty() {
            return Vec::new();
        }
        let setting = Setting::light(&self.problem).apart(&self.parts);
        let mut asker = Asker::new(&setting, solution);
        self.tasks
            .iter()
            .map(|(task, versions, cuts)| (*task, asker.cures(*task, *versions, cuts)))
            .collect()
    }
}

fn versions(stated: &Task) -> [Task; 3] {
    [
        Task {
            tickets: 0,
            ..stated.clone()
        },
        Task {
            days: Vec::new(),
            ..stated.clone()
        },
        Task {
            windows: Vec::new(),
            ..stated.clone()
        },
    ]
}

pub(super) struct Asker<'a> {
    pub(super) setting: &'a Setting<'a>,
    pub(super) planned: Vec<Route>,
    endless: Vec<Route>,
    pub(super) placer: Placer,
}

impl<'a> Asker<'a> {
    fn new(setting: &'a Setting<'a>, solution: &Solution) -> Self {
        let days = || (0..).zip(&setting.problem.gang_days);
        Self {
            planned: days()
                .map(|(at, day)| super::route(setting, solution, at, *day))
                .collect(),
            endless: days()
                .map(|(at, day)| super::route(setting, solution, at, endless(*day)))
                .collect(),
            placer: Placer::default(),
            setting,
        }
    }

    fn cures(
        &mut self,
        task: u32,
        [ticketless, dateless, hourless]: [u32; 3],
        cuts: &[u32],
    ) -> Vec<Cure> {
        let stated = self.setting.task(task);
        let as_it_is = self.cheapest(task).map(|place| place.0);
        let mut cures = Vec::new();
        if let Some((adds, gang_day)) = self.cheapest(ticketless) {
            let lacking = stated.tickets & !self.day(gang_day).tickets;
            let cure = Cure::Tickets {
                lacking,
                gang_day,
                adds,
            };
            cures.extend((lacking != 0).then_some((adds, cure)));
        }
        if let Some((over, adds, gang_day)) = self.longer(task) {
            let cure = Cure::Longer {
                over,
                gang_day,
                adds,
            };
            cures.push((adds, cure));
        }
        if let Some((adds, gang_day)) = self.cheapest(dateless) {
            let allowed = super::allowed(&stated.days, self.day(gang_day).day);
            cures.extend((!allowed).then_some((adds, Cure::Date { gang_day, adds })));
        }
        if !stated.windows.is_empty()
            && let Some((adds, gang_day)) = self.cheapest(hourless)
            && as_it_is.is_none_or(|as_it_is| adds < as_it_is)
        {
            cures.push((adds, Cure::Hours { gang_day, adds }));
        }
        let nights = cuts.iter().filter_map(|&first| self.night(first));
        cures.extend(nights.min_by_key(|night| night.0));
        // What fits as it is needs no cure but one that makes it worth its cost.
        cures.retain(|cure| as_it_is.is_none() || cure.0 < stated.left_out);
        cures.sort_by_key(|cure| cure.0);
        cures.into_iter().map(|cure| cure.1).collect()
    }

    fn day(&self, gang_day: u32) -> &'a GangDay {
        &self.setting.problem.gang_days[gang_day as usize]
    }

    /// Where this version of the task adds least to the plan.
    fn cheapest(&mut self, version: u32) -> Option<(i64, u32)> {
        let (setting, placer) = (self.setting, &mut self.placer);
        let from = setting.problem.from;
        let places = (0..).zip(&self.planned);
        places
            .filter(|(_, route)| route.day.day >= from)
            .filter_map(|(at, route)| Some((placer.best(setting, route, version)?.added, at)))
            .min()
    }

    /// The gang-day that has to last least longer, by how much, and what the task adds.
    fn longer(&mut self, task: u32) -> Option<(u32, i64, u32)> {
        let (setting, placer) = (self.setting, &mut self.placer);
        let mut timing = Timing::default();
        let found = (0..).zip(&self.endless).filter_map(|(at, route)| {
            let place = placer.best(setting, route, task)?;
            let steps = crate::search::merged(route, task, &place.at);
            timing.run(setting, &route.day, steps).then_some(())?;
            let latest = setting.problem.gang_days[at as usize].latest;
            Some((timing.end.saturating_sub(latest), place.added, at))
        });
        found.min().filter(|found| found.0 > 0)
    }
}

/// The gang-day if it could last for ever.
pub(super) fn endless(day: GangDay) -> GangDay {
    GangDay {
        latest: FOREVER,
        ..day
    }
}
