//! The search against rules written once more, and against trying everything.

mod common;

use common::{brute, rules, weeks};
use gangday_planner::{Block, GangDay, Go, Iterations, Problem, Solution, Task, Travel, solve};
use gangday_planner::{Step, Stop, Until, WHOLE, simulate, solve_at_once};

fn plan(problem: &Problem, iterations: u64, seed: u64) -> Solution {
    solve(problem, &mut Iterations(iterations), seed, &mut |_| Go::On)
}

#[test]
fn plans_of_random_weeks_keep_every_rule() {
    for seed in 0..60 {
        let mut chance = weeks::Chance(seed);
        let jobs = 1 + chance.below(40) as u32;
        let problem = weeks::week(jobs, 1 + seed as u32 % 3, 1 + seed as u32 % 5, seed);
        let solution = plan(&problem, 300, seed);
        assert_eq!(
            rules::broken(&problem, &solution),
            Vec::<String>::new(),
            "week {seed}"
        );
    }
}

#[test]
fn gangs_of_different_pace_keep_every_rule() {
    for seed in 0..30 {
        let week = weeks::week(1 + seed as u32, 3, 1 + seed as u32 % 3, seed);
        let problem = weeks::paced(week);
        let solution = plan(&problem, 300, seed);
        assert_eq!(
            rules::broken(&problem, &solution),
            Vec::<String>::new(),
            "week {seed}"
        );
    }
}

/// Temperatures by the hour; what is left out is left out for want of room or warmth, so that most is in.
#[test]
fn days_with_temperatures_by_the_hour_keep_every_rule() {
    let (mut planned, mut curing) = (0, 0);
    for seed in 0..30 {
        let week = weeks::week(1 + seed as u32, 2, 1 + seed as u32 % 4, seed);
        let problem = weeks::curved(week, seed);
        let solution = plan(&problem, 300, seed);
        assert_eq!(
            rules::broken(&problem, &solution),
            Vec::<String>::new(),
            "week {seed}"
        );
        let steps = solution.days.iter().flat_map(|day| &day.steps);
        for step in steps {
            planned += 1;
            let placed = &problem.tasks[step.task as usize].placed[0];
            curing += i32::from(placed[step.block as usize].is_some());
        }
    }
    assert!(planned > 500 && curing > 100, "{curing} of {planned}");
}

#[test]
fn gangs_of_different_pace_are_planned_as_cheaply_as_can_be() {
    for seed in 0..12 {
        let problem = weeks::paced(weeks::tiny(seed, 3, 2, 3, true));
        let solution = plan(&problem, 3_000, seed);
        assert_eq!(
            solution.costs.total(),
            brute::cheapest(&problem),
            "week {seed}"
        );
    }
}

#[test]
fn a_slower_gang_is_timed_by_its_own_pace() {
    let usual = [(60, 30), (30, 0)];
    let slow = [(90, 30), (45, 0)];
    let blocks = |chain: [(u32, u32); 2]| {
        let block = |(work, wait): (u32, u32)| Block {
            work: work * 60,
            wait: wait * 60,
        };
        chain.map(block).to_vec()
    };
    let day = |pace| GangDay {
        end: 36_000,
        latest: 36_000,
        pace,
        ..GangDay::default()
    };
    let problem = Problem {
        tasks: vec![Task {
            blocks: blocks(usual),
            paces: vec![blocks(slow)],
            ..Task::default()
        }],
        gang_days: vec![day(0), day(1), day(7)],
        travel: Travel::Matrix {
            nodes: 1,
            seconds: vec![0],
        },
        ..Problem::default()
    };
    let steps = [Step { task: 0, block: 0 }, Step { task: 0, block: 1 }];
    let end = |at| simulate(&problem, at, &steps).map(|day| day.end / 60);
    // 60 + 30 + 30; 90 + 30 + 45; a pace that is not stated is the usual one.
    assert_eq!([end(0), end(1), end(2)], [Some(120), Some(165), Some(120)]);
}

