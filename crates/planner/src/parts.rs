//! Tasks that may be left over a night, taken apart.
//!
//! For every place where a task may be cut, what is done before the night and what is done after it are
//! tasks of their own, numbered after all whole ones: either the whole is in a plan, or both parts of one
//! cut on two of its days, or nothing. So one gang-day's times know nothing of nights: the days on which a
//! cut is allowed are such that no wait is cut short, and the closure is counted until midnight before the
//! night and from midnight after it.

use smallvec::SmallVec;

use crate::setting::DAY;
use crate::timing::Step;
use crate::{Begin, Block, Clash, Cut, DaySolution, Locked, Problem, Task};

/// One of the two parts of a cut.
#[derive(Clone, Debug)]
pub(crate) struct Part {
    pub(crate) whole: u32,
    /// The first of the whole's blocks in it, and how many.
    from: u32,
    blocks: u32,
    /// On which days the first part and the rest may be; stated with the first part.
    days: Vec<(u32, u32)>,
}

/// Which tasks are parts of which.
#[derive(Clone, Debug, Default)]
pub(crate) struct Parts {
    wholes: u32,
    of: Vec<Part>,
    /// How many blocks each whole task has; nothing at all where no task has parts.
    blocks: Vec<u32>,
    /// For each whole task the first parts of its cuts, each followed by its rest; nothing at all where
    /// no task has any.
    cuts: Vec<SmallVec<[u32; 4]>>,
}

impl Parts {
    /// Of so many tasks that are all whole.
    pub(crate) fn none(wholes: usize) -> Self {
        Self {
            wholes: wholes as u32,
            ..Self::default()
        }
    }

    /// Whether no task has parts.
    pub(crate) fn is_empty(&self) -> bool {
        self.of.is_empty()
    }

    /// How many whole tasks there are; they come first.
    pub(crate) fn wholes(&self) -> u32 {
        self.wholes
    }

    /// The part that a task is, if it is one.
    pub(crate) fn part(&self, task: u32) -> Option<&Part> {
        self.of.get(task.checked_sub(self.wholes)? as usize)
    }

    /// The whole task that this one is, or is a part of.
    pub(crate) fn whole(&self, task: u32) -> u32 {
        self.part(task).map_or(task, |part| part.whole)
    }

    /// The first parts of a whole task's cuts.
    pub(crate) fn cuts(&self, whole: u32) -> &[u32] {
        self.cuts.get(whole as usize).map_or(&[], |own| own)
    }

