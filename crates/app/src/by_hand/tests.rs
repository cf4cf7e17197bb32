//! What is tried is what is made, and the independent checker agrees with it.

mod begun;

use std::collections::BTreeSet;

use crate::Desk;
use crate::view::{
    Answer, Becomes, ChangeByHand, Column, DemoWeek, GangDayDetail, Request, Sheet, WhatIfView,
};

fn small() -> Desk {
    let desk = Desk::default();
    desk.ask(Request::OpenDemo {
        week: DemoWeek::Small,
    })
    .unwrap();
    desk
}

fn sheet(desk: &Desk) -> Sheet {
    sheet_of(desk.ask(Request::Sheet).unwrap())
}

fn sheet_of(answer: Answer) -> Sheet {
    match answer {
        Answer::Sheet { sheet: Some(sheet) } => *sheet,
        other => panic!("no sheet but {other:?}"),
    }
}

fn tried(desk: &Desk, change: &ChangeByHand) -> Option<WhatIfView> {
    let change = change.clone();
    match desk.ask(Request::WhatIf { change }) {
        Ok(Answer::WhatIf { outcome }) => Some(*outcome),
        Ok(other) => panic!("no outcome but {other:?}"),
        Err(refusal) => {
            assert_eq!(refusal.text, "That would change nothing.");
            None
        }
    }
}

/// Every gang-day of the week, worked or not.
fn keys(sheet: &Sheet) -> Vec<String> {
    let days = sheet.days.iter().filter(|day| day.working);
    let of_day = |date: &str| -> Vec<String> {
        let gangs = sheet.gangs.iter();
        gangs.map(|gang| format!("{}@{date}", gang.id)).collect()
    };
    days.flat_map(|day| of_day(&day.date)).collect()
}

fn in_depth(desk: &Desk, keys: &[String]) -> Vec<GangDayDetail> {
    let keys = keys.to_vec();
    match desk.ask(Request::GangDays { keys }).unwrap() {
        Answer::GangDays { details } => details,
        other => panic!("no gang-days but {other:?}"),
    }
}

/// A gang-day's masses and materials, told by name: `Out to the jobs: 2.8 t`.
fn amounts(details: &[GangDayDetail], key: &str) -> BTreeSet<String> {
    let Some(own) = details.iter().find(|one| one.key == key) else {
        return BTreeSet::new();
    };
    let carried = own.carried.carried.iter();
    let carried = carried.map(|one| format!("{}: {}", one.label, one.mass));
    let materials = own.order.materials.iter();
    let materials = materials.map(|one| format!("{}: {} {}", one.name, one.measured, one.unit));
    carried.chain(materials).collect()
}

/// What each gang-day was said to take more and less is what its order and its load before and after differ by.
fn takes_as_told(
    keys: &[String],
    (before, after): (&[GangDayDetail], &[GangDayDetail]),
    told: &WhatIfView,
) {
    for key in keys {
        let takes = told.takes.iter().filter(|one| one.key == *key);
        let lines = || {
            let takes = takes.clone();
            takes.flat_map(|one| one.carried.iter().chain(&one.materials))
        };
        let said = |amount: fn(&Becomes) -> &str| -> BTreeSet<String> {
            let lines = lines().filter(|one| !amount(one).is_empty());
            let said = lines.map(|one| format!("{}: {} {}", one.label, amount(one), one.unit));
            said.collect()
        };
        let (now, then) = (amounts(before, key), amounts(after, key));
        let (gone, come) = (&now - &then, &then - &now);
        assert_eq!(said(|one| &one.now), gone, "{}: {key}", told.words);
        assert_eq!(said(|one| &one.then), come, "{}: {key}", told.words);
    }
}

