//! Every task that is left out has a reason, and its numbers are those that a foreman would find.

mod common;

use common::weeks::{self, hours};
use gangday_planner::{
    Block, Cure, Cut, GangDay, Go, Iterations, Nights, Problem, Solution, Task, Travel, Why,
    explain, explain_all, solve,
};

/// A job of so many minutes in one go, ten minutes from the depot.
fn job(minutes: u32) -> Task {
    Task {
        node: 1,
        blocks: vec![Block {
            work: minutes * 60,
            wait: 0,
        }],
        left_out: 1_000_000,
        ..Task::default()
    }
}

/// One gang, 07:30 to 16:30 and an hour of overtime; loading 20 min, unloading 10.
fn problem(tasks: Vec<Task>) -> Problem {
    let near = vec![Vec::new(); tasks.len()];
    let gang_day = GangDay {
        start: hours(7, 30),
        end: hours(16, 30),
        latest: hours(17, 30),
        load: 1_200,
        unload: 600,
        tickets: 0b01,
        ..GangDay::default()
    };
    let travel = Travel::Matrix {
        nodes: 2,
        seconds: vec![0, 600, 600, 0],
    };
    Problem {
        tasks,
        gang_days: vec![gang_day],
        travel,
        near,
        rates: weeks::rates(),
        ..Problem::default()
    }
}

fn whys(problem: &Problem, task: u32) -> Vec<Why> {
    let solution = solve(problem, &mut Iterations(50), 1, &mut |_| Go::On);
    assert!(solution.left_out.contains(&task), "it is planned");
    let whys = explain(problem, &solution, task);
    for why in &whys {
        assert!(why.code().starts_with("U-") && !why.words().is_empty());
        assert!(
            gangday_planner::codes::CODES
                .iter()
                .any(|(code, _)| *code == why.code())
        );
    }
    whys
}

#[test]
fn a_ticket_that_nobody_holds() {
    let problem = problem(vec![Task {
        tickets: 0b11,
        ..job(60)
    }]);
    assert_eq!(whys(&problem, 0), [Why::NobodyHolds { tickets: 0b10 }]);
}

#[test]
fn tickets_that_no_one_gang_holds_together() {
    let mut problem = problem(vec![Task {
        tickets: 0b11,
        ..job(60)
    }]);
    problem.gang_days.push(GangDay {
        gang: 1,
        tickets: 0b10,
        ..problem.gang_days[0]
    });
    assert_eq!(
        whys(&problem, 0),
        [Why::NoGangHoldsAll {
            lacking: 0b10,
            gang_day: 0
        }]
    );
}

#[test]
fn dates_on_which_nobody_works() {
    let problem = problem(vec![Task {
        days: vec![false],
        ..job(60)
    }]);
    assert_eq!(whys(&problem, 0), [Why::NoDay]);
}

#[test]
fn days_on_which_nobody_with_the_ticket_works() {
    let mut problem = problem(vec![Task {
        days: vec![false, true],
        tickets: 1,
        ..job(60)
    }]);
    problem.gang_days.push(GangDay {
        gang: 1,
        day: 1,
        tickets: 0,
        ..problem.gang_days[0]
    });
    assert_eq!(whys(&problem, 0), [Why::NoGangThen { others: 1 }]);
}

#[test]
fn a_ticket_and_site_hours_are_both_named_the_ticket_first() {
    let windows = vec![(hours(9, 30), hours(10, 0))];
    let problem = problem(vec![Task {
        tickets: 0b10,
        windows,
        ..job(60)
    }]);
    let hours = Why::LongerThanHours {
        needs: 3_600,
        window: 1_800,
    };
    assert_eq!(
        whys(&problem, 0),
        [Why::NobodyHolds { tickets: 0b10 }, hours]
    );
}

