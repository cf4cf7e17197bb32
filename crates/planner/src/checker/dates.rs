//! A job is worked between its earliest and its latest date.

use gangday_model::Finding;

use super::case::{Case, name, of_visit};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits) in &case.visits {
        let Some(job) = case.job(id) else { continue };
        let broken = visits.iter().find(|(route, _)| {
            job.earliest.is_some_and(|first| route.date < first)
                || job.latest.is_some_and(|last| route.date > last)
        });
        if let Some((route, _)) = broken {
            let earliest = job
                .earliest
                .map_or("any day".to_owned(), |day| day.to_string());
            let latest = job
                .latest
                .map_or("any day".to_owned(), |day| day.to_string());
            let text = format!("{} is not within {earliest} to {latest}", name(route));
            found.push(of_visit(
                "R-DATES",
                route,
                id,
                text,
                "move it within its dates",
            ));
        }
    }
}
