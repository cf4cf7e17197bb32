//! Bank holidays by rule and by proclamation, and the working days between them.

mod easter;
mod rules;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use chrono::{Datelike, Days, NaiveDate, Weekday};
use gangday_model::Nation;
use serde::Deserialize;

pub use easter::easter;

/// A day on which no notice counts, and why.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Holiday {
    /// The day.
    pub date: NaiveDate,
    /// What it is called.
    pub name: String,
    /// The act, or the list that it was proclaimed in.
    pub source: String,
}

/// A day that was proclaimed, or taken away, once.
#[derive(Clone, Debug, Deserialize)]
struct Once {
    date: NaiveDate,
    change: Change,
    nations: Vec<Nation>,
    name: String,
    source: String,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Change {
    Add,
    Remove,
}

static SHIPPED: LazyLock<Vec<Once>> = LazyLock::new(|| {
    serde_json::from_str(include_str!("../../defaults/holidays.json"))
        .expect("the shipped holidays are tested")
});

/// The bank holidays of a nation: by rule, as proclaimed, and as the user has changed them.
///
/// One-off days come by proclamation, sometimes at a few months' notice, so the list is never
/// complete: the user's own days go over it.
///
/// # Source
/// Banking and Financial Dealings Act 1971, Schedule 1; St Andrew's Day Bank Holiday (Scotland)
/// Act 2007; days moved or added once, and substitutes on Saturdays: the GOV.UK list of bank
/// holidays.
///
/// ```
/// # use chrono::NaiveDate;
/// use gangday_model::Nation;
/// use gangday_traffic::Holidays;
/// let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).unwrap();
/// let england = Holidays::of(Nation::England);
/// // 10 working days after Thursday 2 April 2026: Good Friday and Easter Monday don't count.
/// assert_eq!(england.after(day(2026, 4, 2), 10), day(2026, 4, 20));
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holidays {
    nation: Nation,
    added: Vec<NaiveDate>,
    removed: Vec<NaiveDate>,
}

impl Holidays {
    /// Those of a nation, as shipped.
    #[must_use]
    pub fn of(nation: Nation) -> Self {
        Self {
            nation,
            added: Vec::new(),
            removed: Vec::new(),
        }
    }

    /// With the user's own days added and taken away; taking away wins.
    #[must_use]
    pub fn changed(mut self, added: &[NaiveDate], removed: &[NaiveDate]) -> Self {
        self.added.extend_from_slice(added);
        self.removed.extend_from_slice(removed);
        self
    }

    /// Those of a year, in order of date.
    #[must_use]
    pub fn of_year(&self, year: i32) -> Vec<Holiday> {
        let mut days: BTreeMap<NaiveDate, Holiday> = BTreeMap::new();
        for (date, name, source) in rules::of_year(self.nation, year) {
            days.insert(date, holiday(date, name, source));
        }
        let ours = |once: &&Once| once.date.year() == year && once.nations.contains(&self.nation);
        for once in SHIPPED.iter().filter(ours) {
            match once.change {
                Change::Add => {
                    days.insert(once.date, holiday(once.date, &once.name, &once.source));
                }
                Change::Remove => {
                    days.remove(&once.date);
                }
            }
        }
        for date in self.added.iter().filter(|date| date.year() == year) {
            days.insert(
                *date,
                holiday(*date, "Bank holiday", "stated by the programme"),
            );
        }
        days.retain(|date, _| !self.removed.contains(date));
        days.into_values().collect()
    }

    /// Whether a notice given then counts: no weekend, no bank holiday, Good Friday or Christmas
    /// Day.
    ///
    /// # Source
    /// New Roads and Street Works Act 1991, s. 98(2) (England and Wales) and s. 157(2) (Scotland),
    /// from memory; Street Works (Northern Ireland) Order 1995, art. 54.
    #[must_use]
    pub fn is_working_day(&self, date: NaiveDate) -> bool {
        let is_weekend = matches!(date.weekday(), Weekday::Sat | Weekday::Sun);
        !is_weekend && !self.is_holiday(date)
    }

    fn is_holiday(&self, date: NaiveDate) -> bool {
        let year = self.of_year(date.year());
        year.binary_search_by_key(&date, |holiday| holiday.date)
            .is_ok()
    }

    /// The day itself, or the first working day after it.
    #[must_use]
    pub fn on_or_after(&self, date: NaiveDate) -> NaiveDate {
        self.seek(date, |day| day + Days::new(1))
    }

