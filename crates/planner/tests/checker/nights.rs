//! A job that is left over a night, and every way in which it may not be.

use chrono::{NaiveDate, TimeDelta};
use gangday_model::{Hours, JobId, Plan, Route, Seconds, Stage, Unplanned, VisitStatus};
use gangday_planner::checker::Paced;
use serde_json::json;

use crate::sheet::{Sheet, broken, clock, found, gang, later, march, shift, sound, visit, work};

/// A is dug and its base poured by 16:00 on Monday and built from 08:30 on a later day; B is left out.
fn left_until(next: NaiveDate, sheet: &mut Sheet) {
    let route = &sheet.plan.routes[0];
    let monday = Route {
        visits: vec![
            visit("A", Stage::Dig, ["14:00:00", "14:00:00", "15:00:00"]),
            visit("A", Stage::Base, ["15:00:00", "15:00:00", "16:00:00"]),
        ],
        ..route.clone()
    };
    let mut rest = Route {
        visits: vec![visit(
            "A",
            Stage::Build,
            ["08:30:00", "08:30:00", "09:30:00"],
        )],
        ..route.clone()
    };
    let span = next - rest.date;
    rest.date = next;
    shift(&mut rest, span);
    let [mut monday, mut rest] = [monday, rest];
    for route in [&mut monday, &mut rest] {
        route.depart = route.date.and_time(clock("07:50:00"));
        route.back = route.visits[route.visits.len() - 1].finish + TimeDelta::minutes(10);
    }
    let reasons = sheet.plan.unplanned[0].reasons.clone();
    let job = JobId::from("B");
    sheet.plan = Plan {
        routes: vec![monday, rest],
        unplanned: [
            sheet.plan.unplanned.clone(),
            vec![Unplanned { job, reasons }],
        ]
        .concat(),
        ..sheet.plan.clone()
    };
    sheet.programme.week.holidays.clear();
    sheet.programme.week.nights = 1;
}

fn codes(next: NaiveDate, how: impl FnOnce(&mut Sheet)) -> Vec<String> {
    broken(|sheet| {
        left_until(next, sheet);
        how(sheet);
    })
}

#[test]
fn a_job_left_over_one_night_that_may_be() {
    assert_eq!(codes(march(2), |_| {}), [""; 0]);
    // Where it may not be left at all, by the week or for itself, it is spread over gang-days.
    assert_eq!(
        codes(march(2), |sheet| sheet.programme.week.nights = 0),
        ["R-SPLIT"]
    );
    let own = codes(march(2), |sheet| sheet.programme.jobs[0].nights = Some(0));
    assert_eq!(own, ["R-SPLIT"]);
    let other = codes(march(2), |sheet| {
        sheet.programme.week.nights = 0;
        sheet.programme.jobs[0].nights = Some(1);
        sheet.plan.routes[1].gang = gang("G2").id;
    });
    assert_eq!(other, [""; 0]);
}

#[test]
fn two_gangs_at_one_job_on_one_date() {
    let codes = codes(march(2), |sheet| {
        let route = &mut sheet.plan.routes[1];
        route.gang = gang("G2").id;
        let span = TimeDelta::days(-1);
        route.date += span;
        shift(route, span);
        // After the wait.
        route.back += TimeDelta::minutes(600);
        later(&mut route.visits[0], 600);
        sheet.programme.gangs[1].shift.until = clock("23:00:00");
    });
    assert_eq!(codes, ["R-SPLIT"]);
}

#[test]
fn more_nights_than_it_may_be_left() {
    assert_eq!(codes(march(3), |_| {}), ["R-NIGHTS"]);
    assert_eq!(
        codes(march(3), |sheet| sheet.programme.week.nights = 2),
        [""; 0]
    );
}

/// Of which a part is done: it is gone on with on whatever day.
#[test]
fn what_is_begun_may_be_left_over_any_night() {
    let begun = |sheet: &mut Sheet| {
        sheet.programme.week.nights = 0;
        sheet.open = vec![JobId::from("A")];
    };
    assert_eq!(codes(march(2), begun), [""; 0]);
    assert_eq!(codes(march(3), begun), [""; 0]);
    let other = codes(march(2), |sheet| {
        begun(sheet);
        sheet.open = vec![JobId::from("B")];
    });
    assert_eq!(other, ["R-SPLIT"]);
}

#[test]
fn a_weekend_or_a_holiday_without_leave() {
    let longer = |sheet: &mut Sheet| {
        sheet.programme.week.nights = 7;
        sheet.programme.week.days = 8;
    };
    assert_eq!(codes(march(8), longer), ["R-WEEKEND"]);
    let allowed = codes(march(8), |sheet| {
        longer(sheet);
        sheet.programme.jobs[0].over_weekend = Some(true);
    });
    assert_eq!(allowed, [""; 0]);
    let holiday = |sheet: &mut Sheet| {
        longer(sheet);
        sheet.programme.week.holidays = vec![march(2)];
    };
    assert_eq!(codes(march(3), holiday), ["R-WEEKEND"]);
    let allowed = codes(march(3), |sheet| {
        holiday(sheet);
        sheet.programme.week.over_weekend = true;
    });
    assert_eq!(allowed, [""; 0]);
}

