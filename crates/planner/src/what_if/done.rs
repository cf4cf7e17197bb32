//! Tasks of which the first blocks are done: they stay where they are, and only the rest goes elsewhere.

use std::collections::BTreeSet;

use super::arrange::rank;
use super::levels::Level;
use super::{Change, Touched, WhatIf};
use crate::parts::{Parts, apart};
use crate::search::Route;
use crate::timing::Step;
use crate::{Cut, Locked, Problem, Task};

/// What is done of each task.
#[derive(Clone, Debug, Default)]
pub(super) struct Done {
    /// How many of its blocks, from the first on; nothing at all where none of any is.
    blocks: Vec<u32>,
    /// The first part of the cut after them, where another block is left and it can be cut there.
    firsts: Vec<Option<u32>>,
}

/// What is left of a task that goes to a gang-day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rest {
    /// What is done of it, as a task of its own; the rest is the one after it.
    first: u32,
    /// How many blocks that has.
    done: u32,
    /// The gang-day in which that stays.
    home: u32,
}

/// The problem taken apart, wherever its tasks may be left over a night and after what is done of them too.
pub(super) fn taken_apart(mut problem: Problem, blocks: &[u32]) -> (Problem, Parts, Done) {
    let own = problem.tasks.iter_mut().zip(blocks);
    let stated: Vec<Option<Task>> = own.map(|(task, done)| opened(task, *done)).collect();
    let wholes = problem.tasks.len();
    let taken = apart(&problem);
    let (mut problem, parts) = taken.unwrap_or((problem, Parts::none(wholes)));
    let mut firsts = vec![None; stated.len()];
    for (whole, stated) in (0..).zip(&stated) {
        let Some(stated) = stated else { continue };
        let done = blocks[whole as usize];
        for &first in parts.cuts(whole) {
            let own = &mut problem.tasks[first as usize..][..2];
            let before = own[0].blocks.len();
            if before == done as usize {
                firsts[whole as usize] = Some(first);
            }
            if !is_left_locked(stated) {
                let locked = stated.locked.as_ref();
                own[0].locked = locked.map(|locked| starts(locked, 0, before));
                own[1].locked = locked
                    .map(|locked| starts(locked, before, usize::MAX))
                    .filter(|locked| locked.starts.iter().any(Option::is_some));
            }
            own[1].windows.clone_from(&stated.windows);
            if parts.days(first).is_empty() {
                // On no days of its own: what is done is where it is, and the rest has those of the whole.
                own[0].days.clear();
                own[1].days.clone_from(&stated.days);
            }
        }
        let now = &mut problem.tasks[whole as usize];
        now.windows.clone_from(&stated.windows);
        if !is_left_locked(stated) {
            now.locked.clone_from(&stated.locked);
        }
    }
    let blocks = match blocks.iter().any(|done| *done > 0) {
        true => blocks.to_vec(),
        false => Vec::new(),
    };
    (problem, parts, Done { blocks, firsts })
}

/// Has a task of which a part is done be such that it can be cut after that, and gives it as it was stated; none
/// where nothing is done of it, or everything, or where what comes after a night is locked.
fn opened(task: &mut Task, done: u32) -> Option<Task> {
    let after = done.checked_sub(1)?;
    if done as usize >= task.blocks.len() {
        return None;
    }
    let stated = task.clone();
    if is_left_locked(task) {
        let left = task.nights.as_ref()?.left.as_ref()?;
        return (left.after == after).then_some(stated);
    }
    let nights = task.nights.get_or_insert_default();
    // A plan may have it cut elsewhere, by hand and whatever its nights allow.
    let left = nights.left.as_ref().map(|left| left.after);
    for after in [Some(after), left].into_iter().flatten() {
        if nights.cuts.iter().all(|cut| cut.after != after) {
            let days = Vec::new();
            nights.cuts.push(Cut { after, days });
        }
    }
    task.windows.clear();
    if let Some(locked) = &mut task.locked {
        let later = locked.starts.iter_mut().skip(done as usize);
        later.for_each(|start| *start = None);
    }
    Some(stated)
}

