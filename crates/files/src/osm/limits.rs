//! Speed limits and widths, as people write them.
//!
//! # Source
//! OpenStreetMap wiki: "Key:maxspeed", "Key:maxspeed:type", "Key:width". National limits: Great
//! Britain from The Highway Code, rule 124 (cars); other nations from the wiki's "Default speed
//! limits", from memory.

use super::tags::Tags;

/// A speed limit in the unit in which it is signed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Limit {
    Kmh(u16),
    Mph(u16),
}

/// Kilometres in a mile, exactly.
const KM_PER_MILE: f64 = 1.609_344;
/// Metres in a foot, exactly.
const M_PER_FOOT: f64 = 0.3048;
/// Walking pace, km/h: between the 4 and 7 that German courts take; from memory.
const WALK: Limit = Limit::Kmh(6);

impl Limit {
    /// To the nearest km/h.
    pub(super) fn kmh(self) -> u16 {
        match self {
            Self::Kmh(kmh) => kmh,
            Self::Mph(mph) => (f64::from(mph) * KM_PER_MILE).round() as u16,
        }
    }

    /// To the nearest mph.
    pub(super) fn mph(self) -> u32 {
        match self {
            Self::Mph(mph) => u32::from(mph),
            Self::Kmh(kmh) => (f64::from(kmh) / KM_PER_MILE).round() as u32,
        }
    }
}

