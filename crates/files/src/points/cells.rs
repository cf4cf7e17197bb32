//! A foreign cell as the value that a job's property takes: a CSV file knows nothing but text.
//!
//! Tickets and site hours are lists: their parts are told apart by semicolons or commas.

use serde_json::{Number, Value, json};

use crate::jobs::{CLOSURES, LOAD_CLASSES, POSITIONS, WORKS};

/// The value for this property; none for an empty cell.
pub(super) fn value(property: &str, cell: &Value) -> Option<Value> {
    match cell {
        Value::Null => None,
        Value::String(text) if text.trim().is_empty() => None,
        Value::String(text) => Some(from_text(property, text.trim())),
        Value::Number(number) if is_text(property) => Some(Value::String(number.to_string())),
        other => Some(other.clone()),
    }
}

fn from_text(property: &str, text: &str) -> Value {
    match property {
        "tickets" => text
            .split([';', ','])
            .map(str::trim)
            .filter(|ticket| !ticket.is_empty())
            .collect(),
        "site_hours" => text
            .split([';', ','])
            .filter(|hours| !hours.trim().is_empty())
            .map(pair)
            .collect(),
        "work" => json!(word(text, WORKS)),
        "position" => json!(word(text, POSITIONS)),
        "closure" => json!(word(text, CLOSURES)),
        "load_class" => json!(word(text, LOAD_CLASSES)),
        "over_weekend" => yes_or_no(text),
        "earliest" | "latest" => day_first(text).map_or_else(|| json!(text), |iso| json!(iso)),
        _ if is_text(property) => json!(text),
        _ => number(text).map_or_else(|| json!(text), Value::Number),
    }
}

/// Yes and no as people write them; else the text.
fn yes_or_no(text: &str) -> Value {
    match text.to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" => json!(true),
        "no" | "n" | "false" | "0" => json!(false),
        _ => json!(text),
    }
}

/// The valid word that this is but for case, spaces, hyphens and underscores; else the text.
fn word<'t, T>(text: &'t str, valid: &[(&'static str, T)]) -> &'t str {
    let plain = |word: &str| word.replace([' ', '-', '_'], "").to_lowercase();
    let same = valid.iter().find(|(own, _)| plain(own) == plain(text));
    same.map_or(text, |(own, _)| own)
}

/// A date written day first, as a list from a British office has it, in the order of ISO 8601: `5/3/2027`,
/// `5.3.27`, `5-Mar-27`, `Fri 5 March 2027`.
///
/// A year of two digits is of this century; whether the day exists, and is that day of the week, is for the
/// reader of the property to say.
fn day_first(text: &str) -> Option<String> {
    let parts = text
        .split(['/', '.', '-', ' ', ','])
        .filter(|part| !part.is_empty());
    let parts: Vec<&str> = parts.collect();
    let parts = match parts.as_slice() {
        [name, rest @ ..] if is_weekday(name) => rest,
        all => all,
    };
    let [day, month, year] = parts else {
        return None;
    };
    let day: u8 = day.parse().ok()?;
    let month = month.parse().ok().or_else(|| month_named(month))?;
    let year: u16 = match year.len() {
        2 => 2000 + year.parse::<u16>().ok()?,
        4 => year.parse().ok()?,
        _ => return None,
    };
    Some(format!("{year:04}-{month:02}-{day:02}"))
}

/// The months and the days of the week by their first three letters.
const MONTHS: [&str; 12] = [
    "jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec",
];
const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

fn month_named(text: &str) -> Option<u8> {
    let short = text.get(..3)?.to_lowercase();
    let at = MONTHS.iter().position(|month| *month == short)?;
    u8::try_from(at + 1).ok()
}

fn is_weekday(text: &str) -> bool {
    let short = text.get(..3).map(str::to_lowercase);
    short.is_some_and(|short| WEEKDAYS.contains(&short.as_str()))
}

fn pair(text: &str) -> Value {
    text.split(['-', '\u{2013}']).map(str::trim).collect()
}

fn is_text(property: &str) -> bool {
    let numbers =
        property.ends_with("_mm") || ["sections", "priority", "nights"].contains(&property);
    !numbers && !["tickets", "site_hours", "over_weekend"].contains(&property)
}

fn number(text: &str) -> Option<Number> {
    let whole = text.parse::<i64>().ok().map(Number::from);
    whole.or_else(|| text.parse::<f64>().ok().and_then(Number::from_f64))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_becomes_what_its_property_takes() {
        assert_eq!(value("clear_length_mm", &json!(" 600 ")), Some(json!(600)));
        assert_eq!(
            value("tickets", &json!("street works; confined space")),
            Some(json!(["street works", "confined space"]))
        );
        assert_eq!(
            value("site_hours", &json!("09:30-15:30")),
            Some(json!([["09:30", "15:30"]]))
        );
        assert_eq!(
            value("site_hours", &json!("09:30-12:00, 13:00 \u{2013} 15:30")),
            Some(json!([["09:30", "12:00"], ["13:00", "15:30"]]))
        );
        assert_eq!(
            value("position", &json!("Cycle track")),
            Some(json!("cycle_track"))
        );
        assert_eq!(value("load_class", &json!("d 400")), Some(json!("D400")));
        let date = |text: &str| value("latest", &json!(text));
        assert_eq!(date("5/3/2027"), Some(json!("2027-03-05")));
        for text in [
            "5/3/27",
            "5.3.2027",
            "5-Mar-27",
            "5 March 2027",
            "Fri 5 Mar 2027",
            "Friday, 5 Mar 2027",
        ] {
            assert_eq!(date(text), Some(json!("2027-03-05")), "{text}");
        }
        assert_eq!(date("2027-03-05"), Some(json!("2027-03-05")));
        assert_eq!(date("3-5"), Some(json!("3-5")));
        assert_eq!(date("soon"), Some(json!("soon")));
        assert_eq!(value("work", &json!("Renew")), Some(json!("Renew")));
        assert_eq!(value("permit", &json!(17)), Some(json!("17")));
        assert_eq!(value("permit", &json!("  ")), None);
        assert_eq!(value("sections", &json!("six")), Some(json!("six")));
    }
}
