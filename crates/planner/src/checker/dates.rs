//! A job is worked between its earliest and its latest date.

use gangday_model::Finding;

use super::case::{Case, day};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits) in &case.visits {
        let Some(job) = case.job(id) else { continue };
        let broken = visits.iter().find(|(route, _)| {
            job.earliest.is_some_and(|first| route.date < first)
                || job.latest.is_some_and(|last| route.date > last)
        });
        if let Some((route, _)) = broken {
            let stated = |date: Option<_>| date.map_or_else(|| "any day".to_owned(), day);
            let (earliest, latest) = (stated(job.earliest), stated(job.latest));
            let text = format!("{} is not within {earliest} to {latest}", day(route.date));
            found.push(case.of_visit("R-DATES", route, id, text, "move it within its dates"));
        }
    }
}
