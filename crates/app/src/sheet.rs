//! The sheet: everything that a door shows of one programme.

use std::collections::HashSet;

use gangday_model::{Costs, Finding, Gang, JobId, Plan, Programme, Route, Street, Unplanned};

use crate::closures::Public;
use crate::columns::column;
use crate::job_view::{area, job_view};
use crate::opened::Opened;
use crate::prepared::Prepared;
use crate::view::{
    BoardDay, CautionView, Column, CostLine, GangView, PlanView, Sheet, StreetView, TipView,
    UnplannedView,
};
use crate::{
    attributions, diary, gang_days, nights, orders, over, public_view, refusal, totals, words,
};

/// What a plan was found to break, and its gang-days to do to whoever works them, with the columns of
/// its board.
#[derive(Default)]
pub struct LookedAt {
    /// Rules that it breaks.
    pub broken: Vec<Finding>,
    health: Vec<Finding>,
    columns: Vec<Column>,
}

/// Looks at the gang-days of a plan one by one; the rules that it breaks are for another to say.
#[must_use]
pub fn draw(opened: &Opened, plan: &Plan) -> LookedAt {
    let prepared = &opened.prepared;
    let columns = plan.routes.iter();
    LookedAt {
        broken: Vec::new(),
        health: gang_days::health(prepared, plan),
        columns: columns
            .filter_map(|route| column(prepared, route))
            .collect(),
    }
}

/// The sheet of a programme and its plan, with what the public meets of it and what was found in it;
/// what belongs to the desk is left empty.
#[must_use]
pub fn sheet(
    opened: &Opened,
    plan: Option<&Plan>,
    (examined, looked_at): (Public, LookedAt),
) -> Sheet {
    let prepared = &opened.prepared;
    let programme = &prepared.programme;
    let left = plan.map(nights::left_open).unwrap_or_default();
    let LookedAt {
        broken,
        health,
        columns,
    } = looked_at;
    Sheet {
        name: programme.name.clone(),
        folder: opened
            .folder
            .as_ref()
            .map(|path| path.display().to_string()),
        demo: false,
        unsaved: false,
        nation: nation(programme),
        temperature_c: programme.week.temperature_c,
        days: days(programme),
        area: whole_area(programme),
        notes: vec![prepared.plane.describe(), prepared.travel.describe()],
        attribution: attributions::in_one_line(prepared),
        streets: programme.streets.iter().map(street).collect(),
        backdrop: opened.backdrop.as_ref().map(ToString::to_string),
        gangs: programme.gangs.iter().enumerate().map(gang).collect(),
        tips: programme.tips.iter().map(tip).collect(),
        jobs: jobs(prepared, plan),
        issues: diary::issues(&opened.diary, opened, plan),
        records: diary::records(&opened.diary),
        plan: plan.map(|plan| PlanView {
            columns,
            ..plan_view(opened, plan, &examined, broken.is_empty())
        }),
        findings: findings(
            (opened, plan.is_some()),
            [broken, health, left, examined.findings].concat(),
        ),
        cautions: cautions(),
        undo: None,
        redo: None,
        edition: 0,
    }
}

/// The nation as it is written.
#[must_use]
pub fn nation(programme: &Programme) -> String {
    let nation = serde_json::to_value(programme.week.nation).unwrap_or_default();
    nation.as_str().unwrap_or_default().to_owned()
}

fn days(programme: &Programme) -> Vec<BoardDay> {
    let week = &programme.week;
    let day = |date| BoardDay {
        name: words::day(date),
        working: week.is_working_day(date),
        past: week.is_past(date),
        date: date.to_string(),
    };
    week.calendar_days().map(day).collect()
}

/// Great Britain, for a programme with nothing in it yet.
const EMPTY_AREA: [f64; 4] = [-6.5, 49.9, 1.8, 59.0];

fn whole_area(programme: &Programme) -> [f64; 4] {
    let jobs = programme.jobs.iter().map(|job| job.at);
    let depots = programme.gangs.iter().map(|gang| gang.depot);
    let mut places = jobs.chain(depots).peekable();
    if places.peek().is_none() {
        return EMPTY_AREA;
    }
    area(places)
}

fn street(street: &Street) -> StreetView {
    let line = |line: &Vec<gangday_model::LonLat>| line.iter().map(|at| (*at).into()).collect();
    StreetView {
        id: street.id.to_string(),
        name: street.name.clone(),
        road_type: street.road_type.map(u32::from),
        width_m: street.width_m,
        one_way: street.one_way,
        lines: street.lines.iter().map(line).collect(),
    }
}

fn gang((at, gang): (usize, &Gang)) -> GangView {
    GangView {
        id: gang.id.to_string(),
        name: gang.name.clone(),
        mark: mark(at),
        index: u32::try_from(at).unwrap_or(0),
        depot: gang.depot.into(),
        people: gang.people,
        tickets: gang.tickets.clone(),
        shift_from: words::minutes_of_day(gang.shift.from),
        shift_to: words::minutes_of_day(gang.shift.until),
    }
}

/// A, B … Z, AA, AB …
#[must_use]
pub fn mark(at: usize) -> String {
    let letter = char::from(b'A' + u8::try_from(at % 26).unwrap_or(0));
    if at < 26 {
        letter.to_string()
    } else {
        format!("{}{letter}", mark(at / 26 - 1))
    }
}

