//! Gang-days that are alike for the bound.

use std::collections::BTreeMap;

use crate::GangDay;
use crate::setting::Setting;
use crate::timing::{by_begun_hour, crew};

/// Gang-days that cost and allow the same.
pub(super) struct Class {
    pub(super) day: GangDay,
    pub(super) count: i64,
    /// Those gang-days, by number.
    pub(super) days: Vec<u32>,
    /// The tasks that they may do, in order; where nobody asked, none.
    pub(super) tasks: Vec<u32>,
}

impl Class {
    /// The hours that a gang-day has for work, if it did not drive at all.
    fn hours(&self) -> i64 {
        let day = &self.day;
        let all = i64::from(day.latest) - i64::from(day.start);
        (all - i64::from(day.load) - i64::from(day.unload)).max(1)
    }

    /// What a gang-day of this class costs if it lasts so long.
    pub(super) fn crew(&self, setting: &Setting<'_>, end: u32) -> i64 {
        let (within, past) = crew(setting, &self.day, end);
        // Down by a penny, since both are rounded.
        (within + past - 1).max(0)
    }

    /// What doing the task costs at the least: its work, its shortest closure, and the part by work of
    /// a gang-day's cost before work.
    pub(super) fn least(&self, setting: &Setting<'_>, task: u32) -> i64 {
        let rates = &setting.problem.rates;
        let facts = setting.facts_at(task, self.day.pace);
        let hour = i64::from(facts.work) * rates.crew_hour / 3_600;
        let empty = i64::from(self.day.load + self.day.unload);
        let overhead = rates.gang_day + empty * rates.crew_hour / 3_600 - 2;
        let part = overhead.max(0) * i64::from(facts.work) / self.hours();
        let closure = by_begun_hour(setting.task(task).closure_hour, facts.shortest);
        (hour + part.max(0) + closure - 1).max(0)
    }
}

/// The classes by what gang-days cost and allow, and, if asked for, by the tasks that they may do; those
/// that may do nothing are then in none.
pub(super) fn of(setting: &Setting<'_>, by_tasks: bool) -> Vec<Class> {
    let mut classes: BTreeMap<(Vec<u32>, [u32; 10]), Class> = BTreeMap::new();
    for (at, day) in (0..).zip(&setting.problem.gang_days) {
        let all = 0..setting.facts.len() as u32;
        let may = |task| setting.may(task, day) && setting.parts.may_be_on(task, day.day);
        let own = all.filter(|&task| by_tasks && may(task));
        let tasks: Vec<u32> = own.collect();
        if by_tasks && tasks.is_empty() {
            continue;
        }
        let class = Class {
            day: *day,
            count: 0,
            days: Vec::new(),
            tasks: tasks.clone(),
        };
        let class = classes.entry((tasks, kind(day))).or_insert(class);
        class.count += 1;
        class.days.push(at);
    }
    classes.into_values().collect()
}

/// What tells gang-days apart in what they cost, how long they last and what they bear; the pace first.
fn kind(day: &GangDay) -> [u32; 10] {
    [
        day.pace,
        day.depot,
        day.start,
        day.end,
        day.latest,
        day.load,
        day.unload,
        day.break_after,
        day.break_lasts,
        day.shake.unwrap_or(u32::MAX),
    ]
}

/// For each class a number that those share which cost the same for the same tasks.
pub(super) fn kinds(classes: &[Class]) -> Vec<usize> {
    let same = |class: &Class| {
        let same = |other: &Class| kind(&other.day) == kind(&class.day);
        classes.iter().position(same).unwrap_or(0)
    };
    classes.iter().map(same).collect()
}

/// For each kind, by the first class of it, the others that do all that it does in no more time, for no more.
pub(super) fn easier(setting: &Setting<'_>, classes: &[Class], kinds: &[usize]) -> Vec<Vec<usize>> {
    let firsts = || (0..classes.len()).filter(|&at| kinds[at] == at);
    let of = |at: usize| -> Vec<usize> {
        let is_easier =
            |other: &usize| *other != at && is_easier(setting, &classes[*other], &classes[at]);
        firsts().filter(is_easier).collect()
    };
    (0..classes.len())
        .map(|at| if kinds[at] == at { of(at) } else { Vec::new() })
        .collect()
}

fn is_easier(setting: &Setting<'_>, one: &Class, other: &Class) -> bool {
    let paces = (one.day.pace, other.day.pace);
    kind(&one.day)[1..] == kind(&other.day)[1..]
        && setting.problem.tasks.iter().all(|task| {
            let blocks = task.blocks_at(paces.0).iter().zip(task.blocks_at(paces.1));
            blocks
                .into_iter()
                .all(|(own, its)| own.work <= its.work && own.wait <= its.wait)
        })
}

/// Classes in order, those whose kind is easier than others' first.
pub(super) fn order(easier: &[Vec<usize>], kinds: &[usize]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..kinds.len()).collect();
    order.sort_by_key(|&at| (easier[kinds[at]].len(), kinds[at]));
    order
}
