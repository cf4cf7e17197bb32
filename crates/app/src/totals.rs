//! What the jobs take in all: one order for each job, route, day or the week.

mod loads;
mod taken;

use std::borrow::Cow;
use std::collections::HashSet;

use chrono::NaiveDate;
use gangday_calc::{Measured, Opening, order, order_days, supplied};
use gangday_model::{Order, Parameter, ParameterTable, Plan, Route, TakeOff};
use schemars::JsonSchema;
use serde::Serialize;

use crate::columns::route_key;
use crate::detail::class;
use crate::gang_days::{GangDay, gang_day, health};
use crate::opened::Opened;
use crate::orders::in_words;
use crate::prepared::Prepared;
use crate::refusal::views;
use crate::reports::broken_rules;
use crate::view::{FindingView, OrderView, Refusal};
pub use taken::planned;
use taken::planned_first;

/// What one order is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OrderBy {
    /// A job.
    Job,
    /// A gang-day.
    Route,
    /// A day.
    Day,
    /// A depot: all gangs that load at one place.
    Depot,
    /// The whole week.
    Week,
}

/// Quantities of the jobs and the orders that serve them.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TotalsReport {
    /// Each job, net in place.
    pub jobs: Vec<JobTotals>,
    /// Each order.
    pub totals: Vec<Order>,
    /// What each gang-day of a plan carries and shakes; its trips are the vehicle's own, where an
    /// order of several gang-days counts loads by `load.payload`.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub gang_days: Vec<GangDay>,
    /// What somebody should look at.
    pub findings: Vec<FindingView>,
}

/// Quantities of one job, net in place.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct JobTotals {
    /// The job.
    pub id: String,
    /// Volumes and masses.
    pub measured: Measured,
    /// Depth of the dig.
    pub depth_mm: i64,
    /// Sections stacked.
    pub sections: u32,
    /// What the code calls its opening; none where a figure for that is missing.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub opening: Option<Opening>,
}

impl TotalsReport {
    /// Whether no job was refused.
    #[must_use]
    pub fn sound(&self) -> bool {
        self.findings
            .iter()
            .all(|finding| finding.severity != "fault")
    }

    /// The orders as they are shown.
    pub fn orders_in_words(&self) -> impl Iterator<Item = OrderView> + '_ {
        self.totals.iter().map(in_words)
    }
}

/// Totals the programme, or what a plan holds of it.
///
/// With `leftovers`, what one day's order leaves over serves the next where the material keeps.
///
/// # Errors
/// Where orders by route, day or depot are asked for without a plan.
pub fn totals(
    opened: &Opened,
    plan: Option<&Plan>,
    by: OrderBy,
    leftovers: bool,
) -> Result<TotalsReport, Refusal> {
    let prepared = &opened.prepared;
    let needed = plan.and_then(|plan| plan.routes.iter().map(|route| route.date).min());
    let needed = needed.unwrap_or(prepared.programme.week.first_day);
    let orders = match (by, plan) {
        (OrderBy::Job, _) => dated(by_job(prepared, plan), needed),
        (OrderBy::Week, None) => dated(vec![week(prepared, prepared.all_left())], needed),
        (OrderBy::Week, Some(plan)) => dated(vec![week_of(prepared, plan)], needed),
        (OrderBy::Day, Some(plan)) if leftovers => days_with_leftovers(prepared, plan),
        (OrderBy::Day, Some(plan)) => {
            let dates = days(plan).into_iter().map(|day| day[0].date);
            by_day(prepared, plan).into_iter().zip(dates).collect()
        }
        (OrderBy::Depot, Some(plan)) => dated(by_depot(prepared, plan), needed),
        (OrderBy::Route, Some(plan)) => {
            let dates = plan.routes.iter().map(|route| route.date);
            by_route(prepared, plan).into_iter().zip(dates).collect()
        }
        (OrderBy::Day | OrderBy::Route | OrderBy::Depot, None) => {
            return Err(Refusal::coded(
                "D-PLAN",
                "Orders by route, day or depot need a plan; plan the week first, then name it.",
            ));
        }
    };
    let mut findings = opened.findings();
    if let Some(plan) = plan {
        findings.extend(broken_rules(opened, plan));
        findings.extend(health(prepared, plan));
    }
    let mut totals = Vec::new();
    for (order, needed) in orders {
        let week = &prepared.programme.week;
        let (order, late) = supplied(order, needed, week, &prepared.materials);
        totals.push(order);
        findings.extend(late);
    }
    let routes = plan
        .filter(|_| by != OrderBy::Job)
        .map(|plan| plan.routes.iter());
    Ok(TotalsReport {
        jobs: taken(prepared, plan)
            .map(|taken| job_totals(prepared, taken))
            .collect(),
        totals,
        gang_days: routes
            .into_iter()
            .flatten()
            .map(|route| gang_day(prepared, route))
            .collect(),
        findings: views(&findings),
    })
}

