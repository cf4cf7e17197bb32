//! Jobs of an issued plan that the week has left behind: they stand as issued until somebody says otherwise.

use serde_json::{Value, json};

use super::Desk;
use super::onward_tests::{broken, names, of_plan, planned, reasons, replan, stages, told};
use super::tests::{ask, plan, sheet, small};
use crate::view::{Answer, Sheet};

const FRIDAY: &str = "2027-03-05";

pub(super) fn edit(desk: &Desk, edit: &Value) -> Sheet {
    told(desk, json!({"ask": "edit", "edit": edit}))
}

fn week_of(desk: &Desk, first: &str) -> Sheet {
    let members = json!({"first_day": first, "temperatures": {}});
    edit(
        desk,
        &json!({"do": "row", "file": "week.json", "row": null, "members": members}),
    )
}

fn issue(desk: &Desk) {
    ask(desk, json!({"ask": "issue", "on": "2027-02-25"})).unwrap();
}

fn record_day(desk: &Desk, key: &str) {
    let of = json!({"what": "gang_day", "key": key});
    told(desk, json!({"ask": "record_as_planned", "of": of}));
}

fn jobs_of(sheet: &Sheet) -> Vec<String> {
    let columns = of_plan(sheet).columns.iter();
    let mut jobs: Vec<String> = columns.flat_map(|column| column.jobs.clone()).collect();
    jobs.sort();
    jobs.dedup();
    jobs
}

/// The jobs that are told to stand, in order.
pub(super) fn standing(sheet: &Sheet) -> Vec<String> {
    let left = of_plan(sheet).unplanned.iter();
    let standing = left.filter(|one| one.codes == ["U-STANDS"]);
    standing.map(|one| one.job.clone()).collect()
}

fn reason(sheet: &Sheet, job: &str) -> String {
    let mut left = of_plan(sheet).unplanned.iter();
    left.find(|one| one.job == job).unwrap().reasons[0].clone()
}

fn left_out(sheet: &Sheet) -> i64 {
    let mut costs = of_plan(sheet).costs.iter();
    let left = costs.find(|cost| cost.label == "Jobs left out");
    left.unwrap().pence.round() as i64
}

/// The price of leaving each of some jobs out, together.
fn price(desk: &Desk, jobs: &[String]) -> i64 {
    let all = sheet(desk).jobs;
    let of = |id: &String| {
        let priority = all.iter().find(|one| one.id == *id).unwrap().priority;
        let row = format!("rate.left_out.{priority}");
        match ask(desk, json!({"ask": "row", "file": "week.json", "row": row})).unwrap() {
            Answer::Row { members } => members["value"].as_i64().unwrap(),
            other => panic!("no row but {other:?}"),
        }
    };
    jobs.iter().map(of).sum()
}

/// The small week, issued, all of it but Friday recorded as done, and the week moved on; the jobs of Friday.
pub(super) fn moved_on() -> (Desk, Vec<String>, Sheet) {
    let desk = small();
    // One job is left for the week after.
    let free = of_plan(&sheet(&desk)).columns[0].jobs[0].clone();
    let leave = json!({"do": "leave_out", "job": free});
    told(&desk, json!({"ask": "change", "change": leave}));
    issue(&desk);
    let issued = sheet(&desk);
    let (friday, others): (Vec<_>, Vec<_>) = of_plan(&issued)
        .columns
        .iter()
        .partition(|column| column.date == FRIDAY);
    for column in others {
        record_day(&desk, &column.key);
    }
    let mut jobs: Vec<String> = friday
        .iter()
        .flat_map(|column| column.jobs.clone())
        .collect();
    jobs.sort();
    assert!(jobs.len() > 1, "too little on {FRIDAY}: {jobs:?}");
    week_of(&desk, "2027-03-08");
    (desk, jobs, issued)
}

