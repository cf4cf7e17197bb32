//! Whose the work on the desk is: what was done by hand is asked for before it is lost.

use serde_json::json;

use super::tests::{ask, plan, sheet, small, wait};

#[test]
fn a_demo_week_that_was_only_planned_may_be_thrown_away_and_one_with_work_in_it_not() {
    let desk = small();
    desk.ask(plan(200, 7)).unwrap();
    wait(&desk);
    assert!(sheet(&desk).unsaved && !desk.has_unsaved());
    let column = sheet(&desk).plan.unwrap().columns[0].clone();
    let job = &column.jobs[0];
    let layers = column.layers.iter();
    let stage = layers
        .filter(|layer| layer.job.as_ref() == Some(job))
        .find_map(|layer| layer.stage.clone());
    let at = "2027-03-01T10:35";
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