/// Whether what comes after a night stays where it is.
fn is_left_locked(task: &Task) -> bool {
    let nights = task.nights.as_ref();
    let left = nights.and_then(|nights| nights.left.as_ref());
    left.is_some_and(|left| left.rest.is_some())
}

/// What stays of some blocks.
fn starts(locked: &Locked, from: usize, until: usize) -> Locked {
    let all = &locked.starts;
    let until = until.min(all.len());
    Locked {
        starts: all[from.min(until)..until].to_vec(),
        ..*locked
    }
}

impl WhatIf<'_> {
    /// How many blocks of a whole task are done.
    fn done_of(&self, task: u32) -> u32 {
        self.done.blocks.get(task as usize).copied().unwrap_or(0)
    }

    /// The first block of a task that can go elsewhere by itself, with those after it; the first of all where nothing
    /// is done.
    pub(super) fn first_left(&self, task: u32) -> u32 {
        let first = self.done.firsts.get(task as usize).copied().flatten();
        first.map_or(0, |_| self.done_of(task))
    }

    /// Whether all of a task is done.
    fn is_done(&self, task: u32) -> bool {
        let all = self.timed.strict.task(task).blocks.len() as u32;
        all > 0 && self.done_of(task) == all
    }

    /// What of a task goes to this gang-day if it is taken there; none where all of it does, because nothing is
    /// done of it or the day is none on which it could be gone on with.
    pub(super) fn rest_to(&self, task: u32, to: u32) -> Option<Rest> {
        let first = (*self.done.firsts.get(task as usize)?)?;
        let parts = &self.timed.strict.parts;
        let begins = |part: u32| {
            parts
                .step(Step {
                    task: part,
                    block: 0,
                })
                .block
                == 0
        };
        let placed = self.placed(task);
        let &(_, home) = placed.iter().find(|(part, _)| begins(*part))?;
        let later = self.day(home) < self.routes.get(to as usize)?.day.day;
        let done = self.done_of(task);
        later.then_some(Rest { first, done, home })
    }

    /// Whether something that is done stays where it is while what is left, or other tasks, go.
    #[must_use]
    pub fn leaves_done(&self, change: &Change) -> bool {
        match *change {
            Change::Move { task, gang_day, .. } => self.rest_to(task, gang_day).is_some(),
            Change::Gather {
                ref tasks,
                gang_day,
            } => tasks
                .iter()
                .any(|&task| self.stays(task, gang_day) || self.rest_to(task, gang_day).is_some()),
            Change::Swap { one, other } => [(one, other), (other, one)]
                .into_iter()
                .any(|(at, to)| !self.parted(at, to).stays.is_empty()),
            _ => false,
        }
    }

    /// Whether all of a task is done, elsewhere.
    pub(super) fn stays(&self, task: u32, to: u32) -> bool {
        let placed = self.placed(task);
        self.is_done(task) && placed.iter().any(|(_, at)| *at != to)
    }

    /// The rest of a task, as a task, and the gang-day where all of it that is left is; none where that is more than one.
    pub(super) fn left_in(&self, task: u32, rest: Rest) -> (u32, Option<u32>) {
        let placed = self.placed(task);
        let own = rest.first + 1;
        let home = match &placed[..] {
            [(_, home)] => Some(*home),
            _ => self.home_of(own),
        };
        (own, home)
    }

    /// A step of a task whose rest goes as one of its two parts; and whether it is of the rest.
    pub(super) fn of_rest(&self, rest: Rest, step: Step) -> (Step, bool) {
        let parts = &self.timed.strict.parts;
        let step = parts.within(rest.first, parts.step(step).block);
        (step, step.task != rest.first)
    }

    /// The rest of a task goes to another gang-day.
    pub(super) fn shift_rest(
        &self,
        task: u32,
        (rest, to): (Rest, u32),
        at: Option<u32>,
    ) -> Option<Touched> {
        let mut touched = Touched::default();
        let mut target = self.routes.get(to as usize)?.clone();
        let parts = &self.timed.strict.parts;
        let homes: BTreeSet<u32> = self.placed(task).iter().map(|own| own.1).collect();
        for home in homes {
            let route = &self.routes[home as usize];
            let stays = route.steps().filter_map(|step| {
                if parts.whole(step.task) != task {
                    return Some(step);
                }
                let (step, goes) = self.of_rest(rest, step);
                (!goes).then_some(step)
            });
            let set = self.timed.set(route, &stays.collect::<Vec<_>>())?;
            if home == to {
                target = set.0;
            } else {
                touched.add(set);
            }
        }
        touched.add(match at {
            Some(at) => self.timed.arranged(&target, (rest.first + 1, 0), at)?,
            None => self.timed.with(&target, rest.first + 1)?,
        });
        Some(touched)
    }

    /// Each of two gang-days does what the other did, but for what is done.
    pub(super) fn swap(&self, one: u32, other: u32) -> Option<Touched> {
        let mut touched = Touched::default();
        let both = [
            self.routes.get(one as usize)?,
            self.routes.get(other as usize)?,
        ];
        let parted = [self.parted(one, other), self.parted(other, one)];
        for (here, there) in [(0, 1), (1, 0)] {
            let (own, coming) = (&parted[here], &parted[there].goes);
            touched.add(self.joined(both[here], own, coming)?);
        }
        (one != other).then_some(touched)
    }

    /// The gang-day with what stays in it and what comes; in the order of both, or of their times before.
    fn joined(&self, route: &Route, own: &Parted, coming: &[Timed]) -> Option<(Route, Level)> {
        let all = own.stays.iter().chain(coming).chain(&own.follows);
        let mut all: Vec<Timed> = all.copied().collect();
        let steps = |all: &[Timed]| all.iter().map(|own| own.0).collect::<Vec<Step>>();
        let set = self.timed.set(route, &steps(&all));
        if own.stays.is_empty() {
            return set;
        }
        all.sort_by_key(|own| own.1);
        let by_time = self.timed.set(route, &steps(&all));
        set.into_iter().chain(by_time).min_by_key(rank)
    }

    /// What of a gang-day stays and what goes where it is swapped for another.
    fn parted(&self, at: u32, to: u32) -> Parted {
        let mut parted = Parted::default();
        let parts = &self.timed.strict.parts;
        let turns = self.routes.get(at as usize);
        for turn in turns.iter().flat_map(|route| &route.timing.turns) {
            let whole = parts.whole(turn.step.task);
            let from = |to: u32, home: u32| {
                let rest = self.rest_to(whole, to);
                rest.filter(|rest| rest.home == home)
            };
            let (list, step) = if self.is_done(whole) {
                (&mut parted.stays, turn.step)
            } else if let Some(rest) = from(to, at) {
                match self.of_rest(rest, turn.step) {
                    (step, true) => (&mut parted.goes, step),
                    (step, false) => (&mut parted.stays, step),
                }
            } else if let Some(rest) = from(at, to) {
                (&mut parted.follows, self.of_rest(rest, turn.step).0)
            } else {
                (&mut parted.goes, turn.step)
            };
            list.push((step, turn.settled));
        }
        parted
    }
}

/// A step, and when it was in its gang-day, s.
type Timed = (Step, u32);

/// The steps of a gang-day that is swapped for another.
#[derive(Default)]
struct Parted {
    /// Those that are done.
    stays: Vec<Timed>,
    goes: Vec<Timed>,
    /// Those of tasks whose rest is here and what is done of them there.
    follows: Vec<Timed>,
}