/// Tries a change, makes it, holds what is made to what was said, and takes it back.
fn holds(desk: &Desk, change: &ChangeByHand) -> Option<WhatIfView> {
    let told = tried(desk, change)?;
    let keys = told.columns.iter().map(|column| &column.key);
    let keys: Vec<String> = keys.chain(&told.emptied).cloned().collect();
    let before = in_depth(desk, &keys);
    let change = change.clone();
    let after = sheet_of(desk.ask(Request::Change { change }).unwrap());
    let plan = after.plan.as_ref().unwrap();
    for column in &told.columns {
        let made = plan.columns.iter().find(|made| made.key == column.key);
        let made = made.unwrap().clone();
        assert_eq!(&Column { way: None, ..made }, column, "{}", told.words);
    }
    for key in &told.emptied {
        assert!(plan.columns.iter().all(|column| column.key != *key));
    }
    takes_as_told(&keys, (&before, &in_depth(desk, &keys)), &told);
    for (cost, then) in plan.costs.iter().zip(&told.costs) {
        assert_eq!((&cost.label, &cost.amount), (&then.label, &then.then));
    }
    assert_eq!(plan.unplanned.len(), told.left_out as usize);
    // The checker shares nothing with the search; both name the same rules.
    let broken: Vec<&str> = after
        .findings
        .iter()
        .map(|finding| finding.code.as_str())
        .filter(|code| code.starts_with("R-"))
        .collect();
    let mut said: Vec<&str> = told.broken.iter().map(|one| one.code.as_str()).collect();
    assert_eq!(broken.is_empty(), said.is_empty(), "{broken:?} {told:?}");
    said.retain(|code| !broken.contains(code));
    assert!(said.is_empty(), "{}: {said:?} {broken:?}", told.words);
    desk.ask(Request::Undo).unwrap();
    Some(told)
}

#[test]
fn a_job_moved_to_any_gang_day_is_there_as_it_was_told() {
    let desk = small();
    let before = sheet(&desk);
    let (mut sound, mut broken) = (0, 0);
    for (at, job) in before.jobs.iter().enumerate() {
        for to in keys(&before).into_iter().skip(at % 3).step_by(3) {
            let change = ChangeByHand::MoveJob {
                job: job.id.clone(),
                to,
                at: (at % 2 == 0).then_some(600),
            };
            if let Some(told) = holds(&desk, &change) {
                let count = if told.sound { &mut sound } else { &mut broken };
                *count += 1;
            }
        }
    }
    assert!(sound > 8 && broken > 8, "{sound} {broken}");
    assert_eq!(sheet(&desk).plan, before.plan);
}

#[test]
fn a_job_moved_to_any_time_that_is_told_alike_does_the_same() {
    let desk = small();
    let before = sheet(&desk);
    let (mut held, mut others) = (0, 0);
    for (place, job) in before.jobs.iter().enumerate() {
        for to in keys(&before).into_iter().skip(place % 3).step_by(3) {
            let tried = |at| {
                let (job, to) = (job.id.clone(), to.clone());
                tried(&desk, &ChangeByHand::MoveJob { job, to, at })
            };
            let Some(told) = tried(Some(660)) else {
                continue;
            };
            let alike = told.alike.unwrap();
            assert!(alike.first <= 660 && 660 <= alike.last, "{alike:?}");
            assert_eq!(tried(None).and_then(|told| told.alike), None);
            for at in [alike.first, alike.last.min(2_880)] {
                assert_eq!(tried(Some(at)).as_ref(), Some(&told), "{at} {alike:?}");
                held += 1;
            }
            // Past a visit it comes after that one, and what is told then is alike elsewhere.
            for at in [alike.first.checked_sub(1), Some(alike.last + 1)] {
                let other = at.filter(|at| *at < 1_440).and_then(|at| tried(Some(at)));
                let Some(other) = other.and_then(|told| told.alike) else {
                    continue;
                };
                assert!(other.last < alike.first || alike.last < other.first);
                others += 1;
            }
        }
    }
    assert!(held > 40 && others > 20, "{held} {others}");
}

