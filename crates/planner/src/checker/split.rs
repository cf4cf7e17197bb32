//! One gang does the whole job on one day, but for nights over which it may be left; on any one date it is
//! in one gang-day.

use gangday_model::Finding;

use super::case::{Case, days, of_job};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits) in &case.visits {
        let routes = days(visits);
        let nights = case.job(id).map(|job| case.may_be_left(job).0);
        let split = routes
            .windows(2)
            .find(|pair| pair[0].date == pair[1].date || nights.unwrap_or(0) == 0);
        if let Some(pair) = split {
            let text = format!(
                "it is with {} and with {}",
                case.name(pair[0]),
                case.name(pair[1])
            );
            let remedy = "give all its stages to one gang on one day";
            found.push(of_job("R-SPLIT", id, text, remedy));
        }
    }
}
