//! What a supervisor does by hand, asked as a door asks it.

use std::time::Duration;

use chrono::NaiveDateTime;

use super::Desk;
use crate::view::{Answer, ChangeByHand, ComparisonView, DemoWeek, Request, Sheet};

fn small() -> Desk {
    let desk = Desk::default();
    let week = DemoWeek::Small;
    desk.ask(Request::OpenDemo { week }).unwrap();
    desk
}

fn asked(desk: &Desk, request: Request) -> Sheet {
    match desk.ask(request).unwrap() {
        Answer::Sheet { sheet: Some(sheet) } | Answer::Saved { sheet, .. } => *sheet,
        other => panic!("no sheet but {other:?}"),
    }
}

fn compared(desk: &Desk, one: u32, other: u32) -> ComparisonView {
    match desk.ask(Request::Compare { one, other }).unwrap() {
        Answer::Comparison { comparison } => *comparison,
        other => panic!("no comparison but {other:?}"),
    }
}

fn replan(desk: &Desk) -> Sheet {
    let request = Request::Replan {
        seconds: None,
        iterations: Some(300),
        seed: Some(9),
    };
    desk.ask(request).unwrap();
    while matches!(desk.ask(Request::Progress).unwrap(), Answer::Progress { progress } if progress.running)
    {
        std::thread::sleep(Duration::from_millis(5));
    }
    asked(desk, Request::Sheet)
}

/// When each stage of a job starts, with its gang-day, and whether it stays.
fn places(sheet: &Sheet, job: &str) -> Vec<(String, u32, Option<String>)> {
    let columns = sheet.plan.iter().flat_map(|plan| &plan.columns);
    let mut places = Vec::new();
    for column in columns {
        let own = column.layers.iter().filter(|layer| layer.stage.is_some());
        let own = own.filter(|layer| layer.job.as_deref() == Some(job));
        places.extend(own.map(|layer| (column.key.clone(), layer.from, layer.stays.clone())));
    }
    places
}

fn first_job(sheet: &Sheet) -> String {
    sheet.plan.as_ref().unwrap().columns[0].jobs[0].clone()
}

fn mark(job: &str, locked: bool) -> Request {
    let jobs = vec![job.to_owned()];
    Request::Mark { jobs, locked }
}

fn done(job: &str, stage: &str, at: Option<&str>) -> Request {
    Request::Record {
        job: job.to_owned(),
        stage: stage.to_owned(),
        at: at.map(ToOwned::to_owned),
    }
}

fn issue(on: &str) -> Request {
    Request::Issue { on: on.to_owned() }
}

#[test]
fn a_locked_job_stays_when_the_rest_is_planned_again() {
    let desk = small();
    let job = first_job(&asked(&desk, Request::Sheet));
    let locked = asked(&desk, mark(&job, true));
    assert_eq!(locked.undo, Some(format!("lock {job}")));
    let before = places(&locked, &job);
    let stays = |place: &(String, u32, Option<String>)| place.2.as_deref() == Some("locked");
    assert!(!before.is_empty() && before.iter().all(stays), "{before:?}");
    let after = replan(&desk);
    assert_eq!(places(&after, &job), before);
    assert!(after.plan.unwrap().verified);
    let free = asked(&desk, mark(&job, false));
    assert!(places(&free, &job).iter().all(|place| place.2.is_none()));
}

#[test]
fn a_recorded_stage_is_done_until_it_is_taken_back() {
    let desk = small();
    let job = first_job(&asked(&desk, Request::Sheet));
    let sheet = asked(&desk, done(&job, "dig", Some("2027-03-01T10:35")));
    assert_eq!((sheet.records.len(), sheet.records[0].at), (1, 635));
    assert_eq!(places(&sheet, &job)[0].2.as_deref(), Some("done"));
    // What is done is not unlocked.
    let sheet = asked(&desk, mark(&job, false));
    assert_eq!(places(&sheet, &job)[0].2.as_deref(), Some("done"));
    let sheet = asked(&desk, done(&job, "dig", None));
    assert!(sheet.records.is_empty() && places(&sheet, &job)[0].2.is_none());
    for (stage, at) in [("paint", "2027-03-01T10:35"), ("dig", "half past ten")] {
        assert!(desk.ask(done(&job, stage, Some(at))).is_err());
    }
}

/// The rules that the checker says are broken.
fn broken(sheet: &Sheet) -> Vec<&str> {
    let codes = sheet.findings.iter().map(|one| one.code.as_str());
    codes.filter(|code| code.starts_with("R-")).collect()
}

