//! What the jobs take in all: one order for each job, route, day or the week.

use std::collections::HashMap;

use gangday_calc::{Measured, order};
use gangday_model::{JobId, Order, Parameter, ParameterTable, Plan, Route, TakeOff};
use schemars::JsonSchema;
use serde::Serialize;

use crate::columns::route_key;
use crate::opened::Opened;
use crate::orders::in_words;
use crate::prepared::Prepared;
use crate::refusal::views;
use crate::reports::broken_rules;
use crate::view::{FindingView, OrderView, Refusal};

/// What one order is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OrderBy {
    /// A job.
    Job,
    /// A gang-day.
    Route,
    /// A day.
    Day,
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
/// # Errors
/// Where orders by route or day are asked for without a plan.
pub fn totals(opened: &Opened, plan: Option<&Plan>, by: OrderBy) -> Result<TotalsReport, Refusal> {
    let prepared = &opened.prepared;
    let totals = match (by, plan) {
        (OrderBy::Job, _) => by_job(prepared, plan),
        (OrderBy::Week, None) => vec![week(prepared, prepared.take_offs.iter().flatten())],
        (OrderBy::Week, Some(plan)) => vec![week(prepared, planned(prepared, &plan.routes))],
        (OrderBy::Day, Some(plan)) => by_day(prepared, plan),
        (OrderBy::Route, Some(plan)) => by_route(prepared, plan),
        (OrderBy::Day | OrderBy::Route, None) => {
            return Err(Refusal::plain(
                "Orders by route or day need a plan; plan the week first, then name the plan.",
            ));
        }
    };
    let jobs = taken(prepared, plan).map(job_totals).collect();
    let mut findings = opened.findings();
    findings.extend(
        plan.map(|plan| broken_rules(opened, plan))
            .unwrap_or_default(),
    );
    Ok(TotalsReport {
        jobs,
        totals,
        findings: views(&findings),
    })
}

/// The orders that a sheet carries: the week's, each day's, each route's.
#[must_use]
pub fn orders_of_plan(prepared: &Prepared, plan: &Plan) -> Vec<Order> {
    let mut orders = vec![week(prepared, planned(prepared, &plan.routes))];
    orders.extend(by_day(prepared, plan));
    orders.extend(by_route(prepared, plan));
    orders
}

fn job_totals(taken: &TakeOff) -> JobTotals {
    JobTotals {
        id: taken.job.to_string(),
        measured: Measured::from(taken),
        depth_mm: taken.depth.mm(),
        sections: taken.sections,
    }
}

fn week<'a>(prepared: &Prepared, taken: impl Iterator<Item = &'a TakeOff>) -> Order {
    order("week", taken, &prepared.materials)
}

fn by_job(prepared: &Prepared, plan: Option<&Plan>) -> Vec<Order> {
    let one = |taken: &TakeOff| order(&format!("job:{}", taken.job), [taken], &prepared.materials);
    taken(prepared, plan).map(one).collect()
}

fn by_route(prepared: &Prepared, plan: &Plan) -> Vec<Order> {
    let one = |route: &Route| {
        let taken = planned(prepared, std::slice::from_ref(route));
        let materials = with_payload(prepared, route);
        order(&format!("route:{}", route_key(route)), taken, &materials)
    };
    plan.routes.iter().map(one).collect()
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
    let mut routes: Vec<Route> = plan.routes.clone();
    routes.sort_by_key(|route| route.date);
    let days = routes.chunk_by(|a, b| a.date == b.date);
    days.map(|day| {
        order(
            &format!("day:{}", day[0].date),
            planned(prepared, day),
            &prepared.materials,
        )
    })
    .collect()
}

/// The take-offs of the jobs in these routes, each once.
fn planned<'a>(
    prepared: &'a Prepared,
    routes: &'a [Route],
) -> impl Iterator<Item = &'a TakeOff> + 'a {
    let mut seen: HashMap<&JobId, ()> = HashMap::new();
    let visits = routes.iter().flat_map(|route| &route.visits);
    visits.filter_map(move |visit| {
        let first = seen.insert(&visit.job, ()).is_none();
        let at = prepared.index_of(&visit.job).filter(|_| first)?;
        prepared.take_offs[at].as_ref()
    })
}

/// The take-offs of the planned jobs where there is a plan, else of all.
fn taken<'a>(
    prepared: &'a Prepared,
    plan: Option<&'a Plan>,
) -> Box<dyn Iterator<Item = &'a TakeOff> + 'a> {
    match plan {
        Some(plan) => Box::new(planned(prepared, &plan.routes)),
        None => Box::new(prepared.take_offs.iter().flatten()),
    }
}
