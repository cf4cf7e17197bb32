//! Jobs of which a part is done: that stays where it was done, and only the rest of them is carried.

use super::{Desk, holds, keys, sheet, sheet_of, small, tried};
use crate::view::{Answer, ChangeByHand, Request, Sheet};

/// A stage of a job: gang-day, name, start, end and whether it stays where it is.
type Done = (String, String, u32, u32, Option<String>);

/// The stages of a job in the order in which they are worked.
fn stages(sheet: &Sheet, job: &str) -> Vec<Done> {
    let columns = sheet.plan.as_ref().unwrap().columns.iter();
    let own = columns.flat_map(|column| {
        let layers = column.layers.iter();
        let own = layers.filter(|layer| layer.job.as_deref() == Some(job));
        own.filter_map(|layer| {
            let (key, stage) = (column.key.clone(), layer.stage.clone()?);
            Some((key, stage, layer.from, layer.to, layer.stays.clone()))
        })
    });
    let mut own: Vec<Done> = own.collect();
    own.sort_by_key(|one| (date(&one.0).to_owned(), one.2));
    own
}

fn date(key: &str) -> &str {
    key.rsplit_once('@').unwrap().1
}

/// Records a stage as done when it was planned.
fn record(desk: &Desk, job: &str, stage: &str) -> Sheet {
    let own = stages(&sheet(desk), job);
    let own = own.iter().find(|one| one.1 == stage).unwrap();
    let to = own.3;
    let at = format!("{}T{:02}:{:02}", date(&own.0), to / 60, to % 60);
    let request = serde_json::json!({"ask": "record", "job": job, "stage": stage, "at": at});
    sheet_of(desk.ask(serde_json::from_value(request).unwrap()).unwrap())
}

/// A job of the first gang-day whose dig and base are done, and the rest of which is left.
fn begun(desk: &Desk) -> (String, Sheet) {
    let before = sheet(desk);
    let columns = &before.plan.as_ref().unwrap().columns;
    let first = columns.iter().min_by_key(|column| &column.date).unwrap();
    let mut jobs = first.jobs.iter();
    let is_poured = |job: &&String| stages(&before, job).iter().any(|one| one.1 == "base");
    let job = jobs.find(is_poured).unwrap();
    let after = record(desk, job, "base");
    let done = stages(&after, job)
        .into_iter()
        .filter(|one| one.4.is_some());
    assert_eq!(done.count(), 2);
    (job.clone(), after)
}

fn move_job(job: &str, to: &str, at: Option<u32>) -> ChangeByHand {
    let (job, to) = (job.to_owned(), to.to_owned());
    ChangeByHand::MoveJob { job, to, at }
}

fn made(desk: &Desk, change: &ChangeByHand) -> Sheet {
    let change = change.clone();
    sheet_of(desk.ask(Request::Change { change }).unwrap())
}

#[test]
fn the_rest_of_a_begun_job_goes_to_a_later_day_and_what_is_done_stays() {
    let desk = small();
    let (job, before) = begun(&desk);
    let was = stages(&before, &job);
    let done: Vec<_> = was.iter().filter(|one| one.4.is_some()).collect();
    let home = was[0].0.clone();
    let (mut later, mut sound) = (0, 0);
    for (nth, to) in keys(&before).into_iter().enumerate() {
        let change = move_job(&job, &to, (nth % 2 == 0).then_some(600));
        let Some(told) = tried(&desk, &change) else {
            continue;
        };
        let codes: Vec<&str> = told.broken.iter().map(|one| one.code.as_str()).collect();
        if date(&to) > date(&home) {
            holds(&desk, &change);
            let rest = format!("Move the rest of {job} to ");
            assert!(told.words.starts_with(&rest), "{}", told.words);
            assert!(!codes.contains(&"R-LOCKED"), "{}: {codes:?}", told.words);
            let after = stages(&made(&desk, &change), &job);
            assert!(done.iter().all(|one| after.contains(one)), "{after:?}");
            assert!(after[done.len()..].iter().all(|one| one.0 == to));
            assert_eq!(after.len(), was.len());
            desk.ask(Request::Undo).unwrap();
            later += 1;
            sound += usize::from(told.sound);
        } else if to != home {
            let whole = format!("Move {job} to ");
            assert!(told.words.starts_with(&whole), "{}", told.words);
            assert!(codes.contains(&"R-LOCKED"), "{}: {codes:?}", told.words);
        }
    }
    assert!(later > 4 && sound > 2, "{later} {sound}");
    assert_eq!(stages(&sheet(&desk), &job), was);
}

