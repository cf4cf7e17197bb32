//! Tables for other programs: jobs, visits, orders and closures as CSV or in a workbook.

use std::collections::HashMap;
use std::path::Path;

use chrono::NaiveDate;
use gangday_files::{Cell, JOB_TABLE, Table, write_csv, write_xlsx};
use gangday_model::{JobId, Plan, Route};
use gangday_store::write_whole;
use gangday_traffic::{control_name, on_foot_name};
use serde_json::Value;

use crate::closures::of_plan;
use crate::opened::{Opened, refused};
use crate::prepared::Prepared;
use crate::sheet;
use crate::view::{Refusal, TableFormat, TableSort};
use crate::{nights, orders, public_view, totals, words};

/// A file for another program.
pub struct Exported {
    /// A name for it.
    pub name: String,
    /// Its media type.
    pub media: &'static str,
    /// Its bytes.
    pub bytes: Vec<u8>,
}

/// The tables asked for, as a file.
///
/// # Errors
/// All tables as CSV are refused; so is everything but jobs without a plan.
pub fn tables(
    opened: &Opened,
    plan: Option<&Plan>,
    what: TableSort,
    format: TableFormat,
) -> Result<Exported, Refusal> {
    let unplanned = || Refusal::coded("D-PLAN", "There is no plan yet; plan the week first.");
    let needed = || plan.ok_or_else(unplanned);
    let all = match what {
        TableSort::Jobs => vec![jobs(opened, plan)],
        TableSort::Visits => vec![visits(needed()?)],
        TableSort::Orders => vec![ordered(opened, needed()?)],
        TableSort::Closures => vec![closed(opened, needed()?)],
        TableSort::All => {
            let plan = needed()?;
            vec![
                jobs(opened, Some(plan)),
                visits(plan),
                ordered(opened, plan),
                closed(opened, plan),
            ]
        }
    };
    match (format, all.as_slice()) {
        (TableFormat::Csv, [one]) => Ok(Exported {
            name: format!("{}.csv", one.name.to_lowercase()),
            media: "text/csv",
            bytes: write_csv(one),
        }),
        (TableFormat::Csv, _) => Err(Refusal::coded(
            "F-KIND",
            "CSV holds one table; choose jobs, visits, orders or closures, or a workbook.",
        )),
        (TableFormat::Xlsx, all) => {
            let name = match all {
                [one] => one.name.to_lowercase(),
                _ => "week".to_owned(),
            };
            Ok(Exported {
                name: format!("{name}.xlsx"),
                media: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
                bytes: write_xlsx(all),
            })
        }
    }
}

/// Writes the tables asked for to a file, whole or not at all.
///
/// # Errors
/// Where there is nothing planned, or the tables asked for are none of that format; or it can't be
/// written.
pub fn write_tables(
    opened: &Opened,
    plan: Option<&Plan>,
    (what, format): (TableSort, TableFormat),
    path: &Path,
) -> Result<(), Refusal> {
    let file = tables(opened, plan, what, format)?;
    write_whole(path, &file.bytes).map_err(|error| refused(&error))
}

