//! Costs: every part is worked out anew by the checker. The figures here are worked out by hand.

use chrono::TimeDelta;
use gangday_model::{Costs, Finding, GangId, JobId, Plan, Seconds, VisitStatus};
use gangday_planner::checker::{JobPrices, Prices};

use super::sheet::*;

fn of_job(job: &str, (left_out, set_up, closure_hour): (i64, i64, i64)) -> JobPrices {
    JobPrices {
        job: JobId::from(job),
        left_out,
        set_up,
        street: Some(7),
        closure_hour,
        busy: Vec::new(),
        busy_hour: 0,
    }
}

/// The sound plan with prices:
///
/// * crew from 07:30 to 15:30 and 10 min unloading: 8 h 10 min at £60: £490;
/// * on the road 10 + 10 + 10 + 10 + 20 min: an hour at £24;
/// * A and B in one street: the dearer set-up, £30; the gang-day, £50;
/// * A from 08:00 to 13:30, six begun hours at £5, and from 08:00 to 09:30 busy, 1.5 h at £6;
///   B from 10:10 to 15:10, five hours at £10: £30 + £9 + £50;
/// * C left out: £1,500.
fn priced() -> Sheet {
    let mut sheet = sound();
    let mut jobs = vec![
        of_job("A", (100_000, 2_000, 500)),
        of_job("B", (90_000, 3_000, 1_000)),
        of_job("C", (150_000, 3_000, 1_000)),
    ];
    jobs[0].busy = vec![hours("07:00:00", "09:00:00"), hours("08:30:00", "09:30:00")];
    jobs[0].busy_hour = 600;
    sheet.prices = Some(Prices {
        crew_hour: 6_000,
        overtime_hour: 3_000,
        travel_hour: 2_400,
        gang_day: 5_000,
        moved: 700,
        retimed: 300,
        same_time: Seconds::from_minutes(15),
        jobs,
        clashes: vec![(JobId::from("A"), JobId::from("B"), Some(4_000))],
    });
    let costs = Costs {
        crew_pence: 49_000,
        travel_pence: 2_400,
        set_ups_pence: 3_000,
        gang_days_pence: 5_000,
        closure_pence: 8_900,
        clashes_pence: 4_000,
        left_out_pence: 150_000,
        ..Costs::default()
    };
    sheet.plan.costs = add_up(costs);
    sheet
}

fn add_up(mut costs: Costs) -> Costs {
    costs.total_pence = costs.crew_pence
        + costs.overtime_pence
        + costs.travel_pence
        + costs.set_ups_pence
        + costs.gang_days_pence
        + costs.closure_pence
        + costs.changes_pence
        + costs.clashes_pence
        + costs.left_out_pence;
    costs
}

fn texts(sheet: &Sheet) -> Vec<String> {
    let found: Vec<Finding> = found(sheet);
    assert!(found.iter().all(|one| one.code == "R-COSTS"), "{found:?}");
    found.into_iter().map(|one| one.text).collect()
}

#[test]
fn costs_worked_out_by_hand_are_right() {
    assert_eq!(texts(&priced()), [""; 0]);
}

#[test]
fn each_part_that_is_wrong_is_named() {
    type Part = fn(&mut Costs) -> &mut i64;
    let parts: [(Part, &str); 8] = [
        (|costs| &mut costs.crew_pence, "within their shifts"),
        (|costs| &mut costs.overtime_pence, "past their shifts"),
        (|costs| &mut costs.travel_pence, "on the road"),
        (|costs| &mut costs.set_ups_pence, "set-ups"),
        (|costs| &mut costs.gang_days_pence, "gang-days"),
        (|costs| &mut costs.closure_pence, "hours of closures"),
        (|costs| &mut costs.clashes_pence, "at once"),
        (|costs| &mut costs.left_out_pence, "left out"),
    ];
    for (part, named) in parts {
        let mut sheet = priced();
        let right = *part(&mut sheet.plan.costs);
        *part(&mut sheet.plan.costs) += 1;
        sheet.plan.costs.total_pence += 1;
        let texts = texts(&sheet);
        assert_eq!(texts.len(), 1, "{texts:?}");
        let pounds = |pence: i64| format!("£{}.{:02}", pence / 100, pence % 100);
        let cost = format!(
            "{named} cost {}; they cost {}",
            pounds(right + 1),
            pounds(right)
        );
        assert!(
            texts[0].contains(named) && texts[0].contains(&cost[named.len()..]),
            "{texts:?}"
        );
    }
}

/// Two hours later: back at 17:30 and unloaded 17:40, 70 min past the shift at £60 and £30; A's closure
/// is busy no more.
#[test]
fn time_past_the_shift_costs_more() {
    let mut sheet = priced();
    sheet.programme.gangs[0].overtime = Seconds::from_minutes(90);
    shift(&mut sheet.plan.routes[0], TimeDelta::minutes(120));
    let costs = Costs {
        crew_pence: 54_000,
        overtime_pence: 10_500,
        closure_pence: 8_000,
        ..sheet.plan.costs
    };
    sheet.plan.costs = add_up(costs);
    assert_eq!(texts(&sheet), [""; 0]);
}

#[test]
fn jobs_of_different_streets_share_no_set_up() {
    let mut sheet = priced();
    for street in [Some(8), None] {
        sheet.prices.as_mut().unwrap().jobs[0].street = street;
        sheet.plan.costs.set_ups_pence = 5_000;
        sheet.plan.costs = add_up(sheet.plan.costs);
        assert_eq!(texts(&sheet), [""; 0]);
    }
}

/// A plan that was issued with A an hour earlier and B with another gang: A is retimed, B is moved.
#[test]
fn changes_to_an_earlier_plan_are_counted() {
    let mut sheet = priced();
    let mut issued: Plan = sheet.plan.clone();
    let mut other = issued.routes[0].clone();
    issued.routes[0]
        .visits
        .retain(|visit| visit.job.as_str() == "A");
    shift(&mut issued.routes[0], TimeDelta::minutes(-60));
    other.visits.retain(|visit| visit.job.as_str() == "B");
    other.gang = GangId::from("G2");
    issued.routes.push(other);
    sheet.issued = Some(issued);
    sheet.plan.costs.changes_pence = 1_000;
    sheet.plan.costs = add_up(sheet.plan.costs);
    assert_eq!(texts(&sheet), [""; 0]);
    sheet.plan.costs.changes_pence = 999;
    sheet.plan.costs = add_up(sheet.plan.costs);
    assert_eq!(texts(&sheet).len(), 1);
    // Done work has no price of changing.
    for route in &mut sheet.issued.as_mut().unwrap().routes {
        for visit in &mut route.visits {
            visit.status = Some(VisitStatus::Done);
        }
    }
    sheet.plan.costs.changes_pence = 0;
    sheet.plan.costs = add_up(sheet.plan.costs);
    let parts: Vec<Finding> = found(&sheet);
    assert!(parts.iter().all(|one| one.code == "R-LOCKED"), "{parts:?}");
}
