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

/// A date written day first, as a list from a British office has it, in the order of ISO 8601.
///
/// The year has four digits; whether the day exists is for the reader of the property to say.
fn day_first(text: &str) -> Option<String> {
    let parts: Vec<&str> = text.split(['/', '.', '-', ' ']).collect();
    let [day, month, year] = parts.as_slice() else {
        return None;
    };
    let (day, month): (u8, u8) = (day.parse().ok()?, month.parse().ok()?);
    let year: u16 = (year.len() == 4).then_some(year)?.parse().ok()?;
    Some(format!("{year:04}-{month:02}-{day:02}"))
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
        assert_eq!(date("2027-03-05"), Some(json!("2027-03-05")));
        assert_eq!(date("soon"), Some(json!("soon")));
        assert_eq!(value("work", &json!("Renew")), Some(json!("Renew")));
        assert_eq!(value("permit", &json!(17)), Some(json!("17")));
        assert_eq!(value("permit", &json!("  ")), None);
        assert_eq!(value("sections", &json!("six")), Some(json!("six")));
    }
}
