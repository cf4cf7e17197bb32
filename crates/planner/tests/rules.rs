//! For each rule a week in which it is the one that bites: the plan made without it breaks it, and
//! the plan made with it does not.

mod common;

use common::{rules, weeks};
use gangday_planner::{
    Block, Clash, GangDay, Go, Hauling, Iterations, Kept, Load, Locked, Problem, Solution, Task,
    Travel, explain_all, solve,
};
use weeks::hours;

fn plan(problem: &Problem) -> Solution {
    solve(problem, &mut Iterations(600), 1, &mut |_| Go::On)
}

/// Two gangs, two days, one depot; so many jobs an hour's drive from it and ten minutes apart, each
/// two hours' work, an hour's wait, an hour's work.
fn week(jobs: u32) -> Problem {
    let nodes = jobs + 2;
    let seconds = |from: u32, to: u32| match (from, to) {
        _ if from == to => 0,
        (0, _) | (_, 0) => 1_800,
        _ => 600,
    };
    let task = |node| Task {
        node,
        blocks: vec![
            Block {
                work: hours(1, 30),
                wait: hours(1, 0),
            },
            Block {
                work: hours(0, 45),
                wait: 0,
            },
        ],
        left_out: 100_000,
        ..Task::default()
    };
    let gang_day = |gang, day| GangDay {
        gang,
        day,
        start: hours(7, 30),
        end: hours(16, 30),
        latest: hours(17, 30),
        load: 1_200,
        unload: 600,
        ..GangDay::default()
    };
    Problem {
        tasks: (1..=jobs).map(task).collect(),
        gang_days: vec![
            gang_day(0, 0),
            gang_day(0, 1),
            gang_day(1, 0),
            gang_day(1, 1),
        ],
        travel: Travel::Matrix {
            nodes,
            seconds: (0..nodes)
                .flat_map(|from| (0..nodes).map(move |to| seconds(from, to)))
                .collect(),
        },
        near: (0..jobs)
            .map(|own| (0..jobs).filter(|&other| other != own).collect())
            .collect(),
        rates: weeks::rates(),
        ..Problem::default()
    }
}

fn each_day(problem: &mut Problem, how: impl Fn(&mut GangDay)) {
    problem.gang_days.iter_mut().for_each(how);
}

fn each_task(problem: &mut Problem, how: impl Fn(&mut Task)) {
    problem.tasks.iter_mut().for_each(how);
}

/// A rule: its name, how many jobs, what it adds to the week, what its breach is called, and whether
/// every job is still planned with it.
type Row = (&'static str, u32, fn(&mut Problem), &'static str, bool);

const ROWS: &[Row] = &[
    ("payload", 3, payload, "bears too much", true),
    ("body", 3, body, "bears too much", true),
    ("spoil to the tip", 3, spoil, "bears too much", true),
    ("break", 3, take_break, "has no break", true),
    ("driving", 2, driving, "drives too much", true),
    ("vibration", 3, shake, "shakes too much", true),
    ("gap", 3, gap, "gap", true),
    ("clash", 2, clash, "0 and 1 clash", true),
    ("locked", 3, locked, "not where it is locked", true),
    ("ticket", 6, ticket, "ticket", false),
    ("dates", 9, dates, "day", false),
    ("site hours", 2, site_hours, "window", true),
    ("shift and overtime", 3, shift, "ends too late", true),
    ("wait", 3, wait, "order or wait", true),
];

/// One gang-day's gang holds the ticket of six jobs.
fn ticket(problem: &mut Problem) {
    problem.gang_days[0].tickets = 1;
    each_task(problem, |task| task.tickets = 1);
}

/// Nine jobs on a day that two gangs work.
fn dates(problem: &mut Problem) {
    each_task(problem, |task| task.days = vec![true, false]);
}

fn site_hours(problem: &mut Problem) {
    each_task(problem, |task| {
        task.windows = vec![(hours(12, 0), hours(17, 0))];
    });
}

fn shift(problem: &mut Problem) {
    each_day(problem, |day| day.latest = hours(13, 0));
}

fn wait(problem: &mut Problem) {
    each_task(problem, |task| task.blocks[0].wait = hours(5, 0));
}

fn payload(problem: &mut Problem) {
    each_day(problem, |day| day.payload = Some(5_000));
    each_task(problem, |task| {
        task.out = Load {
            kg: 2_000,
            litres: 0,
        }
    });
}

fn body(problem: &mut Problem) {
    each_day(problem, |day| day.body = Some(5_000));
    each_task(problem, |task| {
        task.out = Load {
            kg: 0,
            litres: 2_000,
        }
    });
}

