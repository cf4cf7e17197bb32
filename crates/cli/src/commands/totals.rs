//! `gangday totals`.

use std::process::ExitCode;

use gangday_app::view::MaterialView;
use gangday_app::{
    Explained, Opened, OrderBy, TotalsReport, explain, read_plan, tidy, totals, unit,
};

use super::{Done, status};
use crate::args::{By, TotalsArgs};
use crate::print;

/// Totals what the jobs take.
pub fn run(args: &TotalsArgs) -> Done {
    if matches!(args.by, By::Route | By::Day | By::Depot) && args.plan.is_none() {
        print::message("Orders by route, day or depot need a plan; add --plan PLAN.");
        return Ok(ExitCode::from(2));
    }
    if args.leftovers && args.by != By::Day {
        print::message("What is left over goes from day to day; add --by day --plan PLAN.");
        return Ok(ExitCode::from(2));
    }
    let opened = Opened::from_path(&args.programme)?;
    if let Some(job) = &args.explain {
        let plan = args.plan.as_deref().map(read_plan).transpose()?;
        let told = explain(&opened, plan.as_ref(), job)?;
        if args.json {
            print::json(&told);
        } else {
            show_explained(&told);
        }
        return Ok(status(told.sound()));
    }
    let plan = args.plan.as_deref().map(read_plan).transpose()?;
    let report = totals(&opened, plan.as_ref(), order_by(args.by), args.leftovers)?;
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
        By::Depot => OrderBy::Depot,
        By::Week => OrderBy::Week,
    }
}

/// Each quantity with its formula, its numbers and the figures that it rests on.
fn show_explained(explained: &Explained) {
    let told = &explained.told;
    print::line(&format!("{}: {}", told.job, explained.reckoned_for));
    for quantity in &told.quantities {
        let (value, of) = (tidy(quantity.value), unit(&quantity.unit));
        print::line("");
        print::line(&format!("{} = {value} {of}", quantity.quantity));
        print::line(&format!("    {}", quantity.formula));
        print::line(&format!("    = {}", quantity.numbers));
        for traced in &quantity.parameters {
            let (key, value, unit) = (&traced.key, traced.value, unit(&traced.unit));
            let date = if traced.date.is_empty() {
                String::new()
            } else {
                format!(", {}", traced.date)
            };
            print::line(&format!(
                "      {key} {value} {unit} ({}{date})",
                traced.source
            ));
        }
    }
    for finding in &told.findings {
        print::message(&format!(
            "{} {}\n    {}",
            finding.code, finding.text, finding.remedy
        ));
    }
}

const HEADS: [&str; 11] = [
    "",
    "measured",
    "ordered",
    "unit",
    "packs",
    "rounded up by",
    "from before",
    "left over",
    "order by",
    "from",
    "price",
];

fn row(line: &MaterialView) -> [String; 11] {
    [
        &line.name,
        &line.measured,
        &line.ordered,
        &line.unit,
        &line.packs,
        &line.rounding,
        &line.brought_forward,
        &line.left_over,
        &line.order_by,
        &line.supplier,
        &line.price,
    ]
    .map(String::clone)
}

fn show(report: &TotalsReport) {
    for order in report.orders_in_words() {
        print::line(&order.key);
        print::table(&HEADS, order.materials.iter().map(row));
        for line in &order.alternatives {
            print::line(&format!(
                "  or {}: {} {}",
                line.name, line.ordered, line.unit
            ));
        }
        print::line("");
    }
    for day in &report.gang_days {
        let carried = &day.haulage;
        print::line(&day.key);
        print::line(&format!(
            "  loads out {}, spoil {}, bituminous {}",
            carried.out.loads, carried.spoil.loads, carried.bituminous.loads
        ));
        if let Some(vibration) = &day.vibration {
            let (a8, points) = (vibration.a8, vibration.points);
            print::line(&format!(
                "  vibration A(8) {a8:.2} m/s², {points:.0} points"
            ));
        }
    }
}
