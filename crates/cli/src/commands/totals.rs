//! `gangday totals`.

use std::process::ExitCode;

use gangday_app::{Opened, OrderBy, TotalsReport, read_plan, totals};

use super::{Done, status};
use crate::args::{By, TotalsArgs};
use crate::print;

/// Totals what the jobs take.
pub fn run(args: &TotalsArgs) -> Done {
    if matches!(args.by, By::Route | By::Day) && args.plan.is_none() {
        print::message("Orders by route or day need a plan; add --plan PLAN.");
        return Ok(ExitCode::from(2));
    }
    let opened = Opened::from_folder(&args.programme)?;
    let plan = args.plan.as_deref().map(read_plan).transpose()?;
    let report = totals(&opened, plan.as_ref(), order_by(args.by))?;
    if args.json {
        print::json(&report);
    } else {
        show(&report);
    }
    print::messages(&report.findings);
    Ok(status(report.sound()))
}

fn order_by(by: By) -> OrderBy {
    match by {
        By::Job => OrderBy::Job,
        By::Route => OrderBy::Route,
        By::Day => OrderBy::Day,
        By::Week => OrderBy::Week,
    }
}

fn show(report: &TotalsReport) {
    for order in report.orders_in_words() {
        print::line(&order.key);
        let heads = ["", "measured", "ordered", "unit", "packs"];
        let rows = order.materials.iter().map(|line| {
            [
                &line.name,
                &line.measured,
                &line.ordered,
                &line.unit,
                &line.packs,
            ]
            .map(String::clone)
        });
        print::table(&heads, rows);
        print::line("");
    }
}