#[test]
fn what_was_issued_and_is_not_done_yet_is_not_planned_again() {
    let (desk, friday, issued) = moved_on();
    let moved = sheet(&desk);
    assert_eq!(standing(&moved), friday);
    let column = of_plan(&issued)
        .columns
        .iter()
        .find(|column| column.jobs.contains(&friday[0]) && column.date == FRIDAY)
        .unwrap();
    let gang = issued.gangs.iter().find(|gang| gang.id == column.gang);
    assert_eq!(
        reason(&moved, &friday[0]),
        format!(
            "It stands as issued with {} on Fri 5 Mar, in an earlier week; record it as done, or bring it over to plan \
             it in this one.",
            gang.unwrap().name
        )
    );
    let done = jobs_of(&issued).len() - friday.len();
    let counts = format!(", {done} done before, {} standing as issued", friday.len());
    for request in [replan(), plan(100, 2), replan()] {
        let after = planned(&desk, request);
        assert_eq!(standing(&after), friday);
        assert_eq!(
            jobs_of(&after).len(),
            1,
            "the one that was left for this week"
        );
        assert!(jobs_of(&after).iter().all(|job| !friday.contains(job)));
        assert!(
            of_plan(&after).summary.ends_with(&counts),
            "{}",
            of_plan(&after).summary
        );
        assert_eq!(broken(&after), Vec::<&str>::new());
        // What is left out costs as much as what nobody planned before, none of which stands.
        let rest = of_plan(&after).unplanned.iter();
        let rest = rest.filter(|one| !["U-STANDS", "U-DONE"].contains(&one.codes[0].as_str()));
        let rest: Vec<String> = rest.map(|one| one.job.clone()).collect();
        assert_eq!(left_out(&after), price(&desk, &rest));
    }
    // By hand neither, unless it is brought over.
    let key = issued.gangs[0].id.clone() + "@2027-03-09";
    let carry = json!({"do": "move_job", "job": friday[0], "to": key, "at": null});
    let refused = ask(&desk, json!({"ask": "what_if", "change": carry})).unwrap_err();
    assert_eq!(
        refused.text,
        format!(
            "{} stands as issued in an earlier week; bring it over to plan it in this one.",
            friday[0]
        )
    );
}

#[test]
fn undo_of_moving_the_week_takes_it_back_and_redo_has_it_again() {
    let (desk, friday, issued) = moved_on();
    let back = told(&desk, json!({"ask": "undo"}));
    assert_eq!(standing(&back), Vec::<String>::new());
    assert_eq!(stages(&back, &friday[0]), stages(&issued, &friday[0]));
    assert_eq!(standing(&told(&desk, json!({"ask": "redo"}))), friday);
    // Moved back by hand over its date, nothing stands; moved on again, it does.
    let back = week_of(&desk, "2027-03-01");
    assert_eq!(standing(&back), Vec::<String>::new());
    assert!(
        reason(&back, &friday[0]).contains("on Fri 5 Mar, and is not recorded as done"),
        "{}",
        reason(&back, &friday[0])
    );
    assert_eq!(left_out(&back), left_out(&issued) + price(&desk, &friday));
    assert_eq!(broken(&back), Vec::<&str>::new());
    let on = week_of(&desk, "2027-03-08");
    assert_eq!((standing(&on), broken(&on)), (friday, vec![]));
    assert_eq!(left_out(&on), left_out(&issued));
}

#[test]
fn what_was_never_issued_comes_over() {
    let desk = small();
    let before = jobs_of(&sheet(&desk));
    let moved = week_of(&desk, "2027-03-08");
    assert_eq!(standing(&moved), Vec::<String>::new());
    assert!(before.iter().all(|job| reasons(&moved, job) == ["U-SINCE"]));
    assert!(reason(&moved, &before[0]).contains("in another week, and is not recorded as done"));
    told(&desk, json!({"ask": "undo"}));
    // Carried to another day since it was issued, one job comes over, and the others stand.
    issue(&desk);
    let issued = sheet(&desk);
    let mut friday = of_plan(&issued).columns.iter();
    let friday = friday.rfind(|column| column.date == FRIDAY).unwrap();
    let job = friday.jobs[0].clone();
    let to = friday.key.replace(FRIDAY, "2027-03-03");
    let carry = json!({"do": "move_job", "job": job, "to": to, "at": null});
    told(&desk, json!({"ask": "change", "change": carry}));
    let moved = week_of(&desk, "2027-03-08");
    assert_eq!(reasons(&moved, &job), ["U-SINCE"]);
    let others: Vec<String> = before.into_iter().filter(|one| *one != job).collect();
    assert_eq!(standing(&moved), others);
}

