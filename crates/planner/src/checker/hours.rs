//! The whole closure, with a hold after the last stage, is within one of the site hours.

use chrono::TimeDelta;
use gangday_model::Finding;

use super::case::{Case, clock, span};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, visits, work) in case.worked() {
        let Some(job) = case.job(id).filter(|job| !job.site_hours.is_empty()) else {
            continue;
        };
        let first = visits.iter().map(|(_, visit)| visit.start).min();
        let last = visits.iter().map(|(_, visit)| visit.finish).max();
        let (Some(from), Some(done)) = (first, last) else {
            continue;
        };
        let until = done
            + work
                .stages
                .last()
                .map_or(TimeDelta::zero(), |last| span(last.wait()));
        let within = job.site_hours.iter().any(|hours| {
            from >= from.date().and_time(hours.from) && until <= from.date().and_time(hours.until)
        });
        if !within {
            let text = format!("its closure lasts from {} to {}", clock(from), clock(until));
            let hours: Vec<String> = job
                .site_hours
                .iter()
                .map(|hours| {
                    format!(
                        "{} to {}",
                        hours.from.format("%H:%M"),
                        hours.until.format("%H:%M")
                    )
                })
                .collect();
            let remedy = format!("keep all of it within {}", hours.join(" or within "));
            found.push(case.of_visit("R-HOURS", visits[0].0, id, text, remedy));
        }
    }
}
