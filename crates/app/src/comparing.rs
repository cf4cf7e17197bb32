//! Two plans of one programme, held against one another.

use std::collections::BTreeSet;

use gangday_model::Plan;

use crate::columns::column;
use crate::opened::Opened;
use crate::view::{Column, ComparisonView, DifferenceView, SideView};
use crate::{diary, keeping, sheet, words};

/// Two plans, each under its name.
#[must_use]
pub fn compare(opened: &Opened, one: (String, &Plan), other: (String, &Plan)) -> ComparisonView {
    let changes = keeping::changes(&opened.prepared, one.1, other.1);
    let (one, other) = (side(opened, one), side(opened, other));
    ComparisonView {
        differences: differences(&one, &other),
        changes: changes.iter().map(diary::change).collect(),
        one,
        other,
    }
}

fn side(opened: &Opened, (name, plan): (String, &Plan)) -> SideView {
    let routes = plan.routes.iter();
    let jobs = plan.unplanned.iter();
    SideView {
        name,
        summary: sheet::summary(opened, plan),
        columns: routes
            .filter_map(|route| column(&opened.prepared, route))
            .collect(),
        unplanned: jobs.map(|one| one.job.to_string()).collect(),
        costs: sheet::costs(&plan.costs),
    }
}

/// A figure of a plan.
type Of = fn(&SideView) -> i64;

/// How a figure is written.
type Written = fn(i64) -> String;

fn differences(one: &SideView, other: &SideView) -> Vec<DifferenceView> {
    let number: Written = |number| number.to_string();
    let time: Written = |minutes| words::lasting(u32::try_from(minutes).unwrap_or(0));
    let way: Written = |tenths| format!("{}.{} km", tenths / 10, tenths % 10);
    let figures: [(&str, Of, Written); 7] = [
        ("Jobs planned", planned, number),
        ("Left out", |side| side.unplanned.len() as i64, number),
        ("Gang-days", |side| side.columns.len() as i64, number),
        (
            "Work",
            |side| minutes(side, |column| column.worked_min),
            time,
        ),
        (
            "On the road",
            |side| minutes(side, |column| column.travel_min),
            time,
        ),
        ("Driven", tenths_of_km, way),
        (
            "Nothing to do",
            |side| minutes(side, |column| column.idle_min),
            time,
        ),
    ];
    let mut lines: Vec<DifferenceView> = figures
        .iter()
        .map(|(label, of, written)| difference(label, of(one), of(other), *written))
        .collect();
    let costs = one.costs.iter().zip(&other.costs);
    let money: Written = words::money;
    lines.extend(costs.map(|(a, b)| difference(&a.label, a.pence as i64, b.pence as i64, money)));
    lines
}

fn planned(side: &SideView) -> i64 {
    // One that is left over a night is on two gang-days.
    let jobs = side.columns.iter().flat_map(|column| &column.jobs);
    jobs.collect::<BTreeSet<_>>().len() as i64
}

fn minutes(side: &SideView, of: fn(&Column) -> u32) -> i64 {
    side.columns
        .iter()
        .map(|column| i64::from(of(column)))
        .sum()
}

fn tenths_of_km(side: &SideView) -> i64 {
    let ways = side.columns.iter().filter_map(|column| column.way.as_ref());
    let km: f64 = ways.map(|way| way.km).sum();
    (km * 10.0).round() as i64
}

fn difference(label: &str, one: i64, other: i64, written: Written) -> DifferenceView {
    let by = match other - one {
        0 => String::new(),
        more if more > 0 => format!("+{}", written(more)),
        less => format!("−{}", written(-less)),
    };
    DifferenceView {
        label: label.to_owned(),
        one: written(one),
        other: written(other),
        by,
    }
}