#[test]
fn what_follows_a_stage_that_ended_late_moves_on_at_once_and_back_again() {
    let desk = small();
    let before = asked(&desk, Request::Sheet);
    let job = first_job(&before);
    let plan = before.plan.as_ref().unwrap();
    let column = &plan.columns[0];
    let work = |sheet: &Sheet| -> Vec<(String, String, u32, u32)> {
        let columns = &sheet.plan.as_ref().unwrap().columns;
        let own = columns.iter().find(|own| own.key == column.key).unwrap();
        let layers = own.layers.iter().filter_map(|layer| {
            let (job, stage) = (layer.job.clone()?, layer.stage.clone()?);
            Some((job, stage, layer.from, layer.to))
        });
        layers.collect()
    };
    let first = work(&before).into_iter().find(|one| one.0 == job).unwrap();
    let late = first.3 + 30;
    let at = format!("{}T{:02}:{:02}", column.date, late / 60, late % 60);
    let after = asked(&desk, done(&job, &first.1, Some(&at)));
    assert_eq!(broken(&after), [""; 0]);
    let (was, now) = (work(&before), work(&after));
    let order = |all: &[(String, String, u32, u32)]| -> Vec<(String, String)> {
        all.iter()
            .map(|one| (one.0.clone(), one.1.clone()))
            .collect()
    };
    assert_eq!(order(&was), order(&now));
    assert_eq!(now[0].3, late);
    assert!(
        was.iter().zip(&now).all(|(was, now)| was.2 <= now.2),
        "{now:?}"
    );
    let others = |sheet: &Sheet| {
        let all = sheet.plan.as_ref().unwrap().columns.iter();
        all.filter(|own| own.key != column.key)
            .cloned()
            .collect::<Vec<_>>()
    };
    assert_eq!(others(&after), others(&before));
    assert_eq!(after.records[0].late, Some(30));
    // It is later than the plan was, not than what the plan has become.
    let at = format!(
        "{}T{:02}:{:02}",
        column.date,
        (late + 5) / 60,
        (late + 5) % 60
    );
    let later = asked(&desk, done(&job, &first.1, Some(&at)));
    assert_eq!(later.records[0].late, Some(35));
    let back = asked(&desk, done(&job, &first.1, None));
    assert_eq!(work(&back), was);
}

/// When each stage of a job starts, in the order of the stages.
fn starts(desk: &Desk, job: &str) -> Vec<NaiveDateTime> {
    let plan = desk.lock().table.state().unwrap().plan.clone().unwrap();
    let visits = plan.routes.iter().flat_map(|route| &route.visits);
    let own = visits.filter(|visit| visit.job.as_str() == job);
    let mut own: Vec<_> = own.map(|visit| (visit.stage, visit.start)).collect();
    own.sort_unstable();
    own.into_iter().map(|(_, start)| start).collect()
}

#[test]
fn whatever_is_recorded_of_a_locked_job_leaves_its_stages_in_order() {
    let desk = small();
    let sheet = asked(&desk, Request::Sheet);
    let job = first_job(&sheet);
    let date = sheet.plan.as_ref().unwrap().columns[0].date.clone();
    asked(&desk, mark(&job, true));
    let stages: Vec<String> = sheet.plan.as_ref().unwrap().columns[0]
        .layers
        .iter()
        .filter(|layer| layer.job.as_deref() == Some(&job))
        .filter_map(|layer| layer.stage.clone())
        .collect();
    for stage in [&stages[0], &stages[stages.len() - 1]] {
        for at in ["09:00", "12:00", "16:40"] {
            let at = format!("{date}T{at}");
            asked(&desk, done(&job, stage, Some(&at)));
            let starts = starts(&desk, &job);
            assert_eq!(starts.len(), stages.len());
            assert!(starts.is_sorted(), "{stage} at {at}: {starts:?}");
            let again = replan(&desk);
            // What can't be finished on its day any more is told as not planned, with the reason.
            let unplanned = &again.plan.as_ref().unwrap().unplanned;
            let told = unplanned
                .iter()
                .any(|one| one.job == job && !one.reasons.is_empty());
            let stays = places(&again, &job);
            let stays = stays.iter().any(|place| place.2.as_deref() == Some("done"));
            assert!(stays != told, "{stage} at {at}");
            asked(&desk, Request::Undo);
            asked(&desk, done(&job, stage, None));
        }
    }
}