#[test]
fn a_larger_week_keeps_every_rule() {
    let problem = weeks::week(250, 10, 5, 11);
    let solution = plan(&problem, 2_000, 3);
    assert_eq!(rules::broken(&problem, &solution), Vec::<String>::new());
    assert!(
        solution.left_out.len() < 125,
        "{} left out",
        solution.left_out.len()
    );
}

#[test]
fn searching_does_not_make_it_dearer() {
    for seed in 0..10 {
        let problem = weeks::week(40, 3, 5, seed);
        let first = plan(&problem, 0, seed).costs.total();
        let later = plan(&problem, 2_000, seed).costs.total();
        assert!(later <= first, "{later} {first}");
    }
}

/// Times are found for a given order by the rule of `common::brute`; the orders are all tried.
fn tiny(range: std::ops::Range<u64>, tasks: u32, blocks: u32, gang_days: u32, closures: bool) {
    for seed in range {
        let problem = weeks::tiny(seed, tasks, blocks, gang_days, closures);
        let solution = plan(&problem, 3_000, seed);
        assert_eq!(
            rules::broken(&problem, &solution),
            Vec::<String>::new(),
            "{seed}"
        );
        assert_eq!(
            solution.costs.total(),
            brute::cheapest(&problem),
            "tiny {seed}"
        );
    }
}

#[test]
fn three_tasks_of_two_blocks_on_one_gang_day_come_out_cheapest() {
    tiny(0..60, 3, 2, 1, false);
    tiny(100..160, 3, 2, 1, true);
}

#[test]
fn three_tasks_of_three_blocks_on_one_gang_day_come_out_cheapest() {
    tiny(200..220, 3, 3, 1, true);
}

#[test]
fn four_tasks_of_two_blocks_on_two_gang_days_come_out_cheapest() {
    tiny(300..330, 4, 2, 2, true);
}

#[test]
fn the_same_seed_gives_the_same_plan_and_watching_changes_nothing() {
    let problem = weeks::week(60, 4, 5, 5);
    let one = plan(&problem, 1_500, 9);
    let mut reports = 0;
    let other = solve(&problem, &mut Iterations(1_500), 9, &mut |progress| {
        reports += 1;
        assert!(progress.best().costs.total() == progress.best_cost);
        Go::On
    });
    assert_eq!(one, other);
    assert!(reports > 10);
    assert_ne!(
        one,
        plan(&problem, 1_500, 10),
        "another seed goes another way"
    );
}

const PROVEN: [(u64, u32, u32, i64); 12] = [
    (0, 8, 2, 174_040),
    (7, 8, 2, 173_610),
    (14, 8, 2, 191_550),
    (21, 8, 2, 182_440),
    (28, 8, 2, 172_030),
    (35, 8, 2, 209_235),
    (0, 6, 3, 196_260),
    (7, 6, 3, 205_970),
    (14, 6, 3, 200_000),
    (21, 6, 3, 196_340),
    (28, 6, 3, 200_360),
    (35, 6, 3, 220_000),
];

/// Costs proven by OR-Tools CP-SAT 9.15 (`benches/reference/tiny_weeks.py`): 12 of the 100.
#[test]
fn tiny_weeks_cost_what_an_exact_model_proves() {
    for (seed, tasks, blocks, least) in PROVEN {
        let problem = weeks::tiny_week(seed, tasks, blocks);
        let cost = plan(&problem, 20_000, 1).costs.total();
        assert_eq!(
            cost, least,
            "week {seed} of {tasks} jobs of {blocks} blocks"
        );
    }
}

fn at_once(problem: &Problem, threads: usize, go: Go) -> Solution {
    let stops = (0..threads).map(|_| Box::new(Iterations(400)) as Box<dyn Stop + Send>);
    solve_at_once(problem, stops.collect(), 3, &mut |_| go)
}