fn dated(orders: Vec<Order>, needed: NaiveDate) -> Vec<(Order, NaiveDate)> {
    orders.into_iter().map(|order| (order, needed)).collect()
}

/// The routes of each day, the first day first.
fn days(plan: &Plan) -> Vec<Vec<Route>> {
    let mut routes: Vec<Route> = plan.routes.clone();
    routes.sort_by_key(|route| route.date);
    let days = routes.chunk_by(|a, b| a.date == b.date);
    days.map(<[Route]>::to_vec).collect()
}

/// Each stage is counted on the first day that it is visited.
fn days_with_leftovers(prepared: &Prepared, plan: &Plan) -> Vec<(Order, NaiveDate)> {
    let days = days(plan);
    let mut seen = HashSet::new();
    let own: Vec<_> = days
        .iter()
        .map(|day| {
            let taken = planned_first(prepared, day, &mut seen);
            (format!("day:{}", day[0].date), taken)
        })
        .collect();
    let own = own.iter().map(|(key, taken)| {
        let taken = taken.iter().map(AsRef::as_ref);
        (key.clone(), taken.collect::<Vec<_>>())
    });
    let dates = days.iter().map(|day| day[0].date);
    order_days(own, &prepared.materials)
        .into_iter()
        .zip(&days)
        .map(|(order, day)| loads::by_own_vehicles(prepared, order, day))
        .zip(dates)
        .collect()
}

/// One order for all gangs that load at one place, named by them.
fn by_depot(prepared: &Prepared, plan: &Plan) -> Vec<Order> {
    let mut depots: Vec<(gangday_model::LonLat, Vec<&gangday_model::Gang>)> = Vec::new();
    for gang in &prepared.programme.gangs {
        match depots.iter_mut().find(|(place, _)| *place == gang.depot) {
            Some((_, gangs)) => gangs.push(gang),
            None => depots.push((gang.depot, vec![gang])),
        }
    }
    let one = |(_, gangs): (_, Vec<&gangday_model::Gang>)| {
        let own = |route: &&Route| gangs.iter().any(|gang| gang.id == route.gang);
        let routes: Vec<Route> = plan.routes.iter().filter(own).cloned().collect();
        let names: Vec<_> = gangs.iter().map(|gang| gang.id.as_str()).collect();
        (!routes.is_empty()).then(|| {
            let key = format!("depot:{}", names.join("+"));
            let own = order_of(&key, &planned(prepared, &routes), &prepared.materials);
            loads::by_own_vehicles(prepared, own, &routes)
        })
    };
    depots.into_iter().filter_map(one).collect()
}

/// The orders of the week, of each day with what the day before left over, and of each route.
#[must_use]
pub fn orders_of_plan(prepared: &Prepared, plan: &Plan) -> Vec<Order> {
    let mut orders = orders_of_week_and_days(prepared, plan);
    let routes = plan.routes.iter();
    orders.extend(routes.map(|route| order_of_route(prepared, route)));
    orders
}

/// The orders of the week and of each day with what the day before left over.
#[must_use]
pub fn orders_of_week_and_days(prepared: &Prepared, plan: &Plan) -> Vec<Order> {
    let first = plan.routes.iter().map(|route| route.date).min();
    let first = first.unwrap_or(prepared.programme.week.first_day);
    let mut orders = vec![(week_of(prepared, plan), first)];
    orders.extend(days_with_leftovers(prepared, plan));
    let week = &prepared.programme.week;
    let bought = |(order, needed)| supplied(order, needed, week, &prepared.materials).0;
    orders.into_iter().map(bought).collect()
}

