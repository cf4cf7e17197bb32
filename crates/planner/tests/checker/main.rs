//! One sound little plan, and one broken plan for every rule.

mod costs;
mod limits;
mod nights;
mod sheet;

use chrono::TimeDelta;
use gangday_model::{GangId, JobId, JobWork, Seconds, Stage, Unplanned, Wait, WaitKind};

use gangday_planner::checker::Paced;
use sheet::*;

const NOTHING: [&str; 0] = [];

#[test]
fn a_sound_plan_has_no_findings() {
    assert_eq!(found(&sound()), []);
}

#[test]
fn a_job_that_is_nowhere() {
    assert_eq!(broken(|sheet| sheet.plan.unplanned.clear()), ["R-MISSING"]);
}

#[test]
fn a_job_both_planned_and_not() {
    let codes = broken(|sheet| {
        let mut twice = sheet.plan.unplanned[0].clone();
        twice.job = JobId::from("A");
        sheet.plan.unplanned.push(twice);
    });
    assert_eq!(codes, ["R-TWICE"]);
}

#[test]
fn a_job_listed_twice_as_not_planned() {
    let codes = broken(|sheet| sheet.plan.unplanned.push(sheet.plan.unplanned[0].clone()));
    assert_eq!(codes, ["R-TWICE"]);
}

#[test]
fn a_job_left_out_without_a_reason() {
    assert_eq!(
        broken(|sheet| sheet.plan.unplanned[0].reasons.clear()),
        ["R-NOREASON"]
    );
    let blank = broken(|sheet| sheet.plan.unplanned[0].reasons[0].text = " ".to_owned());
    assert_eq!(blank, ["R-NOREASON"]);
}

#[test]
fn a_job_that_reading_refused_belongs_among_those_not_planned() {
    let refuse = |sheet: &mut Sheet| sheet.refused.push(JobId::from("X"));
    assert_eq!(broken(refuse), ["R-MISSING"]);
    let listed = broken(|sheet| {
        refuse(sheet);
        sheet.plan.unplanned.push(Unplanned {
            job: JobId::from("X"),
            reasons: sheet.plan.unplanned[0].reasons.clone(),
        });
    });
    assert_eq!(listed, [""; 0]);
}

#[test]
fn a_job_that_nobody_asked_for() {
    let codes = broken(|sheet| {
        sheet.plan.unplanned.push(Unplanned {
            job: JobId::from("X"),
            reasons: sheet.plan.unplanned[0].reasons.clone(),
        });
    });
    assert_eq!(codes, ["R-JOB"]);
    let codes = broken(|sheet| sheet.programme.jobs.retain(|job| job.id.as_str() != "B"));
    assert_eq!(codes, ["R-JOB"]);
}

#[test]
fn a_gang_that_is_not_ours() {
    let codes = broken(|sheet| sheet.plan.routes[0].gang = GangId::from("G9"));
    assert_eq!(codes, ["R-GANG"]);
}

#[test]
fn a_planned_job_whose_stages_are_unknown() {
    let codes = broken(|sheet| sheet.works.retain(|work| work.job.as_str() != "B"));
    assert_eq!(codes, ["R-NOWORK"]);
}

#[test]
fn a_job_on_two_gang_days() {
    let codes = broken(|sheet| {
        let last = sheet.plan.routes[0].visits.pop().unwrap();
        let mut other = sheet.plan.routes[0].clone();
        other.gang = GangId::from("G2");
        other.visits = vec![last];
        sheet.plan.routes.push(other);
    });
    assert_eq!(codes, ["R-SPLIT"]);
}

#[test]
fn a_stage_left_out_one_too_many_and_a_foreign_one() {
    let lacking = broken(|sheet| {
        sheet.plan.routes[0].visits.pop();
    });
    assert_eq!(lacking, ["R-STAGES"]);
    let foreign = broken(|sheet| {
        let done = visit("B", Stage::Reopen, ["15:10:00", "15:10:00", "15:10:00"]);
        sheet.plan.routes[0].visits.push(done);
    });
    assert_eq!(foreign, ["R-STAGES"]);
    let twice = broken(|sheet| {
        let again = visit("B", Stage::Build, ["15:10:00", "15:10:00", "16:10:00"]);
        sheet.plan.routes[0].visits.push(again);
        sheet.plan.routes[0].back = at("16:30:00");
    });
    assert_eq!(twice, ["R-STAGES"]);
}

