//! The parts of the costs add up to their total.

use gangday_model::Finding;

use super::case::Case;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let costs = &case.plan.costs;
    let parts = [
        costs.crew_pence,
        costs.overtime_pence,
        costs.travel_pence,
        costs.set_ups_pence,
        costs.gang_days_pence,
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
}
