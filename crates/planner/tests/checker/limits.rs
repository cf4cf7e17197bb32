//! The rules beyond order and times: each is broken in one way, and each lets pass what just keeps it.

use chrono::TimeDelta;
use gangday_model::{
    Barred, Halt, HaltKind, JobId, LonLat, Mass, Seconds, Stage, Tip, TipId, VisitStatus, WaitKind,
};
use gangday_planner::checker::{Burden, Gap, PlacedBefore};

use crate::sheet::{Sheet, at, broken, hours, later, march, sound};

const NOTHING: [&str; 0] = [];

fn minutes(minutes: i64) -> Seconds {
    Seconds::from_minutes(minutes)
}

fn halt(kind: HaltKind, arrive: &str, leave: &str) -> Halt {
    Halt {
        kind,
        tip: None,
        arrive: at(arrive),
        leave: at(leave),
    }
}

/// A and B each take so much out and bring so much back, on a vehicle that bears 5 t.
fn loaded(sheet: &mut Sheet, out_kg: u32, back_kg: u32) {
    let burden = |job: &str| Burden {
        job: JobId::from(job),
        out_kg,
        out_litres: 0,
        back_kg,
        back_litres: 0,
    };
    sheet.burdens = vec![burden("A"), burden("B")];
    sheet.programme.gangs[0].payload = Some(Mass::from_kg(5_000.0));
}

/// Half an hour more between the base at A and the dig at B.
fn put_off_after_a(sheet: &mut Sheet) {
    let route = &mut sheet.plan.routes[0];
    route.visits[2..]
        .iter_mut()
        .for_each(|visit| later(visit, 30));
    route.back += TimeDelta::minutes(30);
}

#[test]
fn a_vehicle_that_bears_too_much() {
    assert_eq!(broken(|sheet| loaded(sheet, 2_500, 2_500)), NOTHING);
    assert_eq!(broken(|sheet| loaded(sheet, 2_501, 0)), ["R-LOAD"]);
    assert_eq!(broken(|sheet| loaded(sheet, 0, 2_501)), ["R-LOAD"]);
    let body = broken(|sheet| {
        loaded(sheet, 0, 0);
        sheet
            .burdens
            .iter_mut()
            .for_each(|burden| burden.out_litres = 2_000);
        sheet.programme.gangs[0].volume_m3 = Some(3.9);
    });
    assert_eq!(body, ["R-LOAD"]);
}

#[test]
fn a_tip_between_takes_the_spoil_and_a_reload_the_load() {
    let with = |kind, out, back| {
        broken(move |sheet| {
            loaded(sheet, out, back);
            put_off_after_a(sheet);
            // By the depot, ten minutes there and twenty to B.
            let halt = halt(kind, "10:10:00", "10:20:00");
            sheet.plan.routes[0].halts = vec![halt];
        })
    };
    assert_eq!(
        with(HaltKind::Tip, 0, 5_000),
        ["R-HALT"],
        "tipping takes 15 min"
    );
    let long = |kind, out, back, leave: &'static str| {
        broken(move |sheet| {
            loaded(sheet, out, back);
            put_off_after_a(sheet);
            let route = &mut sheet.plan.routes[0];
            route.visits[2..]
                .iter_mut()
                .for_each(|visit| later(visit, 20));
            route.back += TimeDelta::minutes(20);
            route.halts = vec![halt(kind, "10:10:00", leave)];
        })
    };
    assert_eq!(long(HaltKind::Tip, 0, 5_000, "10:25:00"), NOTHING);
    assert_eq!(
        long(HaltKind::Tip, 2_501, 0, "10:25:00"),
        ["R-LOAD"],
        "it is all loaded before"
    );
    assert_eq!(long(HaltKind::Reload, 5_000, 5_000, "10:30:00"), NOTHING);
    assert_eq!(
        long(HaltKind::Reload, 5_000, 5_000, "10:41:00"),
        ["R-TRAVEL"]
    );
}

#[test]
fn a_tip_that_nobody_knows_and_a_halt_at_work() {
    let tip = |known: bool| {
        broken(move |sheet| {
            put_off_after_a(sheet);
            let id = TipId::from("T1");
            let mut halt = halt(HaltKind::Tip, "10:05:00", "10:20:00");
            halt.tip = Some(id.clone());
            sheet.plan.routes[0].halts = vec![halt];
            if known {
                sheet.programme.tips.push(Tip {
                    id,
                    name: "Tip".to_owned(),
                    at: LonLat::new(0.15, 50.0),
                    extra: serde_json::Map::new(),
                });
            }
        })
    };
    assert_eq!(tip(true), NOTHING);
    assert_eq!(tip(false), ["R-HALT"]);
    let at_work = broken(|sheet| {
        sheet.plan.routes[0].halts = vec![halt(HaltKind::Break, "08:10:00", "08:30:00")];
    });
    assert_eq!(at_work, ["R-HALT"]);
}

#[test]
fn a_long_day_without_a_break() {
    let day = |after, from: Option<(&'static str, &'static str)>| {
        broken(move |sheet| {
            sheet.rest = Some((minutes(after), minutes(20)));
            let halts = from.map(|(from, until)| halt(HaltKind::Break, from, until));
            sheet.plan.routes[0].halts = halts.into_iter().collect();
        })
    };
    // 07:30 to 15:40.
    assert_eq!(day(490, None), NOTHING);
    assert_eq!(day(489, None), ["R-BREAK"]);
    // Twenty minutes before the ten of the drive to B, where it is said to be at 13:40.
    assert_eq!(day(360, Some(("13:30:00", "13:50:00"))), ["R-HALT"]);
    let rested = |from: &'static str, until: &'static str| {
        broken(move |sheet| {
            sheet.rest = Some((minutes(360), minutes(20)));
            let route = &mut sheet.plan.routes[0];
            route.visits[5].arrive = at("14:10:00");
            route.halts = vec![halt(HaltKind::Break, from, until)];
        })
    };
    assert_eq!(rested("13:30:00", "13:50:00"), NOTHING);
    assert_eq!(rested("13:30:00", "13:49:00"), ["R-BREAK"]);
}

