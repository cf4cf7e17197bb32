use std::sync::Arc;

use gangday_model::ParameterTable;
use serde_json::json;

use super::*;
use crate::demo;
use crate::totals::orders_of_plan;
use crate::view::DemoWeek;

const QUARRY: &str = "Sallowby <b>Stone</b> (invented)";

/// The small demo week, whose type 1 comes from a quarry that is named, with a price.
fn with_a_quarry() -> Opened {
    let opened = demo::open(DemoWeek::Small);
    let mut programme = opened.prepared.programme.as_ref().clone();
    let mut rows: Vec<_> = opened.prepared.materials.rows().cloned().collect();
    for row in &mut rows {
        if row.key.starts_with("lead.") {
            row.extra.remove("supplier");
        }
        if row.key == "lead.type1" {
            row.extra.insert("supplier".to_owned(), json!(QUARRY));
        }
        if row.key == "price.type1" {
            row.value = 2_400.0;
        }
    }
    programme.materials = ParameterTable::new(rows);
    Opened {
        prepared: Arc::new(Prepared::new(programme)),
        ..opened
    }
}

#[test]
fn what_the_sheets_add_up_to_is_what_the_week_orders() {
    let opened = with_a_quarry();
    let plan = opened.plan.clone().unwrap();
    let orders = orders_of_plan(&opened.prepared, &plan);
    let (week, days) = (&orders[0], days(&opened.prepared, &plan));
    assert!(week.key == "week" && days.len() > 1);
    let mut bought = 0;
    for whole in week.materials.iter().filter(|line| line.supply.is_some()) {
        let lines = days.iter().flat_map(|day| &day.order.materials);
        let own: Vec<_> = lines
            .filter(|line| line.material == whole.material)
            .collect();
        let measured: f64 = own.iter().map(|line| line.measured).sum();
        let ordered: f64 = own.iter().map(|line| line.ordered).sum();
        let name = &whole.name;
        assert!(
            (measured - whole.measured).abs() < 1e-6,
            "{name}: {measured}"
        );
        // All of it keeps, so that what days round up is used by the next.
        assert!(
            (ordered - whole.ordered).abs() < 1e-6,
            "{name}: {ordered}, {whole:?}"
        );
        let sheets = sheets(&opened, &plan);
        let sums = sheets.iter().flat_map(|sheet| &sheet.sums);
        let sums: Vec<_> = sums.filter(|sum| sum.name == *name).collect();
        let told = |amount| {
            let unit = words::unit(&whole.unit);
            format!("{} {unit}", words::rounded(amount, &whole.unit))
        };
        assert_eq!(sums.len(), 1, "{name} is on one sheet");
        assert_eq!(sums[0].measured, told(whole.measured));
        assert_eq!(sums[0].ordered, told(whole.ordered));
        bought += 1;
    }
    assert!(bought >= 6, "{bought}");
}

#[test]
fn each_supplier_has_a_sheet_and_nobodys_comes_last() {
    let opened = with_a_quarry();
    let plan = opened.plan.clone().unwrap();
    let own = sheets(&opened, &plan);
    let names: Vec<_> = own.iter().map(|sheet| sheet.supplier.as_str()).collect();
    assert_eq!(names, [QUARRY, NOBODY]);
    assert!(own[0].lines.iter().all(|line| line.name == "Type 1"));
    assert!(own[0].lines.iter().all(|line| line.price.starts_with('£')));
    assert!(own[1].lines.iter().any(|line| line.name == "Base concrete"));
    assert!(own[1].lines.iter().all(|line| line.name != "Spoil"));
    for (sheet, (name, html)) in own.iter().zip(order_sheets(&opened, &plan)) {
        assert!(
            name.starts_with("order-") && !name.contains(['/', '<', ' ']),
            "{name}"
        );
        assert!(!sheet.sections.is_empty() && sheet.sections.len() <= SHOWN);
        assert!(!html.contains("<b>") && !html.contains("<script"));
        assert!(html.contains("Invented for a demonstration"));
        for line in &sheet.lines {
            assert!(!line.order_by.is_empty() && line.lead.contains("working day"));
            assert!(!line.used_by.is_empty(), "{line:?}");
            assert!(html.contains(&line.need_by));
        }
    }
}

#[test]
fn every_planned_job_that_takes_a_material_is_named_beside_it_once() {
    let opened = demo::open(DemoWeek::Full);
    let plan = opened.plan.clone().unwrap();
    let own = sheets(&opened, &plan);
    let lines: Vec<_> = own.iter().flat_map(|sheet| &sheet.lines).collect();
    let mut jobs: Vec<&str> = plan
        .routes
        .iter()
        .flat_map(|route| &route.visits)
        .map(|visit| visit.job.as_str())
        .collect();
    jobs.sort_unstable();
    jobs.dedup();
    let named = |users: &str| -> Vec<String> {
        let gangs = users.split("; ").filter_map(|user| user.split_once(": "));
        gangs
            .flat_map(|(_, jobs)| jobs.split(", ").map(str::to_owned))
            .collect()
    };
    let of = |name: &str| {
        let lines = lines.iter().filter(|line| line.name == name);
        lines
            .flat_map(|line| named(&line.used_by))
            .collect::<Vec<_>>()
    };
    for name in ["Type 1", "Base concrete"] {
        let mut told = of(name);
        told.sort_unstable();
        let mut once = told.clone();
        once.dedup();
        assert_eq!(told, once, "{name}");
        let takes = |job: &&str| {
            let at = opened
                .prepared
                .index_of(&gangday_model::JobId::new(*job))
                .unwrap();
            let taken = opened.prepared.take_offs[at].as_deref().unwrap();
            let own = order("", [taken], &opened.prepared.materials).materials;
            own.iter().any(|line| line.name == name)
        };
        let expected: Vec<&str> = jobs.iter().copied().filter(takes).collect();
        assert!(!expected.is_empty());
        assert_eq!(told, expected, "{name}");
    }
}

#[test]
fn where_each_gang_loads_is_told_once_and_only_where_depots_differ() {
    let opened = demo::open(DemoWeek::Full);
    let prepared = &opened.prepared;
    let told = depots(prepared).unwrap();
    for gang in &prepared.programme.gangs {
        assert_eq!(told.matches(gang.name.as_str()).count(), 1, "{told}");
    }
    let mut programme = prepared.programme.as_ref().clone();
    let first = programme.gangs[0].depot;
    for gang in &mut programme.gangs {
        gang.depot = first;
    }
    assert_eq!(depots(&Prepared::new(programme)), None);
}
