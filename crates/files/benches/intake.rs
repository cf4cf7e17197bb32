//! Reading and writing 1,000, 10,000 and 100,000 jobs, sound ones and faulty ones.

use std::fmt::Write as _;
use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use gangday_files::{Parts, read_programme, write_jobs};

/// A collection of jobs in a square of about 10 km; every one has a fault if `faulty`.
fn jobs(count: usize, faulty: bool) -> Vec<u8> {
    let mut text = String::from("{\"type\": \"FeatureCollection\", \"features\": [\n");
    let priority = if faulty { 9 } else { 2 };
    for n in 0..count {
        let lon = -1.6 + (n % 317) as f64 * 0.0004;
        let lat = 53.7 + (n / 317 % 311) as f64 * 0.0003;
        let comma = if n == 0 { "" } else { ",\n" };
        write!(
            text,
            "{comma}{{\"type\": \"Feature\", \"id\": \"J{n}\", \"properties\": {{\"work\": \"new\", \
             \"position\": \"footway\", \"clear_length_mm\": 600, \"clear_width_mm\": 450, \
             \"sections\": 6, \"earliest\": \"2027-03-01\", \"site_hours\": [[\"09:30\", \"15:30\"]], \
             \"tickets\": [\"street works\"], \"priority\": {priority}, \"crew_note\": \"gate\"}}, \
             \"geometry\": {{\"type\": \"Point\", \"coordinates\": [{lon}, {lat}]}}}}"
        )
        .expect("text goes to memory");
    }
    text.push_str("\n]}\n");
    text.into_bytes()
}

fn intake(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("intake");
    group.sample_size(10);
    for count in [1_000, 10_000, 100_000] {
        group.throughput(Throughput::Elements(count as u64));
        for (name, faulty) in [("sound", false), ("faulty", true)] {
            let bytes = jobs(count, faulty);
            let parts = Parts {
                jobs: Some(&bytes),
                ..Parts::default()
            };
            group.bench_with_input(BenchmarkId::new(name, count), &parts, |bench, parts| {
                bench.iter(|| black_box(read_programme("bench", parts)));
            });
        }
        let bytes = jobs(count, false);
        let parts = Parts {
            jobs: Some(&bytes),
            ..Parts::default()
        };
        let read = read_programme("bench", &parts);
        group.bench_with_input(BenchmarkId::new("write", count), &read, |bench, read| {
            bench.iter(|| black_box(write_jobs(&read.programme.jobs, &read.kept.jobs)));
        });
    }
    group.finish();
}

criterion_group!(benches, intake);
criterion_main!(benches);
