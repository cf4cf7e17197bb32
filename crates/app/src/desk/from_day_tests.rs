//! The day from which is planned: what is past stays as it was done, and all else goes on from that day.

use serde_json::{Value, json};

use super::Desk;
use super::onward_tests::{
    broken, names, of_plan, planned, reasons, record, record_stage, replan, stages, told,
};
use super::tests::{ask, plan, sheet, small};
use crate::view::{Answer, Sheet};

/// The week planned from a day on; none is all of it.
fn from(desk: &Desk, day: Option<&str>) -> Sheet {
    let members = json!({"plan_from": day});
    let edit = json!({"do": "row", "file": "week.json", "row": null, "members": members});
    told(desk, json!({"ask": "edit", "edit": edit}))
}

fn edit_job(desk: &Desk, job: &str, members: &Value) {
    let edit = json!({"do": "set", "jobs": [job], "properties": members});
    told(desk, json!({"ask": "edit", "edit": edit}));
}

fn jobs_on(sheet: &Sheet, days: impl Fn(&str) -> bool) -> Vec<String> {
    let columns = of_plan(sheet).columns.iter();
    let own = columns.filter(|column| days(&column.date));
    own.flat_map(|column| column.jobs.clone()).collect()
}

/// Everything before a day is done, and every job that was planned is planned still.
fn goes_on_from(after: &Sheet, day: &str, jobs: usize) {
    let faults = after.findings.iter();
    let faults: Vec<_> = faults.filter(|one| one.code.starts_with("R-")).collect();
    assert!(faults.is_empty(), "{faults:?}");
    let columns = of_plan(after).columns.iter();
    for column in columns.filter(|column| column.date.as_str() < day) {
        let work = column.layers.iter().filter(|layer| layer.stage.is_some());
        let open: Vec<_> = work
            .filter(|layer| layer.stays.as_deref() != Some("done"))
            .collect();
        assert!(open.is_empty(), "{open:?}");
    }
    let mut told = jobs_on(after, |_| true);
    told.extend(of_plan(after).unplanned.iter().map(|one| one.job.clone()));
    told.sort();
    told.dedup();
    assert_eq!(told.len(), jobs);
}

#[test]
fn what_was_not_done_goes_on_from_the_day_that_is_stated() {
    let desk = small();
    let before = sheet(&desk);
    let jobs = before.jobs.len();
    let mut monday = jobs_on(&before, |date| date == "2027-03-01").into_iter();
    let [done, begun, open] = [(); 3].map(|()| monday.next().unwrap());
    record(&desk, &done, usize::MAX);
    record(&desk, &begun, 1);
    let stood = sheet(&desk);
    assert_eq!(broken(&stood), Vec::<&str>::new());
    let seen = from(&desk, Some("2027-03-03"));
    let past: Vec<bool> = seen.days.iter().map(|day| day.past).collect();
    assert_eq!(past[..3], [true, true, false]);
    // Nothing has moved, and what is past and not recorded is named, job by job.
    assert_eq!(stages(&seen, &open), stages(&stood, &open));
    let named = |job: &str| {
        let mut all = seen.findings.iter();
        all.any(|one| one.code == "R-PAST" && one.place.ends_with(job))
    };
    let all: Vec<_> = seen
        .findings
        .iter()
        .filter(|one| one.code == "R-PAST")
        .collect();
    assert!(
        named(&begun) && named(&open) && !named(&done),
        "{begun} {open} {done} {all:?}"
    );
    for request in [replan(), plan(300, 3), replan()] {
        let after = planned(&desk, request);
        goes_on_from(&after, "2027-03-03", jobs);
        assert_eq!(stages(&after, &done), stages(&stood, &done));
        let (was, now) = (stages(&stood, &begun), stages(&after, &begun));
        assert_eq!(now[0], was[0], "what is done stays");
        assert_eq!(names(&now), names(&was));
        assert!(
            now[1..]
                .iter()
                .all(|one| &one.0[one.0.len() - 10..] >= "2027-03-03")
        );
        assert!(!stages(&after, &open).is_empty());
    }
    let again = from(&desk, None);
    assert!(again.days.iter().all(|day| !day.past));
    assert_eq!(broken(&again), Vec::<&str>::new());
}