#[test]
fn a_closure_longer_than_its_site_hours() {
    let windows = vec![(hours(9, 30), hours(11, 0)), (hours(13, 0), hours(15, 0))];
    let blocks = vec![
        Block {
            work: 3_600,
            wait: 5_400,
        },
        Block {
            work: 3_600,
            wait: 0,
        },
    ];
    let problem = problem(vec![Task {
        windows,
        blocks,
        ..job(0)
    }]);
    let found = whys(&problem, 0);
    assert_eq!(
        found,
        [Why::LongerThanHours {
            needs: 12_600,
            window: 7_200
        }]
    );
    assert!(
        found[0].words().contains("needs 90 min more"),
        "{}",
        found[0].words()
    );
}

#[test]
fn a_job_longer_than_any_day() {
    let problem = problem(vec![job(600)]);
    // 20 + 10 + 600 + 10 + 10 min, and the day lasts 600 with its overtime.
    let found = whys(&problem, 0);
    assert_eq!(
        found,
        [Why::LongerThanDay {
            needs: 650 * 60,
            lasts: 600 * 60,
            gang_day: 0
        }]
    );
    assert!(
        found[0].words().contains("50 min more"),
        "{}",
        found[0].words()
    );
}

#[test]
fn site_hours_after_the_gang_has_gone() {
    let problem = problem(vec![Task {
        windows: vec![(hours(16, 0), hours(20, 0))],
        ..job(120)
    }]);
    // From 16:00 to 18:00, back and unloaded at 18:20: 50 min too late.
    assert_eq!(
        whys(&problem, 0),
        [Why::HoursOutsideDay {
            over: 50 * 60,
            gang_day: 0
        }]
    );
}

#[test]
fn site_hours_before_the_gang_can_be_there() {
    let problem = problem(vec![Task {
        windows: vec![(hours(6, 0), hours(8, 30))],
        ..job(60)
    }]);
    // There at 08:00, done at 09:00: 30 min too late.
    assert_eq!(
        whys(&problem, 0),
        [Why::HoursOutsideDay {
            over: 30 * 60,
            gang_day: 0
        }]
    );
}

#[test]
fn a_day_that_is_full_says_how_much_more_would_do() {
    let problem = problem(vec![
        Task {
            left_out: 2_000_000,
            ..job(400)
        },
        job(190),
    ]);
    // 20 + 10 + 400 + 190 + 10 + 10 = 640 min from 07:30 is 18:10: 40 min over the latest.
    let found = whys(&problem, 1);
    assert_eq!(
        found,
        [Why::Full {
            over: 40 * 60,
            gang_day: 0,
            past_shift: 100 * 60
        }]
    );
    assert!(
        found[0].words().contains("40 min more"),
        "{}",
        found[0].words()
    );
}

#[test]
fn site_hours_that_another_job_has_taken() {
    let windows = vec![(hours(9, 0), hours(11, 0))];
    let first = Task {
        windows: windows.clone(),
        left_out: 2_000_000,
        ..job(90)
    };
    let problem = problem(vec![first, Task { windows, ..job(60) }]);
    assert_eq!(whys(&problem, 1), [Why::Taken { gang_days: 1 }]);
}

#[test]
fn a_job_that_costs_more_than_leaving_it_out() {
    let problem = problem(vec![Task {
        left_out: 10_000,
        ..job(60)
    }]);
    // 110 min of crew at 9,000p, 20 min of travel at 2,400p, a gang-day begun at 5,000p.
    let adds = 16_500 + 800 + 5_000;
    assert_eq!(
        whys(&problem, 0),
        [Why::NotWorth {
            adds,
            left_out: 10_000,
            gang_day: 0
        }]
    );
}

