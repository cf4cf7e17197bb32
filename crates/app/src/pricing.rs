//! What things cost, as figures for the checker, which works a plan's costs out with them by itself.

use std::collections::HashSet;

use chrono::NaiveDate;
use gangday_model::{ClosureKind, JobId, Plan};
use gangday_planner::checker::{JobPrices, Prices};

use crate::barred::apart;
use crate::limits::DayLimits;
use crate::prepared::Prepared;
use crate::{clashes, closures, keeping, rates};

/// The prices of a programme; of a job that an earlier plan holds, what leaving it out costs then.
/// Leaving out one whose work is over costs nothing.
pub fn prices(prepared: &Prepared, issued: Option<&Plan>, over: &HashSet<&JobId>) -> Prices {
    let rate = |key: &str| rates::pence(&prepared.rates, key);
    let known = |at: &usize| prepared.works[*at].is_some() && prepared.points[*at].is_some();
    let jobs = (0..prepared.programme.jobs.len()).filter(known);
    let held = issued
        .map(|issued| held(prepared, issued))
        .unwrap_or_default();
    Prices {
        crew_hour: rate("rate.crew_hour"),
        overtime_hour: rate("rate.overtime_extra_hour"),
        travel_hour: rate("rate.travel_hour"),
        gang_day: rate("rate.gang_day"),
        moved: rate("rate.moved"),
        retimed: rate("rate.retimed"),
        same_time: DayLimits::of(prepared).same_time,
        jobs: jobs.map(|at| job(prepared, at, &held, over)).collect(),
        clashes: clashes::taken_with_prices(prepared).collect(),
    }
}

/// What the jobs cost that are not planned, of those whose stages are known; pence.
pub fn left_out(prepared: &Prepared, planned: &HashSet<&JobId>, over: &HashSet<&JobId>) -> i64 {
    let jobs = prepared.programme.jobs.iter().enumerate();
    let known = |at: usize| prepared.works[at].is_some() && prepared.points[at].is_some();
    let left = jobs.filter(|(at, job)| known(*at) && !planned.contains(&job.id));
    let left = left.filter(|(_, job)| !over.contains(&job.id));
    left.map(|(at, _)| of_leaving(prepared, at)).sum()
}

/// What it costs that a job is left to a later week: by its priority; one that was begun stands open for all of this
/// one then, which costs no less than what it waits for when it is planned. Pence.
pub fn of_leaving(prepared: &Prepared, at: usize) -> i64 {
    let job = &prepared.programme.jobs[at];
    let waits = prepared.begun[at].as_ref().map_or(0, |_| {
        let days = i64::from(prepared.programme.week.days);
        days * (rates::pence(&prepared.rates, "rate.night") + whole_day(prepared, at))
    });
    by_priority(prepared, job.priority) + waits
}

/// What a closure costs from midnight to midnight.
fn whole_day(prepared: &Prepared, at: usize) -> i64 {
    let kind = prepared.closures[at].kind;
    let barred = closures::barred(prepared, at);
    let hour = rates::by_closure(&prepared.rates, "closure_hour", kind);
    gangday_planner::whole_day(hour, barred.pence_an_hour, &apart(&barred.priced))
}

fn by_priority(prepared: &Prepared, priority: u8) -> i64 {
    rates::pence(&prepared.rates, &format!("rate.left_out.{priority}"))
}

fn job(
    prepared: &Prepared,
    at: usize,
    held: &HashSet<&JobId>,
    over: &HashSet<&JobId>,
) -> JobPrices {
    let job = &prepared.programme.jobs[at];
    let kind = prepared.closures[at].kind;
    let by_kind = |what: &str, kind: ClosureKind| rates::by_closure(&prepared.rates, what, kind);
    let barred = closures::barred(prepared, at);
    let left_out = if over.contains(&job.id) {
        0
    } else if held.contains(&job.id) {
        keeping::left_out_when_locked(prepared)
    } else {
        of_leaving(prepared, at)
    };
    JobPrices {
        job: job.id.clone(),
        left_out,
        set_up: by_kind("set_up", kind),
        street: prepared.streets[at],
        closure_hour: by_kind("closure_hour", kind),
        busy: barred.priced,
        busy_hour: barred.pence_an_hour,
    }
}

/// The jobs of which a visit is done or locked in the plan, in this week.
fn held<'a>(prepared: &Prepared, issued: &'a Plan) -> HashSet<&'a JobId> {
    let week: HashSet<NaiveDate> = prepared.programme.week.calendar_days().collect();
    let routes = issued.routes.iter();
    let visits = routes
        .filter(|route| week.contains(&route.date))
        .flat_map(|route| &route.visits);
    let held = visits.filter(|visit| visit.status.is_some());
    held.map(|visit| &visit.job).collect()
}