/// Whatever is done when, planning from any day is sound.
#[test]
fn planning_from_any_day_after_any_work_breaks_no_rule() {
    for seed in 0..4_usize {
        let desk = small();
        let before = sheet(&desk);
        let day = before.days[1 + seed].date.clone();
        let past = jobs_on(&before, |date| date < day.as_str());
        for (at, job) in past.iter().enumerate() {
            // A job in two is done, one in two of the others begun.
            let most = [usize::MAX, (at + seed) % 3, usize::MAX, 0][(at + seed) % 4];
            record(&desk, job, most);
        }
        from(&desk, Some(&day));
        let after = planned(&desk, replan());
        goes_on_from(&after, &day, before.jobs.len());
    }
}

#[test]
fn what_is_locked_stays_in_the_past_and_is_named() {
    let desk = small();
    let before = sheet(&desk);
    let job = jobs_on(&before, |date| date == "2027-03-01")[0].clone();
    told(&desk, json!({"ask": "mark", "jobs": [job], "locked": true}));
    from(&desk, Some("2027-03-02"));
    let after = planned(&desk, replan());
    let standing = |sheet: &Sheet| -> Vec<_> {
        let all = stages(sheet, &job).into_iter();
        all.map(|(day, stage, from, ..)| (day, stage, from))
            .collect()
    };
    assert_eq!(standing(&after), standing(&before));
    assert_eq!(broken(&after), ["R-PAST"]);
    told(
        &desk,
        json!({"ask": "mark", "jobs": [job], "locked": false}),
    );
    let after = planned(&desk, replan());
    goes_on_from(&after, "2027-03-02", before.jobs.len());
}

#[test]
fn a_job_that_no_day_is_left_to_is_told_so() {
    let desk = small();
    let before = sheet(&desk);
    let job = jobs_on(&before, |date| date == "2027-03-01")[0].clone();
    edit_job(&desk, &job, &json!({"latest": "2027-03-02"}));
    from(&desk, Some("2027-03-03"));
    let after = planned(&desk, replan());
    assert_eq!(reasons(&after, &job)[0], "U-PAST");
    // Once the week is over, nothing is planned any more.
    from(&desk, Some("2027-04-01"));
    let over = planned(&desk, replan());
    assert!(of_plan(&over).columns.is_empty());
    assert!(over.jobs.iter().all(|one| {
        reasons(&over, &one.id)
            .last()
            .is_some_and(|code| code == "U-PAST")
    }));
    assert_eq!(broken(&over), Vec::<&str>::new());
}

#[test]
fn a_job_carried_to_a_day_that_is_past_is_told_so_before_it_is_put_down() {
    let desk = small();
    from(&desk, Some("2027-03-03"));
    let before = planned(&desk, replan());
    let columns = &of_plan(&before).columns;
    let (job, gang) = (
        columns[0].jobs[0].clone(),
        columns[0].key.split_once('@').unwrap().0,
    );
    let to = format!("{gang}@2027-03-01");
    let change = json!({"do": "move_job", "job": job, "to": to, "at": null});
    let answer = ask(&desk, json!({"ask": "what_if", "change": change})).unwrap();
    let Answer::WhatIf { outcome } = answer else {
        panic!("{answer:?}")
    };
    let codes: Vec<&str> = outcome.broken.iter().map(|one| one.code.as_str()).collect();
    assert_eq!(codes, ["R-PAST"]);
    assert!(outcome.broken[0].text.contains("Mon 1 Mar"));
    // Put down all the same, the checker says the same.
    let after = told(&desk, json!({"ask": "change", "change": change}));
    assert_eq!(broken(&after), ["R-PAST"]);
}