    /// Whole tasks that have cuts.
    pub(crate) fn with_cuts(&self) -> impl Iterator<Item = u32> + '_ {
        let all = (0..).zip(&self.cuts);
        all.filter(|(_, cuts)| !cuts.is_empty())
            .map(|(whole, _)| whole)
    }

    /// The other part of the same cut, and the two in order.
    pub(crate) fn both(&self, task: u32) -> Option<(u32, [u32; 2])> {
        let part = self.part(task)?;
        Some(if part.from == 0 {
            (task + 1, [task, task + 1])
        } else {
            (task - 1, [task - 1, task])
        })
    }

    /// Whether what is cut so may be left on one day and gone on with on the other.
    pub(crate) fn may(&self, first: u32, days: (u32, u32)) -> bool {
        self.part(first)
            .is_some_and(|part| part.days.contains(&days))
    }

    /// Whether the task may be on this day as far as nights go: a part only on a day on which it may be left
    /// or gone on with.
    pub(crate) fn may_be_on(&self, task: u32, day: u32) -> bool {
        let Some((_, [first, _])) = self.both(task) else {
            return true;
        };
        let mut days = self.days(first).iter();
        days.any(|&(left, next)| day == if task == first { left } else { next })
    }

    /// The days on which the first part and the rest of a cut may be.
    pub(crate) fn days(&self, first: u32) -> &[(u32, u32)] {
        self.part(first).map_or(&[], |part| &part.days)
    }

    /// The step as one of the whole task.
    pub(crate) fn step(&self, step: Step) -> Step {
        self.part(step.task).map_or(step, |part| Step {
            task: part.whole,
            block: part.from + step.block,
        })
    }

    /// The block of a cut task as one of its parts.
    pub(crate) fn within(&self, first: u32, block: u32) -> Step {
        let before = self.part(first).map_or(0, |part| part.blocks);
        match block.checked_sub(before) {
            None => Step { task: first, block },
            Some(block) => Step {
                task: first + 1,
                block,
            },
        }
    }

    /// From when to when the task's closure is there on the day that it begins and ends so.
    pub(crate) fn stands(&self, task: u32, from: u32, until: u32) -> (u32, u32) {
        match self.part(task) {
            None => (from, until),
            Some(part) if part.from == 0 => (from, DAY.max(until)),
            Some(_) => (0, until),
        }
    }

    /// A gang-day's steps as those of whole tasks and of parts; a task that is neither whole
    /// there nor a part that there may be is left out.
    pub(crate) fn of_day(&self, steps: &[Step]) -> Vec<Step> {
        if self.blocks.is_empty() {
            return steps.to_vec();
        }
        let named = |step: &Step| {
            let own = steps.iter().filter(|other| other.task == step.task);
            let (count, first) = own.fold((0, u32::MAX), |(count, first), other| {
                (count + 1, first.min(other.block))
            });
            if self.blocks.get(step.task as usize) == Some(&count) {
                return Some(*step);
            }
            let cuts = self.cuts(step.task).iter().copied();
            let mut parts = cuts.flat_map(|cut| [cut, cut + 1]);
            let fits = |task: &u32| {
                let part = self.part(*task);
                part.is_some_and(|part| (part.from, part.blocks) == (first, count))
            };
            let block = step.block - first;
            parts.find(fits).map(|task| Step { task, block })
        };
        steps.iter().filter_map(named).collect()
    }

    /// The day with its steps as those of whole tasks.
    pub(crate) fn made_whole(&self, mut day: DaySolution) -> DaySolution {
        for step in &mut day.steps {
            let whole = self.step(step.step());
            (step.task, step.block) = (whole.task, whole.block);
        }
        day
    }

    /// Adds the two parts of a task cut after a block, and gives the first.
    pub(crate) fn add(&mut self, problem: &mut Problem, whole: u32, cut: &Cut) -> u32 {
        let stated = &problem.tasks[whole as usize];
        let all = stated.blocks.len() as u32;
        let parts = [(0, cut.after + 1), (cut.after + 1, all)];
        let tasks = parts.map(|(from, until)| Task {
            days: days(cut, from > 0),
            open: stated.open && from == 0,
            ..part(stated, from as usize, until as usize)
        });
        let first = problem.tasks.len() as u32;
        problem.tasks.extend(tasks);
        self.of.extend(parts.map(|(from, until)| Part {
            whole,
            from,
            blocks: until - from,
            days: if from == 0 {
                cut.days.clone()
            } else {
                Vec::new()
            },
        }));
        first
    }
}

/// The days on which the first part of a cut may be, or its rest.
fn days(cut: &Cut, rest: bool) -> Vec<bool> {
    let own = || {
        cut.days
            .iter()
            .map(|days| if rest { days.1 } else { days.0 })
    };
    let last = own().max().map_or(0, |last| last as usize);
    let mut days = vec![false; last + 1];
    own().for_each(|day| days[day as usize] = true);
    days
}

/// Some of a task's blocks as a task; nothing of it is locked or kept.
fn part(stated: &Task, from: usize, until: usize) -> Task {
    let of_chain = |blocks: &Vec<Block>| -> Vec<Block> {
        blocks
            .get(from..until)
            .map(<[Block]>::to_vec)
            .unwrap_or_default()
    };
    let placed = stated.placed.iter();
    let placed = placed.map(|own| own.get(from..until).map(<[_]>::to_vec).unwrap_or_default());
    let most = stated.most.get(from..until.min(stated.most.len()));
    Task {
        blocks: of_chain(&stated.blocks),
        paces: stated.paces.iter().map(of_chain).collect(),
        placed: placed.collect(),
        most: most.map(<[_]>::to_vec).unwrap_or_default(),
        locked: None,
        kept: None,
        nights: None,
        ..stated.clone()
    }
}

