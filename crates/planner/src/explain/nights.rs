//! What a night has to do with a task that is left out: whether those that it may be left over would have
//! made it fit, and whether one would that it may not.

use super::Explainer;
use super::cures::{Asker, Cure};
use super::why::Why;
use crate::parts::Parts;
use crate::search::{Placer, Route};
use crate::setting::{DAY, Setting};
use crate::{Cut, Problem};

impl Explainer<'_> {
    /// Where the task may be left over a night: what that would add, or that it does not help either.
    pub(super) fn over_a_night(&mut self, task: u32, whys: &mut Vec<Why>) {
        let cuts = self.setting.parts.cuts(task);
        if cuts.is_empty() || !self.setting.bonds(task).is_empty() {
            return;
        }
        let left_out = self.setting.left_out(task);
        let pairs = cuts
            .iter()
            .map(|&first| cheapest_pair(self.setting, &self.planned, &mut self.placer, first));
        let Some((adds, gang_day, _)) = pairs.flatten().min() else {
            whys.push(Why::Nights);
            return;
        };
        let in_a_day = whys.iter().filter_map(|why| match why {
            Why::NotWorth { adds, .. } | Why::Stopped { adds, .. } => Some(*adds),
            _ => None,
        });
        if in_a_day.min().is_some_and(|in_a_day| in_a_day <= adds) {
            return;
        }
        whys.clear();
        whys.push(Why::of_price(adds, left_out, gang_day));
    }
}

/// Where the two parts of a cut add least to the plan, night and all: how much, and the gang-days before
/// and after the night.
fn cheapest_pair(
    setting: &Setting<'_>,
    planned: &[Route],
    placer: &mut Placer,
    first: u32,
) -> Option<(i64, u32, u32)> {
    let mut places = |part: u32| -> Vec<(i64, u32)> {
        let all = (0..).zip(planned);
        all.filter_map(|(at, route)| Some((placer.best(setting, route, part)?.added, at)))
            .collect()
    };
    let (before, after) = (places(first), places(first + 1));
    let day = |at: u32| planned[at as usize].day.day;
    let pairs = before.iter().flat_map(|&(adds, at)| {
        after.iter().filter_map(move |&(more, next)| {
            let night = setting.night(first, (day(at), day(next)))?;
            Some((adds + more + night.total(), at, next))
        })
    });
    pairs.min()
}

/// The first parts of a task's cuts over one night, were it allowed, added to the problem: wherever what
/// is waited for is over in the morning, however late the evening before.
pub(super) fn allowed(problem: &mut Problem, parts: &mut Parts, task: u32) -> Vec<u32> {
    let stated = &problem.tasks[task as usize];
    let has_cuts = !parts.cuts(task).is_empty();
    if has_cuts || stated.locked.is_some() || !stated.windows.is_empty() {
        return Vec::new();
    }
    let gap = |at: u32| stated.most.get(at as usize).copied().flatten();
    let blocks = (stated.blocks.len() as u32).saturating_sub(1);
    let cuts = (0..blocks).filter(|&at| gap(at).is_none());
    let cuts: Vec<Cut> = cuts
        .map(|after| Cut {
            after,
            days: nights(problem, task, after),
        })
        .collect();
    let cuts = cuts.iter().filter(|cut| !cut.days.is_empty());
    cuts.map(|cut| parts.add(problem, task, cut)).collect()
}

/// Each day and the next, where what the block needs is over by then.
fn nights(problem: &Problem, task: u32, after: u32) -> Vec<(u32, u32)> {
    let stated = &problem.tasks[task as usize];
    let days = || problem.gang_days.iter();
    let last = days().map(|day| day.day).max().unwrap_or(0);
    let is_over = |left: u32| {
        let begins = days()
            .filter(|day| day.day == left + 1)
            .map(|day| day.start);
        let begins = begins.min().map(|start| start.saturating_add(DAY));
        let ready = days().filter(|day| day.day == left).map(|day| {
            let placed = stated.placed.get(day.pace as usize);
            let placed = placed.and_then(|own| *own.get(after as usize)?);
            let cure = placed.and_then(|placed| problem.cures.get(placed.cure as usize));
            match cure {
                Some(cure) => cure.ready(day.latest),
                None => day.latest + stated.blocks_at(day.pace)[after as usize].wait,
            }
        });
        begins
            .zip(ready.max())
            .is_some_and(|(begins, ready)| ready <= begins)
    };
    let may = |day: u32| super::allowed(&stated.days, day);
    (0..last)
        .filter(|&left| may(left) && may(left + 1) && is_over(left))
        .map(|left| (left, left + 1))
        .collect()
}

impl Asker<'_> {
    /// What the task would add if it were left over one night, cut so.
    pub(super) fn night(&mut self, first: u32) -> Option<(i64, Cure)> {
        let found = cheapest_pair(self.setting, &self.planned, &mut self.placer, first);
        let (adds, gang_day, next) = found?;
        Some((
            adds,
            Cure::Night {
                gang_day,
                next,
                adds,
            },
        ))
    }
}

/// Shown where nights that are allowed don't help.
pub(super) fn words() -> String {
    "Left over a night, as it may be, it fits no two gang-days either: before the night and after it \
     there has to be room for its parts, and what it waits for has to be over by the next start."
        .to_owned()
}
