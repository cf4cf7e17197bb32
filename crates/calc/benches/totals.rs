//! How totalling grows with the number of jobs: take-off of each, then one order for all.

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use gangday_calc::{
    Conditions, StageRules, TakeOffRules, order, shipped_materials, shipped_method,
};
use gangday_model::{
    Job, LonLat, Millimetres, Order, ParameterTable, Position, Seconds, TakeOff, Work,
};

const POSITIONS: [Position; 4] = [
    Position::Verge,
    Position::Footway,
    Position::CycleTrack,
    Position::Carriageway,
];
const WORKS: [Work; 3] = [Work::New, Work::Replace, Work::Adjust];

fn jobs(count: usize) -> Vec<Job> {
    let job = |n: usize| {
        let id = format!("job-{n}");
        let mut job = Job::new(
            id.as_str(),
            LonLat::new(0.0, 52.0),
            WORKS[n % 3],
            POSITIONS[n % 4],
        );
        job.sizes.clear_length = Some(Millimetres::from_mm(450 + (n % 17) as i64 * 75));
        job.sizes.sections = Some(2 + (n % 9) as u32);
        job
    };
    (0..count).map(job).collect()
}

fn total(jobs: &[Job], method: &ParameterTable, materials: &ParameterTable) -> Order {
    let rules = TakeOffRules::read(method, materials).expect("shipped tables are sound");
    let taken: Vec<TakeOff> = jobs
        .iter()
        .map(|job| rules.take_off(job).expect("jobs of the bench are sound"))
        .collect();
    order("week", &taken, materials)
}

fn totals(criterion: &mut Criterion) {
    let (method, materials) = (shipped_method(), shipped_materials());
    let mut group = criterion.benchmark_group("totals");
    group.sample_size(20);
    for count in [1_000, 10_000, 100_000] {
        let jobs = jobs(count);
        group.throughput(Throughput::Elements(count as u64));
        group.bench_with_input(BenchmarkId::from_parameter(count), &jobs, |bench, jobs| {
            bench.iter(|| total(black_box(jobs), &method, &materials));
        });
    }
    group.finish();
}

/// The stages of every job, with tables read once.
fn lasting(jobs: &[Job], taken: &[TakeOff], rules: &StageRules) -> Seconds {
    let work = |(job, taken): (&Job, &TakeOff)| {
        let work = rules.stage_work(job, taken, Conditions::at(10.0));
        work.expect("jobs of the bench are sound").work()
    };
    jobs.iter().zip(taken).map(work).sum()
}

fn stages(criterion: &mut Criterion) {
    let (method, materials) = (shipped_method(), shipped_materials());
    let rules = StageRules::read(&method, &materials).expect("shipped tables are sound");
    let sizes = TakeOffRules::read(&method, &materials).expect("shipped tables are sound");
    let mut group = criterion.benchmark_group("stages");
    group.sample_size(20);
    for count in [1_000, 10_000, 100_000] {
        let jobs = jobs(count);
        let taken: Vec<_> = jobs
            .iter()
            .map(|job| sizes.take_off(job).expect("jobs of the bench are sound"))
            .collect();
        group.throughput(Throughput::Elements(count as u64));
        group.bench_with_input(BenchmarkId::from_parameter(count), &jobs, |bench, jobs| {
            bench.iter(|| lasting(black_box(jobs), &taken, &rules));
        });
    }
    group.finish();
}

criterion_group!(benches, totals, stages);
criterion_main!(benches);