#[test]
fn stages_out_of_order() {
    let codes = broken(|sheet| {
        // Dig and base last an hour each and have no wait between them.
        sheet.plan.routes[0].visits[0].stage = Stage::Base;
        sheet.plan.routes[0].visits[1].stage = Stage::Dig;
        sheet.works[0].stages[1].then = None;
    });
    assert_eq!(codes, ["R-ORDER"]);
}

#[test]
fn a_stage_cut_short_or_drawn_out() {
    let short = broken(|sheet| {
        sheet.plan.routes[0].visits[5].finish -= TimeDelta::minutes(10);
    });
    assert_eq!(short, ["R-LENGTH"]);
    let long = broken(|sheet| {
        sheet.plan.routes[0].visits[4].start -= TimeDelta::minutes(10);
        sheet.works[0].stages[1].then = None;
    });
    assert_eq!(long, ["R-LENGTH"]);
}

#[test]
fn a_base_that_is_not_given_its_cure() {
    let codes = broken(|sheet| {
        let build = &mut sheet.plan.routes[0].visits[5];
        build.start -= TimeDelta::minutes(1);
        build.finish -= TimeDelta::minutes(1);
    });
    assert_eq!(codes, ["R-WAIT"]);
}

#[test]
fn work_before_the_gang_is_there() {
    let codes = broken(|sheet| {
        sheet.plan.routes[0].visits[5].arrive += TimeDelta::minutes(31);
    });
    assert_eq!(codes, ["R-EARLY"]);
}

#[test]
fn a_gang_in_two_places() {
    let codes = broken(|sheet| {
        // B's build from 12:30, while the gang is at A; B's base needs no cure here.
        later(&mut sheet.plan.routes[0].visits[5], -80);
        sheet.works[1].stages[1].then = None;
    });
    assert_eq!(codes, ["R-OVERLAP"]);
}

#[test]
fn a_drive_faster_than_it_is() {
    let codes = broken(|sheet| {
        sheet.plan.routes[0].visits[5].arrive -= TimeDelta::minutes(1);
    });
    assert_eq!(codes, ["R-TRAVEL"]);
}

/// From A to B the gang leaves at ten; from ten to eleven its ten minutes are twenty.
#[test]
fn a_drive_faster_than_it_is_at_its_hour() {
    let slow = |hour: u32, minutes: i64| {
        broken(|sheet| {
            sheet.slow_hour = Some(hour);
            let route = &mut sheet.plan.routes[0];
            let visits = route.visits[2..].iter_mut();
            visits.for_each(|visit| later(visit, minutes));
            route.back += TimeDelta::minutes(minutes);
        })
    };
    assert_eq!(slow(9, 0), NOTHING, "nobody leaves from nine to ten");
    assert_eq!(slow(10, 0), ["R-TRAVEL"]);
    assert_eq!(slow(10, 9), ["R-TRAVEL"]);
    assert_eq!(slow(10, 10), NOTHING);
    let words = |hour| {
        let mut sheet = sound();
        sheet.slow_hour = Some(hour);
        let found = found(&sheet);
        found[0].text.clone()
    };
    assert!(words(10).contains("takes 20 min, not 10"), "{}", words(10));
    assert_eq!(slow(7, 0), ["R-DEPART"], "ten minutes from 7:50 on");
    assert_eq!(slow(15, 0), ["R-RETURN"], "twenty from 15:10 on");
}

/// Leaving at 10:55 in the slow hour it is there at 11:15, and by waiting for eleven at 11:10.
#[test]
fn a_gang_may_wait_for_a_quicker_hour() {
    let there = |minutes: i64| {
        broken(|sheet| {
            sheet.slow_hour = Some(10);
            let route = &mut sheet.plan.routes[0];
            shift(route, TimeDelta::minutes(55));
            let visits = route.visits[2..].iter_mut();
            visits.for_each(|visit| later(visit, minutes));
            route.back += TimeDelta::minutes(minutes);
        })
    };
    assert_eq!(there(4), ["R-TRAVEL"]);
    assert_eq!(there(5), NOTHING);
}

#[test]
fn a_drive_from_the_depot_that_is_too_fast() {
    let codes = broken(|sheet| sheet.plan.routes[0].depart += TimeDelta::minutes(1));
    assert_eq!(codes, ["R-DEPART"]);
}

#[test]
fn a_drive_home_that_is_too_fast() {
    let codes = broken(|sheet| sheet.plan.routes[0].back -= TimeDelta::minutes(1));
    assert_eq!(codes, ["R-RETURN"]);
}

