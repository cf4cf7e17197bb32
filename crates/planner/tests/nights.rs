//! Tasks that may be left over a night: hand-worked weeks, and the cheapest plan of tiny ones.

mod common;

use common::weeks::{Chance, hours};
use common::{brute, rules, weeks};
use gangday_planner::{
    Block, Board, Change, Cut, GangDay, Go, Iterations, Left, Locked, Nights, Problem, Solution,
    Task, Travel, bound, explain_all, solve,
};

fn plan(problem: &Problem, rounds: u64) -> Solution {
    solve(problem, &mut Iterations(rounds), 1, &mut |_| Go::On)
}

/// A gang from 07:30 to 16:30 on each of so many days.
fn gang_days(gang: u32, days: u32) -> impl Iterator<Item = GangDay> {
    (0..days).map(move |day| GangDay {
        gang,
        day,
        start: hours(7, 30),
        end: hours(16, 30),
        latest: hours(16, 30),
        load: 1_200,
        unload: 600,
        ..GangDay::default()
    })
}

/// A task ten minutes from the depot: dig and base, a wait, the rest.
fn task(before: u32, wait: u32, after: u32) -> Task {
    Task {
        node: 1,
        blocks: vec![
            Block { work: before, wait },
            Block {
                work: after,
                wait: 0,
            },
        ],
        left_out: 200_000,
        closure_hour: 600,
        set_up: 2_500,
        ..Task::default()
    }
}

fn over(days: &[(u32, u32)]) -> Option<Nights> {
    let days = days.to_vec();
    Some(Nights {
        cuts: vec![Cut { after: 0, days }],
        left: None,
    })
}

fn problem(task: Task, days: u32) -> Problem {
    let mut rates = weeks::rates();
    rates.night = 15_000;
    Problem {
        tasks: vec![task],
        gang_days: gang_days(0, days).collect(),
        travel: Travel::Matrix {
            nodes: 2,
            seconds: vec![0, 600, 600, 0],
        },
        near: vec![Vec::new()],
        rates,
        ..Problem::default()
    }
}

/// Five hours, a wait of one, four more: with 30 min loading and unloading and 20 min on the road it is
/// 10 h 50 min, and the day has nine hours.
fn long() -> Task {
    task(hours(5, 0), hours(1, 0), hours(4, 0))
}

#[test]
fn only_a_night_makes_it_possible() {
    let refused = plan(&problem(long(), 2), 50);
    assert_eq!((refused.days.len(), &refused.left_out[..]), (0, &[0][..]));

    let mut stated = problem(long(), 2);
    stated.tasks[0].nights = over(&[(0, 1)]);
    let planned = plan(&stated, 50);
    assert_eq!(rules::broken(&stated, &planned), Vec::<String>::new());
    assert!(planned.left_out.is_empty());
    let costs = planned.costs;
    // 20 min loading, 10 out, 5 h, 10 back, 10 unloading: until 13:20; the next day until 12:20. The
    // gang of 90 pounds an hour is paid from 07:30.
    assert_eq!(planned.days[0].end, hours(13, 20));
    assert_eq!(planned.days[1].end, hours(12, 20));
    assert_eq!(costs.crew, (350 + 290) * 150);
    // Four times ten minutes on the road at 24 pounds an hour.
    assert_eq!(costs.travel, 1_600);
    assert_eq!((costs.set_ups, costs.gang_days), (5_000, 10_000));
    // Signed from 08:00 to midnight, 16 h, and from midnight to 12:00, 12 h, at 6 pounds an hour.
    assert_eq!((costs.closure, costs.nights), (28 * 600, 15_000));
}

/// Every job refused leaves gang-days and no task; two sorts of gang-day, so that they are not simple.
#[test]
fn a_week_without_tasks_has_an_empty_plan() {
    let mut stated = problem(long(), 2);
    (stated.tasks, stated.near) = (Vec::new(), Vec::new());
    stated.gang_days[1].latest += 1;
    assert_eq!(plan(&stated, 3_000), Solution::default());
}

#[test]
fn what_can_be_done_in_a_day_is_not_left() {
    let mut stated = problem(task(hours(2, 0), hours(1, 0), hours(2, 0)), 2);
    stated.tasks[0].nights = over(&[(0, 1)]);
    let planned = plan(&stated, 50);
    assert_eq!((planned.days.len(), planned.costs.nights), (1, 0));
    assert_eq!(rules::broken(&stated, &planned), Vec::<String>::new());
}

