//! The week to be planned, as `week.json` states it.

use chrono::{Datelike, Days, NaiveDate, Weekday};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::{DayTemperature, Job, Parameter};

/// Whose law and code apply.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[allow(missing_docs, reason = "the names say it")]
pub enum Nation {
    #[default]
    England,
    Wales,
    Scotland,
    #[serde(rename = "Northern Ireland")]
    NorthernIreland,
}

/// The days to be planned and what holds on all of them.
#[derive(Clone, Debug, PartialEq)]
pub struct Week {
    /// Whose law and code apply.
    pub nation: Nation,
    /// The first day.
    pub first_day: NaiveDate,
    /// How many calendar days, the first counted.
    pub days: u32,
    /// Days on which nobody works.
    pub holidays: Vec<NaiveDate>,
    /// Expected temperature, degrees Celsius.
    pub temperature_c: f64,
    /// The day the plan is made on, if stated.
    pub today: Option<NaiveDate>,
    /// The first day that is still planned, if not all of them are: what stands before it was done, or is past.
    pub plan_from: Option<NaiveDate>,
    /// The most nights over which the works of a job may be left that says nothing itself.
    pub nights: u32,
    /// Whether they may be left over a weekend or another day on which nobody works.
    pub over_weekend: bool,
    /// Rates that the plan's costs use: key, value, unit, source, date.
    pub rates: Vec<Parameter>,
    /// Properties that Gangday does not know, kept for the round trip.
    pub extra: Map<String, Value>,
}

impl Week {
    /// Every calendar day of the week, in order.
    pub fn calendar_days(&self) -> impl Iterator<Item = NaiveDate> + '_ {
        (0..u64::from(self.days)).filter_map(|n| self.first_day.checked_add_days(Days::new(n)))
    }

    /// Whether nothing is planned on a day any more.
    #[must_use]
    pub fn is_past(&self, day: NaiveDate) -> bool {
        self.plan_from.is_some_and(|from| day < from)
    }

    /// The most nights over which a job's works may be left.
    #[must_use]
    pub fn nights_of(&self, job: &Job) -> u32 {
        job.nights.unwrap_or(self.nights)
    }

    /// Whether a job's works may be left over a weekend or another day on which nobody works.
    #[must_use]
    pub fn leaves_over_weekend(&self, job: &Job) -> bool {
        job.over_weekend.unwrap_or(self.over_weekend)
    }

    /// The first day between two, both left out, on which nobody works.
    #[must_use]
    pub fn day_off_between(&self, left: NaiveDate, next: NaiveDate) -> Option<NaiveDate> {
        let mut between = left.iter_days().skip(1).take_while(|day| *day < next);
        between.find(|day| !self.is_working_day(*day))
    }

    /// The temperature expected on this day: its own among `temperatures`, which `week.json` may
    /// state by date as a figure or by time of day, else the week's.
    #[must_use]
    pub fn temperature_on(&self, day: NaiveDate) -> DayTemperature {
        let own = self.own_temperature(day);
        own.unwrap_or_else(|| DayTemperature::figure(self.temperature_c))
    }

    /// The lowest temperature expected on this day.
    ///
    /// # Units
    /// Degrees Celsius.
    #[must_use]
    pub fn celsius_on(&self, day: NaiveDate) -> f64 {
        self.temperature_on(day).lowest()
    }

    /// The temperature that is stated for this very day.
    #[must_use]
    pub fn own_temperature(&self, day: NaiveDate) -> Option<DayTemperature> {
        let by_date = self.extra.get("temperatures")?;
        DayTemperature::stated(by_date.get(day.to_string())?)
    }

    /// Whether a gang that states no days of its own works then: no weekend, no holiday.
    #[must_use]
    pub fn is_working_day(&self, day: NaiveDate) -> bool {
        !matches!(day.weekday(), Weekday::Sat | Weekday::Sun) && !self.holidays.contains(&day)
    }
}

/// A date as people say it: `Mon 1 Mar`.
#[must_use]
pub fn day_in_words(date: NaiveDate) -> String {
    date.format("%a %-d %b").to_string()
}

/// A date with its year, as people say it: `Mon 1 Mar 2027`.
#[must_use]
pub fn date_in_words(date: NaiveDate) -> String {
    date.format("%a %-d %b %Y").to_string()
}
