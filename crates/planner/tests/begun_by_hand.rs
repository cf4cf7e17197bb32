//! Tasks of which the first blocks are done, changed by hand: those stay, and the rest goes.

mod common;

use common::weeks::Chance;
use common::{rules, weeks};
use gangday_planner::{
    Board, Change, Cut, Go, Iterations, Load, Locked, Nights, Outcome, Problem, Solution, StepTime,
    solve,
};

/// Every pair of days, the first before the second.
fn all_nights(days: u32) -> Vec<(u32, u32)> {
    let pairs = (0..days).flat_map(|left| (left + 1..days).map(move |next| (left, next)));
    pairs.collect()
}

fn steps(plan: &Solution, task: u32) -> Vec<(u32, StepTime)> {
    let days = plan.days.iter();
    let all = days.flat_map(|day| day.steps.iter().map(|step| (day.gang_day, *step)));
    let mut own: Vec<_> = all.filter(|(_, step)| step.task == task).collect();
    own.sort_by_key(|(_, step)| step.block);
    own
}

/// Has a third of the planned tasks be begun, or done altogether, where they are planned; and says how much of each.
fn begin(problem: &mut Problem, plan: &Solution, chance: &mut Chance) -> Vec<u32> {
    let days = problem.gang_days.iter().map(|day| day.day + 1);
    let days = days.max().unwrap_or(0);
    let mut all = Vec::new();
    for at in 0..problem.tasks.len() {
        let own = steps(plan, at as u32);
        let Some((gang_day, _)) = own.first().filter(|_| chance.once_in(3)) else {
            all.push(0);
            continue;
        };
        let done = match chance.once_in(4) {
            true => own.len() as u32,
            false => 1 + chance.below(own.len().max(2) as u64 - 1) as u32,
        };
        let day = problem.gang_days[*gang_day as usize];
        all.push(done);
        // Sometimes what is not done is promised.
        let stays = done + u32::from(chance.once_in(4));
        let start = |(_, step): &(u32, StepTime)| (step.block < stays).then_some(step.start);
        let task = &mut problem.tasks[at];
        task.locked = Some(Locked {
            gang: day.gang,
            day: day.day,
            starts: own.iter().map(start).collect(),
        });
        task.nights = chance.once_in(2).then(|| Nights {
            cuts: vec![Cut {
                after: done - 1,
                days: all_nights(days),
            }],
            left: None,
        });
        // The plain rules don't know what a closure that stands all night clashes with.
        let at = at as u32;
        problem
            .clashes
            .retain(|one| one.one != at && one.other != at);
    }
    all
}

/// The plan after a change.
fn made(problem: &Problem, plan: &Solution, outcome: &Outcome) -> Solution {
    let is_new = |gang_day: u32| outcome.days.iter().any(|new| new.gang_day == gang_day);
    let old = plan.days.iter().filter(|day| !is_new(day.gang_day));
    let new = outcome.days.iter().filter(|day| !day.steps.is_empty());
    let mut days: Vec<_> = old.chain(new).cloned().collect();
    days.sort_by_key(|day| day.gang_day);
    let after = Solution {
        left_out: Vec::new(),
        costs: outcome.costs,
        days,
    };
    let wholes = 0..problem.tasks.len() as u32;
    let left_out = wholes.filter(|&task| steps(&after, task).is_empty());
    Solution {
        left_out: left_out.collect(),
        ..after
    }
}

/// A plan by which work has begun.
struct Week {
    problem: Problem,
    plan: Solution,
    done: Vec<u32>,
}

impl Week {
    fn of(seed: u64) -> Self {
        let mut problem = weeks::week(24, 3, 3, seed);
        if seed % 2 == 1 {
            problem = weeks::with_rules(problem, seed);
            // The plain rules don't know that loads and vibration count whole on both days.
            for task in &mut problem.tasks {
                (task.out, task.back, task.shake) = (Load::default(), Load::default(), 0);
            }
        }
        problem.rates.night = 15_000;
        let plan = solve(&problem, &mut Iterations(300), seed, &mut |_| Go::On);
        let mut chance = Chance(seed + 100);
        let done = begin(&mut problem, &plan, &mut chance);
        let now = Board::begun(problem.clone(), &done);
        // Without the clashes that were taken away, and timed for what is done; the plain rules work it out too.
        let what_if = now.what_if(&plan);
        let (costs, days) = (what_if.now().0, what_if.days());
        let plan = Solution {
            costs,
            days,
            ..plan
        };
        assert_eq!(rules::broken(&problem, &plan), Vec::<String>::new());
        Self {
            problem,
            plan,
            done,
        }
    }

    fn day(&self, gang_day: u32) -> u32 {
        self.problem.gang_days[gang_day as usize].day
    }

    /// Tries a change and holds it to the plain rules; the plan after it, too.
    fn holds(&self, change: &Change) -> Option<(Outcome, Solution)> {
        let board = Board::begun(self.problem.clone(), &self.done);
        let outcome = board.what_if(&self.plan).try_change(change)?;
        let after = made(&self.problem, &self.plan, &outcome);
        assert_eq!(after.left_out.len(), outcome.left_out, "{change:?}");
        assert_eq!(
            outcome.added,
            outcome.costs.total() - self.plan.costs.total()
        );
        let wrong = rules::broken(&self.problem, &after);
        let said = &outcome.broken;
        // A promise that is broken after a night has no plain rule.
        let promise = said.iter().all(|one| one.code == "R-LOCKED");
        assert!(
            wrong.is_empty() == said.is_empty() || (wrong.is_empty() && promise),
            "{change:?}: {wrong:?} {said:?}"
        );
        Some((outcome, after))
    }