#[test]
fn it_is_left_on_the_days_that_are_stated_and_on_no_others() {
    // Friday and Monday: three nights.
    let mut stated = problem(long(), 4);
    stated.gang_days.retain(|day| [0, 3].contains(&day.day));
    stated.tasks[0].left_out = 300_000;
    stated.tasks[0].nights = over(&[(0, 1), (1, 2), (2, 3)]);
    assert_eq!(plan(&stated, 50).left_out, [0]);
    stated.tasks[0].nights = over(&[(0, 3)]);
    let planned = plan(&stated, 50);
    assert_eq!(rules::broken(&stated, &planned), Vec::<String>::new());
    // Two whole days more of its closure.
    assert_eq!(planned.costs.nights, 45_000);
    assert_eq!(planned.costs.closure, (28 + 48) * 600);
}

#[test]
fn either_gang_may_go_on_if_it_holds_the_tickets() {
    let mut stated = problem(long(), 1);
    stated.gang_days.extend(gang_days(1, 2).skip(1));
    stated.tasks[0].nights = over(&[(0, 1)]);
    stated.tasks[0].tickets = 1;
    stated.gang_days[0].tickets = 1;
    assert_eq!(plan(&stated, 50).left_out, [0]);
    stated.gang_days[1].tickets = 1;
    let planned = plan(&stated, 50);
    assert_eq!(planned.days.len(), 2);
    assert_eq!(rules::broken(&stated, &planned), Vec::<String>::new());
}

#[test]
fn it_is_never_left_within_a_most_time_nor_where_it_keeps_to_hours() {
    let stated = |how: fn(&mut Task)| {
        let mut stated = problem(long(), 2);
        stated.tasks[0].nights = over(&[(0, 1)]);
        how(&mut stated.tasks[0]);
        plan(&stated, 50).left_out
    };
    assert_eq!(stated(|_| {}), [0; 0]);
    assert_eq!(stated(|task| task.most = vec![Some(100_000)]), [0]);
    assert_eq!(stated(|task| task.windows = vec![(0, 86_400)]), [0]);
}

/// So many jobs near each other, some too long for a day; two days, two gangs.
fn tiny(seed: u64) -> Problem {
    let mut chance = Chance(seed);
    let mut problem = weeks::week(3, 1 + (seed % 2) as u32, 2, seed);
    problem.rates.night = 3_000 + chance.below(20) as i64 * 1_000;
    for task in &mut problem.tasks {
        task.left_out += 60_000;
        task.windows.clear();
        task.closure_hour = 0;
        task.days = Vec::new();
        task.blocks.truncate(2);
        let last = task.blocks.len() - 1;
        task.blocks[last].wait = 0;
        if task.blocks.len() == 2 && !chance.once_in(3) {
            task.blocks[0].work += chance.minutes(60, 300, 30);
            task.blocks[1].work += chance.minutes(0, 240, 30);
            task.nights = over(&[(0, 1)]);
        }
        task.open = task.nights.is_none() && chance.once_in(3);
    }
    problem
}

/// The cheapest plan with every task that may be left done in a day, or left: each choice is a problem
/// without nights, worked out by going through all of its plans.
fn cheapest(problem: &Problem) -> i64 {
    let may = |task: &Task| task.nights.is_some();
    let Some(at) = problem.tasks.iter().position(may) else {
        return brute::cheapest(problem);
    };
    let mut whole = problem.clone();
    whole.tasks[at].nights = None;
    let mut left = whole.clone();
    let stated = left.tasks[at].clone();
    let dear = 100_000_000;
    let part = |block: usize, day: usize| Task {
        blocks: vec![Block {
            wait: 0,
            ..stated.blocks[block]
        }],
        days: (0..2).map(|own| own == day).collect(),
        left_out: dear,
        ..stated.clone()
    };
    left.tasks[at] = part(0, 0);
    left.tasks.push(part(1, 1));
    cheapest(&whole).min(cheapest(&left) + problem.rates.night)
}

#[test]
fn the_search_finds_the_cheapest_plan_of_tiny_weeks_with_nights() {
    let (mut left, mut bounds, mut costs) = (0, 0, 0);
    for seed in 0..40 {
        let problem = tiny(seed);
        let planned = plan(&problem, 400);
        assert_eq!(rules::broken(&problem, &planned), Vec::<String>::new());
        assert_eq!(planned.costs.total(), cheapest(&problem), "week {seed}");
        let least = bound(&problem, &planned, &mut Iterations(200_000)).least;
        assert!(least <= planned.costs.total(), "week {seed}");
        if planned.costs.nights > 0 {
            left += 1;
            (bounds, costs) = (bounds + least, costs + planned.costs.total());
        }
    }
    assert!(20 * bounds >= 19 * costs, "{bounds} of {costs}");
    assert!(
        left > 5,
        "only {left} of the weeks leave anything over the night"
    );
}