/// Each day's order with what the day before left over, suppliers and prices, and the day.
pub(crate) fn bought_by_day(prepared: &Prepared, plan: &Plan) -> Vec<(Order, NaiveDate)> {
    let week = &prepared.programme.week;
    let days = days_with_leftovers(prepared, plan).into_iter();
    days.map(|(order, date)| (supplied(order, date, week, &prepared.materials).0, date))
        .collect()
}

fn job_totals(prepared: &Prepared, taken: &TakeOff) -> JobTotals {
    JobTotals {
        id: taken.job.to_string(),
        measured: Measured::from(taken),
        depth_mm: taken.depth.mm(),
        sections: taken.sections,
        opening: prepared
            .index_of(&taken.job)
            .and_then(|at| class(prepared, at, taken)),
    }
}

fn week<'a>(prepared: &Prepared, taken: impl Iterator<Item = &'a TakeOff>) -> Order {
    order("week", taken, &prepared.materials)
}

/// The order of a planned week, in loads of the vehicles that the plan gives it to.
fn week_of(prepared: &Prepared, plan: &Plan) -> Order {
    let own = order_of(
        "week",
        &planned(prepared, &plan.routes),
        &prepared.materials,
    );
    loads::by_own_vehicles(prepared, own, &plan.routes)
}

fn by_job(prepared: &Prepared, plan: Option<&Plan>) -> Vec<Order> {
    let one = |taken: &TakeOff| order(&format!("job:{}", taken.job), [taken], &prepared.materials);
    taken(prepared, plan).map(one).collect()
}

fn by_route(prepared: &Prepared, plan: &Plan) -> Vec<Order> {
    let one = |route: &Route| of_route(prepared, route);
    plan.routes.iter().map(one).collect()
}

/// The order of one route by itself.
pub(crate) fn of_route(prepared: &Prepared, route: &Route) -> Order {
    let taken = planned(prepared, std::slice::from_ref(route));
    let materials = with_payload(prepared, route);
    order_of(&format!("route:{}", route_key(route)), &taken, &materials)
}

/// The order of one route, with the day to buy on.
#[must_use]
pub fn order_of_route(prepared: &Prepared, route: &Route) -> Order {
    let (order, week) = (of_route(prepared, route), &prepared.programme.week);
    supplied(order, route.date, week, &prepared.materials).0
}

/// The materials with the payload of the route's own vehicle, where its gang states one.
fn with_payload(prepared: &Prepared, route: &Route) -> ParameterTable {
    let gang = prepared.programme.gang(&route.gang);
    let payload = gang.and_then(|gang| gang.payload).map(|payload| Parameter {
        key: "load.payload".to_owned(),
        value: payload.tonnes(),
        unit: "t".to_owned(),
        source: format!("gangs.json, {}, payload_kg", route.gang),
        date: String::new(),
        extra: serde_json::Map::new(),
    });
    prepared.materials.overlaid(&ParameterTable::new(payload))
}

fn by_day(prepared: &Prepared, plan: &Plan) -> Vec<Order> {
    let one = |day: &Vec<Route>| {
        let key = format!("day:{}", day[0].date);
        let own = order_of(&key, &planned(prepared, day), &prepared.materials);
        loads::by_own_vehicles(prepared, own, day)
    };
    days(plan).iter().map(one).collect()
}

fn order_of(key: &str, taken: &[Cow<'_, TakeOff>], materials: &ParameterTable) -> Order {
    order(key, taken.iter().map(AsRef::as_ref), materials)
}

/// The take-offs of the planned jobs where there is a plan, else of all.
fn taken<'a>(
    prepared: &'a Prepared,
    plan: Option<&'a Plan>,
) -> Box<dyn Iterator<Item = &'a TakeOff> + 'a> {
    match plan {
        Some(plan) => {
            let mut seen = HashSet::new();
            Box::new(plan.visits().filter_map(move |visit| {
                let first = seen.insert(&visit.job);
                let at = prepared.index_of(&visit.job).filter(|_| first)?;
                prepared.left_of(at)
            }))
        }
        None => Box::new(prepared.all_left()),
    }
}
