//! When a notice counts, and by when the start of works has to be told.

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta, Timelike};

use super::key;
use crate::holidays::Holidays;
use crate::rules::Rules;

impl Rules {
    /// The working day on which a notice counts as given: its own, or the next working day where
    /// it is given after 16:30 or on a day that is none.
    ///
    /// # Source
    /// Street Works (Northern Ireland) Order 1995, art. 54(3): "A notice given after 4.30 p.m. on a
    /// working day shall be treated as given on the next working day". New Roads and Street Works
    /// Act 1991, s. 98 (England and Wales) and s. 157 (Scotland): the same, from memory.
    ///
    /// ```
    /// use gangday_model::Nation;
    /// use gangday_traffic::{Holidays, Rules};
    /// let england = Holidays::of(Nation::England);
    /// // Maundy Thursday at 16:31: Good Friday and Easter Monday don't count.
    /// let late = "2026-04-02T16:31:00".parse().unwrap();
    /// assert_eq!(Rules::shipped().given(late, &england).to_string(), "2026-04-07");
    /// ```
    #[must_use]
    pub fn given(&self, at: NaiveDateTime, holidays: &Holidays) -> NaiveDate {
        let in_time = at.time() <= self.time(key::DAY_END);
        if in_time && holidays.is_working_day(at.date()) {
            at.date()
        } else {
            holidays.next(at.date())
        }
    }

    /// The last moment of a day that still counts as that day.
    pub(super) fn closing(&self, day: NaiveDate) -> NaiveDateTime {
        day.and_time(self.time(key::DAY_END))
    }

    /// By when the actual start of works in England has to be told, whole minutes counted.
    ///
    /// # Source
    /// SI 2009/303 reg. 6(1) as amended by SI 2020/122 reg. 6(3): start 00:00 to 07:59 on a working
    /// day, 10:00 the same day; 08:00 to 16:30, two hours after; 16:31 to 23:59, 10:00 the next
    /// working day; on any other day, 10:00 the next working day.
    ///
    /// ```
    /// use gangday_model::Nation;
    /// use gangday_traffic::{Holidays, Rules};
    /// let england = Holidays::of(Nation::England);
    /// let start = "2026-03-03T16:30:00".parse().unwrap();
    /// let by = Rules::shipped().start_told_by(start, &england);
    /// assert_eq!(by.to_string(), "2026-03-03 18:30:00");
    /// ```
    #[must_use]
    pub fn start_told_by(&self, start: NaiveDateTime, holidays: &Holidays) -> NaiveDateTime {
        let day = start.date();
        let minute = start.time().with_second(0).unwrap_or(start.time());
        let morning = self.time(key::START_NEXT);
        if !holidays.is_working_day(day) || minute > self.time(key::DAY_END) {
            holidays.next(day).and_time(morning)
        } else if minute < self.time(key::START_FROM) {
            day.and_time(morning)
        } else {
            start + TimeDelta::minutes(self.value(key::START_AFTER) as i64)
        }
    }

    /// A time of day that is kept as minutes from midnight.
    pub(super) fn time(&self, key: &'static str) -> NaiveTime {
        let seconds = (self.value(key) * 60.0).clamp(0.0, 86_399.0) as u32;
        NaiveTime::from_num_seconds_from_midnight_opt(seconds, 0).unwrap_or(NaiveTime::MIN)
    }
}

#[cfg(test)]
mod tests {
    use gangday_model::Nation;

    use super::*;

    fn told(start: &str) -> String {
        let england = Holidays::of(Nation::England);
        let by = Rules::shipped().start_told_by(start.parse().unwrap(), &england);
        by.format("%a %-d %b %H:%M").to_string()
    }

    /// SI 2020/122 reg. 6(3), its four cases and their edges; Tuesday is 3 March 2026.
    #[test]
    fn the_start_is_told_as_si_2020_122_reg_6_has_it() {
        assert_eq!(told("2026-03-03T07:30:00"), "Tue 3 Mar 10:00");
        assert_eq!(told("2026-03-03T07:59:59"), "Tue 3 Mar 10:00");
        assert_eq!(told("2026-03-03T08:00:00"), "Tue 3 Mar 10:00");
        assert_eq!(told("2026-03-03T16:30:00"), "Tue 3 Mar 18:30");
        assert_eq!(told("2026-03-03T16:31:00"), "Wed 4 Mar 10:00");
        assert_eq!(told("2026-03-07T09:00:00"), "Mon 9 Mar 10:00");
        assert_eq!(told("2026-04-02T17:00:00"), "Tue 7 Apr 10:00");
    }

    fn given(at: &str, nation: Nation) -> String {
        let day = Rules::shipped().given(at.parse().unwrap(), &Holidays::of(nation));
        day.to_string()
    }

    /// Street Works (Northern Ireland) Order 1995, art. 54(3): after, not at, 4.30 p.m.
    #[test]
    fn a_notice_after_half_past_four_counts_on_the_next_working_day() {
        let ireland = Nation::NorthernIreland;
        assert_eq!(given("2026-03-03T16:30:00", ireland), "2026-03-03");
        assert_eq!(given("2026-03-03T16:30:01", ireland), "2026-03-04");
        // St Patrick's Day is a bank holiday there and nowhere else.
        assert_eq!(given("2026-03-16T16:31:00", ireland), "2026-03-18");
        assert_eq!(given("2026-03-16T16:31:00", Nation::Wales), "2026-03-17");
    }

    /// NRSWA 1991, s. 98(2) and s. 157(2), from memory: a weekend or a holiday is no working day.
    #[test]
    fn a_notice_on_no_working_day_counts_on_the_next() {
        assert_eq!(given("2026-03-07T09:00:00", Nation::England), "2026-03-09");
        assert_eq!(given("2026-08-03T09:00:00", Nation::Scotland), "2026-08-04");
        assert_eq!(given("2026-08-03T09:00:00", Nation::England), "2026-08-03");
    }
}
