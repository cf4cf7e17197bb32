//! Journeys that take longer at some hours: against rules written once more, and by hand.

mod common;

use common::{rules, weeks};
use gangday_planner::{
    Block, Board, Change, GangDay, Go, Iterations, Problem, Rates, Solution, Step, Task, Travel,
    bound, explain_all, simulate, solve,
};
use weeks::hours;

fn plan(problem: &Problem, iterations: u64, seed: u64) -> Solution {
    solve(problem, &mut Iterations(iterations), seed, &mut |_| Go::On)
}

#[test]
fn weeks_with_journeys_by_the_hour_keep_every_rule() {
    let mut steps = 0;
    for seed in 0..60 {
        let mut chance = weeks::Chance(seed);
        let jobs = 1 + chance.below(40) as u32;
        let week = weeks::week(jobs, 1 + seed as u32 % 3, 1 + seed as u32 % 5, seed);
        let mut problem = weeks::by_hour(week, seed);
        if seed % 2 == 0 {
            problem = weeks::with_rules(problem, seed);
        }
        if seed % 3 == 0 {
            problem = weeks::curved(problem, seed);
        }
        let solution = plan(&problem, 300, seed);
        assert_eq!(
            rules::broken(&problem, &solution),
            Vec::<String>::new(),
            "week {seed}"
        );
        steps += solution
            .days
            .iter()
            .map(|day| day.steps.len())
            .sum::<usize>();
        for (task, whys) in explain_all(&problem, &solution) {
            assert!(!whys.is_empty(), "week {seed}: task {task}");
        }
    }
    assert!(steps > 1_000, "{steps}");
}

/// Breaks, tips and limits of driving where the hour makes most of a difference.
#[test]
fn little_driving_is_allowed_and_never_passed() {
    for seed in 0..40 {
        let week = weeks::with_rules(weeks::week(20, 2, 3, seed), seed);
        let mut problem = weeks::by_hour(week, seed);
        for day in &mut problem.gang_days {
            day.driving = Some(hours(1, 0) + 300 * (seed as u32 % 12));
        }
        let solution = plan(&problem, 200, seed);
        assert_eq!(
            rules::broken(&problem, &solution),
            Vec::<String>::new(),
            "week {seed}"
        );
    }
}

#[test]
fn changes_by_hand_are_timed_by_the_hour_too() {
    let mut tried = 0;
    for seed in 0..8 {
        let problem = weeks::by_hour(weeks::week(24, 3, 3, seed), seed);
        let solution = plan(&problem, 300, seed);
        let board = Board::new(problem.clone());
        let what_if = board.what_if(&solution);
        for task in 0..24 {
            let change = Change::Move {
                task,
                gang_day: (task + seed as u32) % 9,
                at: None,
            };
            let Some(outcome) = what_if.try_change(&change) else {
                continue;
            };
            if outcome.broken.is_empty() {
                tried += 1;
                for day in outcome.days.iter().filter(|day| !day.steps.is_empty()) {
                    let steps: Vec<Step> = day.steps.iter().map(|step| step.step()).collect();
                    assert_eq!(simulate(&problem, day.gang_day, &steps).as_ref(), Some(day));
                }
            }
        }
    }
    assert!(tried > 40, "{tried}");
}

#[test]
fn no_bound_is_above_a_plan_by_the_hour() {
    for seed in 0..6 {
        let problem = weeks::by_hour(weeks::week(12, 2, 2, seed), seed);
        let planned = plan(&problem, 2_000, seed);
        let cost = planned.costs.total();
        let least = bound(&problem, &planned, &mut Iterations(300_000)).least;
        assert!(least > 0 && least <= cost, "week {seed}: {least} of {cost}");
    }
}

