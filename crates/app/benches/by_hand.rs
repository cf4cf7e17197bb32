//! How fast a door gets to know what a change by hand would do, with 1,000 and 10,000 jobs on the desk:
//! times, costs, columns with their way on the map, loads and orders of the gang-days touched.
#![allow(
    missing_docs,
    reason = "criterion's macros make functions without docs"
)]

mod weeks;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use gangday_app::view::{ChangeByHand, Request};
use weeks::{SIZES, planned};

fn by_hand(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("changes by hand");
    for (jobs, gangs) in SIZES {
        let desk = planned(jobs, gangs);
        let mut at = 0;
        let mut next = |most: u32| {
            at = (at + 7_919) % most;
            at
        };
        let mut gang_day = move || {
            let day = 1 + next(5);
            format!("g{:03}@2027-03-{day:02}", next(gangs))
        };
        let try_change = |change| desk.ask(Request::WhatIf { change }).map(drop);
        let mut turn = 0;
        group.bench_function(BenchmarkId::new("move a job", jobs), |bencher| {
            bencher.iter(|| {
                turn = (turn + 1_237) % jobs;
                let job = format!("J{turn:05}");
                let at = (turn % 2 == 0).then_some(600);
                let _ = try_change(ChangeByHand::MoveJob {
                    job,
                    to: gang_day(),
                    at,
                });
            });
        });
        group.bench_function(BenchmarkId::new("swap two gang-days", jobs), |bencher| {
            bencher.iter(|| {
                let (one, other) = (gang_day(), gang_day());
                let _ = try_change(ChangeByHand::Swap { one, other });
            });
        });
        group.bench_function(BenchmarkId::new("add a gang", jobs), |bencher| {
            bencher.iter(|| {
                let _ = try_change(ChangeByHand::AddGang {
                    like: "g001".to_owned(),
                });
            });
        });
    }
    group.finish();
}

criterion_group!(benches, by_hand);
criterion_main!(benches);
