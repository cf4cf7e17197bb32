//! The week, from `week.json`.

use chrono::{Datelike, Days, NaiveDate};
use gangday_model::{Finding, Job, Nation, Parameter, Week};
use serde_json::{Map, Value};

use crate::codes::{self, ROW, WEEK};
use crate::fields::{Fields, Span};
use crate::gangs::object;
use crate::kept::{FileState, KeptFile};
use crate::ledger::Ledger;
use crate::parameters::{ROW_NAMES, row};
use crate::words::{NearNames, describe};

pub(crate) const NAMES: &[&str] = &[
    "nation",
    "first_day",
    "days",
    "holidays",
    "temperature_c",
    "today",
    "plan_from",
    "nights",
    "over_weekend",
    "rates",
];

pub(crate) const NATIONS: &[(&str, Nation)] = &[
    ("England", Nation::England),
    ("Wales", Nation::Wales),
    ("Scotland", Nation::Scotland),
    ("Northern Ireland", Nation::NorthernIreland),
];

/// The week that stands for one that is not stated: England, five days, no holiday, 10 degrees.
///
/// # Units
/// The temperature is in degrees Celsius.
///
/// # Source
/// Common practice, no source.
#[must_use]
pub fn default_week(first_day: NaiveDate) -> Week {
    Week {
        nation: Nation::England,
        first_day,
        days: 5,
        holidays: Vec::new(),
        temperature_c: 10.0,
        today: None,
        rates: Vec::new(),
        nights: 0,
        over_weekend: false,
        plan_from: None,
        extra: Map::new(),
    }
}

/// A week and what was found in its file.
pub(crate) struct WeekRead {
    pub(crate) week: Week,
    pub(crate) kept: KeptFile,
    pub(crate) findings: Vec<Finding>,
}

/// Reads `week.json`; what it leaves out is the default, and the first day is taken from the jobs.
pub(crate) fn read(bytes: Option<&[u8]>, jobs: &[Job]) -> WeekRead {
    let mut ledger = Ledger::of(crate::WEEK);
    let assumed = assumed_first_day(jobs);
    let (week, kept) = match bytes.map(|bytes| object(bytes, &mut ledger)) {
        None => {
            ledger.enter(absent(assumed));
            (default_week(assumed), KeptFile::default())
        }
        Some(None) => (
            default_week(assumed),
            KeptFile::in_state(FileState::Unreadable),
        ),
        Some(Some(members)) => {
            let week = week(&members, assumed, &mut ledger);
            (week, KeptFile::in_state(FileState::Read))
        }
    };
    WeekRead {
        week,
        kept,
        findings: ledger.close(),
    }
}

fn absent(assumed: NaiveDate) -> Finding {
    let text =
        format!("No week is stated: England, five days from {assumed}, 10 degrees are assumed.");
    Finding::warning(
        codes::WEEK_ABSENT,
        text,
        "Set the nation, the first day and the temperature.",
    )
}

/// The Monday of the week in which the first dated job may start; a fixed Monday if none is dated.
fn assumed_first_day(jobs: &[Job]) -> NaiveDate {
    let first = jobs.iter().filter_map(|job| job.earliest).min();
    let day = first
        .or(NaiveDate::from_ymd_opt(2027, 3, 1))
        .unwrap_or_default();
    let since_monday = u64::from(day.weekday().num_days_from_monday());
    day.checked_sub_days(Days::new(since_monday)).unwrap_or(day)
}

fn week(members: &Map<String, Value>, assumed: NaiveDate, ledger: &mut Ledger) -> Week {
    let mut fields = Fields::of(members, &WEEK, "week");
    let default = default_week(assumed);
    if fields.get("first_day").is_none() {
        let text = format!("`first_day` is not stated; {assumed} is assumed.");
        fields.warn(
            codes::WEEK_FIRST,
            "first_day",
            text,
            "State the first day of the week.",
        );
    }
    let days = Span {
        least: 1,
        most: 60,
        unit: "",
    };
    let week = Week {
        nation: fields.choice("nation", NATIONS).unwrap_or(default.nation),
        first_day: fields.date("first_day").unwrap_or(default.first_day),
        days: fields
            .whole("days", &days)
            .map_or(default.days, |days| days as u32),
        holidays: fields.dates("holidays").unwrap_or_default(),
        temperature_c: fields
            .number("temperature_c", &(-30.0..=50.0), " degrees")
            .unwrap_or(default.temperature_c),
        today: fields.date("today"),
        plan_from: fields.date("plan_from"),
        nights: nights(&mut fields).unwrap_or(default.nights),
        over_weekend: fields.flag("over_weekend").unwrap_or(default.over_weekend),
        rates: rates(&mut fields),
        extra: fields.rest(&mut NearNames::to(NAMES).beside(&["temperatures"])),
    };
    ledger.enter_all(0, fields.close());
    week
}

/// Over how many nights works may be left.
pub(crate) fn nights(fields: &mut Fields<'_>) -> Option<u32> {
    let nights = Span {
        least: 0,
        most: 60,
        unit: "",
    };
    let stated = fields.whole("nights", &nights)?;
    Some(stated as u32)
}

/// Rates as an object of rows by key, or as a list of rows with their keys.
fn rates(fields: &mut Fields<'_>) -> Vec<Parameter> {
    let mut names = NearNames::to(ROW_NAMES);
    let rows: Vec<(Option<&str>, &Value)> = match fields.get("rates") {
        None => return Vec::new(),
        Some(Value::Object(rates)) => rates
            .iter()
            .map(|(key, value)| (Some(key.as_str()), value))
            .collect(),
        Some(Value::Array(rates)) => rates.iter().map(|value| (None, value)).collect(),
        Some(other) => {
            let text = format!(
                "`rates` is {}, not an object of rates by key.",
                describe(other)
            );
            let remedy = "Write each rate under its key with `value`, `unit` and `source`.";
            fields.fault(WEEK.kind, "rates", text, remedy);
            return Vec::new();
        }
    };
    let mut seen = std::collections::HashSet::new();
    let mut read = Vec::new();
    for (index, (key, value)) in rows.into_iter().enumerate() {
        let (parameter, mut findings) = row(key, value, index, &mut names);
        if let Some(parameter) = parameter {
            if seen.insert(parameter.key.clone()) {
                read.push(parameter);
            } else {
                let text = "An earlier rate has the same `key`.";
                findings.push(
                    Finding::fault(ROW.dup, text, "Remove one of the two.").at(&parameter.key),
                );
            }
        }
        fields.adopt(findings);
    }
    read
}
