//! What a gang-day costs, by part.

use super::Timing;
use crate::rules::{busy, kept, open, set_up};
use crate::setting::{DAY, Setting};
use crate::{CostParts, GangDay};

/// Seconds in an hour.
const HOUR: i64 = 3_600;

/// What this long costs at so much an hour, to the nearest penny.
pub(crate) fn by_hour(rate: i64, seconds: i64) -> i64 {
    (rate * seconds + HOUR / 2).div_euclid(HOUR)
}

/// What this long costs at so much for each begun hour.
pub(crate) fn by_begun_hour(rate: i64, seconds: u32) -> i64 {
    rate * i64::from(seconds.div_ceil(3_600))
}

/// What a closure costs from midnight to midnight, at so much for each begun hour, and so much more an hour within
/// times that don't meet.
#[must_use]
pub fn whole_day(hour: i64, busy_hour: i64, busy: &[(u32, u32)]) -> i64 {
    let within = busy.iter().map(|(open, end)| i64::from(end - open));
    by_begun_hour(hour, DAY) + by_hour(busy_hour, within.sum())
}

/// Crew within the shift and past it, if the day ends then.
pub(crate) fn crew(setting: &Setting<'_>, day: &GangDay, end: u32) -> (i64, i64) {
    let rates = &setting.problem.rates;
    let within = i64::from(end.min(day.end).saturating_sub(day.start));
    let past = i64::from(end.saturating_sub(day.end.max(day.start)));
    (
        by_hour(rates.crew_hour, within),
        by_hour(rates.crew_hour + rates.overtime_hour, past),
    )
}

impl Timing {
    /// What the day costs once it is settled; an empty day costs nothing.
    pub(crate) fn price(&self, setting: &Setting<'_>, day: &GangDay) -> CostParts {
        if self.turns.is_empty() {
            return CostParts::default();
        }
        let rates = &setting.problem.rates;
        let (crew, overtime) = crew(setting, day, self.end);
        let mut costs = CostParts {
            crew,
            overtime,
            travel: by_hour(rates.travel_hour, i64::from(self.travel)),
            set_ups: set_up::price(setting, &self.turns),
            closure: self.closures(setting) + busy::price(setting, self, day.day),
            gang_days: rates.gang_day,
            nights: 0,
            changes: kept::price(setting, day, &self.turns),
            clashes: 0,
            left_out: 0,
        };
        open::price(setting, day, &self.turns, &mut costs);
        costs
    }

    fn closures(&self, setting: &Setting<'_>) -> i64 {
        let closure = |at: usize| {
            let task = self.turns[at].step.task;
            let rate = setting.task(task).closure_hour;
            if rate == 0 {
                return 0;
            }
            let (begun, done) = self.worked(at);
            let (from, until) = setting.stands(task, begun, done);
            by_begun_hour(rate, until - from)
        };
        self.ends(setting).map(closure).sum()
    }
}