/// The problem with its tasks taken apart wherever that may be; none where none may.
pub(crate) fn apart(problem: &Problem) -> Option<(Problem, Parts)> {
    let wholes = problem.tasks.len();
    problem.tasks.iter().find(|task| task.nights.is_some())?;
    let mut taken = problem.clone();
    let mut parts = Parts {
        cuts: vec![SmallVec::new(); wholes],
        blocks: problem
            .tasks
            .iter()
            .map(|task| task.blocks.len() as u32)
            .collect(),
        ..Parts::none(wholes)
    };
    for (whole, task) in (0..).zip(&problem.tasks) {
        let nights = task.nights.iter().flat_map(|nights| &nights.cuts);
        for cut in nights.filter(|cut| may_be_cut(task, cut)) {
            let Some(locked) = locks(task, cut.after) else {
                continue;
            };
            let first = parts.add(&mut taken, whole, &held(problem, whole, cut));
            parts.cuts[whole as usize].push(first);
            let left = task.nights.as_ref().and_then(|own| own.left.as_ref());
            let left = left.filter(|left| left.after == cut.after);
            let kept = [task.kept, left.and_then(|left| left.kept)];
            for (part, (locked, kept)) in (first..).zip(locked.into_iter().zip(kept)) {
                let part = &mut taken.tasks[part as usize];
                (part.locked, part.kept) = (locked, kept);
            }
        }
        if rest(task).is_some() {
            taken.tasks[whole as usize].locked = Some(nowhere());
        }
    }
    taken.clashes = clashes(problem, &parts);
    let begin = problem.begin.iter().map(|begin| {
        let steps = begin.steps.iter();
        let steps: Vec<Step> = steps.map(|&(task, block)| Step { task, block }).collect();
        let steps = parts.of_day(&steps).into_iter();
        Begin {
            gang_day: begin.gang_day,
            steps: steps.map(|step| (step.task, step.block)).collect(),
        }
    });
    taken.begin = begin.collect();
    Some((taken, parts))
}

/// Whether a task may be cut so for all that it states itself.
fn may_be_cut(task: &Task, cut: &Cut) -> bool {
    let after = cut.after as usize;
    let gap = task.most.get(after).copied().flatten();
    task.windows.is_empty() && after + 1 < task.blocks.len() && gap.is_none()
}

/// The cut as the task's clashes allow it: no closure that clashes is there on a day on which nobody
/// works at it, unless that is past.
fn held(problem: &Problem, whole: u32, cut: &Cut) -> Cut {
    let mut clashes = problem.clashes.iter();
    let clashes = clashes.any(|clash| clash.one == whole || clash.other == whole);
    let days = cut.days.iter().copied();
    Cut {
        after: cut.after,
        days: days
            .filter(|(left, next)| {
                let at_once = left + 1 == *next || (left < &problem.from && *next <= problem.from);
                left < next && (!clashes || at_once)
            })
            .collect(),
    }
}

/// What stays of the part after the night.
fn rest(task: &Task) -> Option<&Locked> {
    task.nights.as_ref()?.left.as_ref()?.rest.as_ref()
}

/// What is on no gang-day.
fn nowhere() -> Locked {
    Locked {
        gang: u32::MAX,
        day: u32::MAX,
        starts: Vec::new(),
    }
}

/// What stays of each part where the task is cut after this block; none where what stays keeps it
/// from being cut there.
fn locks(task: &Task, after: u32) -> Option<[Option<Locked>; 2]> {
    let before = |locked: &Locked| Locked {
        starts: locked.starts[..locked.starts.len().min(after as usize + 1)].to_vec(),
        ..*locked
    };
    if let Some(rest) = rest(task) {
        let left = task.nights.as_ref()?.left.as_ref()?;
        let own = (left.after == after).then(|| rest.clone());
        return Some([task.locked.as_ref().map(before), Some(own?)]);
    }
    let Some(locked) = &task.locked else {
        return Some([None, None]);
    };
    let own = before(locked);
    let later = &locked.starts[own.starts.len()..];
    let stays = own.starts.iter().any(Option::is_some) && later.iter().all(Option::is_none);
    stays.then_some([Some(own), None])
}

/// Every clash once more for each part of the two.
fn clashes(problem: &Problem, parts: &Parts) -> Vec<Clash> {
    let all = |whole: u32| {
        let cuts = parts.cuts(whole).iter().copied();
        std::iter::once(whole).chain(cuts.flat_map(|cut| [cut, cut + 1]))
    };
    let each = problem.clashes.iter().flat_map(|clash| {
        let price = clash.price;
        all(clash.one).flat_map(move |one| {
            let others = all(clash.other);
            others.map(move |other| Clash { one, other, price })
        })
    });
    each.collect()
}
