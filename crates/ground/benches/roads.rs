//! The times between 1,000 stops, by the fast method and by plain Dijkstra, in one run; and what
//! making a network ready takes.
//!
//! Networks are read from the folder that `GANGDAY_NETWORKS` names, each `*.json` a `Network` as
//! serde writes it; without it a made-up grid of 10,000 junctions stands in.

use std::collections::BTreeMap;
use std::hint::black_box;
use std::sync::Arc;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use gangday_ground::roads::{Hierarchy, OnRoad, RoadGraph, Speeds, Stops, WHOLE_LINK};
use gangday_model::{Link, LinkClass, LonLat, Network, Passage};

const STOPS: usize = 1_000;

fn grid(side: u32) -> Network {
    let mut network = Network::default();
    for at in 0..side * side {
        let (x, y) = (f64::from(at % side), f64::from(at / side));
        // Blocks of about 100 m, no two alike.
        let wobble = |seed: f64| (x.mul_add(12.9898, y * seed)).sin() * 0.0003;
        network.junctions.push(LonLat::new(
            -3.6 + x * 0.0015 + wobble(78.2),
            54.0 + y * 0.0009 + wobble(37.7),
        ));
    }
    for at in 0..side * side {
        let right = (at % side + 1 < side).then_some(at + 1);
        let down = (at / side + 1 < side).then_some(at + side);
        for to in right.into_iter().chain(down) {
            let line = vec![
                network.junctions[at as usize],
                network.junctions[to as usize],
            ];
            let main = at.is_multiple_of(10) || (at / side).is_multiple_of(10);
            network.links.push(Link {
                street: None,
                from: at,
                to,
                line,
                class: if main {
                    LinkClass::Secondary
                } else {
                    LinkClass::Residential
                },
                limit_kmh: None,
                along: Passage::Open,
                against: if at % 7 == 0 {
                    Passage::Shut
                } else {
                    Passage::Open
                },
                on_foot: Passage::Open,
            });
        }
    }
    network
}

fn networks() -> BTreeMap<String, Network> {
    let mut all = BTreeMap::from([("grid".to_owned(), grid(100))]);
    let Some(folder) = std::env::var_os("GANGDAY_NETWORKS") else {
        return all;
    };
    for entry in std::fs::read_dir(folder)
        .expect("the folder of networks can be read")
        .flatten()
    {
        let path = entry.path();
        if path.extension().is_some_and(|kind| kind == "json") {
            let bytes = std::fs::read(&path).expect("the network can be read");
            let network = serde_json::from_slice(&bytes).expect("it is a network");
            all.insert(
                path.file_stem()
                    .map(|name| name.to_string_lossy().into_owned())
                    .unwrap_or_default(),
                network,
            );
        }
    }
    all
}

/// So many stops, spread over the usable links.
fn stops(graph: &RoadGraph, count: usize) -> Vec<OnRoad> {
    let usable: Vec<u32> = (0..graph.network().links.len() as u32)
        .filter(|link| graph.is_usable(*link))
        .collect();
    let stop = |at: usize| OnRoad {
        link: usable[(at * 7_919) % usable.len()],
        part: (at as u32 * 104_729) % WHOLE_LINK,
    };
    (0..count).map(stop).collect()
}

fn matrices(c: &mut Criterion) {
    for (name, network) in networks() {
        let graph = RoadGraph::prepare(Arc::new(network), &Speeds::shipped());
        let hierarchy = Hierarchy::of(&graph);
        let places = stops(&graph, STOPS);
        let kept = Stops::of(&graph, &hierarchy, &places).kept();
        println!(
            "{name}: {} states, {} edges, {} numbers kept for {STOPS} stops",
            graph.states(),
            hierarchy.edges(),
            kept
        );
        let mut group = c.benchmark_group("1,000 x 1,000");
        group.sample_size(10);
        group.bench_function(BenchmarkId::new("fast", &name), |b| {
            b.iter(|| black_box(Stops::of(&graph, &hierarchy, &places).table()));
        });
        group.bench_function(BenchmarkId::new("plain", &name), |b| {
            b.iter(|| black_box(graph.plain_table(&places)));
        });
        group.finish();
        let mut group = c.benchmark_group("make ready");
        group.sample_size(10);
        group.bench_function(BenchmarkId::new("hierarchy", &name), |b| {
            b.iter(|| black_box(Hierarchy::of(&graph)));
        });
        let bytes = hierarchy.to_bytes();
        group.bench_function(BenchmarkId::new("from kept bytes", &name), |b| {
            b.iter(|| black_box(Hierarchy::from_bytes(&bytes, &graph)));
        });
        group.finish();
    }
}

criterion_group!(benches, matrices);
criterion_main!(benches);