#[test]
fn a_job_that_is_left_over_a_night_is_one_planned_job_of_a_plan() {
    let desk = Desk::default();
    let week = DemoWeek::Full;
    desk.ask(Request::OpenDemo { week }).unwrap();
    let plan = asked(&desk, Request::Sheet).plan.unwrap();
    assert!(plan.columns.iter().any(|column| !column.left.is_empty()));
    let same = compared(&desk, 0, 0);
    let planned = same
        .differences
        .iter()
        .find(|one| one.label == "Jobs planned");
    let told = format!("{} of 72 jobs", planned.unwrap().one);
    assert!(plan.summary.starts_with(&told), "{told}: {}", plan.summary);
}

#[test]
fn an_issue_is_numbered_dated_frozen_and_saved() {
    let desk = small();
    let sheet = asked(&desk, issue("2027-02-25"));
    assert_eq!((sheet.issues[0].number, sheet.issues[0].current), (1, true));
    let frozen = compared(&desk, 1, 0);
    assert_eq!(frozen.one.name, "Issue 1, Thu 25 Feb");
    assert!(frozen.changes.is_empty());
    assert!(frozen.differences.iter().all(|line| line.by.is_empty()));
    // Without a job the week on the desk is no better than another.
    let job = first_job(&sheet);
    let change = ChangeByHand::LeaveOut { job };
    desk.ask(Request::Change { change }).unwrap();
    desk.ask(Request::Plan {
        seconds: None,
        iterations: Some(0),
        seed: Some(3),
    })
    .unwrap();
    while matches!(desk.ask(Request::Progress).unwrap(), Answer::Progress { progress } if progress.running)
    {
        std::thread::sleep(Duration::from_millis(5));
    }
    let sheet = asked(&desk, Request::Sheet);
    assert!(!sheet.issues[0].current);
    let compared = compared(&desk, 1, 0);
    assert_eq!(compared.one, frozen.one);
    assert!(!compared.changes.is_empty());
    assert!(compared.differences.iter().any(|line| !line.by.is_empty()));

    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week").display().to_string();
    asked(&desk, issue("2027-02-26"));
    let saved = asked(
        &desk,
        Request::Save {
            folder: Some(folder.clone()),
        },
    );
    drop(desk);
    let again = asked(&Desk::default(), Request::Open { folder });
    assert_eq!(again.issues, saved.issues);
    assert_eq!(again.issues[1].number, 2);
}

#[test]
fn a_damaged_diary_is_told_and_the_programme_opens() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    let desk = small();
    let path = folder.display().to_string();
    asked(&desk, issue("2027-02-25"));
    let request = Request::Save {
        folder: Some(path.clone()),
    };
    asked(&desk, request);
    drop(desk);
    std::fs::write(folder.join("diary.json"), b"{\"issues\": [{").unwrap();
    let sheet = asked(&Desk::default(), Request::Open { folder: path });
    // What was issued has a file of its own.
    assert!(sheet.plan.is_some() && sheet.issues.len() == 1);
    assert!(sheet.findings.iter().any(|one| one.code == "F-DIARY"));
}

/// All that is planned is locked and then a stage ends late: where both can't be, the gang-day stands as it went,
/// and what is named is that, not the costs.
#[test]
fn the_costs_of_a_gang_day_that_stands_as_it_went_are_its_own() {
    let desk = small();
    let before = asked(&desk, Request::Sheet);
    let jobs: Vec<String> = before.jobs.iter().map(|job| job.id.clone()).collect();
    asked(&desk, Request::Mark { jobs, locked: true });
    let plan = || desk.lock().planned().unwrap().plan.unwrap();
    let locked = plan();
    let mut conflicts = 0;
    for visit in locked.visits().step_by(5) {
        for minutes in [-35, 95] {
            let at = visit.finish + chrono::TimeDelta::minutes(minutes);
            let at = at.format("%Y-%m-%dT%H:%M").to_string();
            let stage = serde_json::to_value(visit.stage).unwrap();
            let stage = stage.as_str().unwrap().to_owned();
            let late = asked(&desk, done(visit.job.as_str(), &stage, Some(&at)));
            let codes: Vec<&str> = late.findings.iter().map(|one| one.code.as_str()).collect();
            assert!(!codes.contains(&"R-COSTS"), "{} {at}: {codes:?}", visit.job);
            let broken = codes.iter().any(|code| code.starts_with("R-"));
            conflicts += usize::from(broken && plan().costs != locked.costs);
            asked(&desk, Request::Undo);
        }
    }
    assert!(conflicts > 3, "{conflicts}");
}