fn table<const N: usize>(name: &str, headings: [&'static str; N], rows: Vec<[Cell; N]>) -> Table {
    Table {
        name: name.to_owned(),
        headings: headings.to_vec(),
        rows: rows.into_iter().map(Vec::from).collect(),
    }
}

fn jobs(opened: &Opened, plan: Option<&Plan>) -> Table {
    let prepared = &opened.prepared;
    let routes = plan.into_iter().flat_map(|plan| &plan.routes);
    let serving = nights::routes_of_jobs(routes, |_| true);
    let left: HashMap<&JobId, &str> = plan
        .into_iter()
        .flat_map(|plan| plan.unplanned.iter().chain(&plan.unfinished))
        .map(|one| {
            (
                &one.job,
                one.reasons
                    .first()
                    .map_or("", |reason| reason.text.as_str()),
            )
        })
        .collect();
    let rows = (0..prepared.programme.jobs.len()).map(|at| {
        let id = &prepared.programme.jobs[at].id;
        job(
            prepared,
            at,
            serving.get(id).map_or(&[], Vec::as_slice),
            left.get(id).copied(),
        )
    });
    table("Jobs", JOB_TABLE, rows.collect())
}

fn job(
    prepared: &Prepared,
    at: usize,
    routes: &[&Route],
    left: Option<&str>,
) -> [Cell; JOB_TABLE.len()] {
    let route = routes.first();
    let job = &prepared.programme.jobs[at];
    let shown = sheet::job_of(prepared, at, routes);
    let taken = prepared.take_offs[at].as_deref();
    let point = prepared.points[at].filter(|_| prepared.plane.is_national_grid());
    let date = |date: Option<NaiveDate>| Cell::from(date.map(|date| date.to_string()));
    let hours: Vec<String> = job.site_hours.iter().map(words::hours).collect();
    [
        shown.id.into(),
        job.extra.get("title").and_then(Value::as_str).into(),
        shown.title.into(),
        shown.work.into(),
        shown.position.into(),
        job.at.lon().into(),
        job.at.lat().into(),
        point
            .map(|point| (point.east_m() * 100.0).round() / 100.0)
            .into(),
        point
            .map(|point| (point.north_m() * 100.0).round() / 100.0)
            .into(),
        shown.street.into(),
        job.sizes.clear_length.map(|size| size.mm() as f64).into(),
        job.sizes.clear_width.map(|size| size.mm() as f64).into(),
        taken.map(|taken| taken.sections).into(),
        taken.map(|taken| taken.depth.mm() as f64).into(),
        job.load_class.map(|class| format!("{class:?}")).into(),
        shown.closure.into(),
        date(job.earliest),
        date(job.latest),
        hours.join(", ").into(),
        job.tickets.join(", ").into(),
        u32::from(job.priority).into(),
        job.permit.clone().into(),
        route.map(|route| route.gang.to_string()).into(),
        date(route.map(|route| route.date)),
        left.into(),
        job.extra.get("notes").and_then(Value::as_str).into(),
    ]
}

fn visits(plan: &Plan) -> Table {
    let time = |time: chrono::NaiveDateTime| Cell::from(time.format("%Y-%m-%d %H:%M").to_string());
    let mut rows = Vec::new();
    for route in &plan.routes {
        for (at, visit) in (1_u32..).zip(&route.visits) {
            rows.push([
                route.gang.to_string().into(),
                route.date.to_string().into(),
                at.into(),
                visit.job.to_string().into(),
                words::stage_key(visit.stage).into(),
                time(visit.arrive),
                time(visit.start),
                time(visit.finish),
                visit.status.map(crate::diary::status_key).into(),
            ]);
        }
    }
    let headings = [
        "gang", "date", "order", "job", "stage", "arrive", "start", "finish", "status",
    ];
    table("Visits", headings, rows)
}

fn ordered(opened: &Opened, plan: &Plan) -> Table {
    let all = totals::orders_of_plan(&opened.prepared, plan);
    let mut rows = Vec::new();
    for order in all.iter().map(orders::in_words) {
        for line in order.materials {
            rows.push([
                order.key.as_str().into(),
                line.material.into(),
                line.name.into(),
                line.measured.into(),
                line.ordered.into(),
                line.unit.into(),
                line.packs.into(),
                line.order_by.into(),
                line.supplier.into(),
                line.price.into(),
            ]);
        }
    }
    let headings = [
        "order", "material", "name", "measured", "ordered", "unit", "packs", "order_by",
        "supplier", "price",
    ];
    table("Orders", headings, rows)
}

fn closed(opened: &Opened, plan: &Plan) -> Table {
    let prepared = &opened.prepared;
    let public = of_plan(prepared, plan);
    let views = public_view::closures(prepared, &public).into_iter();
    let row = |(closure, led): (crate::view::ClosureView, &gangday_model::Arrangement)| {
        let date = closure.date.parse::<NaiveDate>();
        let clock = |minutes| match date {
            Ok(date) => Cell::from(words::clock_on(date, minutes)),
            Err(_) => Cell::from(words::clock(minutes)),
        };
        [
            closure.job.into(),
            closure.gang.into(),
            closure.date.into(),
            closure.street_name.or(closure.street).into(),
            closure.kind.into(),
            control_name(led.control).into(),
            on_foot_name(led.on_foot).into(),
            clock(closure.from),
            clock(closure.hold_from),
            clock(closure.to),
            closure.because.into(),
        ]
    };
    let rows = views.zip(&public.arrangements).map(row);
    let headings = [
        "job",
        "gang",
        "date",
        "street",
        "kind",
        "control",
        "on_foot",
        "from",
        "hold_from",
        "to",
        "because",
    ];
    table("Closures", headings, rows.collect())
}