#[test]
fn swaps_and_jobs_left_out_are_made_as_they_were_told() {
    let desk = small();
    let before = sheet(&desk);
    let keys = keys(&before);
    let mut told = 0;
    for pair in keys.windows(2) {
        let (one, other) = (pair[0].clone(), pair[1].clone());
        told += usize::from(holds(&desk, &ChangeByHand::Swap { one, other }).is_some());
    }
    for job in &before.jobs {
        let job = job.id.clone();
        told += usize::from(holds(&desk, &ChangeByHand::LeaveOut { job }).is_some());
    }
    assert!(told > 12, "{told}");
}

#[test]
fn a_visit_put_elsewhere_stays_in_its_gang_day() {
    let desk = small();
    let before = sheet(&desk).plan.unwrap();
    let mut told = 0;
    for column in &before.columns {
        for layer in column.layers.iter().filter(|layer| layer.stage.is_some()) {
            let change = ChangeByHand::MoveVisit {
                job: layer.job.clone().unwrap(),
                stage: layer.stage.clone().unwrap(),
                at: 720,
            };
            let Some(outcome) = holds(&desk, &change) else {
                continue;
            };
            assert_eq!(outcome.columns.len(), 1);
            assert_eq!(outcome.columns[0].key, column.key);
            told += 1;
        }
    }
    assert!(told > 5, "{told}");
}

/// As the sheet says times of the next day.
#[test]
fn a_visit_put_after_midnight_names_the_day() {
    let desk = small();
    let before = sheet(&desk).plan.unwrap();
    let mut late = 0;
    for column in &before.columns {
        let (_, date) = column.key.split_once('@').unwrap();
        let date: chrono::NaiveDate = date.parse().unwrap();
        for layer in column.layers.iter().filter(|layer| layer.stage.is_some()) {
            let (job, stage) = (layer.job.clone().unwrap(), layer.stage.clone().unwrap());
            for (at, then) in [
                (1_410, "23:30".to_owned()),
                (
                    1_470,
                    date.succ_opt().unwrap().format("%a 00:30").to_string(),
                ),
            ] {
                let words = format!("Put the {stage} of {job} to {then}:");
                let (job, stage) = (job.clone(), stage.clone());
                let change = ChangeByHand::MoveVisit { job, stage, at };
                let Some(outcome) = tried(&desk, &change) else {
                    continue;
                };
                assert!(outcome.words.starts_with(&words), "{}", outcome.words);
                late += usize::from(at > 1_440);
            }
        }
    }
    assert!(late > 5, "{late}");
}

#[test]
fn a_further_gang_can_be_tried_but_not_made() {
    let desk = small();
    let gang = sheet(&desk).gangs[0].id.clone();
    let change = ChangeByHand::AddGang { like: gang.clone() };
    if let Some(told) = tried(&desk, &change) {
        assert!(told.sound && told.left_out < told.left_out_now);
        let new = format!("+{gang}@");
        assert!(
            told.columns
                .iter()
                .all(|column| column.key.starts_with(&new))
        );
    }
    let refusal = desk.ask(Request::Change { change }).unwrap_err();
    assert!(refusal.text.contains("only be tried"), "{}", refusal.text);
}

#[test]
fn what_is_not_there_is_refused_by_name() {
    let desk = small();
    let job = sheet(&desk).jobs[0].id.clone();
    let none = [
        (
            ChangeByHand::LeaveOut {
                job: "none".to_owned(),
            },
            "no job none",
        ),
        (
            ChangeByHand::MoveJob {
                job: job.clone(),
                to: "none@2027-03-01".to_owned(),
                at: None,
            },
            "no gang-day none@2027-03-01",
        ),
        (
            ChangeByHand::MoveVisit {
                job,
                stage: "none".to_owned(),
                at: 600,
            },
            "no stage none",
        ),
    ];
    for (change, text) in none {
        let refusal = desk.ask(Request::WhatIf { change }).unwrap_err();
        assert!(refusal.text.contains(text), "{}", refusal.text);
    }
    let change = ChangeByHand::LeaveOut {
        job: "any".to_owned(),
    };
    assert!(Desk::default().ask(Request::WhatIf { change }).is_err());
}

