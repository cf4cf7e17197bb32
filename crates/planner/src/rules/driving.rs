//! Driving: no more of it in a day than the driver may.
//!
//! Hard. It costs what travel costs.
//!
//! # Source
//! GB domestic drivers' hours, gov.uk: 10 h of driving in a day; 11 h of duty on days with driving,
//! but for drivers who drive no more than 4 h on every day of the week. Whoever poses the problem
//! allows 4 h where the gang's day could be longer than 11 h.

use crate::GangDay;

/// Whether the day keeps to it.
pub(crate) fn keeps(day: &GangDay, driving: u32) -> bool {
    day.driving.is_none_or(|most| driving <= most)
}

/// Shown when it bites.
pub(crate) fn words(needs: u32, most: u32) -> String {
    format!(
        "To drive there and back takes {} min, and a driver may drive {} min in a day; a nearer \
         depot would do.",
        needs.div_ceil(60),
        most / 60
    )
}
