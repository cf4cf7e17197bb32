//! Jobs that were begun before the week on the desk, and what edits and later weeks make of them.

use serde_json::json;

use super::Desk;
use super::onward_tests::{broken, names, of_plan, planned, reasons, replan, stages, told};
use super::tests::{ask, plan, sheet, sheet_of, small};
use crate::view::{DemoWeek, Refusal, Sheet};

const FEBRUARY: &str = "2027-02-26T15:10";

fn record(desk: &Desk, job: &str, stage: &str, at: Option<&str>) -> Result<Sheet, Refusal> {
    ask(
        desk,
        json!({"ask": "record", "job": job, "stage": stage, "at": at}),
    )
    .map(sheet_of)
}

fn week_of(desk: &Desk, first: &str) -> Sheet {
    let members = json!({"first_day": first, "temperatures": {}});
    edited(
        desk,
        &json!({"do": "row", "file": "week.json", "row": null, "members": members}),
    )
}

fn edited(desk: &Desk, edit: &serde_json::Value) -> Sheet {
    told(desk, json!({"ask": "edit", "edit": edit}))
}

/// The small week, a job of it whose dig was done before, the rest planned, and all its stages.
fn begun() -> (Desk, String, Vec<String>) {
    let desk = small();
    let before = sheet(&desk);
    let job = of_plan(&before).columns[0].jobs[0].clone();
    let all = names(&stages(&before, &job));
    record(&desk, &job, "dig", Some(FEBRUARY)).unwrap();
    let after = planned(&desk, replan());
    assert_eq!(names(&stages(&after, &job)), all[1..]);
    (desk, job, all)
}

fn cost(sheet: &Sheet, label: &str) -> f64 {
    let mut costs = of_plan(sheet).costs.iter();
    costs
        .find(|cost| cost.label == label)
        .map_or(0.0, |cost| cost.pence)
}

fn left_out(sheet: &Sheet) -> f64 {
    cost(sheet, "Jobs left out")
}

/// Done in this week and without a place in its plan, it is not planned a second time.
#[test]
fn what_was_done_in_this_week_is_not_done_twice_where_its_place_is_lost() {
    let (desk, job, all) = begun();
    let own = stages(&sheet(&desk), &job)[0].clone();
    let date = own.0.rsplit_once('@').unwrap().1;
    let at = format!("{date}T{:02}:{:02}", own.3 / 60, own.3 % 60);
    record(&desk, &job, &all[1], Some(&at)).unwrap();
    week_of(&desk, "2027-03-08");
    let back = week_of(&desk, "2027-03-01");
    assert_eq!(stages(&back, &job), []);
    for request in [replan(), plan(100, 2)] {
        let after = planned(&desk, request);
        assert_eq!(
            (reasons(&after, &job), stages(&after, &job)),
            (vec!["U-BEGUN".to_owned()], vec![])
        );
        assert_eq!(broken(&after), Vec::<&str>::new());
    }
}

#[test]
fn under_another_name_it_is_as_begun_as_before() {
    let (desk, job, all) = begun();
    let before = stages(&sheet(&desk), &job);
    let renamed = edited(&desk, &json!({"do": "rename", "job": job, "to": "K1"}));
    assert_eq!(stages(&renamed, "K1"), before);
    assert_eq!(broken(&renamed), Vec::<&str>::new());
    assert!(renamed.records.iter().all(|record| record.job == "K1"));
    let after = planned(&desk, replan());
    assert_eq!(names(&stages(&after, "K1")), all[1..]);
    // Planned the same again it may be no step of its own.
    while sheet(&desk).jobs.iter().any(|own| own.id == "K1") {
        told(&desk, json!({"ask": "undo"}));
    }
    assert_eq!(stages(&sheet(&desk), &job), before);
}

/// A job that is called as one that is gone has nothing of what was done of that.
#[test]
fn what_was_recorded_of_a_job_goes_with_it() {
    let (desk, job, all) = begun();
    edited(&desk, &json!({"do": "rename", "job": job, "to": "K1"}));
    let text = match ask(&desk, json!({"ask": "copy", "jobs": ["K1"]})).unwrap() {
        crate::view::Answer::Copied { text } => text,
        other => panic!("no copy but {other:?}"),
    };
    let gone = edited(&desk, &json!({"do": "delete", "jobs": ["K1"]}));
    assert!(gone.records.is_empty());
    let pasted = edited(&desk, &json!({"do": "paste", "text": text, "at": null}));
    let again = pasted.jobs.last().unwrap().id.clone();
    let again = if again == "K1" {
        again
    } else {
        edited(&desk, &json!({"do": "rename", "job": again, "to": "K1"}));
        "K1".to_owned()
    };
    let after = planned(&desk, replan());
    assert_eq!(names(&stages(&after, &again)), all);
    // Undone as far, the one that is gone is there again, and what was done of it.
    let mut steps = 0;
    while sheet(&desk).records.is_empty() && steps < 5 {
        told(&desk, json!({"ask": "undo"}));
        steps += 1;
    }
    assert_eq!(sheet(&desk).records[0].job, "K1");
}