/// Neither tickets that its gang holds, nor days that are allowed, nor site hours in which it fits would
/// make it worth more.
#[test]
fn a_job_that_fits_as_it_is_has_no_cure() {
    let mut problem = problem(vec![Task {
        left_out: 10_000,
        days: vec![true],
        tickets: 1,
        windows: vec![(hours(8, 0), hours(16, 0))],
        ..job(60)
    }]);
    problem
        .gang_days
        .iter_mut()
        .for_each(|day| day.tickets |= 1);
    let solution = solve(&problem, &mut Iterations(20), 1, &mut |_| Go::On);
    let all = explain_all(&problem, &solution);
    assert!(matches!(all[0].1[..], [Why::NotWorth { .. }]), "{all:?}");
}

#[test]
fn a_search_stopped_too_soon() {
    let tasks = vec![job(5); 40];
    let problem = problem(tasks);
    let solution = Solution {
        left_out: (0..40).collect(),
        ..Solution::default()
    };
    let found = explain(&problem, &solution, 0);
    assert!(
        matches!(found[..], [Why::Stopped { gang_day: 0, .. }]),
        "{found:?}"
    );
}

#[test]
fn a_job_without_work() {
    let problem = problem(vec![Task {
        blocks: Vec::new(),
        ..job(0)
    }]);
    assert_eq!(whys(&problem, 0), [Why::NoWork]);
}

#[test]
fn planned_tasks_have_no_reason_and_all_others_have() {
    for seed in 0..10 {
        let problem = weeks::week(60, 2, 4, seed);
        let solution = solve(&problem, &mut Iterations(200), seed, &mut |_| Go::On);
        let all = explain_all(&problem, &solution);
        assert_eq!(all.len(), solution.left_out.len());
        assert!(!all.is_empty(), "two gangs can't do sixty jobs");
        for (task, whys) in all {
            assert!(!whys.is_empty());
            assert_eq!(explain(&problem, &solution, task), whys[..1]);
            let cures = whys[1..].iter();
            assert!(cures.clone().all(|why| why.code() == "U-IF"), "{whys:?}");
            cures.for_each(|why| holds(&problem, &solution, task, *why));
        }
        let planned = solution.days[0].steps[0].task;
        assert_eq!(explain(&problem, &solution, planned), []);
    }
}

/// What is said to make the task fit does, at the price that is said.
fn holds(problem: &Problem, solution: &Solution, task: u32, why: Why) {
    let Why::If(cure) = why else { return };
    let mut changed = problem.clone();
    let own = &mut changed.tasks[task as usize];
    let said = match cure {
        Cure::Tickets {
            lacking,
            gang_day,
            adds,
        } => {
            own.tickets &= !lacking;
            (adds, gang_day)
        }
        Cure::Longer {
            over,
            gang_day,
            adds,
        } => {
            changed.gang_days[gang_day as usize].latest += over;
            (adds, gang_day)
        }
        Cure::Date { gang_day, adds } => {
            own.days.clear();
            (adds, gang_day)
        }
        Cure::Night { gang_day, adds, .. } => {
            let last = changed.gang_days.iter().map(|day| day.day).max();
            let days = 0..last.unwrap_or(0);
            let cut = |after| Cut {
                after,
                days: days.clone().map(|day| (day, day + 1)).collect(),
            };
            let cuts = (1..own.blocks.len() as u32).map(|block| cut(block - 1));
            own.nights = Some(Nights {
                cuts: cuts.collect(),
                left: None,
            });
            (adds, gang_day)
        }
        Cure::Hours { gang_day, adds } => {
            own.windows.clear();
            (adds, gang_day)
        }
    };
    let now = match explain(&changed, solution, task)[0] {
        Why::Stopped { adds, gang_day } | Why::NotWorth { adds, gang_day, .. } => (adds, gang_day),
        other => unreachable!("{why:?}, but then {other:?}"),
    };
    if matches!(cure, Cure::Longer { .. } | Cure::Night { .. }) {
        // On another gang-day it could already fit, and did not for its cost.
        assert!(now.0 <= said.0, "{why:?}: {now:?}");
    } else {
        assert_eq!(now, said, "{why:?}");
    }
}
