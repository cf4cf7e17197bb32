//! Minutes on a gang sheet are whole.

use gangday_model::Seconds;

/// Below what a clock shows: keeps a sum that should be whole from rounding up to the next minute.
const HAIR: f64 = 1e-6;

/// Longer than any stage; only a figure already refused leads there.
const LONGEST: f64 = 1e9;

/// Whole minutes, the begun one counted.
pub(crate) fn whole(minutes: f64) -> Seconds {
    Seconds::from_minutes((minutes - HAIR).ceil().clamp(0.0, LONGEST) as i64)
}