/// An hour at each of two places. From the depot to the far one 60 min, back 70; to the near one 10
/// each way; between the two 55.
fn far_and_near() -> Problem {
    let job = |node| Task {
        node,
        blocks: vec![Block {
            work: hours(1, 0),
            wait: 0,
        }],
        left_out: 1_000_000,
        ..Task::default()
    };
    let table = |percent: u32| Travel::Matrix {
        nodes: 3,
        seconds: [0, 60, 10, 70, 0, 55, 10, 55, 0]
            .map(|minutes| minutes * 60 * percent / 100)
            .to_vec(),
    };
    let gang_day = GangDay {
        start: hours(7, 30),
        end: hours(16, 30),
        latest: hours(17, 30),
        ..GangDay::default()
    };
    Problem {
        tasks: vec![job(1), job(2)],
        gang_days: vec![gang_day],
        near: vec![vec![1], vec![0]],
        travel: table(100),
        other_travel: vec![table(200)],
        rates: Rates {
            crew_hour: 6_000,
            travel_hour: 1_200,
            ..Rates::default()
        },
        ..Problem::default()
    }
}

fn order(solution: &Solution) -> Vec<u32> {
    solution.days[0]
        .steps
        .iter()
        .map(|step| step.task)
        .collect()
}

/// Without a peak the far job is first: 60 + 55 + 10 min of driving, the other way round 10 + 55 + 70.
/// With twice the time from 7 to 9 it is last: 20 min to the near one, there until 8:50, and by waiting
/// for 9 at the far one at 9:55; 20 + 55 + 70 min, against 120 + 55 + 10.
#[test]
fn a_peak_changes_the_order_of_a_day() {
    let mut problem = far_and_near();
    let flat = plan(&problem, 200, 1);
    assert_eq!(order(&flat), [0, 1]);
    assert_eq!(flat.days[0].end, hours(7, 30) + 60 * (125 + 120));
    let mut row = [0; 24];
    (row[7], row[8]) = (1, 1);
    problem.hours = vec![row];
    let peak = plan(&problem, 200, 1);
    assert_eq!(order(&peak), [1, 0]);
    let day = &peak.days[0];
    let times: Vec<u32> = day
        .steps
        .iter()
        .flat_map(|step| [step.arrive, step.finish])
        .collect();
    assert_eq!(
        times,
        [hours(7, 50), hours(8, 50), hours(9, 55), hours(10, 55)]
    );
    assert_eq!(day.back, hours(12, 5));
    // 145 min of driving at £12 an hour; what is waited is the crew's time only.
    assert_eq!(day.costs.travel, 2_900);
    assert_eq!(rules::broken(&problem, &peak), Vec::<String>::new());
    let as_before: Vec<Step> = flat.days[0].steps.iter().map(|step| step.step()).collect();
    let before = simulate(&problem, 0, &as_before).unwrap();
    assert_eq!(before.back, hours(12, 35));
    assert!(before.costs.total() > day.costs.total());
}

/// A job whose hours begin at 10:20: the gang leaves the depot so late that it is there in time by what
/// that hour takes.
#[test]
fn the_gang_leaves_its_depot_no_sooner_than_the_hour_asks_for() {
    let mut problem = far_and_near();
    problem.tasks.truncate(1);
    problem.near.truncate(1);
    problem.tasks[0].windows = vec![(hours(10, 20), hours(16, 0))];
    let mut row = [0; 24];
    row[9] = 1;
    problem.hours = vec![row];
    let steps = [Step { task: 0, block: 0 }];
    let day = simulate(&problem, 0, &steps).unwrap();
    // There at 10:20 when its hours begin: an hour from 8:59, two from 9 on.
    assert_eq!(day.depart, hours(8, 59));
    assert_eq!(
        (day.steps[0].arrive, day.steps[0].start),
        (hours(9, 59), hours(10, 20))
    );
}

#[test]
fn hours_that_are_all_alike_change_nothing() {
    for seed in 0..10 {
        let week = weeks::week(20, 2, 3, seed);
        let mut by_hour = week.clone();
        by_hour.hours = vec![[0; 24]];
        assert_eq!(plan(&week, 300, seed), plan(&by_hour, 300, seed));
        let ruled = weeks::with_rules(week, seed);
        let mut by_hour = ruled.clone();
        by_hour.hours = vec![[0; 24]];
        assert_eq!(plan(&ruled, 300, seed), plan(&by_hour, 300, seed));
    }
}
