//! What a plan costs, part by part, worked out from its visits and times alone.

use std::collections::{BTreeMap, HashMap};

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};
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
    costs.nights_pence = over_nights(case).unwrap_or_default();
    costs.closure_pence += bill.days_between();
    let issued = case.brief.limits.issued;
    costs.changes_pence = issued.map_or(0, |issued| bill.changes(issued));
    costs.clashes_pence = bill.clashes();
    let unplanned = case.plan.unplanned.iter();
    let known = unplanned.filter_map(|left| bill.jobs.get(&left.job));
    costs.left_out_pence = known.map(|own| own.left_out).sum();
    costs
}

/// What the nights cost that jobs are left over, where a night has a price.
pub(super) fn over_nights(case: &Case<'_>) -> Option<i64> {
    let jobs = case.visits.iter();
    let left: i64 = jobs
        .map(|(job, visits)| nights(visits) + waited(case, job, visits))
        .sum();
    case.brief.limits.night.map(|night| night * left)
}

/// How many nights of the week works that stand from before it are left until they are gone on with.
fn waited(case: &Case<'_>, job: &JobId, visits: &[(&Route, &Visit)]) -> i64 {
    let first = visits.iter().map(|(route, _)| route.date).min();
    let nights = case.open_since(job).zip(first);
    nights.map_or(0, |(since, first)| (first - since.date()).num_days().max(0))
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
        let closures = self.on_the_day(route);
        let priced = closures.iter();
        let priced = priced.filter_map(|(job, closed)| Some((self.jobs.get(job)?, closed)));
        let mut dearest: BTreeMap<(Option<usize>, &JobId), i64> = BTreeMap::new();
        for (own, closed) in priced {
            costs.closure_pence += closure(own, route.date, *closed);
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

    /// What the closures of works left over nights, or open from before the week, cost on the whole days on which
    /// nobody is there.
    fn days_between(&self) -> i64 {
        let price = |(job, visits): (&&JobId, &Vec<(&Route, &Visit)>)| {
            let day = visits.first()?.0.date;
            let whole = (midnight(day), midnight(day) + TimeDelta::days(1));
            let between = (nights(visits) - 1).max(0) + waited(self.case, job, visits);
            Some(between * closure(self.jobs.get(*job)?, day, whole))
        };
        self.case.visits.iter().filter_map(price).sum()
    }

    /// From when to when each closure is there on the route's date: of works left over a night until
    /// midnight, and from it on; from it on too where they stand open from before the week.
    fn on_the_day<'b>(
        &self,
        route: &'b Route,
    ) -> BTreeMap<&'b JobId, (NaiveDateTime, NaiveDateTime)> {
        let mut closed = closures(route.visits.iter());
        for (job, (from, until)) in &mut closed {
            let visits = self.case.visits.get(*job);
            let dates = || visits.into_iter().flatten().map(|(other, _)| other.date);
            if self.case.open_since(job).is_some() || dates().any(|date| date < route.date) {
                *from = midnight(route.date);
            }
            if dates().any(|date| date > route.date) {
                *until = (*until).max(midnight(route.date) + TimeDelta::days(1));
            }
        }
        closed
    }

    fn changes(&self, issued: &Plan) -> i64 {
        let (before, now) = (days_of(issued), days_of(self.case.plan));
        before
            .iter()
            .map(|(job, was)| self.change(job, (was, now.get(job).map_or(&[], Vec::as_slice))))
            .sum()
    }

    /// What it costs that the job's days are others; of works left over a night, the rest only where
    /// they are left at the same stage.
    fn change(&self, job: &JobId, (was, now): (&[Day<'_>], &[Day<'_>])) -> i64 {
        let first = self.case.work(job).and_then(|work| work.stages.first());
        let alike = was.len() == 2 && now.len() == 2 && was[1].1[0].stage == now[1].1[0].stage;
        let pairs = was.iter().zip(now).take(if alike { 2 } else { 1 });
        pairs
            .enumerate()
            .filter(|(_, (was, _))| was.1.iter().all(|visit| visit.status.is_none()))
            .filter(|(at, (was, _))| {
                *at > 0 || first.is_some_and(|own| own.stage == was.1[0].stage)
            })
            .map(|(_, (was, now))| self.moved(was, now))
            .sum()
    }

    fn moved(&self, (was, visits): &Day<'_>, (now, begun): &Day<'_>) -> i64 {
        if (&now.gang, now.date) != (&was.gang, was.date) {
            self.prices.moved
        } else if (begun[0].start - visits[0].start).abs() > span(self.prices.same_time) {
            self.prices.retimed
        } else {
            0
        }
    }

    fn clashes(&self) -> i64 {
        let visits = self.case.plan.routes.iter().flat_map(|route| &route.visits);
        let mut closed = closures(visits);
        for (job, own) in &mut closed {
            own.0 = self.case.open_since(job).unwrap_or(own.0);
        }
        let clash = |(one, other, price): &(JobId, JobId, Option<i64>)| {
            if self.case.are_both_open(one, other) {
                return None;
            }
            let (first, second) = (closed.get(one)?, closed.get(other)?);
            let (own, its) = (self.jobs.get(one)?, self.jobs.get(other)?);
            let never = 4 * (own.left_out + its.left_out).max(1);
            let at_once = first.0.max(second.0) < first.1.min(second.1);
            at_once.then_some(price.unwrap_or(never))
        };
        self.prices.clashes.iter().filter_map(clash).sum()
    }
}

/// What of a job is done on one gang-day, in order of time; never without a visit.
type Day<'a> = (&'a Route, Vec<&'a Visit>);

/// The days of each job, in order of date.
fn days_of(plan: &Plan) -> BTreeMap<&JobId, Vec<Day<'_>>> {
    let mut all: BTreeMap<&JobId, Vec<Day<'_>>> = BTreeMap::new();
    for route in &plan.routes {
        for visit in &route.visits {
            let days = all.entry(&visit.job).or_default();
            match days.iter_mut().find(|day| std::ptr::eq(day.0, route)) {
                Some(day) => day.1.push(visit),
                None => days.push((route, vec![visit])),
            }
        }
    }
    for days in all.values_mut() {
        days.sort_by_key(|day| day.0.date);
        for day in days {
            day.1.sort_by_key(|visit| visit.start);
        }
    }
    all
}

/// Over how many nights a job is left.
fn nights(visits: &[(&Route, &Visit)]) -> i64 {
    let dates = || visits.iter().map(|(route, _)| route.date);
    let both = dates().min().zip(dates().max());
    both.map_or(0, |(first, last)| (last - first).num_days())
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

fn closure(own: &JobPrices, day: NaiveDate, (from, until): (NaiveDateTime, NaiveDateTime)) -> i64 {
    let begun = ((until - from).num_seconds() + 3_599) / 3_600;
    let mut busy = own.busy.clone();
    busy.sort_by_key(|hours| (hours.from, hours.until));
    // Hours that two of them name count once.
    let (mut within, mut counted) = (TimeDelta::zero(), from);
    for hours in busy {
        let (open, end) = (day.and_time(hours.from), day.and_time(hours.until));
        within += (until.min(end) - counted.max(open)).max(TimeDelta::zero());
        counted = counted.max(until.min(end));
    }
    own.closure_hour * begun + hourly(own.busy_hour, within)
}

/// When the day begins.
fn midnight(day: NaiveDate) -> NaiveDateTime {
    day.and_time(NaiveTime::MIN)
}

/// To the nearest penny.
fn hourly(rate: i64, time: TimeDelta) -> i64 {
    let parts = rate * time.num_seconds();
    (parts + 1_800).div_euclid(3_600)
}
