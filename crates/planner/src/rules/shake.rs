//! Hand-arm vibration: all tasks of a gang-day together stay at or below the limit value.
//!
//! Hard at the limit; the action value is a warning of whoever shows the plan. It costs nothing.
//!
//! # Source
//! Control of Vibration at Work Regulations 2005 (SI 2005/1093): limit value 5 m/s2 A(8), which is 400
//! points of 2 a^2 t (points from memory). Points add up, exposures do not, so points are counted.

use crate::GangDay;

/// Whether so much is still allowed.
pub(crate) fn keeps(day: &GangDay, points: u64) -> bool {
    day.shake.is_none_or(|most| points <= u64::from(most))
}

/// Shown when it bites even on a day of its own.
pub(crate) fn words(needs: u32, most: u32) -> String {
    let part = u64::from(needs) * 100 / u64::from(most.max(1));
    format!(
        "Its tools alone come to {part} % of the vibration limit of a gang-day; share them among \
         more operatives, or use tools that shake less."
    )
}