#[test]
fn several_searches_at_once_give_the_cheapest_plan_and_the_same_every_time() {
    let problem = weeks::week(40, 3, 3, 9);
    assert_eq!(at_once(&problem, 1, Go::On), plan(&problem, 400, 3));
    let plans: Vec<Solution> = (1..=4)
        .map(|threads| at_once(&problem, threads, Go::On))
        .collect();
    assert!(plans.is_sorted_by_key(|plan| -plan.costs.total()));
    assert!(plans[3].costs.total() < plans[0].costs.total());
    assert_eq!(plans[3], at_once(&problem, 4, Go::On));
    assert_eq!(rules::broken(&problem, &plans[3]), Vec::<String>::new());
}

#[test]
fn several_searches_at_once_all_stop_when_told_to() {
    let problem = weeks::week(40, 3, 3, 9);
    let stops = (0..3).map(|_| Box::new(Iterations(u64::MAX)) as Box<dyn Stop + Send>);
    let plan = solve_at_once(&problem, stops.collect(), 3, &mut |_| Go::Stop);
    assert_eq!(rules::broken(&problem, &plan), Vec::<String>::new());
    let nobody = at_once(&problem, 0, Go::On);
    assert_eq!(nobody.left_out.len(), problem.tasks.len());
}

#[test]
fn progress_only_gets_better_and_stopping_keeps_the_best() {
    let problem = weeks::week(60, 4, 5, 6);
    let mut seen = Vec::new();
    let mut last = None;
    let kept = solve(&problem, &mut Iterations(1_000_000), 1, &mut |progress| {
        seen.push(progress.best_cost);
        last = Some(progress.best());
        if progress.iteration >= 500 {
            Go::Stop
        } else {
            Go::On
        }
    });
    assert!(seen.is_sorted_by(|before, after| before >= after));
    assert_eq!(last, Some(kept.clone()));
    assert_eq!(rules::broken(&problem, &kept), Vec::<String>::new());
}

#[test]
fn stopping_at_once_still_places_or_lists_every_task() {
    let problem = weeks::week(120, 6, 5, 6);
    let kept = solve(&problem, &mut Iterations(10), 1, &mut |_| Go::Stop);
    assert_eq!(rules::broken(&problem, &kept), Vec::<String>::new());
    let late = solve(&problem, &mut Until(|| WHOLE), 1, &mut |_| Go::On);
    assert_eq!(rules::broken(&problem, &late), Vec::<String>::new());
}

/// Two jobs next door to each other, each three hours of waiting for the base.
fn neighbours() -> Problem {
    let job = |node| Task {
        node,
        blocks: vec![
            Block {
                work: 5_400,
                wait: 10_800,
            },
            Block {
                work: 5_400,
                wait: 0,
            },
        ],
        left_out: 100_000,
        ..Task::default()
    };
    let gang_day = GangDay {
        start: weeks::hours(7, 30),
        end: weeks::hours(16, 30),
        latest: weeks::hours(16, 30),
        ..GangDay::default()
    };
    Problem {
        tasks: vec![job(1), job(2)],
        gang_days: vec![gang_day],
        other_travel: Vec::new(),
        travel: Travel::Matrix {
            nodes: 3,
            seconds: vec![0, 600, 600, 600, 0, 120, 600, 120, 0],
        },
        near: vec![vec![1], vec![0]],
        rates: weeks::rates(),
        ..Problem::default()
    }
}

#[test]
fn neighbouring_jobs_are_interleaved() {
    let problem = neighbours();
    let order = |tasks: [u32; 4]| {
        let mut done = [0, 0];
        let steps = tasks.map(|task| {
            done[task as usize] += 1;
            Step {
                task,
                block: done[task as usize] - 1,
            }
        });
        simulate(&problem, 0, &steps)
    };
    // One after the other takes 12 h and more, which no shift of 9 h holds.
    assert_eq!(order([0, 0, 1, 1]), None);
    let solution = plan(&problem, 200, 1);
    assert_eq!(solution.left_out, Vec::<u32>::new());
    let tasks: Vec<u32> = solution.days[0]
        .steps
        .iter()
        .map(|step| step.task)
        .collect();
    assert!(tasks == [0, 1, 0, 1] || tasks == [1, 0, 1, 0], "{tasks:?}");
    assert_eq!(
        order([0, 1, 0, 1]).map(|day| day.end),
        Some(solution.days[0].end)
    );
}

