//! Bank holidays that come by rule, year after year.

use chrono::{Datelike, Days, NaiveDate, Weekday};
use gangday_model::Nation;

use super::easter::easter;

/// A holiday and the rule it comes by.
pub(super) type ByRule = (NaiveDate, &'static str, &'static str);

const STATUTE: &str = "Banking and Financial Dealings Act 1971, Schedule 1";
const PROCLAIMED: &str = "proclaimed each year under the Banking and Financial Dealings Act 1971, s. 1(3); London Gazette \
     notice 55182 of 1998 for the pattern";
const COMMON_LAW: &str = "New Roads and Street Works Act 1991, s. 98(2): Good Friday and Christmas Day are named beside the \
     bank holidays (section number from memory)";
const ST_ANDREW: &str = "St Andrew's Day Bank Holiday (Scotland) Act 2007 (asp 2), s. 1";
const BOYNE: &str = "proclaimed each year for Northern Ireland, 12 July (read in a secondary text)";

/// All that come by rule, in no order.
pub(super) fn of_year(nation: Nation, year: i32) -> Vec<ByRule> {
    let mut all = common(year);
    match nation {
        Nation::England | Nation::Wales => all.extend(south(year)),
        Nation::Scotland => all.extend(scotland(year)),
        Nation::NorthernIreland => {
            all.extend(south(year));
            all.extend(ireland(year));
        }
    }
    all
}

fn common(year: i32) -> Vec<ByRule> {
    let good_friday = easter(year) - Days::new(2);
    vec![
        (good_friday, "Good Friday", COMMON_LAW),
        (
            nth_monday(year, 5, 1),
            "Early May bank holiday",
            "Banking and Financial Dealings Act 1971, Schedule 1 (Scotland); proclaimed elsewhere",
        ),
        (last_monday(year, 5), "Spring bank holiday", STATUTE),
        (
            weekend_to(day(year, 12, 25), 27),
            "Christmas Day",
            COMMON_LAW,
        ),
        (weekend_to(day(year, 12, 26), 28), "Boxing Day", STATUTE),
    ]
}

/// What England, Wales and Northern Ireland have and Scotland has not.
fn south(year: i32) -> [ByRule; 3] {
    [
        (to_monday(day(year, 1, 1)), "New Year's Day", PROCLAIMED),
        (easter(year) + Days::new(1), "Easter Monday", STATUTE),
        (last_monday(year, 8), "Summer bank holiday", STATUTE),
    ]
}

fn scotland(year: i32) -> [ByRule; 4] {
    [
        (weekend_to(day(year, 1, 1), 3), "New Year's Day", STATUTE),
        (weekend_to(day(year, 1, 2), 4), "2 January", STATUTE),
        (nth_monday(year, 8, 1), "Summer bank holiday", STATUTE),
        (to_monday(day(year, 11, 30)), "St Andrew's Day", ST_ANDREW),
    ]
}

fn ireland(year: i32) -> [ByRule; 2] {
    [
        (to_monday(day(year, 3, 17)), "St Patrick's Day", STATUTE),
        (to_monday(day(year, 7, 12)), "Battle of the Boyne", BOYNE),
    ]
}

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap_or_default()
}

fn is_weekend(date: NaiveDate) -> bool {
    matches!(date.weekday(), Weekday::Sat | Weekday::Sun)
}

/// The day, or the next Monday where it falls on a weekend.
fn to_monday(date: NaiveDate) -> NaiveDate {
    let on = match date.weekday() {
        Weekday::Sat => 2,
        Weekday::Sun => 1,
        _ => 0,
    };
    date + Days::new(on)
}

/// The day, or that day of the same month where it falls on a weekend: the customary substitute.
fn weekend_to(date: NaiveDate, substitute: u32) -> NaiveDate {
    if is_weekend(date) {
        date.with_day(substitute).unwrap_or(date)
    } else {
        date
    }
}

fn nth_monday(year: i32, month: u32, nth: u8) -> NaiveDate {
    NaiveDate::from_weekday_of_month_opt(year, month, Weekday::Mon, nth).unwrap_or_default()
}

fn last_monday(year: i32, month: u32) -> NaiveDate {
    let fifth = NaiveDate::from_weekday_of_month_opt(year, month, Weekday::Mon, 5);
    fifth.unwrap_or_else(|| nth_monday(year, month, 4))
}
