//! Works that stand open from before the first day: what they wait for costs, so that they are finished first.
//!
//! No limit. Each night of the plan until the day on which such a task is gone on with costs `Rates::night`, as
//! any over which works are left, and its closure is there on all of the days before and on that day from
//! midnight. One that is left out clashes with nothing here: no plan can move what nobody works at, and the findings
//! about closures tell of it.

use crate::CostParts;
use crate::GangDay;
use crate::setting::Setting;
use crate::timing::Turn;

/// Adds what the tasks of this day that stood open until then cost.
pub(crate) fn price(setting: &Setting<'_>, day: &GangDay, turns: &[Turn], costs: &mut CostParts) {
    let begun = turns.iter().filter(|turn| turn.step.block == 0);
    for turn in begun.filter(|turn| setting.task(turn.step.task).open) {
        let days = i64::from(day.day);
        costs.nights += days * setting.problem.rates.night;
        costs.closure += days * setting.day_closure(turn.step.task);
    }
}