#[test]
fn what_is_over_is_told_to_be_done_and_costs_nothing() {
    let (desk, job, all) = begun();
    let before = left_out(&sheet(&desk));
    let done = record(&desk, &job, all.last().unwrap(), Some("2027-02-26T16:00")).unwrap();
    assert_eq!(reasons(&done, &job), ["U-DONE"]);
    assert_eq!((left_out(&done), broken(&done)), (before, vec![]));
    // Over two weeks as well: the rest is done in the second, and nothing of it is planned in the third.
    told(&desk, json!({"ask": "undo"}));
    let stood = sheet(&desk);
    for (key, stage, _, to, _) in stages(&stood, &job) {
        let at = format!(
            "{}T{:02}:{:02}",
            key.rsplit_once('@').unwrap().1,
            to / 60,
            to % 60
        );
        record(&desk, &job, &stage, Some(&at)).unwrap();
    }
    let next = week_of(&desk, "2027-03-08");
    assert_eq!(reasons(&next, &job), ["U-DONE"]);
    // Back in its week it has lost its place there, and nothing of it is open.
    let back = week_of(&desk, "2027-03-01");
    assert_eq!(reasons(&back, &job), ["U-DONE"]);
    assert_eq!(closed(&back, &job), []);
    week_of(&desk, "2027-03-08");
    let after = planned(&desk, replan());
    assert_eq!(
        (reasons(&after, &job), broken(&after)),
        (vec!["U-DONE".to_owned()], vec![])
    );
}

#[test]
fn what_is_locked_or_done_in_this_week_is_not_pulled_away_by_taking_back() {
    let (desk, job, all) = begun();
    told(&desk, json!({"ask": "mark", "jobs": [job], "locked": true}));
    let before = sheet(&desk);
    let refused = record(&desk, &job, &all[0], None).unwrap_err().text;
    assert!(refused.contains("done or locked on"), "{refused}");
    assert_eq!(stages(&sheet(&desk), &job), stages(&before, &job));
    told(
        &desk,
        json!({"ask": "mark", "jobs": [job], "locked": false}),
    );
    let whole = record(&desk, &job, &all[0], None).unwrap();
    assert_eq!((stages(&whole, &job), broken(&whole)), (vec![], vec![]));
    assert_eq!(names(&stages(&planned(&desk, replan()), &job)), all);
}

#[test]
fn it_can_be_recorded_before_anything_is_planned() {
    let desk = small();
    let all = sheet(&desk);
    let job = of_plan(&all).columns[0].jobs[0].clone();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("week");
    ask(&desk, json!({"ask": "save", "folder": path})).unwrap();
    std::fs::remove_file(path.join("plan.json")).unwrap();
    let desk = super::tests::opened(&path);
    assert!(sheet(&desk).plan.is_none());
    let seen = record(&desk, &job, "dig", Some(FEBRUARY)).unwrap();
    assert_eq!(seen.records.len(), 1);
    assert_eq!(
        names(&stages(&planned(&desk, plan(100, 1)), &job))[0],
        "base"
    );
    told(&desk, json!({"ask": "undo"}));
    assert!(record(&desk, &job, "dig", None).unwrap().records.is_empty());
}

/// Beside a job that was begun, others are timed in part as anywhere, and alike.
#[test]
fn beside_it_a_stage_that_was_late_moves_what_follows_and_nothing_else() {
    let (desk, job, _) = begun();
    let before = sheet(&desk);
    let column = of_plan(&before)
        .columns
        .iter()
        .find(|column| column.jobs.contains(&job))
        .unwrap();
    let other = column.jobs.iter().find(|one| **one != job).unwrap();
    let own = stages(&before, other)[0].clone();
    let late = own.3 + 5;
    let at = format!("{}T{:02}:{:02}", column.date, late / 60, late % 60);
    let after = record(&desk, other, &own.1, Some(&at)).unwrap();
    assert_eq!(stages(&after, other)[0].3, late);
    assert_eq!(broken(&after), Vec::<&str>::new());
    for elsewhere in of_plan(&before)
        .columns
        .iter()
        .filter(|one| one.key != column.key)
    {
        let same = of_plan(&after)
            .columns
            .iter()
            .find(|one| one.key == elsewhere.key)
            .unwrap();
        assert_eq!(
            (same.jobs.clone(), same.layers.len()),
            (elsewhere.jobs.clone(), elsewhere.layers.len())
        );
    }
}

