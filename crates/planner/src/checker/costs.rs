//! The parts of the costs are what the plan's visits and times come to, and add up to their total.

use gangday_model::{Costs, Finding};

use super::bill;
use super::case::Case;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let stated = parts(&case.plan.costs);
    let limits = &case.brief.limits;
    let own = limits.prices.map(|prices| bill::of(case, prices));
    let own = own.unwrap_or_else(|| Costs {
        nights_pence: bill::over_nights(case).unwrap_or(case.plan.costs.nights_pence),
        ..case.plan.costs
    });
    for ((what, own), (_, stated)) in parts(&own).into_iter().zip(stated) {
        if own != stated && (what != CHANGES || limits.issued.is_some()) {
            let (stated, own) = (pounds(stated), pounds(own));
            let text = format!("The plan says that {what} cost {stated}; they cost {own}");
            let remedy = "plan the week again, or put the costs right";
            found.push(Finding::fault("R-COSTS", text, remedy).at("costs"));
        }
    }
    let (sum, total) = (
        stated.iter().map(|(_, pence)| pence).sum::<i64>(),
        case.plan.costs.total_pence,
    );
    if sum != total {
        let (sum, total) = (pounds(sum), pounds(total));
        let text = format!("The parts of the costs come to {sum}, not to {total}");
        let finding = Finding::fault("R-COSTS", text, "add them up again");
        found.push(finding.at("costs"));
    }
}

/// What the plan's visits and times come to, added up; none where nobody tells prices.
pub(super) fn as_it_stands(case: &Case<'_>) -> Option<Costs> {
    let own = bill::of(case, case.brief.limits.prices?);
    let total_pence = parts(&own).iter().map(|(_, pence)| pence).sum();
    Some(Costs { total_pence, ..own })
}

/// Pence as money.
fn pounds(pence: i64) -> String {
    let sign = if pence < 0 { "−" } else { "" };
    let pence = pence.unsigned_abs();
    format!("{sign}£{}.{:02}", pence / 100, pence % 100)
}

/// What depends on an earlier plan.
const CHANGES: &str = "changes to the earlier plan";

/// Every part, in words.
fn parts(costs: &Costs) -> [(&'static str, i64); 10] {
    [
        ("crews within their shifts", costs.crew_pence),
        ("crews past their shifts", costs.overtime_pence),
        ("vehicles on the road", costs.travel_pence),
        ("set-ups of traffic management", costs.set_ups_pence),
        ("gang-days begun", costs.gang_days_pence),
        ("nights that works are left over", costs.nights_pence),
        ("hours of closures", costs.closure_pence),
        (CHANGES, costs.changes_pence),
        ("closures that are there at once", costs.clashes_pence),
        ("jobs left out", costs.left_out_pence),
    ]
}
