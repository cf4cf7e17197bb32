//! One gang does the whole job on one day.

use gangday_model::Finding;

use super::case::{Case, name, of_job};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits) in &case.visits {
        let first = visits[0].0;
        let other = visits
            .iter()
            .find(|(route, _)| !std::ptr::eq(*route, first));
        if let Some((other, _)) = other {
            let text = format!("it is in {} and in {}", name(first), name(other));
            let remedy = "give all its stages to one gang on one day";
            found.push(of_job("R-SPLIT", id, text, remedy));
        }
    }
}