/// So late that the rest can't be done on its day any more, it is gone on with on another, though no job of the
/// week may be left over a night otherwise; what is done stays where it was.
#[test]
fn what_is_left_of_a_late_job_goes_to_another_day() {
    let desk = small();
    let before = sheet(&desk);
    let job = of_plan(&before).columns[0].jobs[0].clone();
    let all = stages(&before, &job);
    let late = record(&desk, &job, "dig", Some("2027-03-01T15:45")).unwrap();
    assert_eq!(broken(&late), ["R-SHIFTEND"]);
    let done = stages(&late, &job)[0].clone();
    for request in [replan(), plan(200, 4)] {
        let after = planned(&desk, request);
        let own = stages(&after, &job);
        assert_eq!((own[0].clone(), names(&own)), (done.clone(), names(&all)));
        assert!(
            own[2].0.rsplit_once('@').unwrap().1 > "2027-03-01",
            "{own:?}"
        );
        assert_eq!(broken(&after), Vec::<&str>::new());
    }
    // Two parts done, only what comes after both may go.
    told(&desk, json!({"ask": "undo"}));
    told(&desk, json!({"ask": "undo"}));
    let late = record(&desk, &job, "base", Some("2027-03-01T16:30")).unwrap();
    let done = stages(&late, &job)[..2].to_vec();
    let after = planned(&desk, replan());
    assert_eq!(stages(&after, &job)[..2], done);
    assert_eq!(broken(&after), Vec::<&str>::new());
}

/// A day that went on past its end is over: nothing of it can be put right any more.
#[test]
fn a_day_that_is_over_may_have_been_too_long() {
    let desk = small();
    let before = sheet(&desk);
    let column = of_plan(&before).columns[0].clone();
    let jobs: Vec<&String> = column.jobs.iter().collect();
    let last = jobs
        .iter()
        .max_by_key(|job| stages(&before, job).last().unwrap().3)
        .unwrap();
    for job in jobs.iter().filter(|job| *job != last).chain([last]) {
        for (key, stage, _, to, _) in stages(&sheet(&desk), job) {
            let is_end = job == last && stage == "reopen";
            let to = if is_end { 19 * 60 } else { to };
            let at = format!(
                "{}T{:02}:{:02}",
                key.rsplit_once('@').unwrap().1,
                to / 60,
                to % 60
            );
            record(&desk, job, &stage, Some(&at)).unwrap();
        }
    }
    let over = sheet(&desk);
    assert_eq!(stages(&over, last).last().unwrap().3, 19 * 60);
    assert_eq!(broken(&over), Vec::<&str>::new());
    let after = planned(&desk, replan());
    assert_eq!(stages(&after, last), stages(&over, last));
    assert_eq!(broken(&after), Vec::<&str>::new());
}

/// Where it can be finished on no day at all, it is not thrown off the board: the week stays as it was, and that is
/// said.
#[test]
fn nothing_that_is_done_or_locked_is_dropped() {
    let desk = small();
    let before = sheet(&desk);
    let column = of_plan(&before).columns[0].clone();
    let job = column.jobs[0].clone();
    record(&desk, &job, "dig", Some("2027-03-01T15:45")).unwrap();
    // No later day is left on which anybody works.
    edited(
        &desk,
        &json!({"do": "row", "file": "week.json", "row": null, "members": {"days": 1}}),
    );
    let stood = sheet(&desk);
    assert_eq!(names(&stages(&stood, &job))[0], "dig");
    desk.ask(replan()).unwrap();
    super::tests::wait(&desk);
    let words = super::tests::progress(&desk).words;
    let after = sheet(&desk);
    assert_eq!(stages(&after, &job), stages(&stood, &job));
    assert!(
        words.starts_with(&format!(
            "The week is kept as it was: {job} is done in part or locked"
        )),
        "{words}"
    );
}

