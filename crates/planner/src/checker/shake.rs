//! Nobody's hand-arm vibration passes the limit value.
//!
//! # Source
//! Control of Vibration at Work Regulations 2005 (SI 2005/1093).

use gangday_model::Finding;

use super::case::Case;

/// Below what an instrument shows.
const HAIR: f64 = 1e-9;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let Some((exposure, limit)) = case.brief.limits.vibration else {
        return;
    };
    for route in &case.plan.routes {
        let Some(a8) = exposure(route).filter(|a8| *a8 > limit + HAIR) else {
            continue;
        };
        let text =
            format!("vibration A(8) of {a8:.2} m/s² is past the limit value of {limit} m/s²");
        let remedy = "spread the jobs over more days, or share the tools among more operatives";
        found.push(case.of_route("R-SHAKE", route, text, remedy));
    }
}
