//! A job is left over no more nights than it may be.

use gangday_model::Finding;

use super::case::{Case, day, days};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits) in &case.visits {
        let routes = days(visits);
        let (Some(first), Some(last)) = (routes.first(), routes.last()) else {
            continue;
        };
        let Some(job) = case.job(id) else { continue };
        let most = case.may_be_left(job).0;
        let nights = (last.date - first.date).num_days();
        // Where it may not be left at all it is split.
        if most > 0 && nights > i64::from(most) {
            let text = format!(
                "it is left over {nights} nights, from {} to {}, and may be over {most}",
                day(first.date),
                day(last.date)
            );
            let remedy = "bring the rest forward, or allow more with `nights`";
            found.push(case.of_visit("R-NIGHTS", last, id, text, remedy));
        }
    }
}