/// A week of which the last day is left, on which what is left of a begun job can't be finished any more.
fn unfinished() -> (Desk, String, Sheet) {
    let desk = small();
    let before = sheet(&desk);
    let job = jobs_on(&before, |date| date == "2027-03-01")[0].clone();
    record(&desk, &job, 1);
    edit_job(&desk, &job, &json!({"latest": "2027-03-04"}));
    from(&desk, Some("2027-03-05"));
    let after = planned(&desk, replan());
    assert_eq!(reasons(&after, &job)[0], "U-REST");
    (desk, job, after)
}

#[test]
fn what_is_left_of_a_job_without_a_day_is_told_and_what_was_done_stays() {
    let (desk, job, after) = unfinished();
    let jobs = after.jobs.len();
    goes_on_from(&after, "2027-03-05", jobs);
    let own = stages(&after, &job);
    assert_eq!(own.len(), 1, "{own:?}");
    assert!(of_plan(&after).summary.ends_with(", 1 left unfinished"));
    let mut warned = after.findings.iter();
    let warned = warned.find(|one| one.code == "T-LEFT" && one.text.contains(&job));
    assert!(
        warned
            .unwrap()
            .text
            .contains("what is left of it is not planned")
    );
    // Its closure stands to the end of the week: four days on and to midnight.
    let closures = of_plan(&after).closures.iter();
    let stands: Vec<_> = closures.filter(|one| one.job == job).collect();
    assert_eq!((stands.len(), stands[0].to), (1, 5 * 24 * 60));
    // Edits and changes by hand leave it so, and undo and redo have it as it was.
    let other = jobs_on(&after, |date| date == "2027-03-05")[0].clone();
    edit_job(&desk, &other, &json!({"priority": 4, "sections": 2}));
    let edited = sheet(&desk);
    goes_on_from(&edited, "2027-03-05", jobs);
    assert_eq!(stages(&edited, &job), own);
    let change = json!({"do": "leave_out", "job": other});
    let moved = told(&desk, json!({"ask": "change", "change": change}));
    goes_on_from(&moved, "2027-03-05", jobs);
    assert_eq!(stages(&moved, &job), own);
    assert_eq!(reasons(&moved, &job)[0], "U-REST");
    told(&desk, json!({"ask": "undo"}));
    let again = planned(&desk, replan());
    goes_on_from(&again, "2027-03-05", jobs);
    // With a day again, it is finished.
    edit_job(&desk, &job, &json!({"latest": null}));
    from(&desk, Some("2027-03-03"));
    let finished = planned(&desk, replan());
    goes_on_from(&finished, "2027-03-03", jobs);
    assert!(stages(&finished, &job).len() > 1);
    assert!(!of_plan(&finished).summary.contains("unfinished"));
}

#[test]
fn a_job_left_unfinished_is_gone_on_with_in_the_week_after() {
    let (desk, job, after) = unfinished();
    edit_job(&desk, &job, &json!({"latest": null}));
    let own = stages(&after, &job)[0].1.clone();
    let members = json!({"first_day": "2027-03-08", "temperatures": {}, "plan_from": null});
    let edit = json!({"do": "row", "file": "week.json", "row": null, "members": members});
    let moved = told(&desk, json!({"ask": "edit", "edit": edit}));
    assert_eq!(broken(&moved), Vec::<&str>::new());
    let next = planned(&desk, replan());
    assert_eq!(broken(&next), Vec::<&str>::new());
    let rest = names(&stages(&next, &job));
    assert!(!rest.is_empty() && !rest.contains(&own), "{rest:?}");
}

/// A plan with a job left unfinished is read from a folder as it was written.
#[test]
fn a_plan_with_a_job_left_unfinished_is_kept() {
    let (desk, job, after) = unfinished();
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("kept.gpkg");
    super::tests::save(&desk, &path).unwrap();
    drop(desk);
    let other = Desk::default();
    let open = json!({"ask": "open", "folder": path});
    let seen = super::tests::sheet_of(ask(&other, open).unwrap());
    assert_eq!(stages(&seen, &job), stages(&after, &job));
    assert_eq!(of_plan(&seen).unplanned, of_plan(&after).unplanned);
    assert_eq!(broken(&seen), Vec::<&str>::new());
}

