//! Whose the work on the desk is: what was done by hand is asked for before it is lost, and what is still on its
//! way is waited for.

use std::path::Path;
use std::thread::scope;

use serde_json::{Value, json};

use super::tests::{ask, plan, progress, sheet, small, wait};
use crate::Desk;
use crate::changes::State;
use crate::view::Answer;

fn names(desk: &Desk) -> Vec<String> {
    match ask(desk, json!({"ask": "history"})).unwrap() {
        Answer::History { past, .. } => past,
        other => panic!("no history but {other:?}"),
    }
}

#[test]
fn a_demo_week_that_was_only_planned_may_be_thrown_away_and_one_with_work_in_it_not() {
    let desk = small();
    desk.ask(plan(200, 7)).unwrap();
    wait(&desk);
    assert!(sheet(&desk).unsaved && !desk.has_unsaved());
    let column = sheet(&small()).plan.unwrap().columns[0].clone();
    let job = &column.jobs[0];
    let mut layers = column.layers.iter();
    let own = layers.find(|layer| layer.job.as_ref() == Some(job) && layer.stage.is_some());
    let (stage, end) = own.map(|layer| (layer.stage.clone(), layer.to)).unwrap();
    let at = format!("{}T{:02}:{:02}", column.date, end / 60, end % 60);
    let by_hand = [
        json!({"ask": "change", "change": {"do": "leave_out", "job": job}}),
        json!({"ask": "mark", "jobs": [job], "locked": true}),
        json!({"ask": "record", "job": job, "stage": stage, "at": at}),
        json!({"ask": "issue", "on": "2027-02-25"}),
    ];
    for request in by_hand {
        let desk = small();
        ask(&desk, request.clone()).unwrap_or_else(|refused| panic!("{request}: {refused:?}"));
        assert!(desk.has_unsaved(), "{request}");
    }
}

#[test]
fn a_search_that_is_being_stopped_is_under_way_until_its_plan_is_kept() {
    let sample = concat!(env!("CARGO_MANIFEST_DIR"), "/../../sample-data/full-week");
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": sample})).unwrap();
    ask(&desk, json!({"ask": "plan", "seconds": 600.0, "seed": 3})).unwrap();
    while progress(&desk).fraction == 0.0 {
        std::thread::yield_now();
    }
    let properties = json!({"notes": "by another tab"});
    let edit = json!({"do": "set", "jobs": ["J001"], "properties": properties});
    let edit: Value = json!({"ask": "edit", "edit": edit});
    scope(|both| {
        let stopping = both.spawn(|| ask(&desk, json!({"ask": "stop"})));
        while let Err(refused) = ask(&desk, edit.clone()) {
            let text = refused.text;
            assert!(text.contains("being planned"), "{text}");
            std::thread::yield_now();
        }
        stopping.join().unwrap().unwrap();
    });
    let past = names(&desk);
    assert_eq!(past.len(), 2, "{past:?}");
    assert_eq!(past[0], "plan the week");
}

#[test]
fn what_was_begun_before_it_was_saved_elsewhere_leaves_the_programme_there() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week");
    let desk = small();
    let begun = desk.lock().table.state().cloned().unwrap();
    ask(&desk, json!({"ask": "save", "folder": path})).unwrap();
    let State { opened, plan } = begun;
    desk.lock()
        .change("import the streets", State { opened, plan })
        .unwrap();
    let lock = desk.lock();
    let folder = lock.table.opened().unwrap().folder.as_deref();
    assert_eq!(folder, Some(Path::new(&path)));
}
