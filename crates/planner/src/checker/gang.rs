//! Every gang in the plan is in the programme.

use gangday_model::Finding;

use super::case::Case;

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for route in case
        .plan
        .routes
        .iter()
        .filter(|route| case.gang(route).is_none())
    {
        let remedy = "give the gang-day to a gang of the programme";
        found.push(case.of_route("R-GANG", route, "the gang is not in the programme", remedy));
    }
}