#[test]
fn more_driving_and_duty_than_a_driver_may() {
    // Ten minutes out, thirty between, twenty back.
    let driving = |most| broken(move |sheet| sheet.driving = Some(minutes(most)));
    assert_eq!(driving(60), NOTHING);
    assert_eq!(driving(59), ["R-DRIVE"]);
    let duty =
        |most, little| broken(move |sheet| sheet.duty = Some((minutes(most), minutes(little))));
    assert_eq!(duty(490, 0), NOTHING);
    assert_eq!(duty(489, 59), ["R-DUTY"]);
    assert_eq!(
        duty(489, 60),
        NOTHING,
        "who drives little may be on duty longer"
    );
}

#[test]
fn vibration_past_the_limit_value() {
    assert_eq!(broken(|sheet| sheet.exposure = Some(5.0)), NOTHING);
    assert_eq!(broken(|sheet| sheet.exposure = Some(5.01)), ["R-SHAKE"]);
}

#[test]
fn closures_that_must_not_be_there_at_once() {
    let pair = || vec![(JobId::from("A"), JobId::from("B"))];
    assert_eq!(broken(|sheet| sheet.clashes = pair()), ["R-CLASH"]);
    let apart = broken(|sheet| {
        sheet.clashes = vec![(JobId::from("A"), JobId::from("C"))];
    });
    assert_eq!(apart, NOTHING);
}

/// Ten hours at 20 C, the reference, over a datum of -10 C; at 5 C an hour counts half.
#[test]
fn work_goes_on_when_what_was_placed_before_is_ready() {
    let placed = |job: &str, minutes_before: i64, eve: i32| {
        broken(|sheet| {
            sheet.cure_min = 600.0;
            sheet.least_celsius = None;
            let temperatures = serde_json::json!({"2027-02-28": eve, "2027-03-01": 20});
            let extra = &mut sheet.programme.week.extra;
            extra.insert("temperatures".to_owned(), temperatures);
            let first = sheet.plan.routes[0].visits[0].start;
            sheet.before = vec![PlacedBefore {
                job: JobId::from(job),
                wait: Some(WaitKind::BaseCure),
                at: first - TimeDelta::minutes(minutes_before),
            }];
        })
    };
    let ready = |minutes, eve| !placed("A", minutes, eve).contains(&"R-READY".to_owned());
    assert!(!placed("nobody", 0, 20).contains(&"R-READY".to_owned()));
    assert!(ready(600, 20) && !ready(599, 20));
    // Eight hours fall on the day itself, and the other two take four.
    assert!(ready(480 + 240, 5) && !ready(480 + 239, 5));
    // What nothing is waited for after, or at no temperature.
    let plainly = |wait: Option<WaitKind>, minutes: i64| {
        broken(|sheet| {
            let first = sheet.plan.routes[0].visits[0].start;
            let (job, at) = (JobId::from("A"), first - TimeDelta::minutes(minutes));
            sheet.before = vec![PlacedBefore { job, wait, at }];
        })
    };
    assert_eq!(plainly(None, 0), NOTHING);
    assert_eq!(plainly(None, -1), ["R-READY"]);
}

/// A's first visit starts at 08:00 on 1 March 2027.
#[test]
fn a_street_that_is_barred() {
    let barred =
        |barred: Barred| broken(move |sheet| sheet.barred = vec![(JobId::from("A"), barred)]);
    let before = |day| Barred {
        before: Some(march(day)),
        ..Barred::default()
    };
    assert_eq!(barred(before(2)), ["R-DATES"]);
    assert_eq!(barred(before(1)), NOTHING);
    let within = |from, until| Barred {
        hours: vec![hours(from, until)],
        ..Barred::default()
    };
    let start = |sheet: &Sheet| {
        sheet.plan.routes[0].visits[0]
            .start
            .format("%H:%M:%S")
            .to_string()
    };
    let start: &'static str = start(&sound()).leak();
    assert_eq!(barred(within("05:00:00", start)), NOTHING);
    assert_eq!(barred(within(start, "23:00:00")), ["R-HOURS"]);
}

#[test]
fn a_stage_that_comes_too_late_after_the_one_before() {
    let most = |most| {
        broken(move |sheet| {
            let (job, stage) = (JobId::from("A"), Stage::Base);
            sheet.gaps = vec![Gap {
                job,
                stage,
                most: minutes(most),
            }];
        })
    };
    assert_eq!(most(150), NOTHING);
    assert_eq!(most(149), ["R-GAP"]);
}

#[test]
fn a_locked_visit_that_is_moved() {
    let lock = |sheet: &mut Sheet| {
        let mut issued = sheet.plan.clone();
        issued.routes[0].visits[5].status = Some(VisitStatus::Locked);
        sheet.issued = Some(issued);
    };
    assert_eq!(broken(lock), NOTHING);
    let moved = broken(|sheet| {
        lock(sheet);
        let route = &mut sheet.plan.routes[0];
        later(&mut route.visits[5], 5);
        route.back += TimeDelta::minutes(5);
    });
    assert_eq!(moved, ["R-LOCKED"]);
    let unlocked = broken(|sheet| {
        sheet.issued = Some(sound().plan);
        later(&mut sheet.plan.routes[0].visits[5], 5);
        sheet.plan.routes[0].back += TimeDelta::minutes(5);
    });
    assert_eq!(unlocked, NOTHING);
}
