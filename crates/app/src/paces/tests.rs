use gangday_model::{Plan, Route, Stage, Visit};
use serde_json::json;

use super::*;
use crate::opened::Opened;
use crate::trial::{changed, planned};
use crate::verify;

#[test]
fn a_smaller_gang_takes_longer_and_is_planned_and_checked_so() {
    let opened = changed(|programme| {
        programme.gangs.truncate(1);
        programme.gangs[0].people = 2;
        programme.gangs[0].extra.remove("outputs");
    });
    let prepared = &opened.prepared;
    let plan = planned(&opened, 200);
    let (route, visit) = (&plan.routes[0], &plan.routes[0].visits[0]);
    assert_eq!(visit.stage, Stage::Dig);
    let usual = prepared.work_of(&visit.job).unwrap().stages[0].work;
    let own = prepared
        .work_on(&visit.job, &route.gang, route.date)
        .unwrap();
    assert!(own.stages[0].work > usual, "{own:?}");
    let lasts = (visit.finish - visit.start).num_seconds();
    assert_eq!(lasts, own.stages[0].work.seconds());
    assert!(verify(&opened, &plan, None).sound);
}

#[test]
fn recorded_outputs_replace_the_usual_ones_for_that_gang_alone() {
    let opened = changed(|programme| {
        for gang in &mut programme.gangs {
            gang.people = 3;
            gang.extra.remove("outputs");
        }
        let rows = json!([{
            "key": "stage.service_check", "value": 95, "unit": "min",
            "source": "own record", "date": "2026-11-02"
        }]);
        programme.gangs[0].extra.insert("outputs".to_owned(), rows);
    });
    let prepared = &opened.prepared;
    let first = prepared.programme.week.first_day;
    let [own, other] = [0, 1].map(|gang| prepared.paces.pace(gang, first));
    assert!(own != other);
    let job = (0..).find(|at| prepared.works[*at].is_some()).unwrap();
    let dig = |pace| {
        prepared.work_at(job, pace).unwrap().stages[0]
            .work
            .minutes_up()
    };
    let usual = prepared.method.value("stage.service_check").unwrap() as i64;
    assert_eq!(dig(own) - dig(other), 95 - usual);
}

/// By hand: 0.2 m3/h for the 10 min that concrete stays open is 0.033 m3, two bags a batch.
#[test]
fn a_gang_that_mixes_slowly_is_told_of_pours_that_the_usual_gang_could_place() {
    let slow = |rows: serde_json::Value| {
        changed(|programme| {
            programme.gangs.truncate(1);
            programme.gangs[0].extra.insert("outputs".to_owned(), rows);
        })
    };
    let pours = |opened: &Opened| {
        let report = verify(opened, &planned(opened, 200), None);
        let found = report.findings.into_iter();
        found.filter(|one| one.code == "C-POUR").count()
    };
    let mixing = json!([{
        "key": "output.concrete", "value": 0.2, "unit": "m3/h",
        "source": "own record", "date": "2026-11-02"
    }]);
    assert_eq!(pours(&slow(json!([]))), 0);
    assert!(pours(&slow(mixing)) > 0);
}

#[test]
fn waits_follow_the_temperature_of_the_day_and_a_cold_day_places_nothing() {
    let opened = changed(|programme| {
        let days: Vec<_> = programme.week.calendar_days().collect();
        let degrees = json!({ days[0].to_string(): 3.5, days[1].to_string(): 18.0 });
        programme
            .week
            .extra
            .insert("temperatures".to_owned(), degrees);
    });
    let prepared = &opened.prepared;
    let days: Vec<_> = prepared.programme.week.calendar_days().collect();
    let cures = |date| {
        let job = prepared
            .programme
            .jobs
            .iter()
            .enumerate()
            .find_map(|(at, job)| {
                let base = prepared.works[at].as_ref()?.stages.iter();
                let mut base = base.filter_map(|stage| stage.then);
                base.any(|wait| wait.kind == WaitKind::BaseCure)
                    .then_some(&job.id)
            });
        let gang = &prepared.programme.gangs[0].id;
        let work = prepared.work_on(job.unwrap(), gang, date).unwrap();
        work.stages[1].wait()
    };
    assert!(
        cures(days[1]) < cures(days[2]),
        "warm concrete is done sooner"
    );
    let plan = planned(&opened, 200);
    assert!(!plan.routes.is_empty());
    assert!(plan.routes.iter().all(|route| route.date != days[0]));
    assert!(verify(&opened, &plan, None).sound);
    let mut moved = plan.clone();
    let span = days[0] - moved.routes[0].date;
    let route = &mut moved.routes[0];
    route.date = days[0];
    route.depart += span;
    route.back += span;
    for visit in &mut route.visits {
        visit.arrive += span;
        visit.start += span;
        visit.finish += span;
    }
    let report = verify(&opened, &moved, None);
    let cold = report.findings.iter().find(|found| found.code == "R-COLD");
    let text = &cold.unwrap().text;
    let day = words::day(days[0]);
    assert!(text.contains(&format!("{day} at 3.5 °C")), "{text}");
}

