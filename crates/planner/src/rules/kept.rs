//! Changes to a plan that was issued: each has its price, so that as little changes as can.
//!
//! No limit. Another gang or day costs `Rates::moved`, another time on the same gang-day
//! `Rates::retimed`; begun up to `Rates::at_same_time` earlier or later is no change.

use crate::GangDay;
use crate::setting::Setting;
use crate::timing::Turn;

/// What the changes on this day, settled, cost.
pub(crate) fn price(setting: &Setting<'_>, day: &GangDay, turns: &[Turn]) -> i64 {
    if !setting.keeps {
        return 0;
    }
    let rates = &setting.problem.rates;
    let begun = turns.iter().filter(|turn| turn.step.block == 0);
    begun
        .map(|turn| match setting.task(turn.step.task).kept {
            None => 0,
            Some(kept) if (kept.gang, kept.day) != (day.gang, day.day) => rates.moved,
            Some(kept) if kept.start.abs_diff(turn.settled) > rates.at_same_time => rates.retimed,
            Some(_) => 0,
        })
        .sum()
}
