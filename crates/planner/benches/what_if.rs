//! How fast a change by hand is tried, on plans of 100, 1,000 and 10,000 jobs.
#![allow(
    missing_docs,
    reason = "criterion's macros make functions without docs"
)]

#[path = "../tests/common/weeks.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod weeks;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use gangday_planner::{Board, Change, Go, Iterations, solve};

/// Jobs, and gangs for a week of five days.
const SIZES: [(u32, u32); 3] = [(100, 7), (1_000, 70), (10_000, 700)];

fn what_if(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("what if");
    for (jobs, gangs) in SIZES {
        let problem = weeks::week(jobs, gangs, 5, 1);
        let plan = solve(&problem, &mut Iterations(0), 1, &mut |_| Go::On);
        let board = Board::new(weeks::with_rules(problem, 1));
        let what_if = board.what_if(&plan);
        let days = gangs * 5;
        let mut at = 0;
        let mut next = |most: u32| {
            at = (at + 7_919) % most;
            at
        };
        group.bench_function(BenchmarkId::new("move a job", jobs), |bencher| {
            bencher.iter(|| {
                let (task, gang_day) = (next(jobs), next(days));
                what_if.try_change(&Change::Move {
                    task,
                    gang_day,
                    at: None,
                })
            });
        });
        group.bench_function(BenchmarkId::new("swap two gang-days", jobs), |bencher| {
            bencher.iter(|| {
                let (one, other) = (next(days), next(days));
                what_if.try_change(&Change::Swap { one, other })
            });
        });
        group.bench_function(BenchmarkId::new("fill a gang's week", jobs), |bencher| {
            bencher.iter(|| {
                let first = next(gangs) * 5;
                let gang_days = (first..first + 5).collect();
                what_if.try_change(&Change::Fill { gang_days })
            });
        });
    }
    group.finish();
}

criterion_group!(benches, what_if);
criterion_main!(benches);
