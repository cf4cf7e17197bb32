//! What the street's authority says of its street: hours in which traffic must not be held up, and
//! a date before which nobody may dig again.

use std::collections::HashMap;

use gangday_model::{Closure, ClosureKind, Finding, Hours, Street, StreetId};

use crate::names::StreetNames;
use crate::rules::Rules;

impl Rules {
    /// Closures that meet the terms of their streets, where the terms are looked for: each a
    /// warning, since the authority decides.
    ///
    /// # Source
    /// Traffic-sensitive streets and restrictions after earlier works: New Roads and Street Works
    /// Act 1991, ss. 58, 58A and 64, section numbers from memory; times and dates are the street's
    /// own.
    #[must_use]
    pub fn street_terms(
        &self,
        streets: &[Street],
        closures: &[Closure],
        names: &StreetNames,
    ) -> Vec<Finding> {
        let streets: HashMap<&StreetId, &Street> =
            streets.iter().map(|street| (&street.id, street)).collect();
        let (busy, again) = self.looks_for();
        let met = |closure: &Closure| {
            let street = closure.street.as_ref().and_then(|id| streets.get(id))?;
            let restricted = again.then(|| restricted(street, closure, names)).flatten();
            let sensitive = busy.then(|| sensitive(street, closure, names)).flatten();
            Some([restricted, sensitive])
        };
        let met = closures.iter().filter_map(met);
        met.flatten().flatten().collect()
    }
}

fn restricted(street: &Street, closure: &Closure, names: &StreetNames) -> Option<Finding> {
    // Nobody digs where nobody works.
    let (begins, _) = closure.worked?;
    let until = street
        .restricted_until
        .filter(|until| begins.date() < *until)?;
    let text = format!(
        "{} is restricted after earlier works until {}; the works are on {}.",
        names.word(&street.id),
        until.format("%-d %b %Y"),
        begins.date().format("%-d %b %Y")
    );
    let remedy = "Ask the authority for its consent, or plan the job after that date.";
    Some(Finding::warning("T-RESTRICTED", text, remedy).at(closure.job.as_str()))
}

fn sensitive(street: &Street, closure: &Closure, names: &StreetNames) -> Option<Finding> {
    if !matches!(closure.kind, ClosureKind::Lane | ClosureKind::Road) {
        return None;
    }
    let over_night = closure.start.date() < closure.end.date();
    let met = |hours: &&Hours| {
        over_night || (closure.start.time() < hours.until && hours.from < closure.end.time())
    };
    let hours = street.traffic_sensitive.iter().find(met)?;
    let clock = if over_night { "%a %H:%M" } else { "%H:%M" };
    let text = format!(
        "The closure from {} to {} meets the traffic-sensitive hours {} to {} of {}.",
        closure.start.format(clock),
        closure.end.format(clock),
        hours.from.format("%H:%M"),
        hours.until.format("%H:%M"),
        names.word(&street.id)
    );
    let remedy = match closure.worked {
        Some((begins, ends)) if (begins, ends) == (closure.start, closure.end) => {
            "Give the job site hours outside them, or agree the hours with the authority."
        }
        _ => "Finish what stands open, or agree with the authority how long it stands.",
    };
    Some(Finding::warning("T-SENSITIVE", text, remedy).at(closure.job.as_str()))
}

#[cfg(test)]
mod tests {
    use chrono::{NaiveDate, NaiveTime};
    use gangday_model::{LonLat, Parameter, ParameterTable};

    use super::*;
    use crate::rules::shipped_traffic;

    fn time(hour: u32) -> NaiveTime {
        NaiveTime::from_hms_opt(hour, 0, 0).unwrap()
    }

