//! A change that is tried is the change that is made: same times, same costs, same broken rules.

mod common;

use common::{rules, weeks};
use gangday_planner::{Board, Change, Go, Iterations, Outcome, Problem, Solution, solve};

/// The plan after the change.
fn made(problem: &Problem, plan: &Solution, outcome: &Outcome) -> Solution {
    let mut days = plan.days.clone();
    days.retain(|day| outcome.days.iter().all(|new| new.gang_day != day.gang_day));
    days.extend(
        outcome
            .days
            .iter()
            .filter(|day| !day.steps.is_empty())
            .cloned(),
    );
    days.sort_by_key(|day| day.gang_day);
    let planned = |task: u32| {
        days.iter()
            .any(|day| day.steps.iter().any(|step| step.task == task))
    };
    let left_out = (0..problem.tasks.len() as u32).filter(|&task| !planned(task));
    Solution {
        left_out: left_out.collect(),
        days: days.clone(),
        costs: outcome.costs,
    }
}

/// Tries a change, makes it, and holds it to the rules.
fn holds(problem: &Problem, plan: &Solution, board: &Board, change: &Change) -> Option<Outcome> {
    let outcome = board.what_if(plan).try_change(change)?;
    let after = made(problem, plan, &outcome);
    assert_eq!(after.left_out.len(), outcome.left_out, "{change:?}");
    assert_eq!(outcome.added, outcome.costs.total() - plan.costs.total());
    let wrong = rules::broken(problem, &after);
    assert_eq!(
        wrong.is_empty(),
        outcome.broken.is_empty(),
        "{change:?}: {wrong:?} {:?}",
        outcome.broken
    );
    Some(outcome)
}

#[test]
fn what_is_tried_is_what_is_made() {
    let (mut sound, mut broken) = (0, 0);
    for seed in 0..12 {
        let mut chance = weeks::Chance(seed);
        let week = weeks::week(24, 3, 3, seed);
        let problem = if seed % 2 == 0 {
            week
        } else {
            weeks::with_rules(week, seed)
        };
        let plan = solve(&problem, &mut Iterations(300), seed, &mut |_| Go::On);
        let board = Board::new(problem.clone());
        for _ in 0..40 {
            let task = chance.below(24) as u32;
            let gang_day = chance.below(9) as u32;
            let other = chance.below(9) as u32;
            let change = match chance.below(6) {
                0 => Change::Swap {
                    one: gang_day,
                    other,
                },
                1 => Change::LeaveOut { task },
                2 => Change::Shift {
                    task,
                    block: chance.below(2) as u32,
                    at: 25_200 + chance.below(30_000) as u32,
                },
                _ => Change::Move {
                    task,
                    gang_day,
                    at: (chance.below(2) == 0).then(|| 25_200 + chance.below(30_000) as u32),
                },
            };
            if let Some(outcome) = holds(&problem, &plan, &board, &change) {
                *(if outcome.broken.is_empty() {
                    &mut sound
                } else {
                    &mut broken
                }) += 1;
            }
        }
    }
    assert!(sound > 100 && broken > 60, "{sound} {broken}");
}

#[test]
fn a_gang_that_comes_in_addition_takes_what_was_left_out() {
    let mut problem = weeks::week(30, 2, 2, 3);
    problem.tasks.iter_mut().for_each(|task| task.left_out *= 5);
    let plan = solve(&problem, &mut Iterations(500), 1, &mut |_| Go::On);
    let before = plan.left_out.len();
    let more = problem.gang_days.clone();
    let new = (4..8).collect::<Vec<u32>>();
    problem.gang_days.extend(more.into_iter().map(|mut day| {
        day.gang += 2;
        day
    }));
    let board = Board::new(problem.clone());
    let fill = Change::Fill { gang_days: new };
    let outcome = holds(&problem, &plan, &board, &fill).expect("they are there");
    assert!(outcome.broken.is_empty() && outcome.added < 0);
    assert!(
        outcome.left_out + 4 <= before,
        "{} of {before}",
        outcome.left_out
    );
}

#[test]
fn a_change_of_what_is_not_there_is_none() {
    let problem = weeks::week(6, 1, 1, 3);
    let plan = solve(&problem, &mut Iterations(50), 1, &mut |_| Go::On);
    let board = Board::new(problem);
    let what_if = board.what_if(&plan);
    let none = [
        Change::Move {
            task: 6,
            gang_day: 0,
            at: None,
        },
        Change::Move {
            task: 0,
            gang_day: 1,
            at: Some(0),
        },
        Change::LeaveOut {
            task: plan.left_out[0],
        },
        Change::Swap { one: 0, other: 0 },
        Change::Fill { gang_days: vec![9] },
    ];
    assert!(
        none.iter()
            .all(|change| what_if.try_change(change).is_none())
    );
}
