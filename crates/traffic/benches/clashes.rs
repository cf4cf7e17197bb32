//! How the search for clashes grows: 1,000 and 10,000 works at the same density, by index, beside
//! holding every closure against every other.

use std::hint::black_box;

use criterion::{BenchmarkId, Criterion, Throughput, criterion_group, criterion_main};
use gangday_ground::rectangle;
use gangday_model::PlanePoint;
use gangday_traffic::{Along, Party, Rules, clash_between, find_clashes};

/// A small linear congruential generator, so that every run has the same works.
struct Dice(u64);

impl Dice {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

/// Works in a town of streets 400 m long, five to a street, over sixty days, each closed for four
/// hours; every fifth closes its road and has ways of forty stretches round it.
fn works(count: usize) -> Vec<Party> {
    let mut dice = Dice(7);
    let side = (count as f64 / 5.0).sqrt().ceil() as u64;
    (0..count)
        .map(|number| {
            let (column, row) = (dice.below(side), dice.below(side));
            let chainage_m = dice.below(400) as f64;
            let (west, north) = (column as f64 * 400.0, row as f64 * 100.0);
            let at = PlanePoint::from_metres(west + chainage_m, north);
            let from = dice.below(60) as i64 * 86_400 + dice.below(8) as i64 * 3_600;
            let step = |part: u64| {
                let along = (part % 20) as f64 * 40.0;
                let up = if part < 20 { 100.0 } else { -100.0 };
                PlanePoint::from_metres(west - 200.0 + along, north + up)
            };
            let ways = if number.is_multiple_of(5) {
                vec![(0..40).map(step).collect()]
            } else {
                Vec::new()
            };
            Party {
                from,
                until: from + 4 * 3_600,
                gang: dice.below(5) as u32,
                takes_carriageway: true,
                along: Some(Along {
                    street: (row * side + column) as u32,
                    chainage_m,
                    length_m: 400.0,
                }),
                road: Some(row as u32),
                at,
                apart_m: 1_000.0,
                ground: rectangle(at, 90.0, 10.0, 6.0),
                ways,
            }
        })
        .collect()
}

fn clashes(bench: &mut Criterion) {
    let limits = Rules::shipped().clash_limits();
    let mut group = bench.benchmark_group("clashes");
    group.sample_size(10);
    for count in [1_000, 10_000] {
        let works = works(count);
        group.throughput(Throughput::Elements(count as u64));
        group.bench_with_input(BenchmarkId::new("index", count), &works, |bench, works| {
            bench.iter(|| find_clashes(black_box(works), &limits));
        });
        group.bench_with_input(
            BenchmarkId::new("every pair", count),
            &works,
            |bench, works| {
                bench.iter(|| {
                    let pairs = works.iter().enumerate();
                    let held = |(at, one): (usize, &Party)| {
                        let others = works[at + 1..].iter();
                        others
                            .filter(|other| clash_between(one, other, &limits).is_some())
                            .count()
                    };
                    pairs.map(held).sum::<usize>()
                });
            },
        );
    }
    group.finish();
}

criterion_group!(benches, clashes);
criterion_main!(benches);