fn spoil(problem: &mut Problem) {
    each_day(problem, |day| day.payload = Some(5_000));
    each_task(problem, |task| {
        task.back = Load {
            kg: 2_000,
            litres: 0,
        }
    });
    problem.hauling = Hauling {
        tips: vec![problem.tasks.len() as u32 + 1],
        tip: 600,
        reload: 1_200,
    };
}

fn take_break(problem: &mut Problem) {
    each_day(problem, |day| {
        (day.break_after, day.break_lasts) = (hours(6, 0), 1_800);
    });
}

fn driving(problem: &mut Problem) {
    each_day(problem, |day| day.driving = Some(hours(1, 5)));
}

fn shake(problem: &mut Problem) {
    each_day(problem, |day| day.shake = Some(400));
    each_task(problem, |task| task.shake = 150);
}

fn gap(problem: &mut Problem) {
    each_task(problem, |task| task.most = vec![Some(hours(1, 5))]);
}

fn clash(problem: &mut Problem) {
    problem.clashes.push(Clash {
        one: 0,
        other: 1,
        price: None,
    });
}

fn locked(problem: &mut Problem) {
    let starts = vec![Some(hours(10, 0)), Some(hours(13, 0))];
    problem.tasks[0].locked = Some(Locked {
        gang: 1,
        day: 1,
        starts,
    });
}

#[test]
fn each_rule_bites_and_is_kept() {
    for &(name, jobs, add, breach, all) in ROWS {
        let without = week(jobs);
        let mut with = without.clone();
        add(&mut with);
        let loose = plan(&without);
        let broken = rules::broken(&with, &loose);
        assert!(
            broken.iter().any(|what| what.contains(breach)),
            "{name}: {broken:?}"
        );
        let kept = plan(&with);
        assert_eq!(rules::broken(&with, &kept), Vec::<String>::new(), "{name}");
        assert_eq!(kept.left_out.is_empty(), all, "{name}");
        assert!(
            kept.costs.total() > loose.costs.total(),
            "{name} costs something"
        );
    }
}

/// What can't be done whatever the plan: its name, what makes it so, and the reason that is given.
type Hopeless = (&'static str, fn(&mut Problem), &'static str);

const HOPELESS: &[Hopeless] = &[
    (
        "too heavy",
        |p| {
            payload(p);
            p.tasks[0].out.kg = 5_001;
        },
        "U-HEAVY",
    ),
    (
        "too much spoil",
        |p| {
            spoil(p);
            p.tasks[0].back.kg = 5_001;
        },
        "U-HEAVY",
    ),
    (
        "too large",
        |p| {
            body(p);
            p.tasks[0].out.litres = 5_001;
        },
        "U-HEAVY",
    ),
    (
        "too much vibration",
        |p| {
            shake(p);
            p.tasks[0].shake = 401;
        },
        "U-SHAKE",
    ),
    (
        "too far",
        |p| each_day(p, |day| day.driving = Some(3_599)),
        "U-DRIVE",
    ),
    (
        "no room for a break",
        |p| {
            take_break(p);
            each_day(p, |day| day.break_lasts = hours(6, 0));
            p.tasks[0].blocks[0].work = hours(4, 0);
        },
        "U-BREAK",
    ),
    (
        "a gap that can't be kept",
        |p| p.tasks[0].most = vec![Some(60)],
        "U-GAP",
    ),
    (
        "locked before the shift",
        |p| {
            locked(p);
            p.tasks[0].locked.as_mut().expect("locked").starts =
                vec![Some(hours(7, 0)), Some(hours(13, 0))];
        },
        "U-LOCKED",
    ),
    (
        "locked to a gang that is not there",
        |p| {
            locked(p);
            p.gang_days.pop();
        },
        "U-LOCKED",
    ),
    (
        "a ticket that nobody holds",
        |p| p.tasks[0].tickets = 1,
        "U-TICKET",
    ),
    (
        "a window shorter than the job",
        |p| {
            p.tasks[0].windows = vec![(hours(9, 0), hours(12, 14))];
        },
        "U-HOURS",
    ),
    (
        "longer than the day",
        |p| p.tasks[0].blocks[0].work = hours(9, 0),
        "U-SHIFT",
    ),
    (
        "no day",
        |p| p.tasks[0].days = vec![false, false],
        "U-DATES",
    ),
    ("no gang at all", |p| p.gang_days.clear(), "U-DATES"),
    (
        "no gang at all for a ticket",
        |p| {
            p.gang_days.clear();
            p.tasks[0].tickets = 1;
        },
        "U-DATES",
    ),
    ("nothing to do", |p| p.tasks[0].blocks.clear(), "U-NOWORK"),
];

