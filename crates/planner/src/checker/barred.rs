//! No job is on its street while the street's authority bars it: neither before a date nor within
//! hours. They count as the job's own dates and hours do.

use gangday_model::Finding;

use super::case::{Case, clock, day};

pub(super) fn check(case: &Case<'_>, found: &mut Vec<Finding>) {
    for (id, barred) in case.brief.limits.barred {
        let Some(visits) = case.visits.get(id) else {
            continue;
        };
        let early = |date| barred.before.filter(|before| date < *before);
        let first = visits
            .iter()
            .find_map(|(route, _)| Some((route, early(route.date)?)));
        if let Some((route, before)) = first {
            let text = format!(
                "its street is barred until {}, and {} is earlier",
                day(before),
                day(route.date)
            );
            let remedy = "move it later, or get the authority's consent";
            found.push(case.of_visit("R-DATES", route, id, text, remedy));
        }
        let from = visits.iter().map(|(_, visit)| visit.start).min();
        let until = visits.iter().map(|(_, visit)| visit.finish).max();
        let (Some(from), Some(until)) = (from, until) else {
            continue;
        };
        let dates = || {
            let all = from.date().iter_days();
            all.take_while(|date| *date <= until.date())
        };
        let met = barred.hours.iter().find(|hours| {
            dates()
                .any(|date| from < date.and_time(hours.until) && date.and_time(hours.from) < until)
        });
        if let Some(hours) = met {
            let text = format!(
                "its closure lasts from {} to {}, and its street is barred from {} to {}",
                clock(from),
                clock(until),
                hours.from.format("%H:%M"),
                hours.until.format("%H:%M")
            );
            let remedy = "keep all of it outside those hours";
            found.push(case.of_visit("R-HOURS", visits[0].0, id, text, remedy));
        }
    }
}
