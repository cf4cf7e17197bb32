//! The properties of one feature, gang or row: each access gives the sound value or records a fault.

use std::ops::RangeInclusive;

use chrono::NaiveDate;
use gangday_model::{Finding, Hours};
use serde_json::{Map, Value};

use crate::codes::{self, NounCodes};
use crate::times;
use crate::words::{NearNames, describe, listed, nearest, shorten, thousands};

/// More bytes than the text of a property has: what a spreadsheet allows a cell.
pub(crate) const LONGEST_TEXT: usize = 32_767;
/// More bytes than an id or the name of a property has.
pub(crate) const LONGEST_ID: usize = 1_000;

/// The bytes of the longest text in a value.
fn longest(value: &Value) -> usize {
    match value {
        Value::String(text) => text.len(),
        Value::Array(items) => items.iter().map(longest).max().unwrap_or(0),
        Value::Object(members) => {
            let names = members.keys().map(String::len).max().unwrap_or(0);
            members.values().map(longest).max().unwrap_or(0).max(names)
        }
        _ => 0,
    }
}

/// Properties of one thing and what was found wrong with them.
pub(crate) struct Fields<'a> {
    map: &'a Map<String, Value>,
    codes: &'static NounCodes,
    label: String,
    findings: Vec<Finding>,
}

/// What a whole number may be.
pub(crate) struct Span {
    pub(crate) least: i64,
    pub(crate) most: i64,
    pub(crate) unit: &'static str,
}

impl<'a> Fields<'a> {
    pub(crate) fn of(
        map: &'a Map<String, Value>,
        codes: &'static NounCodes,
        label: impl Into<String>,
    ) -> Self {
        let mut fields = Self {
            map,
            codes,
            label: shorten(&label.into()),
            findings: Vec::new(),
        };
        for (name, value) in map {
            fields.refuse_longer(name, longest(value), LONGEST_TEXT);
        }
        fields
    }

    /// Refuses a text of more bytes than any ever has.
    pub(crate) fn refuse_longer(&mut self, name: &str, bytes: usize, most: usize) {
        let noun = self.codes.noun;
        let short = shorten(name);
        let text = if name.len() > LONGEST_ID {
            let [bytes, most] = [name.len(), LONGEST_ID].map(|count| thousands(count as u64));
            format!("`{short}` of the {noun} has a name of {bytes} bytes; {most} are the most.")
        } else if bytes > most {
            let [bytes, most] = [bytes, most].map(|count| thousands(count as u64));
            format!("`{short}` of the {noun} holds a text of {bytes} bytes; {most} are the most.")
        } else {
            return;
        };
        self.fault(codes::LONG, &short, text, "Shorten it, or take it away.");
    }