    /// Where and when what is done of a task was and is.
    fn done_part(&self, plan: &Solution, task: u32) -> Vec<(u32, u32)> {
        let done = self.done[task as usize] as usize;
        let own = steps(plan, task).into_iter().take(done);
        own.map(|(gang_day, step)| (gang_day, step.start)).collect()
    }

    /// Whether the task was begun, and this is where it could be gone on with.
    fn goes_on(&self, task: u32, to: u32) -> bool {
        let own = steps(&self.plan, task);
        let stated = &self.problem.tasks[task as usize];
        let done = self.done[task as usize] as usize;
        let gap = done > 0 && stated.most.get(done - 1).copied().flatten().is_some();
        done > 0 && done < own.len() && !gap && self.day(own[0].0) < self.day(to)
    }
}

#[test]
fn only_the_rest_of_a_begun_task_goes_to_a_later_day() {
    let (mut went, mut sound, mut back) = (0, 0, 0);
    for seed in 0..12 {
        let week = Week::of(seed);
        let mut chance = Chance(seed);
        for task in (0..24).filter(|task| week.done[*task as usize] > 0) {
            for gang_day in 0..9 {
                let at = chance
                    .once_in(2)
                    .then(|| 25_200 + chance.below(30_000) as u32);
                let change = Change::Move { task, gang_day, at };
                let Some((outcome, after)) = week.holds(&change) else {
                    continue;
                };
                let locked = outcome.broken.iter().any(|one| one.code == "R-LOCKED");
                if !week.goes_on(task, gang_day) {
                    let elsewhere = steps(&week.plan, task)[0].0 != gang_day;
                    assert!(locked || !elsewhere, "{change:?} {:?}", outcome.broken);
                    back += usize::from(locked);
                    continue;
                }
                assert_eq!(
                    week.done_part(&after, task),
                    week.done_part(&week.plan, task)
                );
                let left = &steps(&after, task)[week.done[task as usize] as usize..];
                assert!(left.iter().all(|own| own.0 == gang_day), "{left:?}");
                went += 1;
                sound += usize::from(outcome.broken.is_empty());
            }
        }
    }
    assert!(
        went > 80 && sound > 20 && back > 80,
        "{went} {sound} {back}"
    );
}

#[test]
fn what_is_left_over_a_night_is_carried_on_and_comes_back() {
    let (mut on, mut back) = (0, 0);
    for seed in 0..12 {
        let mut week = Week::of(seed);
        let planned = week.plan.clone();
        for task in (0..24).filter(|task| week.done[*task as usize] > 0) {
            week.plan = planned.clone();
            let done = week.done_part(&planned, task);
            let later: Vec<u32> = (0..9).filter(|to| week.goes_on(task, *to)).collect();
            for (gang_day, at) in later
                .into_iter()
                .zip([Some(40_000), None].into_iter().cycle())
            {
                let change = Change::Move { task, gang_day, at };
                let (_, after) = week.holds(&change).unwrap();
                assert_eq!(week.done_part(&after, task), done, "{change:?}");
                let left = &steps(&after, task)[done.len()..];
                assert!(left.iter().all(|own| own.0 == gang_day), "{change:?}");
                week.plan = after;
                let home = Change::Move {
                    task,
                    gang_day: done[0].0,
                    at,
                };
                let (outcome, after) = week.holds(&home).unwrap();
                assert!(steps(&after, task).iter().all(|own| own.0 == done[0].0));
                if outcome.broken.is_empty() {
                    assert_eq!(week.done_part(&after, task), done);
                    back += 1;
                }
                on += 1;
            }
        }
    }
    assert!(on > 80 && back > 40, "{on} {back}");
}

#[test]
fn what_is_done_stays_where_days_are_swapped_or_brought_together() {
    let (mut swapped, mut gathered) = (0, 0);
    for seed in 0..12 {
        let week = Week::of(seed);
        let mut chance = Chance(seed);
        for _ in 0..30 {
            let (one, other) = (chance.below(9) as u32, chance.below(9) as u32);
            let all = (0..24).filter(|task| week.done[*task as usize] > 0);
            let on = |at: u32, task: &u32| {
                let own = steps(&week.plan, *task);
                own.first().is_some_and(|own| own.0 == at)
            };
            let swap = Change::Swap { one, other };
            if let Some((_, after)) = week.holds(&swap) {
                for (at, to) in [(one, other), (other, one)] {
                    for task in all.clone().filter(|task| on(at, task)) {
                        let whole =
                            week.done[task as usize] as usize == steps(&week.plan, task).len();
                        if whole || week.goes_on(task, to) {
                            let was = week.done_part(&week.plan, task);
                            assert_eq!(was.len(), week.done_part(&after, task).len());
                            let days = |own: Vec<(u32, u32)>| own.into_iter().map(|own| own.0);
                            assert!(days(was).eq(days(week.done_part(&after, task))), "{swap:?}");
                            swapped += 1;
                        }
                    }
                }
            }
            let tasks: Vec<u32> = (0..24).filter(|task| on(one, task)).collect();
            let gather = Change::Gather {
                tasks: tasks.clone(),
                gang_day: other,
            };
            let Some((_, after)) = week.holds(&gather).filter(|_| one != other) else {
                continue;
            };
            for task in tasks {
                let own = steps(&after, task);
                let done = week.done[task as usize] as usize;
                let stays = done == own.len() || week.goes_on(task, other);
                let from = if stays { done } else { 0 };
                assert!(own[from..].iter().all(|own| own.0 == other), "{gather:?}");
                if stays {
                    let was = week.done_part(&week.plan, task);
                    assert_eq!(week.done_part(&after, task), was, "{gather:?}");
                    gathered += done;
                }
            }
        }
    }
    assert!(swapped > 30 && gathered > 30, "{swapped} {gathered}");
}