#[test]
fn a_closure_starts_no_sooner_than_it_must() {
    let mut problem = neighbours();
    problem.gang_days[0].latest = weeks::hours(20, 0);
    // The second job's own window opens late; the first one's last block has to wait for nothing.
    problem.tasks[1].windows = vec![(weeks::hours(10, 0), weeks::hours(18, 0))];
    problem.tasks[1].blocks = vec![Block {
        work: 1_800,
        wait: 0,
    }];
    let steps = [(0, 0), (1, 0), (0, 1)].map(|(task, block)| Step { task, block });
    let day = simulate(&problem, 0, &steps).expect("it fits");
    // 07:40 to 09:10, at the second from 10:00 to 10:30, back at 12:10; three hours' wait from 09:10.
    assert_eq!(day.steps[2].start, weeks::hours(12, 10));
    assert_eq!(day.steps[0].start, weeks::hours(7, 40));
    problem.tasks[1].windows = vec![(weeks::hours(13, 0), weeks::hours(18, 0))];
    let day = simulate(&problem, 0, &steps).expect("it fits");
    // Now the second job holds the gang until 13:30, and the first can start later by 82 min.
    assert_eq!(day.steps[2].start, weeks::hours(13, 32));
    assert_eq!(day.steps[0].start, weeks::hours(9, 2));
    assert_eq!(day.depart, weeks::hours(8, 52));
}

#[test]
fn wrong_orders_are_refused() {
    let problem = neighbours();
    let steps = |list: &[(u32, u32)]| {
        let steps: Vec<Step> = list
            .iter()
            .map(|&(task, block)| Step { task, block })
            .collect();
        simulate(&problem, 0, &steps)
    };
    assert_eq!(steps(&[(0, 1), (0, 0)]), None, "out of order");
    assert_eq!(steps(&[(0, 0)]), None, "not complete");
    assert_eq!(steps(&[(0, 0), (0, 1), (0, 1)]), None, "twice");
    assert_eq!(steps(&[(7, 0)]), None, "unknown");
    assert!(steps(&[(0, 0), (0, 1)]).is_some());
}

#[test]
fn a_problem_without_jobs_or_gangs_is_planned_too() {
    assert_eq!(plan(&Problem::default(), 10, 1), Solution::default());
    let gangless = Problem {
        gang_days: Vec::new(),
        ..neighbours()
    };
    assert_eq!(plan(&gangless, 10, 1).left_out, [0, 1]);
    let jobless = Problem {
        tasks: Vec::new(),
        near: Vec::new(),
        ..neighbours()
    };
    assert_eq!(plan(&jobless, 10, 1), Solution::default());
    // Long enough for every sort of round to come up.
    assert_eq!(plan(&jobless, 2_000, 1), Solution::default());
}

#[test]
fn each_gang_day_drives_as_its_own_vehicle_does() {
    let mut problem = neighbours();
    let slower = match &problem.travel {
        Travel::Matrix { nodes, seconds } => Travel::Matrix {
            nodes: *nodes,
            seconds: seconds.iter().map(|seconds| seconds * 2).collect(),
        },
        _ => unreachable!("neighbours are in a table"),
    };
    problem.other_travel.push(slower);
    let steps = [Step { task: 0, block: 0 }, Step { task: 0, block: 1 }];
    let driven = |problem: &Problem| {
        let day = simulate(problem, 0, &steps).unwrap();
        day.steps[0].arrive - day.depart
    };
    let usual = driven(&problem);
    assert!(usual > 0);
    problem.gang_days[0].vehicle = 1;
    assert_eq!(driven(&problem), usual * 2);
    let solution = plan(&problem, 50, 1);
    assert!(!solution.days.is_empty());
    assert_eq!(rules::broken(&problem, &solution), Vec::<String>::new());
}