#[test]
fn a_gang_that_leaves_before_it_is_loaded() {
    let codes = broken(|sheet| sheet.plan.routes[0].depart -= TimeDelta::minutes(1));
    assert_eq!(codes, ["R-SHIFTSTART"]);
}

#[test]
fn a_day_past_shift_and_overtime() {
    let latest = broken(|sheet| sheet.plan.routes[0].back = at("16:50:00"));
    assert_eq!(latest, Vec::<String>::new());
    let codes = broken(|sheet| sheet.plan.routes[0].back = at("16:51:00"));
    assert_eq!(codes, ["R-SHIFTEND"]);
}

#[test]
fn times_on_another_date() {
    let codes = broken(|sheet| shift(&mut sheet.plan.routes[0], TimeDelta::days(1)));
    assert_eq!(codes, ["R-DATE"]);
}

#[test]
fn two_gang_days_of_one_gang_on_one_date() {
    let codes = broken(|sheet| {
        let mut other = sheet.plan.routes[0].clone();
        sheet.plan.routes[0]
            .visits
            .retain(|visit| visit.job.as_str() == "A");
        other.visits.retain(|visit| visit.job.as_str() == "B");
        sheet.plan.routes.push(other);
    });
    assert_eq!(codes, ["R-TWODAYS"]);
}

#[test]
fn a_gang_day_with_nothing_in_it() {
    let codes = broken(|sheet| {
        let mut idle = sheet.plan.routes[0].clone();
        idle.gang = GangId::from("G2");
        idle.visits.clear();
        sheet.plan.routes.push(idle);
    });
    assert_eq!(codes, ["R-EMPTY"]);
}

#[test]
fn a_gang_day_outside_the_week() {
    let codes = broken(|sheet| on_date(sheet, march(8)));
    assert_eq!(codes, ["R-WEEK"]);
}

#[test]
fn a_gang_day_on_a_holiday() {
    let codes = broken(|sheet| on_date(sheet, march(5)));
    assert_eq!(codes, ["R-HOLIDAY"]);
}

#[test]
fn a_gang_day_on_a_day_off() {
    let weekend = broken(|sheet| {
        sheet.programme.week.days = 7;
        on_date(sheet, march(6));
    });
    assert_eq!(weekend, ["R-DAYOFF"]);
    let own = broken(|sheet| sheet.programme.gangs[0].days = Some(Vec::new()));
    assert_eq!(own, ["R-DAYOFF"]);
}

#[test]
fn a_job_before_its_earliest_and_after_its_latest_date() {
    let early = broken(|sheet| sheet.programme.jobs[0].earliest = monday().succ_opt());
    assert_eq!(early, ["R-DATES"]);
    let late = broken(|sheet| sheet.programme.jobs[0].latest = monday().pred_opt());
    assert_eq!(late, ["R-DATES"]);
}

#[test]
fn a_closure_outside_its_site_hours() {
    let within = |from: &'static str, until: &'static str| {
        broken(move |sheet| sheet.programme.jobs[0].site_hours = vec![hours(from, until)])
    };
    assert_eq!(within("08:00:00", "13:30:00"), Vec::<String>::new());
    assert_eq!(within("08:01:00", "13:30:00"), ["R-HOURS"]);
    assert_eq!(within("08:00:00", "13:29:00"), ["R-HOURS"]);
    let in_two = broken(|sheet| {
        let two = vec![hours("08:00:00", "11:00:00"), hours("11:00:00", "14:00:00")];
        sheet.programme.jobs[0].site_hours = two;
    });
    assert_eq!(in_two, ["R-HOURS"], "one of them has to hold all of it");
    let hold = broken(|sheet| {
        sheet.programme.jobs[0].site_hours = vec![hours("08:00:00", "14:00:00")];
        let hold = Wait {
            kind: WaitKind::Hold,
            time: Seconds::from_minutes(60),
        };
        sheet.works[0].stages[2].then = Some(hold);
    });
    assert_eq!(
        hold,
        ["R-HOURS"],
        "the hold before traffic is part of the closure"
    );
}

#[test]
fn a_ticket_that_the_gang_lacks() {
    let codes = broken(|sheet| {
        sheet.programme.jobs[1]
            .tickets
            .push("confined space".to_owned());
    });
    assert_eq!(codes, ["R-TICKET"]);
}

#[test]
fn costs_that_do_not_add_up() {
    assert_eq!(
        broken(|sheet| sheet.plan.costs.total_pence += 1),
        ["R-COSTS"]
    );
}