#[test]
fn what_is_impossible_is_explained_and_ends() {
    for &(name, make, code) in HOPELESS {
        let mut problem = week(2);
        make(&mut problem);
        let solution = plan(&problem);
        assert_eq!(
            rules::broken(&problem, &solution),
            Vec::<String>::new(),
            "{name}"
        );
        assert!(solution.left_out.contains(&0), "{name}");
        let (task, whys) = &explain_all(&problem, &solution)[0];
        assert_eq!((*task, whys[0].code()), (0, code), "{name}: {whys:?}");
        assert!(
            whys.iter().all(|why| why.words().ends_with('.')),
            "{name}: {whys:?}"
        );
    }
}

#[test]
fn a_clash_that_leaves_no_room_is_the_reason() {
    let mut problem = week(2);
    clash(&mut problem);
    // Both only on the first day, from nine till one: each takes three hours and a quarter.
    each_task(&mut problem, |task| {
        task.days = vec![true, false];
        task.windows = vec![(hours(9, 0), hours(13, 0))];
    });
    let solution = plan(&problem);
    assert_eq!(rules::broken(&problem, &solution), Vec::<String>::new());
    let all = explain_all(&problem, &solution);
    assert_eq!(all.len(), 1);
    assert_eq!(all[0].1[0].code(), "U-CLASH");
}

/// Whoever comes first is there at a quarter past eight: the job whose street is not busy then.
#[test]
fn a_closure_keeps_out_of_busy_hours_where_another_can_come_first() {
    let until = hours(9, 30);
    let is_early = |solution: &Solution, task: u32| {
        let steps = solution.days.iter().flat_map(|day| &day.steps);
        let mut own = steps.filter(|step| step.task == task);
        own.any(|step| step.start < until)
    };
    let loose = plan(&week(2));
    let mut bitten = 0;
    for task in 0..2_u32 {
        let mut problem = week(2);
        let own = &mut problem.tasks[task as usize];
        (own.busy, own.busy_hour) = (vec![(hours(7, 0), until)], 6_000);
        let kept = plan(&problem);
        assert_eq!(rules::broken(&problem, &kept), Vec::<String>::new());
        assert!(kept.left_out.is_empty() && !is_early(&kept, task));
        bitten += u32::from(is_early(&loose, task));
    }
    assert!(bitten > 0, "it bites");
}

#[test]
fn a_clash_with_a_price_is_weighed() {
    let mut problem = week(2);
    let apart = |price| {
        problem.clashes = vec![Clash {
            one: 0,
            other: 1,
            price: Some(price),
        }];
        let solution = plan(&problem);
        assert_eq!(rules::broken(&problem, &solution), Vec::<String>::new());
        solution.costs.clashes == 0
    };
    let prices = [10, 1_000_000].map(apart);
    assert_eq!(prices, [false, true]);
}

#[test]
fn as_little_is_changed_as_its_price_asks_for() {
    let mut problem = week(6);
    let before = plan(&problem);
    for day in &before.days {
        let stated = problem.gang_days[day.gang_day as usize];
        for step in day.steps.iter().filter(|step| step.block == 0) {
            // As if the other gang had it.
            let (gang, start) = (1 - stated.gang, step.start);
            problem.tasks[step.task as usize].kept = Some(Kept {
                gang,
                day: stated.day,
                start,
            });
        }
    }
    (problem.rates.moved, problem.rates.retimed) = (20_000, 5_000);
    problem.rates.at_same_time = 900;
    let kept = plan(&problem);
    assert_eq!(rules::broken(&problem, &kept), Vec::<String>::new());
    assert_eq!(
        kept.costs.changes, 0,
        "the other way round costs the same: {:?}",
        kept.costs
    );
    problem.rates.moved = 0;
    problem.rates.retimed = 0;
    assert_eq!(plan(&problem).costs.total(), before.costs.total());
}

#[test]
fn random_weeks_with_every_rule_keep_them() {
    for seed in 0..60 {
        let mut chance = weeks::Chance(seed);
        let jobs = 1 + chance.below(40) as u32;
        let week = weeks::week(jobs, 1 + seed as u32 % 3, 1 + seed as u32 % 5, seed);
        let problem = weeks::with_rules(week, seed);
        let solution = solve(&problem, &mut Iterations(300), seed, &mut |_| Go::On);
        assert_eq!(
            rules::broken(&problem, &solution),
            Vec::<String>::new(),
            "week {seed}"
        );
    }
}
