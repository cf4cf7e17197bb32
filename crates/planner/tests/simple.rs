//! Simple gang-days, for which places are tried without timing the whole day: against the rules
//! written once more, and against trying everything.

mod common;

use common::{rules, weeks};
use gangday_planner::{
    Block, GangDay, Go, Iterations, Problem, Rates, Solution, Task, Travel, solve,
};

/// Jobs at random places of a square; where `timed`, in windows; each vehicle bears 20.
fn random(seed: u64, jobs: u32, vehicles: u32, timed: bool) -> Problem {
    let mut chance = weeks::Chance(seed);
    let mut below = |count: u64| chance.below(count) as u32;
    let places: Vec<(i64, i64)> = (0..=jobs)
        .map(|_| (i64::from(below(200)), i64::from(below(200))))
        .collect();
    let leg = |from: &(i64, i64), to: &(i64, i64)| {
        let square = (from.0 - to.0).pow(2) + (from.1 - to.1).pow(2);
        square.isqrt() as u32
    };
    let seconds = places
        .iter()
        .flat_map(|from| places.iter().map(move |to| leg(from, to)));
    let seconds: Vec<u32> = seconds.collect();
    let tasks = (1..=jobs).map(|node| {
        let (open, wide) = (below(600), 40 + below(300));
        Task {
            node,
            blocks: vec![Block {
                work: if timed { 10 } else { 0 },
                wait: 0,
            }],
            windows: if timed {
                vec![(open, open + wide)]
            } else {
                Vec::new()
            },
            left_out: 100_000,
            weight: 1 + below(9),
            ..Task::default()
        }
    });
    let tasks: Vec<Task> = tasks.collect();
    let end = if timed { 1_200 } else { 90_000_000 };
    let vehicle = |gang| GangDay {
        gang,
        end,
        latest: end,
        payload: Some(20),
        ..GangDay::default()
    };
    Problem {
        near: vec![Vec::new(); tasks.len()],
        tasks,
        gang_days: (0..vehicles).map(vehicle).collect(),
        travel: Travel::Matrix {
            nodes: jobs + 1,
            seconds,
        },
        rates: Rates {
            travel_hour: 3_600,
            gang_day: i64::from(below(3)) * 50,
            ..Rates::default()
        },
        ..Problem::default()
    }
}

fn plan(problem: &Problem, iterations: u64, seed: u64) -> Solution {
    solve(problem, &mut Iterations(iterations), seed, &mut |_| Go::On)
}

#[test]
fn random_problems_keep_every_rule() {
    for seed in 0..60 {
        let problem = random(seed, 1 + seed as u32, 1 + seed as u32 / 3, seed % 3 > 0);
        let solution = plan(&problem, 2_000, seed);
        assert_eq!(
            rules::broken(&problem, &solution),
            Vec::<String>::new(),
            "{seed}"
        );
    }
}

/// What the best way through these jobs costs from here on, all ways tried.
fn cheapest(problem: &Problem, at: u32, time: u32, weight: u32, left: &[usize]) -> i64 {
    let day = &problem.gang_days[0];
    let home = problem.travel.seconds(at, 0);
    let mut best = i64::MAX;
    if at != 0 && time + home <= day.latest {
        let rest = if left.is_empty() {
            0
        } else {
            begun(problem, left)
        };
        best = rest.saturating_add(i64::from(home));
    }
    for (nth, &job) in left.iter().enumerate() {
        let task = &problem.tasks[job];
        let leg = problem.travel.seconds(at, task.node);
        let (open, until) = task.windows.first().copied().unwrap_or((0, u32::MAX));
        let finish = (time + leg).max(open) + task.blocks[0].work;
        if finish > until || weight + task.weight > 20 {
            continue;
        }
        let mut others = left.to_vec();
        others.remove(nth);
        let on = cheapest(problem, task.node, finish, weight + task.weight, &others);
        best = best.min(on.saturating_add(i64::from(leg)));
    }
    best
}

fn begun(problem: &Problem, left: &[usize]) -> i64 {
    cheapest(problem, 0, 0, 0, left).saturating_add(problem.rates.gang_day)
}

#[test]
fn six_jobs_come_out_cheapest() {
    let mut tried = 0;
    for seed in 0..80 {
        let problem = random(1_000 + seed, 6, 6, seed % 2 == 0);
        let best = begun(&problem, &[0, 1, 2, 3, 4, 5]);
        if best >= 100_000 {
            continue;
        }
        tried += 1;
        let solution = plan(&problem, 3_000, seed);
        assert_eq!(solution.costs.total(), best, "{seed}");
    }
    assert!(tried >= 40, "{tried}");
}

#[test]
fn the_same_seed_gives_the_same_routes() {
    let problem = random(7, 80, 40, true);
    assert_eq!(plan(&problem, 4_000, 5), plan(&problem, 4_000, 5));
    assert_ne!(plan(&problem, 4_000, 5), plan(&problem, 4_000, 6));
}

/// A way round that is shorter than the straight one: without the job between, the next is reached
/// too late.
#[test]
fn taking_a_job_out_may_make_the_rest_late() {
    let mut problem = random(3, 30, 15, true);
    if let Travel::Matrix { nodes, seconds } = &mut problem.travel {
        for at in 1..*nodes as usize - 1 {
            let (one, other) = (
                at * *nodes as usize + at + 1,
                (at + 1) * *nodes as usize + at,
            );
            (seconds[one], seconds[other]) = (400, 400);
        }
    }
    let solution = plan(&problem, 5_000, 1);
    assert_eq!(rules::broken(&problem, &solution), Vec::<String>::new());
}

#[test]
fn a_payload_binds_where_days_are_not_simple_too() {
    let mut problem = weeks::week(40, 3, 5, 2);
    problem.tasks.iter_mut().for_each(|task| task.weight = 7);
    let free = plan(&problem, 500, 1);
    problem
        .gang_days
        .iter_mut()
        .for_each(|day| day.payload = Some(15));
    let bound = plan(&problem, 500, 1);
    assert_eq!(rules::broken(&problem, &bound), Vec::<String>::new());
    let most = |plan: &Solution| {
        let jobs = plan
            .days
            .iter()
            .map(|day| day.steps.iter().filter(|s| s.block == 0).count());
        jobs.max()
    };
    assert!(most(&free) > Some(2));
    assert_eq!(most(&bound), Some(2));
}
