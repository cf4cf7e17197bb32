//! What the street's authority says of its street: hours in which traffic must not be held up, and
//! a date before which nobody may dig again.

use std::collections::HashMap;

use gangday_model::{Closure, ClosureKind, Finding, Hours, Street, StreetId};

/// Closures that meet the terms of their streets: each a warning, since the authority decides.
///
/// # Source
/// Traffic-sensitive streets and restrictions after earlier works: New Roads and Street Works Act
/// 1991, ss. 58, 58A and 64, section numbers from memory; times and dates are the street's own.
#[must_use]
pub fn street_terms(streets: &[Street], closures: &[Closure]) -> Vec<Finding> {
    let streets: HashMap<&StreetId, &Street> =
        streets.iter().map(|street| (&street.id, street)).collect();
    let met = |closure: &Closure| {
        let street = closure.street.as_ref().and_then(|id| streets.get(id));
        street.map(|street| [restricted(street, closure), sensitive(street, closure)])
    };
    closures
        .iter()
        .filter_map(met)
        .flatten()
        .flatten()
        .collect()
}

fn restricted(street: &Street, closure: &Closure) -> Option<Finding> {
    let until = street
        .restricted_until
        .filter(|until| closure.start.date() < *until)?;
    let text = format!(
        "{} is restricted after earlier works until {until}; the works are on {}.",
        name(street),
        closure.start.date()
    );
    let remedy = "Ask the authority for its consent, or plan the job after that date.";
    Some(Finding::warning("T-RESTRICTED", text, remedy).at(closure.job.as_str()))
}

fn sensitive(street: &Street, closure: &Closure) -> Option<Finding> {
    if !matches!(closure.kind, ClosureKind::Lane | ClosureKind::Road) {
        return None;
    }
    let met =
        |hours: &&Hours| closure.start.time() < hours.until && hours.from < closure.end.time();
    let hours = street.traffic_sensitive.iter().find(met)?;
    let text = format!(
        "The closure from {} to {} meets the traffic-sensitive hours {} to {} of {}.",
        closure.start.format("%H:%M"),
        closure.end.format("%H:%M"),
        hours.from.format("%H:%M"),
        hours.until.format("%H:%M"),
        name(street)
    );
    let remedy = "Give the job site hours outside them, or agree the hours with the authority.";
    Some(Finding::warning("T-SENSITIVE", text, remedy).at(closure.job.as_str()))
}

fn name(street: &Street) -> &str {
    street.name.as_deref().unwrap_or(street.id.as_str())
}

#[cfg(test)]
mod tests {
    use chrono::{NaiveDate, NaiveTime};
    use gangday_model::LonLat;

    use super::*;

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
            proposed: false,
            because: String::new(),
            start: day.and_time(time(from)),
            hold_from: day.and_time(time(until)),
            end: day.and_time(time(until)),
            footprint: Vec::new(),
        }
    }

    fn codes(closure: Closure) -> Vec<String> {
        let found = street_terms(&[street()], &[closure]);
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