/// Job view and explanation tell the wait after a pour of the base as it is planned.
fn told_as_planned(opened: &Opened, plan: &Plan, route: &Route, visit: &Visit) {
    let prepared = &opened.prepared;
    let cure = prepared.cure_on(route.date, WaitKind::BaseCure).unwrap();
    let finish = words::minutes_of(visit.finish, route.date) * 60;
    let waits = cure.ready(finish) / 60 - finish / 60;
    let at = prepared.index_of(&visit.job).unwrap();
    let view = crate::job_view::job_view(prepared, at, 0.0, &[route]);
    let line = format!(
        "{} {}",
        words::wait(WaitKind::BaseCure),
        words::lasting(waits)
    );
    assert!(view.stages.contains(&line), "{line}: {:?}", view.stages);
    let told = crate::explain(opened, Some(plan), visit.job.as_str())
        .unwrap()
        .told;
    let mut cures = told
        .quantities
        .iter()
        .filter(|one| one.quantity == "base cures");
    let cures = cures.next().unwrap();
    assert_eq!(cures.value.to_string(), waits.to_string());
    assert_eq!(
        cures.numbers,
        format!("{} - {}", finish / 60 + waits, finish / 60)
    );
}

/// Mornings of frost that go on to be warm: base and surround wait for warmth, and the checker, which
/// sums the ageing itself, agrees with what the search looked up.
#[test]
fn days_with_temperatures_by_the_hour_are_planned_and_checked_so() {
    let opened = changed(|programme| {
        let days: Vec<_> = programme.week.calendar_days().collect();
        let by_hour = |day: &NaiveDate| {
            let curve = json!({ "06:00": 1, "09:30": 5, "12:00": 9, "15:00": 11, "18:00": 6 });
            (day.to_string(), curve)
        };
        let degrees: serde_json::Map<_, _> = days.iter().map(by_hour).collect();
        let stated = &mut programme.week.extra;
        stated.insert("temperatures".to_owned(), degrees.into());
    });
    let prepared = &opened.prepared;
    let plan = planned(&opened, 200);
    let pours = plan.routes.iter().flat_map(|route| {
        let own = route.visits.iter();
        own.filter(|visit| visit.stage == Stage::Base)
            .map(move |visit| (route, visit))
    });
    let pours: Vec<_> = pours.collect();
    assert!(pours.len() > 3, "{}", pours.len());
    for (route, visit) in &pours {
        let cure = prepared.cure_on(route.date, WaitKind::BaseCure).unwrap();
        let warm = words::minutes_of(visit.start, route.date);
        assert!(
            warm >= 9 * 60 + 30,
            "{warm}: 5 °C in the middle of 09:30 to 09:45"
        );
        let finish = words::minutes_of(visit.finish, route.date) * 60;
        told_as_planned(&opened, &plan, route, visit);
        let ready = words::minutes_of(visit.finish, route.date) * 60 + cure.shortest();
        assert!(cure.ready(finish) >= ready);
    }
    let report = verify(&opened, &plan, None);
    assert!(
        report.sound,
        "{:?}",
        report.findings.first().map(|one| &one.text)
    );
    too_early_is_too_cold(&opened, &plan);
}

/// Everything two hours earlier: the checker names the cold.
fn too_early_is_too_cold(opened: &Opened, plan: &Plan) {
    let mut early = plan.clone();
    let span = chrono::TimeDelta::minutes(120);
    for route in &mut early.routes {
        for visit in &mut route.visits {
            visit.arrive -= span;
            visit.start -= span;
            visit.finish -= span;
        }
    }
    let told = verify(opened, &early, None).findings;
    let cold = told.iter().find(|found| found.code == "R-COLD").unwrap();
    assert!(cold.text.contains("below 5 °C"), "{}", cold.text);
}

#[test]
fn a_job_whose_only_day_is_too_cold_is_told_the_date_and_the_temperature() {
    let mut job = String::new();
    let opened = changed(|programme| {
        let first = programme.week.first_day;
        let degrees = json!({ first.to_string(): 3.5 });
        let stated = &mut programme.week.extra;
        stated.insert("temperatures".to_owned(), degrees);
        let own = &mut programme.jobs[0];
        (own.earliest, own.latest) = (Some(first), Some(first));
        own.tickets.clear();
        job = own.id.to_string();
    });
    let plan = planned(&opened, 200);
    let left = plan.unplanned.iter().find(|left| left.job.as_str() == job);
    let reason = &left.unwrap().reasons[0];
    assert_eq!(reason.code, "C-TOO-COLD");
    let day = words::day(opened.prepared.programme.week.first_day);
    let told = format!(
        " places {}, but on {day} only 3.5 °C",
        words::placed(WaitKind::MortarSet)
    );
    let text = &reason.text;
    assert!(
        text.starts_with("Build up") && text.contains(&told),
        "{text}"
    );
    assert!(text.contains("below the 5 °C"), "{text}");
}
