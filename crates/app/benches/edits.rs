//! How long an edit takes, with 1,000 and 10,000 jobs in a planned week that is kept in one programme
//! file: until it is on the disk and what has changed of the sheet is there as text for the page.
#![allow(
    missing_docs,
    reason = "criterion's macros make functions without docs"
)]

mod weeks;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use gangday_app::Desk;
use gangday_app::view::Request;
use serde_json::{Value, json};
use weeks::{SIZES, planned};

/// What the page gets, as text.
fn ask(desk: &Desk, request: Value) -> String {
    let request: Request = serde_json::from_value(request).expect("a request");
    let answer = desk.ask(request).expect("an answer");
    serde_json::to_string(&answer).expect("a text")
}

fn edits(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("edits");
    group.sample_size(10);
    for (jobs, gangs) in SIZES {
        let desk = planned(jobs, gangs);
        let place = tempfile::tempdir().expect("a temporary folder");
        let file = place.path().join("week.gpkg").display().to_string();
        ask(&desk, json!({ "ask": "save", "folder": file }));
        let mut turn = 0;
        let mut next = move || {
            turn = (turn + 1_237) % jobs;
            format!("J{turn:05}")
        };
        group.bench_function(BenchmarkId::new("move a pin", jobs), |bencher| {
            let mut east = 0.0;
            bencher.iter(|| {
                east += 1e-6;
                let pins = json!([{ "id": next(), "at": [-1.5 + east, 53.0] }]);
                ask(
                    &desk,
                    json!({ "ask": "edit", "edit": { "do": "move", "pins": pins } }),
                )
            });
        });
        group.bench_function(BenchmarkId::new("set a property", jobs), |bencher| {
            let mut wall = 100;
            bencher.iter(|| {
                wall += 1;
                let properties = json!({ "margin_mm": wall });
                let edit = json!({ "do": "set", "jobs": [next()], "properties": properties });
                ask(&desk, json!({ "ask": "edit", "edit": edit }))
            });
        });
        group.bench_function(BenchmarkId::new("undo and redo", jobs), |bencher| {
            bencher.iter(|| {
                ask(&desk, json!({ "ask": "undo" }));
                ask(&desk, json!({ "ask": "redo" }))
            });
        });
    }
    group.finish();
}

criterion_group!(benches, edits);
criterion_main!(benches);