#[test]
fn a_finding_names_gang_date_and_job() {
    let mut sheet = sound();
    sheet.programme.jobs[1]
        .tickets
        .push("confined space".to_owned());
    let finding = &found(&sheet)[0];
    for named in ["Gang G1 on Mon 1 Mar", "job B", "confined space"] {
        assert!(finding.text.contains(named), "{}", finding.text);
    }
    assert_eq!(finding.place.feature.as_deref(), Some("G1 2027-03-01"));
    assert_eq!(finding.place.property.as_deref(), Some("B"));
}

#[test]
fn a_gang_with_outputs_of_its_own_is_held_to_them() {
    let slower = |sheet: &mut Sheet| {
        let mut own = work("A");
        own.stages[2].work = Seconds::from_minutes(75);
        sheet.paced = vec![Paced {
            gang: GangId::from("G1"),
            date: monday(),
            work: own,
        }];
    };
    assert_eq!(broken(slower), ["R-LENGTH"]);
    let another_day = |sheet: &mut Sheet| {
        slower(sheet);
        sheet.paced[0].date = march(2);
    };
    assert_eq!(broken(another_day), Vec::<String>::new());
}

#[test]
fn nothing_is_placed_on_a_day_that_is_too_cold() {
    let cold = |sheet: &mut Sheet| {
        let by_date = serde_json::json!({ "2027-03-01": 4.5, "2027-03-02": 12.0 });
        let stated = &mut sheet.programme.week.extra;
        stated.insert("temperatures".to_owned(), by_date);
    };
    assert_eq!(broken(cold), ["R-COLD"]);
    let mut sheet = sound();
    cold(&mut sheet);
    let told = found(&sheet);
    assert!(
        told[0].text.contains("Mon 1 Mar at 4.5 °C, below 5 °C"),
        "{}",
        told[0].text
    );
    let dig_only = |sheet: &mut Sheet| {
        cold(sheet);
        let no_concrete = |work: &mut JobWork| work.stages.iter_mut().for_each(|s| s.then = None);
        sheet.works.iter_mut().for_each(no_concrete);
    };
    assert_eq!(broken(dig_only), Vec::<String>::new());
}

/// A curve of two hours at 20 C, from 10:00 at 0 C: by Nurse and Saul over -10 C the half hour that the
/// base needs at 20 C takes 30 min at 20 C and 90 min at 0 C. By hand.
#[test]
fn a_wait_is_held_to_the_days_own_curve() {
    let along = |curve: serde_json::Value| {
        move |sheet: &mut Sheet| {
            let by_date = serde_json::json!({ "2027-03-01": curve });
            let stated = &mut sheet.programme.week.extra;
            stated.insert("temperatures".to_owned(), by_date);
            sheet.least_celsius = None;
        }
    };
    // A is poured by 10:00 and built on from 12:30, B by 12:10 and from 14:10.
    let warm = along(serde_json::json!({ "06:00": 19, "12:00": 21 }));
    assert_eq!(broken(&warm), Vec::<String>::new());
    let frost = along(serde_json::json!({ "06:00": -6, "12:10": -6, "12:11": 20 }));
    assert_eq!(
        broken(&frost),
        Vec::<String>::new(),
        "B is poured in the warm, A has 20 min of it"
    );
    let all_day = along(serde_json::json!({ "06:00": -6, "16:00": -5.9 }));
    assert_eq!(broken(&all_day), ["R-WAIT"]);
    let mut sheet = sound();
    all_day(&mut sheet);
    // 900 degree-minutes at 4.058 degrees over the datum, half-way up its slow climb, are 221.8 min.
    let told = found(&sheet);
    assert_eq!(told.len(), 2);
    assert!(told[0].text.contains("before 13:41"), "{}", told[0].text);
}

#[test]
fn what_is_placed_in_the_cold_of_a_curve_is_named() {
    let mut sheet = sound();
    let by_date = serde_json::json!({ "2027-03-01": { "06:00": 2, "10:00": 6, "12:00": 12 } });
    sheet
        .programme
        .week
        .extra
        .insert("temperatures".to_owned(), by_date);
    let told = found(&sheet);
    let codes: Vec<&str> = told.iter().map(|found| found.code.as_str()).collect();
    // A's base is placed from 09:00 on, at 5.1 C in that quarter-hour; B's in the warm.
    assert_eq!(codes, [""; 0]);
    sheet.least_celsius = Some(5.5);
    let told = found(&sheet);
    assert_eq!(told.len(), 1);
    let text = &told[0].text;
    assert!(
        text.contains("Base places base concrete on Mon 1 Mar at 5.1 °C, below 5.5 °C"),
        "{text}"
    );
}
