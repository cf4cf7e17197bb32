//! Dates and hours as text: ISO 8601 dates, hours and minutes of one day.

use chrono::{NaiveDate, NaiveTime, Timelike};
use gangday_model::{Hours, date_in_words};
use serde_json::{Value, json};

use crate::words::describe;

/// A date written as year, month and day, or what is wrong with it and what to write.
pub(crate) fn date(value: &Value) -> Result<NaiveDate, (String, String)> {
    let text = value.as_str().unwrap_or_default();
    let iso = (text.len() == 10).then(|| NaiveDate::parse_from_str(text, "%Y-%m-%d").ok());
    iso.flatten().ok_or_else(|| {
        let wrong = format!("{} is not a date", describe(value));
        (wrong, date_remedy(text))
    })
}

fn date_remedy(text: &str) -> String {
    let others = [
        "%d/%m/%Y", "%d.%m.%Y", "%d-%m-%Y", "%Y/%m/%d", "%Y-%m-%d", "%Y%m%d",
    ];
    let short = text.get(..10).unwrap_or(text);
    let parsed = others
        .iter()
        .find_map(|form| NaiveDate::parse_from_str(short, form).ok());
    let sensible = parsed.filter(|day| (1900..=2200).contains(&chrono::Datelike::year(day)));
    sensible.map_or_else(
        || "Write year, month and day of a real day, as in 2027-03-01.".to_owned(),
        |day| {
            let meant = date_in_words(day);
            format!("Write year, month and day: {day}, if {meant} is meant.")
        },
    )
}

/// A time of day, or none if it is not one.
fn time(value: &Value) -> Option<NaiveTime> {
    let text = value.as_str()?;
    match text.len() {
        5 => NaiveTime::parse_from_str(text, "%H:%M").ok(),
        8 => NaiveTime::parse_from_str(text, "%H:%M:%S")
            .ok()
            .filter(|time| time.nanosecond() < 1_000_000_000),
        _ => None,
    }
}

const HOURS_REMEDY: &str = "Write two times of one day, the earlier first, as in [\"09:30\", \"15:30\"]; the last minute of a day is 23:59.";

/// Hours written as a pair of times, or what is wrong with them and what to write.
pub(crate) fn hours(value: &Value) -> Result<Hours, (String, String)> {
    let wrong = |text: String| Err((text, HOURS_REMEDY.to_owned()));
    let Some([from, until]) = value.as_array().map(Vec::as_slice) else {
        return wrong(format!("{} is not a pair of times", describe(value)));
    };
    match (time(from), time(until)) {
        (Some(from), Some(until)) if from < until => Ok(Hours { from, until }),
        (Some(from), Some(until)) => wrong(format!(
            "{} to {} is reversed or no time at all",
            clock(from),
            clock(until)
        )),
        (None, _) => wrong(format!("{} is not a time of day", describe(from))),
        (_, None) => wrong(format!("{} is not a time of day", describe(until))),
    }
}

/// A time as its file states it: seconds only where there are some.
pub(crate) fn clock(time: NaiveTime) -> String {
    let form = if time.second() == 0 {
        "%H:%M"
    } else {
        "%H:%M:%S"
    };
    time.format(form).to_string()
}

/// Hours as their file states them.
pub(crate) fn pair(hours: Hours) -> Value {
    json!([clock(hours.from), clock(hours.until)])
}

/// A date as its file states it.
pub(crate) fn day(date: NaiveDate) -> Value {
    Value::String(date.format("%Y-%m-%d").to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_an_iso_date_is_a_date_and_a_british_one_is_translated() {
        assert_eq!(
            date(&json!("2027-03-01")).unwrap().to_string(),
            "2027-03-01"
        );
        let (wrong, remedy) = date(&json!("01/03/2027")).unwrap_err();
        assert_eq!(wrong, "the text \"01/03/2027\" is not a date");
        assert_eq!(
            remedy,
            "Write year, month and day: 2027-03-01, if Mon 1 Mar 2027 is meant."
        );
        assert!(date(&json!("2027-02-30")).is_err());
        assert!(
            date(&json!("2027-3-1"))
                .unwrap_err()
                .1
                .contains("2027-03-01")
        );
        assert!(date(&json!(20270301)).is_err());
    }

    #[test]
    fn hours_run_forward_within_one_day() {
        let good = hours(&json!(["09:30", "15:30"])).unwrap();
        assert_eq!(pair(good), json!(["09:30", "15:30"]));
        assert!(
            hours(&json!(["15:30", "09:30"]))
                .unwrap_err()
                .0
                .contains("reversed")
        );
        assert!(hours(&json!(["09:30", "24:00"])).is_err());
        assert!(hours(&json!(["9:30", "15:30"])).is_err());
        assert!(hours(&json!("09:30-15:30")).is_err());
    }
}