#[test]
fn what_is_left_out_is_told_what_a_night_would_do() {
    let mut stated = problem(long(), 2);
    let told = |problem: &Problem| -> Vec<String> {
        let all = explain_all(problem, &plan(problem, 50));
        let whys = all.iter().flat_map(|(_, whys)| whys);
        whys.map(|why| format!("{} {}", why.code(), why.words()))
            .collect()
    };
    let words = told(&stated);
    assert!(words[0].starts_with("U-SHIFT"), "{words:?}");
    assert!(
        words.iter().any(|one| one.contains("Left over one night")),
        "{words:?}"
    );
    // It may be left, but the evening's wait is not over in the morning.
    stated.tasks[0].nights = over(&[(1, 2)]);
    let words = told(&stated);
    assert!(
        words.iter().any(|one| one.starts_with("U-NIGHTS")),
        "{words:?}"
    );
    // It may be left, at a price.
    stated.tasks[0].nights = over(&[(0, 1)]);
    stated.tasks[0].left_out = 1_000;
    let words = told(&stated);
    assert!(words[0].starts_with("U-COST"), "{words:?}");
}

/// The long job left over the night, and a short one.
fn two() -> Problem {
    let mut stated = problem(long(), 3);
    stated.tasks[0].nights = over(&[(0, 1), (1, 2)]);
    stated
        .tasks
        .push(task(hours(1, 0), hours(0, 30), hours(0, 30)));
    stated.near = vec![vec![1], vec![0]];
    stated
}

#[test]
fn changes_by_hand_keep_both_parts_together() {
    let stated = two();
    let planned = plan(&stated, 100);
    assert_eq!(rules::broken(&stated, &planned), Vec::<String>::new());
    let board = Board::new(stated.clone());
    let what_if = board.what_if(&planned);
    assert_eq!(what_if.now(), (planned.costs, 0));
    let out = what_if.try_change(&Change::LeaveOut { task: 0 }).unwrap();
    assert_eq!(
        (out.costs.nights, out.left_out, &out.broken[..]),
        (0, 1, &[][..])
    );
    let steps = out.days.iter().flat_map(|day| &day.steps);
    assert!(steps.into_iter().all(|step| step.task == 1));
    // In one day it is too long, and that is said.
    let moved = Change::Move {
        task: 0,
        gang_day: 2,
        at: None,
    };
    let moved = what_if.try_change(&moved).unwrap();
    assert_eq!(
        (moved.costs.nights, moved.broken[0].code),
        (0, "R-SHIFTEND")
    );
    // The two gang-days swapped put the rest before what it rests on.
    let homes = planned
        .days
        .iter()
        .filter(|day| day.steps.iter().any(|step| step.task == 0));
    let homes: Vec<u32> = homes.map(|day| day.gang_day).collect();
    let swap = Change::Swap {
        one: homes[0],
        other: homes[1],
    };
    let swapped = what_if.try_change(&swap).unwrap();
    let codes: Vec<&str> = swapped.broken.iter().map(|one| one.code).collect();
    assert!(codes.contains(&"R-ORDER"), "{codes:?}");
    assert!(
        swapped
            .broken
            .iter()
            .all(|one| one.task.is_none_or(|task| task < 2))
    );
}

#[test]
fn what_is_done_before_the_night_stays_and_the_rest_goes_on() {
    let mut stated = two();
    stated.tasks[0].locked = Some(Locked {
        gang: 0,
        day: 0,
        starts: vec![Some(hours(8, 30)), None],
    });
    let planned = plan(&stated, 100);
    assert_eq!(rules::broken(&stated, &planned), Vec::<String>::new());
    let first = planned.days[0].steps.iter().find(|step| step.task == 0);
    assert_eq!(first.map(|step| step.start), Some(hours(8, 30)));
    assert!(planned.left_out.is_empty() && planned.days[1].gang_day == 1);
    // The rest stays where it was promised.
    stated.tasks[0].nights.as_mut().unwrap().left = Some(Left {
        after: 0,
        rest: Some(Locked {
            gang: 0,
            day: 1,
            starts: vec![Some(hours(10, 0))],
        }),
        kept: None,
    });
    let planned = plan(&stated, 100);
    let rest = planned.days[1].steps.iter().find(|step| step.task == 0);
    assert_eq!(
        rest.map(|step| (step.block, step.start)),
        Some((1, hours(10, 0)))
    );
    // On a day on which it may not go on it is told to be locked.
    stated.tasks[0].nights.as_mut().unwrap().cuts[0].days = vec![(1, 2)];
    let planned = plan(&stated, 100);
    assert!(planned.left_out.contains(&0));
    let whys = explain_all(&stated, &planned);
    assert_eq!(whys[0].1[0].code(), "U-LOCKED");
}
