//! How long an edit takes, with 1,000 and 10,000 jobs in a planned week that is kept in one programme
//! file: until it is on the disk and what has changed of the sheet is there as text for the page.
#![allow(
    missing_docs,
    reason = "criterion's macros make functions without docs"
)]

mod weeks;

use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use gangday_app::Desk;
use gangday_app::view::{Answer, Request};
use serde_json::{Value, json};
use weeks::{SIZES, planned};

fn ask(desk: &Desk, request: Value) -> Answer {
    let request: Request = serde_json::from_value(request).expect("a request");
    desk.ask(request).expect("an answer")
}

/// A page that shows an edition of the sheet.
struct Page<'d> {
    desk: &'d Desk,
    edition: u32,
}

impl Page<'_> {
    /// Asks for what has changed since the edition that it shows, as the real one does, and gets it as text.
    fn ask(&mut self, of: &Value) -> String {
        let since = json!({ "ask": "since", "edition": self.edition, "of": of });
        let answer = ask(self.desk, since);
        let Answer::Patched { patch, .. } = &answer else {
            unreachable!("the whole sheet came, and not what has changed");
        };
        self.edition = patch.edition;
        serde_json::to_string(&answer).expect("a text")
    }
}

/// Saves the week as one file, and shows it; with the keys of its gang-days.
fn shown<'d>(desk: &'d Desk, file: &str) -> (Page<'d>, Vec<String>) {
    match ask(desk, json!({ "ask": "save", "folder": file })) {
        Answer::Saved { sheet, .. } => {
            let columns = sheet.plan.iter().flat_map(|plan| &plan.columns);
            let keys = columns.map(|column| column.key.clone()).collect();
            let edition = sheet.edition;
            (Page { desk, edition }, keys)
        }
        other => unreachable!("not saved but {other:?}"),
    }
}

fn edits(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("edits");
    group.sample_size(10);
    for (jobs, gangs) in SIZES {
        let desk = planned(jobs, gangs);
        let place = tempfile::tempdir().expect("a temporary folder");
        let file = place.path().join("week.gpkg").display().to_string();
        let (mut page, gang_days) = shown(&desk, &file);
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
                page.ask(&json!({ "ask": "edit", "edit": { "do": "move", "pins": pins } }))
            });
        });
        group.bench_function(BenchmarkId::new("set a property", jobs), |bencher| {
            let mut wall = 100;
            bencher.iter(|| {
                wall += 1;
                let properties = json!({ "margin_mm": wall });
                let edit = json!({ "do": "set", "jobs": [next()], "properties": properties });
                page.ask(&json!({ "ask": "edit", "edit": edit }))
            });
        });
        group.bench_function(
            BenchmarkId::new("record a gang-day as planned", jobs),
            |bencher| {
                let mut keys = gang_days.iter().cycle();
                bencher.iter(|| {
                    let of = json!({ "what": "gang_day", "key": keys.next() });
                    let told = page.ask(&json!({ "ask": "record_as_planned", "of": of }));
                    page.ask(&json!({ "ask": "undo" }));
                    told
                });
            },
        );
        group.bench_function(BenchmarkId::new("undo and redo", jobs), |bencher| {
            bencher.iter(|| {
                page.ask(&json!({ "ask": "undo" }));
                page.ask(&json!({ "ask": "redo" }))
            });
        });
    }
    group.finish();
}

criterion_group!(benches, edits);
criterion_main!(benches);
