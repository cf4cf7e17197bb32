//! What is done or stands as issued is in no gang-day, and nobody leaves it out.

use serde_json::json;

use super::Desk;
use super::onward_tests::{of_plan, told};
use super::standing_tests::moved_on;
use super::tests::{ask, sheet};
use crate::view::{Answer, Sheet};

/// `Left out` of issue 1, and of the plan on the desk.
fn compared(desk: &Desk) -> (String, String) {
    let compare = json!({"ask": "compare", "one": 1, "other": 0});
    let Answer::Comparison { comparison } = ask(desk, compare).unwrap() else {
        panic!("no comparison");
    };
    let mut lines = comparison.differences.into_iter();
    let line = lines.find(|line| line.label == "Left out").unwrap();
    (line.one, line.other)
}

/// How many a further gang is told to find left out, and how many it would leave.
fn found(desk: &Desk) -> (u32, u32) {
    let like = sheet(desk).gangs[0].id.clone();
    let change = json!({"do": "add_gang", "like": like});
    match ask(desk, json!({"ask": "what_if", "change": change})).unwrap() {
        Answer::WhatIf { outcome } => (outcome.left_out_now, outcome.left_out),
        other => panic!("no outcome but {other:?}"),
    }
}

/// The jobs in no gang-day that have work left and a day to find.
fn open(sheet: &Sheet) -> usize {
    let left = of_plan(sheet).unplanned.iter();
    left.filter(|one| !["U-DONE", "U-STANDS"].contains(&one.codes[0].as_str()))
        .count()
}

#[test]
fn what_is_done_or_stands_is_not_counted_as_left_out() {
    let (desk, friday, issued) = moved_on();
    let moved = sheet(&desk);
    let left = open(&moved);
    let all = of_plan(&moved).unplanned.len();
    assert!(left > 0 && left + friday.len() < all, "{left} of {all}");
    let was = open(&issued).to_string();
    assert_eq!(compared(&desk), (was.clone(), left.to_string()));
    let (now, then) = found(&desk);
    assert_eq!(now as usize, left);
    assert!(then < now, "a further gang takes what is left: {then}");
    // Done as issued it is left out no more than before; brought over it is.
    told(
        &desk,
        json!({"ask": "record_as_issued", "jobs": [friday[0]]}),
    );
    assert_eq!(compared(&desk).1, left.to_string());
    told(&desk, json!({"ask": "bring_over", "jobs": [friday[1]]}));
    assert_eq!(compared(&desk), (was, (left + 1).to_string()));
    assert_eq!(found(&desk).0 as usize, left + 1);
}
