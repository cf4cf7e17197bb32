//! Two plans of one programme, held against one another.

use std::collections::BTreeSet;

use gangday_model::{JobId, Plan};
use serde::{Deserialize, Serialize};

use crate::columns::column;
use crate::opened::Opened;
use crate::view::{Column, ComparisonView, DifferenceView, SideView};
use crate::{diary, keeping, over, sheet, words};

/// What a plan comes to besides its own costs, by the programme that it is of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Figures {
    /// How many jobs the programme has.
    pub jobs: usize,
    /// Work, driving and time with nothing to do, all gangs, minutes.
    pub worked_min: u32,
    /// Driving.
    pub travel_min: u32,
    /// Nothing to do.
    pub idle_min: u32,
    /// How far is driven, in tenths of a kilometre.
    pub tenths_of_km: u32,
}

impl Figures {
    /// Of a plan for the programme as it is now.
    #[must_use]
    pub fn of(opened: &Opened, plan: &Plan) -> Self {
        let columns: Vec<Column> = columns(opened, plan);
        let minutes = |of: fn(&Column) -> u32| columns.iter().map(of).sum();
        let ways = columns.iter().filter_map(|column| column.way.as_ref());
        let km: f64 = ways.map(|way| way.km).sum();
        Self {
            jobs: sheet::how_many_jobs(opened),
            worked_min: minutes(|column| column.worked_min),
            travel_min: minutes(|column| column.travel_min),
            idle_min: minutes(|column| column.idle_min),
            tenths_of_km: (km * 10.0).round() as u32,
        }
    }
}

/// A plan to be held against another: its name, and what it came to when it was issued, if it was.
pub struct Side<'a> {
    /// `Issue 2, Thu 25 Feb` or `On the desk`.
    pub name: String,
    /// The plan.
    pub plan: &'a Plan,
    /// Its figures as they were frozen; worked out anew where there are none.
    pub figures: Option<&'a Figures>,
}

/// Two plans, each under its name.
#[must_use]
pub fn compare(opened: &Opened, one: &Side<'_>, other: &Side<'_>) -> ComparisonView {
    let changes = keeping::changes(&opened.prepared, one.plan, other.plan);
    let figures = |side: &Side<'_>| {
        let frozen = side.figures.cloned();
        frozen.unwrap_or_else(|| Figures::of(opened, side.plan))
    };
    let (of_one, of_other) = (figures(one), figures(other));
    ComparisonView {
        differences: differences((one.plan, &of_one), (other.plan, &of_other)),
        changes: changes.iter().map(diary::change).collect(),
        one: view(opened, one, &of_one),
        other: view(opened, other, &of_other),
    }
}

fn view(opened: &Opened, side: &Side<'_>, figures: &Figures) -> SideView {
    let jobs = side.plan.unplanned.iter();
    SideView {
        name: side.name.clone(),
        summary: sheet::summary(figures.jobs, side.plan),
        columns: columns(opened, side.plan),
        unplanned: jobs.map(|one| one.job.to_string()).collect(),
        costs: sheet::costs(&side.plan.costs),
    }
}

fn columns(opened: &Opened, plan: &Plan) -> Vec<Column> {
    let routes = plan.routes.iter();
    routes
        .filter_map(|route| column(&opened.prepared, route))
        .collect()
}

/// A figure of a plan.
type Of = fn((&Plan, &Figures)) -> i64;

/// How a figure is written.
type Written = fn(i64) -> String;

fn differences(one: (&Plan, &Figures), other: (&Plan, &Figures)) -> Vec<DifferenceView> {
    let number: Written = |number| number.to_string();
    let time: Written = |minutes| words::lasting(u32::try_from(minutes).unwrap_or(0));
    let way: Written = |tenths| format!("{}.{} km", tenths / 10, tenths % 10);
    let figures: [(&str, Of, Written); 7] = [
        ("Jobs planned", |side| planned(side.0), number),
        (
            "Left out",
            |side| over::how_many_left_out(side.0) as i64,
            number,
        ),
        ("Gang-days", |side| side.0.routes.len() as i64, number),
        ("Work", |side| side.1.worked_min.into(), time),
        ("On the road", |side| side.1.travel_min.into(), time),
        ("Driven", |side| side.1.tenths_of_km.into(), way),
        ("Nothing to do", |side| side.1.idle_min.into(), time),
    ];
    let mut lines: Vec<DifferenceView> = figures
        .iter()
        .map(|(label, of, written)| difference(label, of(one), of(other), *written))
        .collect();
    let costs = sheet::costs(&one.0.costs)
        .into_iter()
        .zip(sheet::costs(&other.0.costs));
    let money: Written = words::money;
    lines.extend(costs.map(|(a, b)| difference(&a.label, a.pence as i64, b.pence as i64, money)));
    lines
}

fn planned(plan: &Plan) -> i64 {
    // One that is left over a night is on two gang-days.
    let jobs = plan.visits().map(|visit| &visit.job);
    jobs.collect::<BTreeSet<&JobId>>().len() as i64
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