    /// The day itself, or the last working day before it.
    #[must_use]
    pub fn on_or_before(&self, date: NaiveDate) -> NaiveDate {
        self.seek(date, |day| day - Days::new(1))
    }

    /// The first working day after a day.
    #[must_use]
    pub fn next(&self, date: NaiveDate) -> NaiveDate {
        self.on_or_after(date + Days::new(1))
    }

    /// So many working days after a day, the day itself not counted.
    #[must_use]
    pub fn after(&self, date: NaiveDate, working_days: u32) -> NaiveDate {
        (0..working_days).fold(date, |day, _| self.next(day))
    }

    /// So many working days before a day, the day itself not counted.
    #[must_use]
    pub fn before(&self, date: NaiveDate, working_days: u32) -> NaiveDate {
        (0..working_days).fold(date, |day, _| self.on_or_before(day - Days::new(1)))
    }

    /// Working days from first to last, both counted.
    #[must_use]
    pub fn between(&self, first: NaiveDate, last: NaiveDate) -> u32 {
        let days = first.iter_days().take_while(|day| *day <= last);
        let working = days.filter(|day| self.is_working_day(*day)).count();
        u32::try_from(working).unwrap_or(u32::MAX)
    }

    /// Never more than a year away, or the user has taken every day.
    fn seek(&self, from: NaiveDate, step: fn(NaiveDate) -> NaiveDate) -> NaiveDate {
        let mut day = from;
        for _ in 0..366 {
            if self.is_working_day(day) {
                return day;
            }
            day = step(day);
        }
        from
    }
}

fn holiday(date: NaiveDate, name: &str, source: &str) -> Holiday {
    Holiday {
        date,
        name: name.to_owned(),
        source: source.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    fn days(nation: Nation, year: i32) -> Vec<String> {
        let all = Holidays::of(nation).of_year(year);
        all.iter()
            .map(|holiday| holiday.date.format("%-d %b").to_string())
            .collect()
    }

    /// 1971 Act, Schedule 1: in August, the last Monday in England and Wales, the first in Scotland.
    #[test]
    fn august_s_holiday_is_the_last_monday_or_the_first_by_nation() {
        assert!(days(Nation::England, 2027).contains(&"30 Aug".to_owned()));
        assert!(days(Nation::Wales, 2027).contains(&"30 Aug".to_owned()));
        assert!(days(Nation::NorthernIreland, 2027).contains(&"30 Aug".to_owned()));
        assert!(days(Nation::Scotland, 2027).contains(&"2 Aug".to_owned()));
        assert!(!days(Nation::Scotland, 2027).contains(&"30 Aug".to_owned()));
    }

    /// Arithmetic on the rules of the 1971 Act and the 2007 Act with the customary substitutes.
    #[test]
    fn the_rules_give_2028() {
        let england = "3 Jan,14 Apr,17 Apr,1 May,29 May,28 Aug,25 Dec,26 Dec";
        assert_eq!(days(Nation::England, 2028).join(","), england);
        let scotland = "3 Jan,4 Jan,14 Apr,1 May,29 May,7 Aug,30 Nov,25 Dec,26 Dec";
        assert_eq!(days(Nation::Scotland, 2028).join(","), scotland);
    }

    #[test]
    fn the_user_s_own_days_go_over_the_list() {
        let one_off = day(2026, 6, 15);
        let scotland = Holidays::of(Nation::Scotland);
        assert!(scotland.is_working_day(one_off));
        let changed = scotland.changed(&[one_off], &[day(2026, 11, 30)]);
        assert!(!changed.is_working_day(one_off));
        assert!(changed.is_working_day(day(2026, 11, 30)));
    }

    #[test]
    fn a_calendar_without_working_days_ends() {
        let all: Vec<NaiveDate> = day(2026, 1, 1).iter_days().take(800).collect();
        let none = Holidays::of(Nation::England).changed(&all, &[]);
        assert_eq!(none.on_or_after(day(2026, 3, 2)), day(2026, 3, 2));
    }

    #[test]
    fn working_days_are_counted_over_easter() {
        let england = Holidays::of(Nation::England);
        assert_eq!(england.between(day(2026, 4, 1), day(2026, 4, 8)), 4);
        assert_eq!(england.before(day(2026, 4, 8), 3), day(2026, 4, 1));
        assert_eq!(england.after(day(2026, 4, 1), 3), day(2026, 4, 8));
    }
}
