//! Easter Sunday by the Gregorian computus.

use chrono::NaiveDate;

/// Easter Sunday of a year of the Gregorian calendar.
///
/// # Source
/// Meeus, Astronomical Algorithms (1991), ch. 8, the anonymous algorithm of 1876.
///
/// ```
/// # use chrono::NaiveDate;
/// assert_eq!(gangday_traffic::easter(2026), NaiveDate::from_ymd_opt(2026, 4, 5).unwrap());
/// ```
#[must_use]
pub fn easter(year: i32) -> NaiveDate {
    let golden = year.rem_euclid(19);
    let (century, in_century) = (year.div_euclid(100), year.rem_euclid(100));
    let leap_skips = century - century / 4 - (century - (century + 8) / 25 + 1) / 3;
    let epact = (19 * golden + leap_skips + 15).rem_euclid(30);
    let weekday =
        (32 + 2 * (century % 4) + 2 * (in_century / 4) - epact - in_century % 4).rem_euclid(7);
    let late = (golden + 11 * epact + 22 * weekday) / 451;
    let from_march = epact + weekday - 7 * late + 114;
    let (month, day) = (from_march / 31, from_march % 31 + 1);
    let date = NaiveDate::from_ymd_opt(year, month.unsigned_abs(), day.unsigned_abs());
    date.unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use chrono::{Datelike, Weekday};

    use super::*;

    /// Meeus, ch. 8, his own examples; 1943 and 2285 are the latest and earliest Easters.
    #[test]
    fn easter_is_where_meeus_has_it() {
        let found =
            [1991, 1992, 1993, 1954, 2000, 1818, 1943, 2285].map(|year| easter(year).to_string());
        let published = [
            "1991-03-31",
            "1992-04-19",
            "1993-04-11",
            "1954-04-18",
            "2000-04-23",
            "1818-03-22",
            "1943-04-25",
            "2285-03-22",
        ];
        assert_eq!(found, published);
    }

    #[test]
    fn easter_is_a_sunday_from_22_march_to_25_april() {
        for year in 1900..2200 {
            let day = easter(year);
            assert_eq!(day.weekday(), Weekday::Sun, "{year}");
            assert!(
                (321..=425).contains(&(day.month() * 100 + day.day())),
                "{day}"
            );
        }
    }
}