#[test]
fn brought_over_it_is_planned_like_any_other() {
    let (desk, friday, issued) = moved_on();
    let all = names(&stages(&issued, &friday[0]));
    let first = json!({"ask": "bring_over", "jobs": [friday[0], "J-none"]});
    let Answer::Edited {
        sheet: after,
        jobs,
        told: said,
    } = ask(&desk, first).unwrap()
    else {
        panic!("nothing is told");
    };
    assert_eq!(jobs, [friday[0].clone()]);
    assert_eq!(
        said.unwrap(),
        format!(
            "{} is brought over; plan the rest to plan it in this week. 1 job does not stand as issued and is left as \
             it is.",
            friday[0]
        )
    );
    assert_eq!(after.undo, Some(format!("bring {} over", friday[0])));
    assert_eq!(reasons(&after, &friday[0]), ["U-SINCE"]);
    assert_eq!(
        reason(&after, &friday[0]),
        "It stood as issued in an earlier week, and was brought over; plan the rest, or carry it to a gang-day."
    );
    assert_eq!(standing(&after), friday[1..]);
    assert_eq!(
        left_out(&after),
        left_out(&issued) + price(&desk, &friday[..1])
    );
    assert_eq!(broken(&after), Vec::<&str>::new());
    let after = planned(&desk, replan());
    assert_eq!(names(&stages(&after, &friday[0])), all);
    assert_eq!(
        (standing(&after), broken(&after)),
        (friday[1..].to_vec(), vec![])
    );
    // All the others at once; then there is nothing to bring, and undo has it as it was.
    let rest = told(&desk, json!({"ask": "bring_over", "jobs": null}));
    assert_eq!(standing(&rest), Vec::<String>::new());
    let refused = |request: Value| ask(&desk, request).unwrap_err().text;
    assert_eq!(
        refused(json!({"ask": "bring_over", "jobs": null})),
        "No job stands as issued in an earlier week."
    );
    assert_eq!(
        refused(json!({"ask": "record_as_issued", "jobs": [friday[0]]})),
        format!("{} does not stand as issued in an earlier week.", friday[0])
    );
    let back = told(&desk, json!({"ask": "undo"}));
    assert_eq!(
        (standing(&back), broken(&back)),
        (friday[1..].to_vec(), vec![])
    );
}

#[test]
fn done_as_issued_it_is_done_when_the_issue_has_it_end() {
    let (desk, friday, issued) = moved_on();
    let before = sheet(&desk);
    let Answer::Edited {
        sheet: after,
        told: said,
        ..
    } = ask(&desk, json!({"ask": "record_as_issued", "jobs": null})).unwrap()
    else {
        panic!("nothing is told");
    };
    let many: usize = friday.iter().map(|job| stages(&issued, job).len()).sum();
    assert_eq!(
        said.unwrap(),
        format!(
            "{many} stages of {} jobs are recorded as done, each when its issue has it end.",
            friday.len()
        )
    );
    assert_eq!(
        after.undo,
        Some(format!("record {} jobs as done as issued", friday.len()))
    );
    for job in &friday {
        assert_eq!(reasons(&after, job), ["U-DONE"]);
        for (key, stage, _, to, _) in stages(&issued, job) {
            let mut own = after.records.iter();
            let own = own.find(|one| one.job == *job && one.stage == stage);
            let own = own.unwrap();
            assert_eq!(
                (own.date.as_str(), own.at),
                (key.rsplit_once('@').unwrap().1, to)
            );
            assert_eq!(own.late, Some(0));
        }
    }
    assert_eq!(
        (left_out(&after), broken(&after)),
        (left_out(&before), vec![])
    );
    let done = jobs_of(&issued).len();
    assert!(
        of_plan(&after)
            .summary
            .ends_with(&format!(", {done} done before")),
        "{}",
        of_plan(&after).summary
    );
    let later = planned(&desk, replan());
    assert!(friday.iter().all(|job| reasons(&later, job) == ["U-DONE"]));
    told(&desk, json!({"ask": "undo"}));
    let back = told(&desk, json!({"ask": "undo"}));
    assert_eq!(standing(&back), friday);
    assert_eq!(back.records, before.records);
}

/// The small week issued, and the first job of its last gang-day on the Friday.
fn issued_with_a_job_on_friday() -> (Desk, Sheet, String) {
    let desk = small();
    issue(&desk);
    let issued = sheet(&desk);
    let mut column = of_plan(&issued).columns.iter();
    let column = column.rfind(|column| column.date == FRIDAY).unwrap();
    let job = column.jobs[0].clone();
    (desk, issued, job)
}

