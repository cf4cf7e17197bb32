//! How fast the search is: a first plan, and rounds of ruin and recreate, at 60, 200 and 1,000 jobs.
#![allow(
    missing_docs,
    reason = "criterion's macros make functions without docs"
)]

#[path = "../tests/common/weeks.rs"]
#[allow(dead_code, reason = "shared with the tests")]
mod weeks;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use gangday_planner::{Go, Iterations, solve};

/// Jobs, and gangs for a week of five days.
const SIZES: [(u32, u32); 3] = [(60, 5), (200, 14), (1_000, 70)];

const ROUNDS: u64 = 2_000;

fn search(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("search");
    group.sample_size(10);
    for (jobs, gangs) in SIZES {
        let problem = weeks::week(jobs, gangs, 5, 1);
        group.throughput(Throughput::Elements(1));
        group.bench_function(BenchmarkId::new("first plan", jobs), |bencher| {
            bencher.iter(|| solve(&problem, &mut Iterations(0), 1, &mut |_| Go::On));
        });
        group.throughput(Throughput::Elements(ROUNDS));
        group.bench_function(BenchmarkId::new("first plan and rounds", jobs), |bencher| {
            bencher.iter(|| solve(&problem, &mut Iterations(ROUNDS), 1, &mut |_| Go::On));
        });
    }
    group.finish();
}

criterion_group!(benches, search);
criterion_main!(benches);
