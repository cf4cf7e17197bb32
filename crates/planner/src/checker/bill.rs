//! What a plan costs, part by part, worked out from its visits and times alone.

use std::collections::{BTreeMap, HashMap};

use chrono::{NaiveDateTime, TimeDelta};
use gangday_model::{Costs, Gang, JobId, Plan, Route, Visit};

use super::case::{Case, on, span};
use super::legs::legs;
use super::prices::{JobPrices, Prices};

/// Works out the parts; the total is left to whoever adds them up. Without the earlier plan nothing is
/// known of changes.
pub(super) fn of(case: &Case<'_>, prices: &Prices) -> Costs {
    let bill = Bill {
        case,
        prices,
        jobs: prices.jobs.iter().map(|own| (&own.job, own)).collect(),
    };
    let mut costs = Costs::default();
    for (route, gang) in case.crewed().filter(|(route, _)| !route.visits.is_empty()) {
        bill.add(&mut costs, route, gang);
    }
    let issued = case.brief.limits.issued;
    costs.changes_pence = issued.map_or(0, |issued| bill.changes(issued));
    costs.clashes_pence = bill.clashes();
    let unplanned = case.plan.unplanned.iter();
    let known = unplanned.filter_map(|left| bill.jobs.get(&left.job));
    costs.left_out_pence = known.map(|own| own.left_out).sum();
    costs
}

struct Bill<'a> {
    case: &'a Case<'a>,
    prices: &'a Prices,
    jobs: HashMap<&'a JobId, &'a JobPrices>,
}

impl Bill<'_> {
    fn add(&self, costs: &mut Costs, route: &Route, gang: &Gang) {
        let (case, prices) = (self.case, self.prices);
        let begins = on(route, gang.shift.from);
        let shift = on(route, gang.shift.until).max(begins);
        let ends = route.back + span(case.brief.unload);
        let drive = legs(case, route, gang)
            .iter()
            .map(|leg| leg.drive(case))
            .sum();
        costs.crew_pence += hourly(prices.crew_hour, ends.min(shift) - begins);
        let past = (ends - shift).max(TimeDelta::zero());
        costs.overtime_pence += hourly(prices.crew_hour + prices.overtime_hour, past);
        costs.travel_pence += hourly(prices.travel_hour, drive);
        costs.gang_days_pence += prices.gang_day;
        let closures = closures(route.visits.iter());
        let priced = closures.iter();
        let priced = priced.filter_map(|(job, closed)| Some((self.jobs.get(job)?, closed)));
        let mut dearest: BTreeMap<(Option<usize>, &JobId), i64> = BTreeMap::new();
        for (own, closed) in priced {
            costs.closure_pence += closure(own, route, *closed);
            // Each street once; where none is known, each job.
            let none = closures.keys().next().copied().unwrap_or(&own.job);
            let key = own
                .street
                .map_or((None, &own.job), |street| (Some(street), none));
            let most = dearest.entry(key).or_default();
            *most = own.set_up.max(*most);
        }
        costs.set_ups_pence += dearest.values().sum::<i64>();
    }

    fn changes(&self, issued: &Plan) -> i64 {
        let mut before: BTreeMap<&JobId, (&Route, Vec<&Visit>)> = BTreeMap::new();
        for route in &issued.routes {
            for visit in &route.visits {
                let of_job = before.entry(&visit.job).or_insert((route, Vec::new()));
                if std::ptr::eq(of_job.0, route) {
                    of_job.1.push(visit);
                }
            }
        }
        let free = before.iter();
        let free = free.filter(|(_, was)| was.1.iter().all(|visit| visit.status.is_none()));
        free.map(|(job, was)| self.change(job, was)).sum()
    }

    fn change(&self, job: &JobId, (route, visits): &(&Route, Vec<&Visit>)) -> i64 {
        let first = |stage| visits.iter().find(|visit| visit.stage == stage);
        let now = self.case.visits.get(job).and_then(|own| own.first());
        let work = self.case.work(job).and_then(|work| work.stages.first());
        let (Some((now, begun)), Some(was)) = (now, work.and_then(|work| first(work.stage))) else {
            return 0;
        };
        if (&now.gang, now.date) != (&route.gang, route.date) {
            self.prices.moved
        } else if (begun.start - was.start).abs() > span(self.prices.same_time) {
            self.prices.retimed
        } else {
            0
        }
    }

    fn clashes(&self) -> i64 {
        let visits = self.case.plan.routes.iter().flat_map(|route| &route.visits);
        let closed = closures(visits);
        let clash = |(one, other, price): &(JobId, JobId, Option<i64>)| {
            let (first, second) = (closed.get(one)?, closed.get(other)?);
            let (own, its) = (self.jobs.get(one)?, self.jobs.get(other)?);
            let never = 4 * (own.left_out + its.left_out).max(1);
            let at_once = first.0.max(second.0) < first.1.min(second.1);
            at_once.then_some(price.unwrap_or(never))
        };
        self.prices.clashes.iter().filter_map(clash).sum()
    }
}

/// From when to when each job's closure is there: from its first visit's start to its last one's end.
fn closures<'a>(
    visits: impl Iterator<Item = &'a Visit>,
) -> BTreeMap<&'a JobId, (NaiveDateTime, NaiveDateTime)> {
    let mut closed: BTreeMap<&JobId, (NaiveDateTime, NaiveDateTime)> = BTreeMap::new();
    for visit in visits {
        let own = closed
            .entry(&visit.job)
            .or_insert((visit.start, visit.finish));
        *own = (own.0.min(visit.start), own.1.max(visit.finish));
    }
    closed
}

fn closure(own: &JobPrices, route: &Route, (from, until): (NaiveDateTime, NaiveDateTime)) -> i64 {
    let begun = ((until - from).num_seconds() + 3_599) / 3_600;
    let mut busy = own.busy.clone();
    busy.sort_by_key(|hours| (hours.from, hours.until));
    // Hours that two of them name count once.
    let (mut within, mut counted) = (TimeDelta::zero(), from);
    for hours in busy {
        let (open, end) = (on(route, hours.from), on(route, hours.until));
        within += (until.min(end) - counted.max(open)).max(TimeDelta::zero());
        counted = counted.max(until.min(end));
    }
    own.closure_hour * begun + hourly(own.busy_hour, within)
}

/// To the nearest penny.
fn hourly(rate: i64, time: TimeDelta) -> i64 {
    let parts = rate * time.num_seconds();
    (parts + 1_800).div_euclid(3_600)
}