fn tip(tip: &gangday_model::Tip) -> TipView {
    TipView {
        id: tip.id.to_string(),
        name: tip.name.clone(),
        at: tip.at.into(),
    }
}

fn jobs(prepared: &Prepared, plan: Option<&Plan>) -> Vec<crate::view::JobView> {
    let routes = nights::routes_of_jobs(plan.into_iter().flat_map(|plan| &plan.routes), |_| true);
    let job = |at: usize| {
        let routes = routes.get(&prepared.programme.jobs[at].id);
        job_of(prepared, at, routes.map_or(&[], Vec::as_slice))
    };
    (0..prepared.programme.jobs.len()).map(job).collect()
}

/// One job, served by these routes if by any, in order.
#[must_use]
pub fn job_of(prepared: &Prepared, at: usize, routes: &[&Route]) -> crate::view::JobView {
    let snap = prepared.streets[at].zip(prepared.points[at]);
    let snap = snap.and_then(|(street, point)| prepared.lines.index.snap_to_street(street, point));
    let bearing = snap.map_or(0.0, |snap| snap.bearing_deg);
    job_view(prepared, at, bearing, routes)
}

fn plan_view(opened: &Opened, plan: &Plan, public: &Public, verified: bool) -> PlanView {
    let prepared = &opened.prepared;
    let orders = totals::orders_of_week_and_days(prepared, plan);
    PlanView {
        columns: Vec::new(),
        unplanned: (plan.unplanned.iter().chain(&plan.unfinished))
            .map(unplanned)
            .collect(),
        closures: public_view::closures(prepared, public),
        clashes: public.clashes.iter().map(public_view::clash).collect(),
        deadlines: public_view::deadlines(prepared, public),
        orders: orders.iter().map(orders::in_words).collect(),
        costs: costs(&plan.costs),
        changes: plan.changes.iter().map(diary::change).collect(),
        summary: summary(how_many_jobs(opened), plan),
        verified,
    }
}

fn unplanned(unplanned: &Unplanned) -> UnplannedView {
    UnplannedView {
        job: unplanned.job.to_string(),
        reasons: unplanned
            .reasons
            .iter()
            .map(|reason| reason.text.clone())
            .collect(),
        codes: unplanned
            .reasons
            .iter()
            .map(|reason| reason.code.clone())
            .collect(),
    }
}

/// Costs by part in words, the total last.
#[must_use]
pub fn costs(costs: &Costs) -> Vec<CostLine> {
    let lines = [
        ("Crews within their shifts", costs.crew_pence),
        ("Overtime", costs.overtime_pence),
        ("Vehicles on the road", costs.travel_pence),
        ("Traffic management set out", costs.set_ups_pence),
        ("Gang-days begun", costs.gang_days_pence),
        ("Hours closed to the public", costs.closure_pence),
        ("Nights left open", costs.nights_pence),
        ("Jobs left out", costs.left_out_pence),
        ("Total", costs.total_pence),
    ];
    let line = |(label, pence): (&str, i64)| CostLine {
        label: label.to_owned(),
        amount: words::money(pence),
        pence: pence as f64,
    };
    lines.into_iter().map(line).collect()
}

/// How many jobs a programme has, those that reading had to refuse too.
#[must_use]
pub fn how_many_jobs(opened: &Opened) -> usize {
    opened.prepared.programme.jobs.len() + opened.refused_jobs().len()
}

/// `58 of 64 jobs in 23 gang-days`.
#[must_use]
pub fn summary(jobs: usize, plan: &Plan) -> String {
    let planned: HashSet<&JobId> = plan.visits().map(|visit| &visit.job).collect();
    let of = words::count(jobs, "job", "jobs");
    let days = words::count(plan.routes.len(), "gang-day", "gang-days");
    let planned = words::thousands(planned.len() as u64);
    let beside = |many: usize, what: &str| match many {
        0 => String::new(),
        many => format!(", {} {what}", words::thousands(many as u64)),
    };
    let unfinished = beside(plan.unfinished.len(), "left unfinished");
    let done = beside(over::how_many_done(plan), "done before");
    let stand = beside(over::how_many_stand(plan), "standing as issued");
    format!("{planned} of {of} in {days}{unfinished}{done}{stand}")
}

/// Every finding as things stand: a plan's own are the faults of the programme as it was planned, which may be mended since.
fn findings(
    (opened, is_planned): (&Opened, bool),
    of_plan: Vec<Finding>,
) -> Vec<crate::view::FindingView> {
    let mut all = opened.findings_with(is_planned);
    all.extend(of_plan);
    let mut views = refusal::views(&all);
    for view in &mut views {
        let known = |id: &String| opened.prepared.index_of(&JobId::new(id.as_str())).is_some();
        view.job = view.job.take().filter(known);
    }
    views
}

/// The cautions that the user always sees.
#[must_use]
pub fn cautions() -> Vec<CautionView> {
    let view = |caution: &gangday_traffic::Caution| CautionView {
        title: caution.title.to_string(),
        text: caution.text.to_string(),
        source: caution.source.to_string(),
    };
    gangday_traffic::cautions().iter().map(view).collect()
}
