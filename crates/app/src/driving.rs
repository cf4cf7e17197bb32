//! How much longer a gang's journeys take than usual.

use chrono::{NaiveDateTime, TimeDelta, Timelike};
use gangday_ground::roads::{ONE, Speeds};
use gangday_model::{Finding, Gang, Seconds};

/// What a gang may state of its vehicle in `gangs.json`: 1.2 takes a fifth longer than usual.
pub const JOURNEY_FACTOR: &str = "journey_factor";

/// A vehicle is no faster and no slower than this.
const USABLE: std::ops::RangeInclusive<f64> = 0.5..=3.0;

/// For each hour of the day the factor of a journey that a gang begins in it: its vehicle's, times
/// that of the hour.
///
/// # Units
/// Parts of [`ONE`].
#[must_use]
pub fn factors(speeds: &Speeds, gang: &Gang) -> [u32; 24] {
    let vehicle = u64::from(vehicle(gang));
    let mut hour = 0;
    [(); 24].map(|()| {
        let product = vehicle * u64::from(speeds.factor_at(hour));
        hour += 1;
        u32::try_from(product.div_ceil(u64::from(ONE))).unwrap_or(u32::MAX)
    })
}

/// How long the drive of a gang that is free to leave then takes: it leaves so that it is there the
/// soonest, which may be at a later full hour, and of such drives makes the shortest.
#[must_use]
pub fn drive(free: NaiveDateTime, by_hour: impl Fn(u32) -> Seconds) -> Seconds {
    let there = |leaves: NaiveDateTime| {
        let lasts = by_hour(leaves.hour());
        (leaves + TimeDelta::seconds(lasts.seconds()), lasts)
    };
    let into_hour = i64::from(free.num_seconds_from_midnight() % 3_600);
    let full_hour = |after: i64| free + TimeDelta::seconds(after * 3_600 - into_hour);
    let mut best = there(free);
    let mut after = 1;
    while full_hour(after) < best.0 {
        best = best.min(there(full_hour(after)));
        after += 1;
    }
    best.1
}

fn vehicle(gang: &Gang) -> u32 {
    let stated = gang
        .extra
        .get(JOURNEY_FACTOR)
        .and_then(serde_json::Value::as_f64);
    let usable = stated.filter(|factor| USABLE.contains(factor));
    usable.map_or(ONE, |factor| (factor * f64::from(ONE)).round() as u32)
}

/// What is wrong with what a gang states of its vehicle.
#[must_use]
pub fn fault(gang: &Gang) -> Option<Finding> {
    let stated = gang.extra.get(JOURNEY_FACTOR)?;
    if stated
        .as_f64()
        .is_some_and(|factor| USABLE.contains(&factor))
    {
        return None;
    }
    let text = format!(
        "`{JOURNEY_FACTOR}` of gang {} can't be used; its journeys are the usual ones.",
        gang.id
    );
    let remedy = format!(
        "State a number from {} to {}.",
        USABLE.start(),
        USABLE.end()
    );
    let finding = Finding::warning("G-JOURNEY", text, remedy).in_file(gangday_files::GANGS);
    Some(finding.at(gang.id.as_str()).of(JOURNEY_FACTOR))
}