/// The demo week with all of its first days done as planned, but for the jobs that are named.
fn done_until(day: &str, but: &[(&str, usize)]) -> (Desk, usize) {
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open_demo", "week": "full"})).unwrap();
    let before = sheet(&desk);
    let columns = of_plan(&before).columns.iter();
    for column in columns.filter(|column| column.date.as_str() < day) {
        let jobs = column
            .jobs
            .iter()
            .filter(|job| but.iter().all(|one| one.0 != *job));
        for job in jobs {
            let own = stages(&before, job).into_iter();
            for one in own.filter(|one| one.0 == column.key) {
                record_stage(&desk, job, &one);
            }
        }
    }
    for (job, most) in but {
        record(&desk, job, *most);
    }
    (desk, before.jobs.len())
}

#[test]
fn a_demo_week_is_planned_from_one_day_after_the_other() {
    let (desk, jobs) = done_until("2027-03-04", &[("J013", 0), ("J056", 1)]);
    for day in ["2027-03-04", "2027-03-05"] {
        from(&desk, Some(day));
        let after = planned(&desk, replan());
        goes_on_from(&after, day, jobs);
    }
    // The longer it is looked for, the fewer jobs that were begun are left unfinished, and nothing done is lost.
    let unfinished = |after: &Sheet| {
        let left = of_plan(after).unplanned.iter();
        left.filter(|one| one.codes[0] == "U-REST").count()
    };
    let mut before = unfinished(&sheet(&desk));
    for seed in 1..5 {
        let request = json!({"ask": "replan", "seconds": null, "iterations": 150, "seed": seed});
        let after = planned(&desk, serde_json::from_value(request).unwrap());
        goes_on_from(&after, "2027-03-05", jobs);
        assert!(unfinished(&after) <= before);
        before = unfinished(&after);
    }
}

/// A job begun on a Monday and finished on the Tuesday is two days' work for good.
#[test]
fn a_job_finished_on_its_second_day_stays_as_it_was_done() {
    let desk = small();
    let before = sheet(&desk);
    let job = jobs_on(&before, |date| date == "2027-03-01")[0].clone();
    record(&desk, &job, 2);
    from(&desk, Some("2027-03-02"));
    let after = planned(&desk, replan());
    goes_on_from(&after, "2027-03-02", before.jobs.len());
    record(&desk, &job, usize::MAX);
    let done = sheet(&desk);
    assert_eq!(broken(&done), Vec::<&str>::new());
    let own = stages(&done, &job);
    assert!(
        own.iter().all(|one| one.4.as_deref() == Some("done")),
        "{own:?}"
    );
    let other = jobs_on(&done, |date| date == "2027-03-05")[0].clone();
    edit_job(&desk, &other, &json!({"sections": 2}));
    let edited = sheet(&desk);
    assert_eq!(stages(&edited, &job), own);
    assert_eq!(broken(&edited), Vec::<&str>::new());
    from(&desk, Some("2027-03-03"));
    let next = planned(&desk, replan());
    assert_eq!(stages(&next, &job), own);
    goes_on_from(&next, "2027-03-03", before.jobs.len());
    // The whole week planned again is sound too.
    from(&desk, None);
    let whole = planned(&desk, replan());
    assert_eq!(stages(&whole, &job), own);
    assert_eq!(broken(&whole), Vec::<&str>::new());
}

/// Who recorded the last stage alone did those before it.
#[test]
fn a_job_of_which_a_late_stage_alone_is_recorded_is_planned_on() {
    let desk = small();
    let before = sheet(&desk);
    let job = jobs_on(&before, |date| date == "2027-03-01")[0].clone();
    for at in [2, 3, 4] {
        let all = stages(&before, &job);
        let late = &all[at.min(all.len() - 1)];
        record_stage(&desk, &job, late);
        from(&desk, Some("2027-03-02"));
        let after = planned(&desk, replan());
        assert_eq!(broken(&after), Vec::<&str>::new());
        let monday = stages(&after, &job);
        assert!(
            monday
                .iter()
                .any(|one| (&one.0, &one.1) == (&late.0, &late.1))
        );
        for _ in 0..3 {
            told(&desk, json!({"ask": "undo"}));
        }
        assert_eq!(stages(&sheet(&desk), &job), all);
    }
}

