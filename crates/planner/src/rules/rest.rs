//! The break: a long day has one, uninterrupted, between the first visit and the drive home.
//!
//! Hard. It costs the crew's time. It is put where it delays the day's end least, before a stated
//! time of work is over where that can be; time spent waiting for a cure counts, if it is long enough.
//!
//! # Source
//! Working Time Regulations 1998, regulation 12: 20 minutes where the day is longer than six hours (from
//! memory, high confidence). When it is taken is common practice, no source.

use std::cmp::Reverse;

use crate::GangDay;
use crate::setting::Setting;
use crate::timing::Timing;

impl Timing {
    /// Puts the break in, if the day needs one; false where it can't have it. The day's turns are
    /// timed and it has gone home.
    pub(crate) fn take_break(&mut self, setting: &Setting<'_>, day: &GangDay) -> bool {
        let long = self.end - day.start.min(self.end) > day.break_after;
        if day.break_lasts == 0 || self.turns.is_empty() || !long {
            return true;
        }
        self.slack(setting, day);
        let best = (1..=self.turns.len())
            .filter_map(|at| Some((self.delay(setting, day, at)?, at)))
            .min();
        let Some((_, at)) = best else { return false };
        if at == self.turns.len() {
            self.home_pause = day.break_lasts;
        } else {
            self.turns[at].pause = day.break_lasts;
        }
        self.run_from(setting, day, at)
    }

    /// Whether a break before this turn comes late, by how much it delays the day's end, and how much
    /// waiting it uses, most first; nothing where it makes the day impossible.
    fn delay(
        &self,
        setting: &Setting<'_>,
        day: &GangDay,
        at: usize,
    ) -> Option<(bool, u32, Reverse<u32>)> {
        let left = self.turns[at - 1].finish;
        let late = left > day.start.saturating_add(day.break_after);
        let Some(turn) = self.turns.get(at) else {
            let way = (self.turns[at - 1].node, day.depot);
            let back = setting.drive(day, way, left + day.break_lasts).arrive;
            let end = back.saturating_add(day.unload);
            return (end <= day.latest).then_some((late, end - self.end, Reverse(0)));
        };
        let begins = if setting.is_flat() {
            left + turn.leg + day.break_lasts
        } else {
            let free = (self.turns[at - 1].node, left + day.break_lasts);
            self.way(setting, at, free).arrive
        };
        if begins > turn.latest {
            return None;
        }
        let waiting = (turn.start - left - turn.leg).min(day.break_lasts);
        Some((late, begins.saturating_sub(turn.float), Reverse(waiting)))
    }
}

/// Shown when it bites.
pub(crate) fn words(lasts: u32, after: u32) -> String {
    format!(
        "A day of more than {} h has a break of {} min; without it the job would fit.",
        after / 3_600,
        lasts.div_ceil(60)
    )
}