    fn street() -> Street {
        Street {
            id: "S1".into(),
            name: Some("Mill Row".to_owned()),
            road_type: None,
            speed_limit_mph: None,
            width_m: None,
            one_way: false,
            flow_per_3_min: None,
            traffic_sensitive: vec![Hours {
                from: time(7),
                until: time(9),
            }],
            restricted_until: NaiveDate::from_ymd_opt(2027, 3, 2),
            lines: vec![vec![LonLat::new(0.0, 52.0), LonLat::new(0.1, 52.0)]],
            extra: serde_json::Map::new(),
        }
    }

    /// A closure on that day of March 2027, between those hours.
    fn closure(day: u32, from: u32, until: u32) -> Closure {
        let day = NaiveDate::from_ymd_opt(2027, 3, day).unwrap();
        Closure {
            job: "J1".into(),
            gang: "G1".into(),
            street: Some("S1".into()),
            kind: ClosureKind::Lane,
            closes_road: false,
            proposed: false,
            because: String::new(),
            worked: Some((day.and_time(time(from)), day.and_time(time(until)))),
            start: day.and_time(time(from)),
            hold_from: day.and_time(time(until)),
            end: day.and_time(time(until)),
            footprint: Vec::new(),
        }
    }

    fn codes(closure: Closure) -> Vec<String> {
        let found =
            Rules::shipped().street_terms(&[street()], &[closure], &StreetNames::of(&[street()]));
        found.into_iter().map(|finding| finding.code).collect()
    }

    #[test]
    fn works_before_the_restriction_ends_are_named() {
        assert_eq!(codes(closure(1, 10, 12)), ["T-RESTRICTED"]);
        assert_eq!(codes(closure(2, 10, 12)), [""; 0]);
    }

    #[test]
    fn hours_that_only_touch_do_not_meet() {
        assert_eq!(codes(closure(2, 8, 12)), ["T-SENSITIVE"]);
        assert_eq!(codes(closure(2, 9, 12)), [""; 0]);
        assert_eq!(codes(closure(2, 5, 7)), [""; 0]);
    }

    /// From Tuesday evening to Wednesday morning: over the whole of what is busy on one of the two.
    #[test]
    fn a_closure_that_stays_over_night_meets_them() {
        let mut stays = closure(3, 20, 22);
        stays.end += chrono::TimeDelta::hours(10);
        assert_eq!(codes(stays), ["T-SENSITIVE"]);
    }

    #[test]
    fn what_is_not_looked_for_is_not_found() {
        let table: Vec<_> = ["clash.weight.sensitive", "clash.weight.restricted"]
            .map(|key| Parameter {
                value: 0.0,
                ..shipped_traffic().get(key).unwrap().clone()
            })
            .to_vec();
        let figures = shipped_traffic().overlaid(&ParameterTable::new(table));
        let rules = Rules::from_table(&figures).unwrap();
        assert_eq!(
            rules.street_terms(&[street()], &[closure(1, 8, 12)], &StreetNames::default()),
            []
        );
    }

    /// New Roads and Street Works Act 1991, ss. 58 and 58A: barred before the date. Section 64: hours
    /// at a price, for closures of carriageway. The figures decide which.
    #[test]
    fn a_restriction_bars_and_busy_hours_have_their_price() {
        let barred = Rules::shipped().barred(&street(), ClosureKind::Lane);
        assert_eq!(barred.before, NaiveDate::from_ymd_opt(2027, 3, 2));
        assert_eq!((barred.hours.len(), barred.priced.len()), (0, 1));
        assert_eq!(barred.pence_an_hour, 6_000);
        let footway = Rules::shipped().barred(&street(), ClosureKind::Footway);
        assert_eq!((footway.before, footway.priced.len()), (barred.before, 0));
    }

    #[test]
    fn what_leaves_the_carriageway_alone_holds_no_traffic_up() {
        let footway = Closure {
            kind: ClosureKind::Footway,
            ..closure(2, 8, 12)
        };
        assert_eq!(codes(footway), [""; 0]);
        let elsewhere = Closure {
            street: None,
            ..closure(1, 8, 12)
        };
        assert_eq!(codes(elsewhere), [""; 0]);
    }
}