    /// The codes of the noun that is read.
    pub(crate) fn codes(&self) -> &'static NounCodes {
        self.codes
    }

    /// Whether nothing so far makes the thing unusable.
    pub(crate) fn sound(&self) -> bool {
        !self.findings.iter().any(Finding::is_fault)
    }

    /// All that was found.
    pub(crate) fn close(self) -> Vec<Finding> {
        self.findings
    }

    /// Records a finding about the thing.
    pub(crate) fn enter(&mut self, finding: Finding) {
        self.findings.push(finding.at(&self.label));
    }

    /// Takes over findings that already have their place in the file.
    pub(crate) fn adopt(&mut self, findings: Vec<Finding>) {
        self.findings.extend(findings);
    }

    /// Records a fault in one property.
    pub(crate) fn fault(
        &mut self,
        code: &str,
        name: &str,
        text: String,
        remedy: impl Into<String>,
    ) {
        self.enter(Finding::fault(code, text, remedy).of(name));
    }

    /// Records a warning about one property.
    pub(crate) fn warn(&mut self, code: &str, name: &str, text: String, remedy: impl Into<String>) {
        self.enter(Finding::warning(code, text, remedy).of(name));
    }

    /// A property's value; `null`, which many programs write for nothing, counts as absent.
    pub(crate) fn get(&self, name: &str) -> Option<&'a Value> {
        self.map.get(name).filter(|value| !value.is_null())
    }

    /// Records that a property must be stated, unless it is.
    pub(crate) fn need(&mut self, name: &str, remedy: &str) {
        if self.get(name).is_none() {
            let text = format!("`{name}` is not stated.");
            self.fault(self.codes.need, name, text, remedy);
        }
    }

    fn wrong_type(&mut self, name: &str, value: &Value, wanted: &str) {
        let text = format!("`{name}` is {}; it must be {wanted}.", describe(value));
        let remedy = match (value, wanted) {
            (Value::String(text), "a number") if text.trim().parse::<f64>().is_ok() => {
                format!("Write {} without quotes.", shorten(text.trim()))
            }
            _ => format!("Write {wanted}, or leave `{name}` out."),
        };
        self.fault(self.codes.kind, name, text, remedy);
    }

    /// Free text.
    pub(crate) fn text(&mut self, name: &str) -> Option<String> {
        let value = self.get(name)?;
        if value.as_str().is_none() {
            self.wrong_type(name, value, "text");
        }
        value.as_str().map(str::to_owned)
    }

    /// True or false.
    pub(crate) fn flag(&mut self, name: &str) -> Option<bool> {
        let value = self.get(name)?;
        if value.as_bool().is_none() {
            self.wrong_type(name, value, "true or false");
        }
        value.as_bool()
    }

    /// A number within a range.
    pub(crate) fn number(
        &mut self,
        name: &str,
        range: &RangeInclusive<f64>,
        unit: &str,
    ) -> Option<f64> {
        let value = self.get(name)?;
        let Some(number) = value.as_f64() else {
            self.wrong_type(name, value, "a number");
            return None;
        };
        if !range.contains(&number) {
            let (least, most) = (range.start(), range.end());
            let text = format!("`{name}` is {value}; it goes from {least} to {most}{unit}.");
            self.fault(self.codes.size, name, text, format!("Correct `{name}`."));
            return None;
        }
        Some(number)
    }

    /// A whole number within a span.
    pub(crate) fn whole(&mut self, name: &str, span: &Span) -> Option<i64> {
        let value = self.get(name)?;
        let Some(number) = value.as_f64() else {
            self.wrong_type(name, value, "a number");
            return None;
        };
        let is_whole = number.fract() == 0.0;
        if is_whole && (span.least as f64..=span.most as f64).contains(&number) {
            return Some(number as i64);
        }
        let Span { least, most, unit } = span;
        let text = if is_whole {
            format!("`{name}` is {value}; it goes from {least} to {most}{unit}.")
        } else {
            format!("`{name}` is {value}, not a whole number{}.", of_unit(unit))
        };
        self.fault(self.codes.size, name, text, size_remedy(name, number, span));
        None
    }

    /// A date.
    pub(crate) fn date(&mut self, name: &str) -> Option<NaiveDate> {
        let value = self.get(name)?;
        self.dated(name, value)
    }

    /// A list of dates; those that are dates, even if others are not.
    pub(crate) fn dates(&mut self, name: &str) -> Option<Vec<NaiveDate>> {
        let items = self.list(name, "a list of dates")?;
        Some(
            items
                .iter()
                .filter_map(|item| self.dated(name, item))
                .collect(),
        )
    }

    fn dated(&mut self, name: &str, value: &Value) -> Option<NaiveDate> {
        times::date(value)
            .map_err(|(wrong, remedy)| {
                self.fault(self.codes.date, name, format!("`{name}`: {wrong}."), remedy);
            })
            .ok()
    }

    /// One pair of times.
    pub(crate) fn hours(&mut self, name: &str) -> Option<Hours> {
        let value = self.get(name)?;
        self.timed(name, value)
    }

    /// A list of pairs of times.
    pub(crate) fn hours_list(&mut self, name: &str) -> Vec<Hours> {
        let items = self
            .list(name, "a list of pairs of times")
            .unwrap_or_default();
        if items.len() == 2 && items.iter().all(Value::is_string) {
            let text = format!("`{name}` is one pair of times; it must be a list of pairs.");
            let remedy = "Write one more pair of brackets, as in [[\"09:30\", \"15:30\"]].";
            self.fault(self.codes.hours, name, text, remedy);
            return Vec::new();
        }
        items
            .iter()
            .filter_map(|item| self.timed(name, item))
            .collect()
    }

    fn timed(&mut self, name: &str, value: &Value) -> Option<Hours> {
        times::hours(value)
            .map_err(|(wrong, remedy)| {
                self.fault(
                    self.codes.hours,
                    name,
                    format!("`{name}`: {wrong}."),
                    remedy,
                );
            })
            .ok()
    }

    /// A list of texts.
    pub(crate) fn texts(&mut self, name: &str) -> Vec<String> {
        let items = self.list(name, "a list of texts").unwrap_or_default();
        for item in items.iter().filter(|item| !item.is_string()) {
            let text = format!("`{name}` holds {}; all of it must be text.", describe(item));
            self.fault(
                self.codes.kind,
                name,
                text,
                format!("Write each of `{name}` in quotes."),
            );
        }
        items
            .iter()
            .filter_map(Value::as_str)
            .map(str::to_owned)
            .collect()
    }

    fn list(&mut self, name: &str, wanted: &str) -> Option<&'a [Value]> {
        let value = self.get(name)?;
        if value.as_array().is_none() {
            self.wrong_type(name, value, wanted);
        }
        value.as_array().map(Vec::as_slice)
    }

    /// One of some words.
    pub(crate) fn choice<T: Copy>(&mut self, name: &str, words: &[(&'static str, T)]) -> Option<T> {
        let value = self.get(name)?;
        let Some(word) = value.as_str() else {
            self.wrong_type(name, value, "text");
            return None;
        };
        if let Some((_, chosen)) = words.iter().find(|(valid, _)| *valid == word) {
            return Some(*chosen);
        }
        let valid = || words.iter().map(|(valid, _)| *valid);
        let text = format!(
            "`{name}` is \"{}\", which is none of {}.",
            shorten(word),
            listed(valid())
        );
        let remedy = nearest(word, valid()).map_or_else(
            || format!("Write one of {}.", listed(valid())),
            |near| format!("Write `{near}` if that is meant."),
        );
        self.fault(self.codes.value, name, text, remedy);
        None
    }

    /// The properties that are not known, with a warning for each that looks like a known one.
    pub(crate) fn rest(&mut self, names: &mut NearNames) -> Map<String, Value> {
        let map = self.map;
        let mut rest = Map::new();
        for (name, value) in map {
            if names.knows(name) {
                continue;
            }
            if let Some(meant) = names.meant(name) {
                let text = format!("`{name}` is not a property of a {}.", self.codes.noun);
                let remedy = format!(
                    "Rename it `{meant}` if that is meant; until then it is kept but not used."
                );
                self.warn(self.codes.name, name, text, remedy);
            }
            rest.insert(name.clone(), value.clone());
        }
        rest
    }
}

fn of_unit(unit: &str) -> String {
    if unit.is_empty() {
        String::new()
    } else {
        format!(" of{unit}")
    }
}

fn size_remedy(name: &str, number: f64, span: &Span) -> String {
    let as_metres = number * 1000.0;
    let metres = span.unit == " mm"
        && number < 20.0
        && (span.least as f64..=span.most as f64).contains(&as_metres)
        && as_metres > 0.0;
    if metres {
        format!("It looks like metres: {number} m is {as_metres:.0} mm.")
    } else {
        format!("Correct `{name}`.")
    }
}
