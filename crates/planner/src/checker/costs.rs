//! The parts of the costs add up to their total, and the nights are priced as they are.

use gangday_model::{Finding, Route, Visit};

use super::case::Case;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let costs = &case.plan.costs;
    let parts = [
        costs.crew_pence,
        costs.overtime_pence,
        costs.travel_pence,
        costs.set_ups_pence,
        costs.gang_days_pence,
        costs.nights_pence,
        costs.closure_pence,
        costs.changes_pence,
        costs.clashes_pence,
        costs.left_out_pence,
    ];
    let sum: i64 = parts.iter().sum();
    if sum != costs.total_pence {
        let text = format!(
            "The parts of the costs come to {sum}p, not to {}p",
            costs.total_pence
        );
        let finding = Finding::fault("R-COSTS", text, "add them up again");
        found.push(finding.at("costs"));
    }
    let nights: i64 = case.visits.values().map(|visits| nights(visits)).sum();
    let price = case.brief.limits.night.map(|night| night * nights);
    if let Some(price) = price.filter(|price| *price != costs.nights_pence) {
        let text = format!(
            "Works are left over {nights} nights, which come to {price}p, not to {}p",
            costs.nights_pence
        );
        let finding = Finding::fault("R-COSTS", text, "price each night once");
        found.push(finding.at("costs"));
    }
}

/// Over how many nights a job is left.
fn nights(visits: &[(&Route, &Visit)]) -> i64 {
    let dates = || visits.iter().map(|(route, _)| route.date);
    let both = dates().min().zip(dates().max());
    both.map_or(0, |(first, last)| (last - first).num_days())
}
