//! Busy hours: a closure that holds traffic up in them costs more.
//!
//! No limit. Each hour of the closure within them costs `Task::busy_hour`, to the second; it is no
//! reason to wait on site, only to come at another time or on another day.

use crate::Task;
use crate::setting::Setting;
use crate::timing::{Timing, by_hour};

/// What a closure costs more, there from one time to another.
fn price_of(task: &Task, from: u32, until: u32) -> i64 {
    let met = |&(open, end): &(u32, u32)| i64::from(until.min(end).saturating_sub(from.max(open)));
    by_hour(task.busy_hour, task.busy.iter().map(met).sum())
}

/// What all closures of this day, settled, cost more.
pub(crate) fn price(setting: &Setting<'_>, timing: &Timing, day: u32) -> i64 {
    if !setting.busy {
        return 0;
    }
    let closures = timing.closures_of(setting, day);
    closures
        .map(|(task, closed)| price_of(setting.task(task), closed.from, closed.until))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// From 08:00 to 17:00 with 07:30 to 09:30 and 16:00 to 18:00 busy: two hours and a half at £60.
    #[test]
    fn only_the_time_within_is_priced() {
        let hours = |hour: u32, minute: u32| hour * 3_600 + minute * 60;
        let task = Task {
            busy: vec![(hours(7, 30), hours(9, 30)), (hours(16, 0), hours(18, 0))],
            busy_hour: 6_000,
            ..Task::default()
        };
        assert_eq!(price_of(&task, hours(8, 0), hours(17, 0)), 15_000);
        assert_eq!(price_of(&task, hours(9, 30), hours(16, 0)), 0);
    }
}