/// The limit of a way, and whether one is stated that is not understood.
///
/// Where the two directions differ, the higher one: it is the one to sign and guard works for.
pub(super) fn limit(tags: &Tags<'_>) -> (Option<Limit>, bool) {
    let stated = tags.get("maxspeed").map(read);
    let by_direction = ["maxspeed:forward", "maxspeed:backward"]
        .into_iter()
        .filter_map(|key| tags.get(key).map(read))
        .max_by_key(|read| match read {
            Read::Limit(limit) => limit.kmh(),
            _ => 0,
        });
    let by_law = ["maxspeed:type", "source:maxspeed", "zone:maxspeed"]
        .into_iter()
        .find_map(|key| match read(tags.get(key)?) {
            Read::Limit(limit) => Some(Read::Limit(limit)),
            // Most are remarks, such as "sign".
            _ => None,
        });
    match stated.or(by_direction).or(by_law) {
        Some(Read::Limit(limit)) => (Some(limit), false),
        Some(Read::Strange) => (None, true),
        Some(Read::NoLimit) | None => (None, false),
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Read {
    Limit(Limit),
    NoLimit,
    Strange,
}

fn read(value: &str) -> Read {
    let value = value.trim();
    match value {
        "walk" => return Read::Limit(WALK),
        "none" | "signals" | "variable" | "no" => return Read::NoLimit,
        _ => {}
    }
    let plain = number(value).or_else(|| by_nation(value));
    plain.map_or(Read::Strange, Read::Limit)
}

fn number(value: &str) -> Option<Limit> {
    let digits = value.trim_end_matches(|c: char| c.is_alphabetic() || c == '/' || c == ' ');
    let unit = value[digits.len()..].trim();
    let number: u16 = digits
        .parse()
        .ok()
        .filter(|number| (1..=300).contains(number))?;
    match unit {
        "" | "km/h" | "kmh" | "kph" => Some(Limit::Kmh(number)),
        "mph" => Some(Limit::Mph(number)),
        "knots" => Some(Limit::Kmh((f64::from(number) * 1.852).round() as u16)),
        _ => None,
    }
}

/// `GB:nsl_single`, `DE:urban`, `FI:80`.
fn by_nation(value: &str) -> Option<Limit> {
    let (nation, kind) = value.split_once(':')?;
    let nation = nation.split('-').next().unwrap_or(nation);
    let kind = kind.strip_prefix("zone").unwrap_or(kind);
    if let Some(limit) = number(kind) {
        let mph = matches!((nation, limit), ("GB" | "UK", Limit::Kmh(_)));
        return Some(if mph { Limit::Mph(limit.kmh()) } else { limit });
    }
    Some(match (nation, kind) {
        ("GB" | "UK", "nsl_single" | "rural") => Limit::Mph(60),
        ("GB" | "UK", "nsl_dual" | "motorway") => Limit::Mph(70),
        ("GB" | "UK", "nsl_restricted" | "urban") => Limit::Mph(30),
        (_, "walk" | "living_street") => WALK,
        ("AT" | "CH" | "DE" | "FI" | "FR" | "IT" | "LI", "urban") => Limit::Kmh(50),
        ("AT" | "DE", "rural") => Limit::Kmh(100),
        ("CH" | "FI" | "FR" | "LI", "rural") => Limit::Kmh(80),
        ("IT", "rural") => Limit::Kmh(90),
        ("CH" | "FI", "motorway") => Limit::Kmh(120),
        ("AT" | "FR" | "IT", "motorway") => Limit::Kmh(130),
        _ => return None,
    })
}

/// The width of the carriageway, if one is stated that can be read.
///
/// # Units
/// Metres; 0.5 to 60, as in a programme's own streets.
pub(super) fn width_m(tags: &Tags<'_>) -> Option<f64> {
    let stated = tags
        .get("width:carriageway")
        .or_else(|| tags.get("width"))?;
    let width = metres(stated.trim())?;
    (0.5..=60.0).contains(&width).then_some(width)
}

fn metres(value: &str) -> Option<f64> {
    if let Some((feet, inches)) = value.split_once('\'') {
        let inches = inches.trim_end_matches('"').trim();
        let inches: f64 = if inches.is_empty() {
            0.0
        } else {
            plain(inches)?
        };
        let metres = (plain(feet)? + inches / 12.0) * M_PER_FOOT;
        return Some((metres * 100.0).round() / 100.0);
    }
    plain(value.strip_suffix('m').unwrap_or(value).trim())
}

/// Digits with a point at most, so that no "inf" or "1e9" is taken for a width.
fn plain(text: &str) -> Option<f64> {
    let is_plain = text.chars().all(|c| c.is_ascii_digit() || c == '.');
    is_plain.then(|| text.parse().ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(pairs: &[(&'static str, &'static str)]) -> (Option<Limit>, bool) {
        limit(&Tags(pairs.to_vec()))
    }

    #[test]
    fn limits_are_read_in_every_way_they_are_written() {
        for (value, expected) in [
            ("50", Limit::Kmh(50)),
            ("50 km/h", Limit::Kmh(50)),
            ("30 mph", Limit::Mph(30)),
            ("30mph", Limit::Mph(30)),
            ("walk", WALK),
            ("GB:nsl_single", Limit::Mph(60)),
            ("GB:urban", Limit::Mph(30)),
            ("GB-ENG:nsl_dual", Limit::Mph(70)),
            ("GB:30", Limit::Mph(30)),
            ("DE:zone30", Limit::Kmh(30)),
            ("FI:urban", Limit::Kmh(50)),
        ] {
            assert_eq!(
                of(&[("maxspeed", value)]),
                (Some(expected), false),
                "{value}"
            );
        }
        assert_eq!(of(&[("maxspeed", "none")]), (None, false));
        for strange in [
            "fast",
            "0",
            "-5",
            "999",
            "50;70",
            "50 furlongs",
            "XX:odd",
            "",
        ] {
            assert_eq!(of(&[("maxspeed", strange)]), (None, true), "{strange}");
        }
    }

    #[test]
    fn the_higher_direction_counts_and_a_remark_is_no_limit() {
        let both = [
            ("maxspeed:forward", "30 mph"),
            ("maxspeed:backward", "40 mph"),
        ];
        assert_eq!(of(&both), (Some(Limit::Mph(40)), false));
        assert_eq!(of(&[("source:maxspeed", "sign")]), (None, false));
        let law = [("maxspeed:type", "GB:nsl_restricted")];
        assert_eq!(of(&law), (Some(Limit::Mph(30)), false));
    }

    #[test]
    fn thirty_miles_are_forty_eight_kilometres() {
        assert_eq!((Limit::Mph(30).kmh(), Limit::Kmh(50).mph()), (48, 31));
        assert_eq!((Limit::Mph(30).mph(), Limit::Kmh(50).kmh()), (30, 50));
    }

    #[test]
    fn widths_are_metres_or_feet() {
        let of = |value| width_m(&Tags(vec![("width", value)]));
        for (value, expected) in [("6", 6.0), ("6.5 m", 6.5), ("7m", 7.0), ("20'", 6.1)] {
            assert_eq!(of(value), Some(expected), "{value}");
        }
        assert_eq!(of("16'3\""), Some(4.95));
        for strange in ["", "wide", "inf", "1e1", "0.2", "100", "-4", "6 - 7"] {
            assert_eq!(of(strange), None, "{strange}");
        }
    }
}
