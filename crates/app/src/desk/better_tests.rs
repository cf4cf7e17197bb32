//! What planning leaves on the desk is never worse than what stood there; asked as a door asks it.

use std::time::Duration;

use gangday_store::ProgrammeFile;
use serde_json::json;

use super::Desk;
use super::tests::{ask, plan, progress, sheet, small, wait};
use crate::view::Sheet;

pub(super) fn leave_out(desk: &Desk) -> String {
    let job = sheet(desk).plan.unwrap().columns[0].jobs[0].clone();
    let change = json!({"do": "leave_out", "job": job});
    ask(desk, json!({"ask": "change", "change": change})).unwrap();
    job
}

fn cost(desk: &Desk) -> i64 {
    let state = desk.lock().planned().unwrap();
    state.plan.unwrap().costs.total_pence
}

/// Not before the search has begun, so that there is a best so far.
pub(super) fn once_begun(desk: &Desk) {
    while progress(desk).fraction == 0.0 {
        std::thread::sleep(Duration::from_millis(5));
    }
}

fn stop(desk: &Desk) -> Sheet {
    once_begun(desk);
    ask(desk, json!({"ask": "stop"})).unwrap();
    sheet(desk)
}

pub(super) fn plan_for_long(desk: &Desk) {
    ask(desk, json!({"ask": "plan", "seconds": 600.0, "seed": 3})).unwrap();
}

#[test]
fn a_better_week_that_stood_there_is_kept_and_that_is_said() {
    let desk = small();
    let (was, before) = (cost(&desk), sheet(&desk));
    desk.ask(plan(0, 3)).unwrap();
    wait(&desk);
    let after = sheet(&desk);
    assert_eq!(cost(&desk), was);
    assert_eq!(after.plan, before.plan);
    // No step: nothing was changed.
    assert_eq!((after.undo, after.edition), (before.undo, before.edition));
    let words = progress(&desk).words;
    assert!(
        words.starts_with("The week as it was is better by £"),
        "{words}"
    );
    assert!(words.ends_with("; it is kept."), "{words}");
}

#[test]
fn what_is_left_out_counts_by_its_price_and_a_fuller_week_is_taken() {
    let desk = small();
    let was = cost(&desk);
    let job = leave_out(&desk);
    assert!(cost(&desk) > was);
    desk.ask(plan(0, 3)).unwrap();
    wait(&desk);
    let after = sheet(&desk);
    assert_eq!(after.undo.as_deref(), Some("plan the week"));
    let unplanned = after.plan.unwrap().unplanned;
    assert!(unplanned.iter().all(|one| one.job != job));
    assert_eq!(progress(&desk).words, "");
}

#[test]
fn stopped_early_the_better_of_both_is_on_the_desk() {
    let desk = small();
    let was = cost(&desk);
    plan_for_long(&desk);
    stop(&desk);
    assert!(cost(&desk) <= was);
    leave_out(&desk);
    let was = cost(&desk);
    plan_for_long(&desk);
    let after = stop(&desk);
    assert!(cost(&desk) < was);
    assert_eq!(after.undo.as_deref(), Some("plan the week"));
    let words = progress(&desk).words;
    assert_eq!(words, "Stopped; the best plan found so far is on the desk.");
}

#[test]
fn a_week_that_breaks_a_rule_by_now_is_not_kept_however_cheap_it_is() {
    let desk = small();
    let first = sheet(&desk).plan.unwrap().columns[0].clone();
    // A gang that is away on its first day leaves what it was to do there.
    let days = ["2027-03-02", "2027-03-03"];
    let put =
        json!({"do": "row", "file": "gangs.json", "row": first.gang, "members": {"days": days}});
    ask(&desk, json!({"ask": "edit", "edit": put})).unwrap();
    let before = sheet(&desk);
    desk.ask(plan(0, 3)).unwrap();
    wait(&desk);
    let after = sheet(&desk);
    assert!(!before.plan.unwrap().verified);
    assert!(after.plan.unwrap().verified);
    assert_eq!(after.undo.as_deref(), Some("plan the week"));
}

#[test]
fn a_plan_that_its_file_can_t_take_is_there_and_said_not_to_be_saved() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let desk = small();
    ask(&desk, json!({"ask": "save", "folder": path})).unwrap();
    leave_out(&desk);
    let (was, file) = (cost(&desk), std::fs::read(&path).unwrap());
    plan_for_long(&desk);
    once_begun(&desk);
    let away = place.path().join("away.gpkg");
    std::fs::rename(&path, &away).unwrap();
    let refused = ask(&desk, json!({"ask": "stop"})).unwrap_err();
    let end = "The plan is here, but it is not saved yet.";
    assert!(refused.text.ends_with(end), "{}", refused.text);
    assert_eq!(refused.findings[0].code, "F-MOVED");
    assert!(cost(&desk) < was);
    assert!(sheet(&desk).unsaved && desk.has_unsaved());
    assert_eq!(std::fs::read(&away).unwrap(), file);
    // It can be kept elsewhere, with what was done before.
    let other = place.path().join("other.gpkg");
    ask(&desk, json!({"ask": "save", "folder": other})).unwrap();
    let now = cost(&desk);
    drop(desk);
    assert_eq!(
        ProgrammeFile::claim(&other)
            .unwrap()
            .edits()
            .unwrap()
            .0
            .len(),
        2
    );
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": other})).unwrap();
    assert_eq!(cost(&desk), now);
}