#[test]
fn leaving_out_what_is_begun_costs_what_leaving_it_out_costs() {
    let (desk, job, _) = unfinished();
    let change = json!({"do": "leave_out", "job": job});
    let refused = ask(&desk, json!({"ask": "change", "change": change})).unwrap_err();
    assert!(refused.text.contains("left unfinished"), "{}", refused.text);
    // The step that stops being planned from a day changes nothing that was done.
    let own = stages(&sheet(&desk), &job);
    let whole = from(&desk, None);
    assert_eq!(stages(&whole, &job), own);
    assert_eq!(broken(&whole), Vec::<&str>::new());
    assert_eq!(reasons(&whole, &job)[0], "U-REST");
}

/// A job that keeps to hours of the day is cut by hand all the same, and what was done of it stays through records and
/// edits.
#[test]
fn what_is_done_stays_where_a_job_was_cut_against_its_rules() {
    let desk = small();
    let before = sheet(&desk);
    let job = jobs_on(&before, |date| date == "2027-03-01")[0].clone();
    edit_job(&desk, &job, &json!({"site_hours": [["07:30", "16:30"]]}));
    record(&desk, &job, 2);
    let stood = stages(&sheet(&desk), &job);
    let gang = stood[0].0.split_once('@').unwrap().0.to_owned();
    let change =
        json!({"do": "move_job", "job": job, "to": format!("{gang}@2027-03-02"), "at": null});
    let carried = told(&desk, json!({"ask": "change", "change": change}));
    let own = stages(&carried, &job);
    assert_eq!(own[..2], stood[..2]);
    assert!(
        own[2..].iter().all(|one| one.0.ends_with("2027-03-02")),
        "{own:?}"
    );
    record(&desk, &job, 3);
    let recorded = sheet(&desk);
    let now = stages(&recorded, &job);
    assert_eq!(now[..2], stood[..2]);
    assert_eq!((now.len(), now[2].4.as_deref()), (own.len(), Some("done")));
    let other = jobs_on(&recorded, |date| date == "2027-03-05")[0].clone();
    edit_job(&desk, &other, &json!({"sections": 2}));
    assert_eq!(stages(&sheet(&desk), &job), now);
    assert!(!broken(&sheet(&desk)).contains(&"R-STAGES"));
    assert!(!broken(&sheet(&desk)).contains(&"R-COSTS"));
}

/// All that gangs do on a day is recorded in one step.
#[test]
fn a_day_is_recorded_as_done_as_planned() {
    let desk = small();
    let before = sheet(&desk);
    let request = json!({"ask": "record_as_planned", "of": {"what": "day", "date": "2027-03-01"}});
    let after = told(&desk, request.clone());
    let monday = jobs_on(&before, |date| date == "2027-03-01");
    assert!(monday.len() > 2);
    for job in &monday {
        assert!(
            stages(&after, job)
                .iter()
                .all(|one| one.4.as_deref() == Some("done"))
        );
    }
    let stages_of = |day: &str| -> usize {
        let columns = of_plan(&before)
            .columns
            .iter()
            .filter(|one| one.date == day);
        columns
            .flat_map(|one| &one.layers)
            .filter(|layer| layer.stage.is_some())
            .count()
    };
    assert_eq!(after.records.len(), stages_of("2027-03-01"));
    assert!(
        ask(&desk, request)
            .unwrap_err()
            .text
            .contains("Nothing is left to record")
    );
    let none = json!({"ask": "record_as_planned", "of": {"what": "day", "date": "2027-04-01"}});
    assert!(
        ask(&desk, none)
            .unwrap_err()
            .text
            .contains("No work is planned on Thu 1 Apr 2027.")
    );
}