/// Ten hours at 20 C are 300 degree-hours over -10 C. From 16:00 to midnight at 20 C make 240; the other 60
/// take ten hours at -4 C: until 10:00 the next morning, and not until 02:00.
#[test]
fn the_wait_over_the_night_goes_on_along_each_date() {
    let cold = |sheet: &mut Sheet| {
        sheet.least_celsius = None;
        sheet.cure_min = 600.0;
        let temperatures = json!({"2027-03-01": 20, "2027-03-02": -4});
        let extra = &mut sheet.programme.week.extra;
        extra.insert("temperatures".to_owned(), temperatures);
        let mut slow = work("A");
        let wait = slow.stages[1].then.as_mut().expect("a cure");
        wait.time = Seconds::from_minutes(600);
        sheet.works[0] = slow;
    };
    assert_eq!(codes(march(2), cold), ["R-NIGHTWAIT"]);
    let by = |minutes| {
        codes(march(2), |sheet| {
            cold(sheet);
            later(&mut sheet.plan.routes[1].visits[0], minutes);
            sheet.plan.routes[1].back += TimeDelta::minutes(minutes);
        })
    };
    assert_eq!(by(89), ["R-NIGHTWAIT"]);
    assert_eq!(by(90), [""; 0]);
    // What is placed may not freeze in the night either.
    let frozen = codes(march(2), |sheet| {
        cold(sheet);
        sheet.least_celsius = Some(0.0);
        later(&mut sheet.plan.routes[1].visits[0], 90);
        sheet.plan.routes[1].back += TimeDelta::minutes(90);
    });
    assert_eq!(frozen, ["R-COLD"]);
}

#[test]
fn a_closure_that_may_not_be_there_all_night() {
    let hours = |sheet: &mut Sheet| {
        let (from, until) = (clock("07:00:00"), clock("19:00:00"));
        sheet.programme.jobs[0].site_hours = vec![Hours { from, until }];
    };
    assert_eq!(codes(march(2), hours), ["R-HOURS"]);
}

#[test]
fn the_gang_that_goes_on_is_held_to_tickets_and_to_its_own_pace() {
    let ticket = codes(march(2), |sheet| {
        sheet.programme.gangs[1].tickets.clear();
        sheet.plan.routes[1].gang = gang("G2").id;
    });
    assert_eq!(ticket, ["R-TICKET"]);
    let pace = |date| {
        codes(march(2), |sheet| {
            let mut slow = work("A");
            slow.stages[2].work = Seconds::from_minutes(90);
            sheet.paced.push(Paced {
                gang: gang("G1").id,
                date,
                work: slow,
            });
        })
    };
    assert_eq!(pace(march(2)), ["R-LENGTH"]);
    assert_eq!(pace(march(4)), [""; 0]);
}

#[test]
fn a_night_is_priced_once() {
    let priced = |pence| {
        codes(march(2), |sheet| {
            sheet.night = Some(15_000);
            sheet.plan.costs.nights_pence = pence;
            sheet.plan.costs.total_pence += pence;
        })
    };
    assert_eq!(priced(0), ["R-COSTS"]);
    assert_eq!(priced(15_000), [""; 0]);
    assert_eq!(found(&sound()), []);
}

/// The sheet's gang-days are on 1 March 2027 and after.
#[test]
fn what_stands_on_a_day_that_is_past_was_done() {
    let past = |day| broken(move |sheet| sheet.programme.week.plan_from = Some(march(day)));
    assert_eq!(past(1), Vec::<String>::new());
    let plan = sound().plan;
    let jobs = plan.routes[0].visits.iter().map(|visit| &visit.job);
    let jobs: std::collections::BTreeSet<&JobId> = jobs.collect();
    assert_eq!(past(2), ["R-PAST"]);
    let mut sheet = sound();
    sheet.programme.week.plan_from = Some(march(2));
    assert_eq!(found(&sheet).len(), jobs.len(), "each job is named");
    let done = broken(|sheet| {
        sheet.programme.week.plan_from = Some(march(2));
        let visits = &mut sheet.plan.routes[0].visits;
        visits
            .iter_mut()
            .for_each(|visit| visit.status = Some(VisitStatus::Done));
        visits.last_mut().unwrap().status = Some(VisitStatus::Locked);
    });
    assert_eq!(done, ["R-PAST"], "what was promised only was not done");
}

#[test]
fn a_job_left_unfinished_has_the_stages_that_were_done() {
    let left = |done: usize, listed: bool| {
        broken(move |sheet| {
            let route = &mut sheet.plan.routes[0];
            let job = route.visits.last().unwrap().job.clone();
            // What is left of it is taken out of the end of the day.
            let last = route.visits.pop().unwrap();
            assert_eq!(last.job, job);
            let own = route.visits.iter_mut().filter(|visit| visit.job == job);
            own.take(done)
                .for_each(|visit| visit.status = Some(VisitStatus::Done));
            if listed {
                let reasons = sheet.plan.unplanned[0].reasons.clone();
                sheet.plan.unfinished.push(Unplanned { job, reasons });
            }
        })
    };
    assert!(left(2, false).contains(&"R-STAGES".to_owned()));
    assert!(!left(2, true).contains(&"R-STAGES".to_owned()));
    assert!(
        left(1, true).contains(&"R-STAGES".to_owned()),
        "more is planned than was done"
    );
}