#[test]
fn a_split_day_and_several_jobs_at_once_are_made_as_they_were_told() {
    let desk = small();
    let before = sheet(&desk);
    let (mut told, mut several) = (0, 0);
    let columns = before.plan.as_ref().unwrap().columns.clone();
    for column in columns.iter().take(3) {
        let others = keys(&before).into_iter().filter(|key| *key != column.key);
        for to in others.step_by(3) {
            for from in column.jobs.iter().skip(1) {
                let change = ChangeByHand::Split {
                    day: column.key.clone(),
                    from: from.clone(),
                    to: to.clone(),
                };
                let Some(outcome) = holds(&desk, &change) else {
                    continue;
                };
                let goes = column.jobs.iter().skip_while(|job| *job != from);
                let there = outcome.columns.iter().find(|one| one.key == to).unwrap();
                assert!(goes.clone().all(|job| there.jobs.contains(job)));
                let here = outcome
                    .columns
                    .iter()
                    .find(|one| one.key == column.key)
                    .unwrap();
                assert!(goes.clone().all(|job| !here.jobs.contains(job)));
                told += 1;
            }
            let jobs: Vec<String> = before
                .jobs
                .iter()
                .take(4)
                .map(|job| job.id.clone())
                .collect();
            let change = ChangeByHand::MoveJobs {
                jobs: jobs.clone(),
                to: to.clone(),
            };
            if let Some(outcome) = holds(&desk, &change) {
                let there = outcome.columns.iter().find(|one| one.key == to).unwrap();
                assert!(jobs.iter().all(|job| there.jobs.contains(job)));
                several += 1;
            }
        }
    }
    assert!(told > 3 && several > 3, "{told} {several}");
    let change = ChangeByHand::Split {
        day: columns[0].key.clone(),
        from: "none".to_owned(),
        to: columns[1].key.clone(),
    };
    let refusal = desk.ask(Request::Change { change }).unwrap_err();
    assert!(
        refusal.text.contains("none is not worked by"),
        "{}",
        refusal.text
    );
    assert_eq!(sheet(&desk).plan, before.plan);
}

#[test]
fn a_rule_that_many_jobs_break_on_a_gang_day_is_told_once_with_its_jobs_as_the_checker_finds_them()
{
    let desk = small();
    let before = sheet(&desk);
    let all: Vec<String> = before.jobs.iter().map(|job| job.id.clone()).collect();
    let mut several = 0;
    for to in keys(&before) {
        let jobs = all.clone();
        let change = ChangeByHand::MoveJobs { jobs, to };
        let Some(told) = tried(&desk, &change) else {
            continue;
        };
        let lines: BTreeSet<_> = told
            .broken
            .iter()
            .map(|one| (&one.code, &one.key))
            .collect();
        let texts: BTreeSet<&String> = told.broken.iter().map(|one| &one.text).collect();
        assert_eq!(texts.len(), told.broken.len(), "{:?}", told.broken);
        assert!(lines.len() <= told.broken.len());
        let count = told.broken.len();
        let breaks = format!("breaks {count} rule{}", if count == 1 { "" } else { "s" });
        assert!(told.words.ends_with(&breaks), "{} {count}", told.words);
        let after = sheet_of(desk.ask(Request::Change { change }).unwrap());
        for code in ["R-TICKET", "R-DATES"] {
            let of_code = told.broken.iter().filter(|one| one.code == code);
            let said: BTreeSet<&String> = of_code.clone().flat_map(|one| &one.jobs).collect();
            let found = after.findings.iter().filter(|one| one.code == code);
            let names = |id: &&String| found.clone().any(|one| one.text.contains(id.as_str()));
            let found: BTreeSet<&String> = all.iter().filter(names).collect();
            assert_eq!(said, found, "{code}: {:?}", told.broken);
            for one in of_code {
                assert!(one.text.contains(&one.jobs[0]), "{}", one.text);
                several += usize::from(one.jobs.len() > 1);
            }
        }
        desk.ask(Request::Undo).unwrap();
    }
    assert!(several > 0, "no rule that several jobs break");
}
