//! How much longer a gang's journeys take than usual.

use gangday_ground::roads::{ONE, Speeds};
use gangday_model::{Finding, Gang, Hours};

use crate::words;

/// What a gang may state of its vehicle in `gangs.json`: 1.2 takes a fifth longer than usual.
pub const JOURNEY_FACTOR: &str = "journey_factor";

/// A vehicle is no faster and no slower than this.
const USABLE: std::ops::RangeInclusive<f64> = 0.5..=3.0;

/// The factor of every journey that a gang makes: its vehicle's, times that of the slowest hour
/// that its shift or its overtime touches.
///
/// One factor for the whole gang-day keeps the times between places the same whenever the gang
/// drives; by the slowest hour no journey takes longer than planned.
///
/// # Units
/// Parts of [`ONE`].
#[must_use]
pub fn factor(speeds: &Speeds, gang: &Gang) -> u32 {
    let hour = hours(gang).map(|hour| speeds.factor_at(hour)).max();
    let product = u64::from(vehicle(gang)) * u64::from(hour.unwrap_or(ONE));
    u32::try_from(product.div_ceil(u64::from(ONE))).unwrap_or(u32::MAX)
}

fn vehicle(gang: &Gang) -> u32 {
    let stated = gang
        .extra
        .get(JOURNEY_FACTOR)
        .and_then(serde_json::Value::as_f64);
    let usable = stated.filter(|factor| USABLE.contains(factor));
    usable.map_or(ONE, |factor| (factor * f64::from(ONE)).round() as u32)
}

/// The hours of the day that a gang may be on the road in.
fn hours(gang: &Gang) -> std::ops::RangeInclusive<u32> {
    let Hours { from, until } = gang.shift;
    let overtime = u32::try_from(gang.overtime.minutes_up()).unwrap_or(0);
    let last = (words::minutes_of_day(until) + overtime).min(24 * 60 - 1);
    words::minutes_of_day(from) / 60..=last / 60
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
