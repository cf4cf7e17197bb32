//! Reading the real extracts that `cargo xtask extracts` fetches.

use std::hint::black_box;
use std::io::Cursor;
use std::path::Path;

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use gangday_files::{read_network, read_osm, write_network};

fn extract(criterion: &mut Criterion) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../.tools/extracts");
    let mut group = criterion.benchmark_group("extract");
    group.sample_size(20);
    for name in ["liechtenstein", "helsinki", "kotka"] {
        let path = folder.join(format!("{name}.osm.pbf"));
        let bytes = std::fs::read(path).expect("`cargo xtask extracts` fetches it");
        group.throughput(Throughput::Bytes(bytes.len() as u64));
        let read = || read_osm(name, &mut Cursor::new(&bytes), &mut |_| {});
        group.bench_function(format!("read/{name}"), |bench| {
            bench.iter(|| black_box(read()));
        });
        let kept = write_network(&read().network.expect("it has roads"));
        group.throughput(Throughput::Bytes(kept.len() as u64));
        group.bench_function(format!("kept network/{name}"), |bench| {
            bench.iter(|| black_box(read_network(&kept)));
        });
    }
    group.finish();
}

criterion_group!(benches, extract);
criterion_main!(benches);
