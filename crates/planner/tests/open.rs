//! Tasks that stand open from before the first day: what they wait for counts wherever a plan is put together.

mod common;

use common::rules;
use common::weeks::{self, Chance, hours};
use gangday_planner::{
    Block, Board, Change, Clash, Cut, GangDay, Go, Iterations, Nights, Problem, Task, Travel,
    bound, solve,
};

/// Weeks of which about half the tasks stand open and nothing ties gang-days to one another: sets of tasks that a
/// gang-day had may be put together anew, and on another day they cost something else.
#[test]
fn a_plan_is_never_given_up_for_a_dearer_one() {
    for seed in 0..20 {
        let mut chance = Chance(seed + 7);
        let mut problem = weeks::week(14, 2, 5, seed);
        problem.rates.night = 15_000;
        for task in &mut problem.tasks {
            task.open = chance.once_in(2);
        }
        let mut told = i64::MAX;
        let planned = solve(&problem, &mut Iterations(600), seed, &mut |now| {
            assert!(
                now.best_cost <= told,
                "week {seed}: {} after {told}",
                now.best_cost
            );
            told = now.best_cost;
            Go::On
        });
        assert_eq!(planned.costs.total(), told, "week {seed}");
        assert_eq!(
            rules::broken(&problem, &planned),
            Vec::<String>::new(),
            "week {seed}"
        );
        let least = bound(&problem, &planned, &mut Iterations(2_000)).least;
        assert!(least <= told, "week {seed}: {least} for {told}");
    }
}

/// A gang from 07:30 to 16:30 on two days, each.
fn problem(tasks: Vec<Task>, gangs: u32) -> Problem {
    let days = (0..gangs).flat_map(|gang| (0..2).map(move |day| (gang, day)));
    let mut rates = weeks::rates();
    rates.night = 15_000;
    Problem {
        near: vec![Vec::new(); tasks.len()],
        tasks,
        gang_days: days
            .map(|(gang, day)| GangDay {
                gang,
                day,
                start: hours(7, 30),
                end: hours(16, 30),
                latest: hours(16, 30),
                tickets: 1 - u64::from(gang),
                ..GangDay::default()
            })
            .collect(),
        travel: Travel::Matrix {
            nodes: 2,
            seconds: vec![0, 600, 600, 0],
        },
        rates,
        ..Problem::default()
    }
}

fn task(work: &[u32]) -> Task {
    let block = |work: &u32| Block {
        work: *work,
        wait: 0,
    };
    Task {
        node: 1,
        blocks: work.iter().map(block).collect(),
        left_out: 900_000,
        closure_hour: 600,
        open: true,
        ..Task::default()
    }
}

/// Two that were begun before, each too long for a day and left over the same night: both stand all the time, and no
/// plan can do anything about that.
#[test]
fn two_that_stand_open_clash_on_no_day() {
    let long = Task {
        nights: Some(Nights {
            cuts: vec![Cut {
                after: 0,
                days: vec![(0, 1)],
            }],
            left: None,
        }),
        ..task(&[hours(5, 0), hours(5, 0)])
    };
    for price in [Some(70_000), None] {
        let mut stated = problem(vec![long.clone(), long.clone()], 2);
        stated.clashes = vec![Clash {
            one: 0,
            other: 1,
            price,
        }];
        let planned = solve(&stated, &mut Iterations(200), 1, &mut |_| Go::On);
        assert_eq!((planned.costs.clashes, planned.left_out.len()), (0, 0));
        // One that was not begun before keeps clear of the other, or pays for it once.
        stated.tasks[1].open = false;
        let planned = solve(&stated, &mut Iterations(200), 1, &mut |_| Go::On);
        let told = (planned.costs.clashes, planned.left_out.len());
        assert_eq!(told, price.map_or((0, 1), |price| (price, 0)));
    }
}

/// Its closure is there from midnight; its hours of the day are those in which it is worked.
#[test]
fn the_hours_of_a_task_are_those_of_its_work() {
    let stated = Task {
        tickets: 1,
        windows: vec![(hours(9, 0), hours(16, 0))],
        ..task(&[hours(2, 0)])
    };
    let stated = problem(vec![stated], 2);
    let planned = solve(&stated, &mut Iterations(50), 1, &mut |_| Go::On);
    let home = stated.gang_days[planned.days[0].gang_day as usize];
    assert_eq!((home.gang, home.day), (0, 0));
    let change = Change::Move {
        task: 0,
        gang_day: 2,
        at: None,
    };
    let board = Board::new(stated.clone());
    let outcome = board.what_if(&planned).try_change(&change).unwrap();
    let codes: Vec<&str> = outcome.broken.iter().map(|one| one.code).collect();
    assert_eq!(codes, ["R-TICKET"]);
}
