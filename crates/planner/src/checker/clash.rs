//! Closures that must not be there at once are not.

use chrono::NaiveDateTime;
use gangday_model::{Finding, JobId, Route};

use super::case::{Case, clock, moment};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    let clashes = case.brief.limits.clashes.iter();
    for (one, other) in clashes.filter(|(one, other)| !case.are_both_open(one, other)) {
        let (Some(first), Some(second)) = (closed(case, one), closed(case, other)) else {
            continue;
        };
        let (from, until) = (first.1.max(second.1), first.2.min(second.2));
        if from < until {
            let told = match from.date() == until.date() {
                true => clock,
                false => moment,
            };
            let text = format!(
                "its closure and that of {other} are there at once, from {} to {}",
                told(from),
                told(until)
            );
            let remedy = "move one of the two to another time or day";
            found.push(case.of_visit("R-CLASH", first.0, one, text, remedy));
        }
    }
}

/// From a job's first visit, or from when on it stands, to its last.
fn closed<'a>(case: &Case<'a>, job: &JobId) -> Option<(&'a Route, NaiveDateTime, NaiveDateTime)> {
    let visits = case.visits.get(job)?;
    let from = visits.iter().map(|(_, visit)| visit.start).min()?;
    let until = visits.iter().map(|(_, visit)| visit.finish).max()?;
    let from = case.open_since(job).unwrap_or(from);
    Some((visits.first()?.0, from, until))
}