/// Nobody digs what is done again by hand, and what of the week before is not done says where it was to be.
#[test]
fn a_week_on_each_job_says_what_became_of_it() {
    let desk = small();
    let before = sheet(&desk);
    let column = of_plan(&before).columns[0].clone();
    let (job, other) = (&column.jobs[0], &column.jobs[1]);
    for (key, stage, _, to, _) in stages(&before, job) {
        let at = format!(
            "{}T{:02}:{:02}",
            key.rsplit_once('@').unwrap().1,
            to / 60,
            to % 60
        );
        record(&desk, job, &stage, Some(&at)).unwrap();
    }
    let next = week_of(&desk, "2027-03-08");
    assert_eq!(
        (reasons(&next, job), reasons(&next, other)),
        (vec!["U-DONE".to_owned()], vec!["U-SINCE".to_owned()])
    );
    let why = |sheet: &Sheet, job: &str| {
        let mut left = of_plan(sheet).unplanned.iter();
        left.find(|one| one.job == job).unwrap().reasons[0].clone()
    };
    assert!(
        why(&next, other).contains("on Mon 1 Mar, in another week, and is not recorded as done"),
        "{}",
        why(&next, other)
    );
    let after = planned(&desk, replan());
    assert!(
        of_plan(&after).summary.ends_with(", 1 done before"),
        "{}",
        of_plan(&after).summary
    );
    let to = &of_plan(&after).columns[0].key;
    let carry = json!({"do": "move_job", "job": job, "to": to, "at": null});
    let refused = ask(&desk, json!({"ask": "what_if", "change": carry}))
        .unwrap_err()
        .text;
    assert_eq!(
        refused,
        format!("{job} is done; take back what was recorded of it to plan it again.")
    );
}

/// The gang of a job's first stage, and its date.
fn home(sheet: &Sheet, job: &str) -> (String, String) {
    let own = stages(sheet, job)[0].0.clone();
    let (gang, date) = own.split_once('@').unwrap();
    (gang.to_owned(), date.to_owned())
}

/// Guards, signs and lamps stand round it every night until somebody is there again, at the rates for that: carried by
/// hand to the fourth day of the week it costs three nights more, which the checker works out by itself, and planned
/// again it is gone on with on the first day.
#[test]
fn what_stands_open_is_finished_first() {
    let (desk, job, _) = begun();
    let day = |sheet: &Sheet| home(sheet, &job).1;
    let first = sheet(&desk);
    let (gang, _) = home(&first, &job);
    assert_eq!(
        (day(&first), cost(&first, "Nights left open")),
        ("2027-03-01".to_owned(), 0.0)
    );
    let change =
        json!({"do": "move_job", "job": job, "to": format!("{gang}@2027-03-04"), "at": null});
    let carried = told(&desk, json!({"ask": "change", "change": change}));
    assert_eq!(
        (day(&carried), broken(&carried)),
        ("2027-03-04".to_owned(), vec![])
    );
    let rates = crate::demo::open(DemoWeek::Small).prepared.rates.clone();
    let night = crate::rates::pence(&rates, "rate.night");
    assert_eq!(cost(&carried, "Nights left open") as i64, 3 * night);
    let label = "Hours closed to the public";
    let hour = crate::rates::pence(&rates, "rate.closure_hour.footway") as f64;
    let more = cost(&carried, label) - cost(&first, label);
    // Three days, but for when it is done on each of the two.
    let days = more / (24.0 * hour);
    assert!((2.5..3.5).contains(&days), "{more} at {hour} an hour");
    let again = planned(&desk, replan());
    assert_eq!(
        (day(&again), broken(&again)),
        ("2027-03-01".to_owned(), vec![])
    );
}

/// From when to when each closure of a job is there, minutes from the midnight that begins the week.
fn closed(sheet: &Sheet, job: &str) -> Vec<(String, u32, u32, String)> {
    let closures = of_plan(sheet).closures.iter();
    let own = closures.filter(|one| one.job == job);
    own.map(|one| (one.date.clone(), one.from, one.to, one.route.clone()))
        .collect()
}

/// Begun before the week it is closed from the week's first midnight until its last stage is done, whenever that is;
/// where nobody works there, all of the week. That is on the client's page too.
#[test]
fn what_stands_open_is_closed_until_it_is_finished() {
    let (desk, job, _) = begun();
    let (gang, _) = home(&sheet(&desk), &job);
    let to = format!("{gang}@2027-03-03");
    let change = json!({"do": "move_job", "job": job, "to": to, "at": null});
    let carried = told(&desk, json!({"ask": "change", "change": change}));
    let ends = stages(&carried, &job).last().unwrap().3 + 2 * 1_440;
    let monday = "2027-03-01".to_owned();
    assert_eq!(closed(&carried, &job), [(monday.clone(), 0, ends, to)]);
    let left = told(
        &desk,
        json!({"ask": "change", "change": {"do": "leave_out", "job": job}}),
    );
    assert_eq!(stages(&left, &job), []);
    let week = 5 * 1_440;
    assert_eq!(closed(&left, &job), [(monday, 0, week, String::new())]);
    let html = match ask(&desk, json!({"ask": "client_page"})).unwrap() {
        crate::view::Answer::Page { html, .. } => html,
        other => panic!("no page but {other:?}"),
    };
    let told: Vec<&str> = html.split("<tr").filter(|row| row.contains(&job)).collect();
    assert_eq!(told.len(), 5, "under each of the five days");
    assert!(
        told.iter()
            .all(|row| row.contains("the week’s end") && row.contains("Nobody in this week"))
    );
}