/// The step of the history is called as what it did.
#[test]
fn a_rest_is_carried_on_and_comes_back() {
    let desk = small();
    let (job, before) = begun(&desk);
    let was = stages(&before, &job);
    let home = was[0].0.clone();
    let gang = home.split_once('@').unwrap().0;
    let keys = keys(&before).into_iter();
    let later: Vec<String> = keys
        .filter(|key| key.starts_with(gang) && date(key) > date(&home))
        .collect();
    let mut sound = 0;
    for to in &later {
        let change = move_job(&job, to, None);
        let told = holds(&desk, &change).unwrap();
        sound += usize::from(told.sound);
        let after = made(&desk, &change);
        let own = stages(&after, &job);
        assert_eq!(own[0], was[0]);
        assert!(
            own.iter()
                .filter(|one| one.4.is_none())
                .all(|one| one.0 == *to)
        );
        let Ok(Answer::History { past, .. }) = desk.ask(Request::History) else {
            panic!("no history");
        };
        let step = format!("move the rest of {job} to ");
        assert!(past.last().unwrap().starts_with(&step), "{past:?}");
        // Back on its own day it is as it was before, but for when the rest of it is.
        let told = holds(&desk, &move_job(&job, &home, None)).unwrap();
        assert!(told.words.starts_with(&format!("Move {job} to ")));
        assert!(told.sound, "{}: {:?}", told.words, told.broken);
        let back = stages(&made(&desk, &move_job(&job, &home, None)), &job);
        assert_eq!(back[0], was[0]);
        assert!(back.iter().all(|one| one.0 == home));
        desk.ask(Request::Undo).unwrap();
    }
    assert!(later.len() > 1 && sound > 0, "{later:?} {sound}");
}

/// Within the day that it was carried to, one visit of the rest moves, and the job stays there.
#[test]
fn a_visit_of_a_rest_is_put_elsewhere_within_its_own_day() {
    let desk = small();
    let (job, before) = begun(&desk);
    let home = stages(&before, &job)[0].0.clone();
    let later = keys(&before)
        .into_iter()
        .filter(|to| date(to) > date(&home));
    let mut moved = 0;
    for to in later {
        let carried = move_job(&job, &to, None);
        if tried(&desk, &carried).is_none() {
            continue;
        }
        let was = stages(&made(&desk, &carried), &job);
        let places = |all: &[Done]| -> Vec<(String, String)> {
            let places = all.iter().map(|one| (one.0.clone(), one.1.clone()));
            places.collect()
        };
        for left in was.iter().filter(|one| one.4.is_none()) {
            assert_eq!(left.0, to);
            let (job, stage) = (job.clone(), left.1.clone());
            let put = ChangeByHand::MoveVisit {
                job: job.clone(),
                stage,
                at: left.3 + 60,
            };
            let Some(told) = tried(&desk, &put) else {
                continue;
            };
            assert!(told.words.starts_with("Put the "), "{}", told.words);
            holds(&desk, &put);
            let own = stages(&made(&desk, &put), &job);
            assert_eq!(places(&own), places(&was));
            let then = own.iter().find(|one| one.1 == left.1).unwrap();
            assert!(then.2 > left.2, "{then:?}");
            desk.ask(Request::Undo).unwrap();
            moved += 1;
        }
        desk.ask(Request::Undo).unwrap();
    }
    assert!(moved > 2, "{moved}");
}

#[test]
fn what_is_done_stays_where_days_are_swapped_split_or_jobs_are_carried_together() {
    let desk = small();
    let (job, before) = begun(&desk);
    let was = stages(&before, &job);
    let home = was[0].0.clone();
    let plan = before.plan.as_ref().unwrap();
    let own = plan.columns.iter().find(|one| one.key == home).unwrap();
    let jobs = own.jobs.clone();
    assert!(jobs.len() > 1, "{jobs:?}");
    let mut told = 0;
    let later = keys(&before)
        .into_iter()
        .filter(|to| date(to) > date(&home));
    for to in later.step_by(3) {
        let (one, other) = (home.clone(), to.clone());
        let split = ChangeByHand::Split {
            day: home.clone(),
            from: jobs[0].clone(),
            to: to.clone(),
        };
        let together = ChangeByHand::MoveJobs {
            jobs: jobs.clone(),
            to: to.clone(),
        };
        for change in [ChangeByHand::Swap { one, other }, split, together] {
            let outcome = holds(&desk, &change).unwrap();
            assert!(
                outcome.words.contains("; what is done stays:"),
                "{}",
                outcome.words
            );
            let locked = outcome.broken.iter().find(|one| one.code == "R-LOCKED");
            assert_eq!(locked, None, "{}", outcome.words);
            let after = stages(&made(&desk, &change), &job);
            assert_eq!(after.len(), was.len());
            let rest = after.iter().filter(|one| one.4.is_none());
            assert!(rest.clone().count() > 0 && rest.clone().all(|one| one.0 == to));
            let done = |own: &[Done]| own[..2].to_vec();
            assert_eq!(done(&after), done(&was));
            desk.ask(Request::Undo).unwrap();
            told += 1;
        }
    }
    assert!(told > 3, "{told}");
    assert_eq!(stages(&sheet(&desk), &job), was);
}

#[test]
fn nobody_puts_what_is_done_elsewhere() {
    let desk = small();
    let (job, before) = begun(&desk);
    let was = stages(&before, &job);
    let home = was[0].0.clone();
    let same_day = keys(&before)
        .into_iter()
        .find(|to| date(to) == date(&home) && *to != home)
        .unwrap();
    let moved = ChangeByHand::MoveJob {
        job: job.clone(),
        to: same_day,
        at: None,
    };
    for change in [moved, ChangeByHand::LeaveOut { job: job.clone() }] {
        let refused = desk.ask(Request::Change { change }).unwrap_err();
        assert!(
            refused.text.contains("is recorded as done on"),
            "{}",
            refused.text
        );
        assert_eq!(stages(&sheet(&desk), &job), was);
    }
}