/// One stage recorded on the Friday itself, the rest stands; recorded to its end by hand, it is done.
#[test]
fn what_is_left_of_a_begun_job_stands_too() {
    let (desk, issued, job) = issued_with_a_job_on_friday();
    let all = stages(&issued, &job);
    super::onward_tests::record(&desk, &job, 1);
    let moved = week_of(&desk, "2027-03-08");
    assert_eq!(reasons(&moved, &job), ["U-STANDS"]);
    for request in [replan(), plan(100, 4)] {
        let after = planned(&desk, request);
        assert_eq!(
            (reasons(&after, &job), stages(&after, &job), broken(&after)),
            (vec!["U-STANDS".to_owned()], vec![], vec![])
        );
    }
    let record = |stage: &str, at: u32| {
        let at = format!("{FRIDAY}T{:02}:{:02}", at / 60, at % 60);
        told(
            &desk,
            json!({"ask": "record", "job": job, "stage": stage, "at": at}),
        )
    };
    let more = record(&all[1].1, all[1].3);
    assert_eq!(
        (reasons(&more, &job), broken(&more)),
        (vec!["U-STANDS".to_owned()], vec![])
    );
    let done = record("reopen", all.last().unwrap().3);
    assert_eq!(
        (reasons(&done, &job), broken(&done)),
        (vec!["U-DONE".to_owned()], vec![])
    );
    // Taken back, it is to be planned: it stood until it was done.
    let open = told(
        &desk,
        json!({"ask": "record", "job": job, "stage": "reopen", "at": null}),
    );
    assert_eq!(
        (reasons(&open, &job), broken(&open)),
        (vec!["U-SINCE".to_owned()], vec![])
    );
    told(&desk, json!({"ask": "undo"}));
    told(&desk, json!({"ask": "undo"}));
    let over = told(&desk, json!({"ask": "bring_over", "jobs": [job]}));
    assert_eq!(
        (reasons(&over, &job), broken(&over)),
        (vec!["U-SINCE".to_owned()], vec![])
    );
    let after = planned(&desk, replan());
    assert_eq!(names(&stages(&after, &job)), names(&all)[2..]);
    assert_eq!(broken(&after), Vec::<&str>::new());
}

/// What was recorded late and out of turn with what was issued is refused, by name, and the others are recorded.
#[test]
fn what_does_not_go_with_the_issue_is_not_recorded() {
    let (desk, friday, issued) = moved_on();
    let all = stages(&issued, &friday[0]);
    let late = all[1].3 + 1;
    let at = format!("{FRIDAY}T{:02}:{:02}", late / 60, late % 60);
    told(
        &desk,
        json!({"ask": "record", "job": friday[0], "stage": all[0].1, "at": at}),
    );
    let before = sheet(&desk).records;
    let one = json!({"ask": "record_as_issued", "jobs": [friday[0]]});
    let refused = ask(&desk, one).unwrap_err();
    assert!(
        refused.text.contains(&friday[0]) && refused.text.contains("comes before it"),
        "{}",
        refused.text
    );
    assert_eq!(
        (&sheet(&desk).records, &standing(&sheet(&desk))),
        (&before, &friday)
    );
    assert!(friday.len() > 1);
    let all = json!({"ask": "record_as_issued", "jobs": null});
    let Answer::Edited {
        told: Some(told), ..
    } = ask(&desk, all).unwrap()
    else {
        panic!("it answers with what it did")
    };
    assert!(
        told.contains(&format!("{} stands still", friday[0])),
        "{told}"
    );
    assert_eq!(standing(&sheet(&desk)), friday[..1]);
    assert!(sheet(&desk).records.len() > before.len());
}

#[test]
fn under_another_name_it_stands_as_before_and_deleted_it_does_no_more() {
    let (desk, friday, issued) = moved_on();
    let rename = |job: &str, to: &str| edit(&desk, &json!({"do": "rename", "job": job, "to": to}));
    let renamed = rename(&friday[0], "K1");
    assert_eq!(
        (reasons(&renamed, "K1"), broken(&renamed)),
        (vec!["U-STANDS".to_owned()], vec![])
    );
    rename("K1", "K2");
    assert_eq!(reasons(&planned(&desk, replan()), "K2"), ["U-STANDS"]);
    let done = told(&desk, json!({"ask": "record_as_issued", "jobs": ["K2"]}));
    assert_eq!(reasons(&done, "K2"), ["U-DONE"]);
    let own = done.records.iter().filter(|record| record.job == "K2");
    assert_eq!(own.count(), stages(&issued, &friday[0]).len());
    // One that is called as another that stood does not stand.
    edit(&desk, &json!({"do": "delete", "jobs": [friday[1]]}));
    let free = sheet(&desk).plan.unwrap().columns[0].jobs[0].clone();
    let renamed = rename(&free, &friday[1]);
    assert!(!stages(&renamed, &friday[1]).is_empty());
    let moved = week_of(&desk, "2027-03-15");
    assert_eq!(reasons(&moved, &friday[1]), ["U-SINCE"]);
    assert_eq!(standing(&moved), friday[2..]);
    assert_eq!(broken(&moved), Vec::<&str>::new());
}

/// Renamed after it was issued and before the week moved on, it is known by what its gang does when.
#[test]
fn renamed_since_it_was_issued_it_stands() {
    let (desk, _, job) = issued_with_a_job_on_friday();
    edit(&desk, &json!({"do": "rename", "job": job, "to": "K1"}));
    let moved = week_of(&desk, "2027-03-08");
    assert_eq!(reasons(&moved, "K1"), ["U-STANDS"]);
    let done = told(&desk, json!({"ask": "record_as_issued", "jobs": ["K1"]}));
    assert_eq!(reasons(&done, "K1"), ["U-DONE"]);
}
