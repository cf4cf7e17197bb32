//! What ages along a day's temperatures, as the checker reckons it: by summing what each stretch of time
//! is worth, from the curve that the week states.

use chrono::{NaiveDate, NaiveDateTime, TimeDelta, Timelike};
use gangday_model::{DayTemperature, WaitKind};

/// How what is placed ages, and what it bears.
#[derive(Clone, Debug, PartialEq)]
pub struct Curing {
    /// Each material.
    pub materials: Vec<Material>,
    /// The temperature that its times are stated for, degrees Celsius.
    pub reference_c: f64,
    /// How temperature counts.
    pub law: Law,
}

/// What is placed before a wait.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Material {
    /// The wait.
    pub kind: WaitKind,
    /// Its time at the reference temperature, minutes.
    pub minutes: f64,
    /// Below this it may be neither placed nor left to cure, degrees Celsius; none means no limit.
    pub least_celsius: Option<f64>,
}

/// How temperature counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// Equivalent age: activation energy over gas constant, K.
    Arrhenius(f64),
    /// Degrees over this one, degrees Celsius.
    Datum(f64),
}

/// Half a second: two ways of summing the same agree to less.
const HAIR_MIN: f64 = 0.5 / 60.0;

/// Zero degrees Celsius in kelvin.
const KELVIN: f64 = 273.15;

/// Nothing is waited for longer.
const LONGEST_MIN: u32 = 2 * 24 * 60;

impl Curing {
    pub(super) fn material(&self, kind: WaitKind) -> Option<Material> {
        self.materials.iter().copied().find(|one| one.kind == kind)
    }

    /// What a minute at this temperature is worth at the reference.
    fn worth(&self, celsius: f64) -> f64 {
        match self.law {
            Law::Arrhenius(e_over_r) => {
                let (own, reference) = (celsius + KELVIN, self.reference_c + KELVIN);
                (e_over_r * (own - reference) / (own * reference)).exp()
            }
            Law::Datum(datum) => (celsius - datum).max(0.0) / (self.reference_c - datum),
        }
    }

    /// When what was placed by then is ready along each date's temperatures, to the second; nothing
    /// within two days is never.
    pub(super) fn ready(
        &self,
        kind: WaitKind,
        by_date: &dyn Fn(NaiveDate) -> DayTemperature,
        placed: NaiveDateTime,
    ) -> Option<NaiveDateTime> {
        let needed = self.material(kind)?.minutes - HAIR_MIN;
        let mut aged = 0.0;
        let mut now = placed;
        let mut day = by_date(now.date());
        let mut date = now.date();
        while aged < needed {
            if now.date() > date {
                date = now.date();
                day = by_date(date);
            }
            if (now - placed).num_minutes() > i64::from(LONGEST_MIN) {
                return None;
            }
            // To the end of its quarter-hour, at what that quarter is worth.
            let into = TimeDelta::seconds(i64::from(now.num_seconds_from_midnight() % 900));
            let left = TimeDelta::seconds(900) - into;
            let worth = self.worth(day.in_quarter(quarter(now)));
            let whole = left.num_seconds() as f64 / 60.0 * worth;
            if aged + whole >= needed {
                let seconds = ((needed - aged) / worth * 60.0).ceil();
                return Some(now + TimeDelta::seconds(seconds as i64));
            }
            aged += whole;
            now += left;
        }
        Some(now)
    }
}

/// The quarter-hour of the day.
fn quarter(now: NaiveDateTime) -> u32 {
    now.num_seconds_from_midnight() / 900
}

/// The lowest from one time to another, on each date by its own temperatures.
pub(super) fn lowest(
    by_date: &dyn Fn(NaiveDate) -> DayTemperature,
    from: NaiveDateTime,
    to: NaiveDateTime,
) -> f64 {
    let last = (to - TimeDelta::seconds(1)).max(from);
    let dates = from.date().iter_days();
    let dates = dates.take_while(|date| *date <= last.date());
    let of_date = |date: NaiveDate| {
        let day = by_date(date);
        let begin = if date == from.date() {
            quarter(from)
        } else {
            0
        };
        let end = if date == last.date() {
            quarter(last)
        } else {
            24 * 4 - 1
        };
        let all = (begin..=end).map(|at| day.in_quarter(at));
        all.fold(f64::INFINITY, f64::min)
    };
    dates.map(of_date).fold(f64::INFINITY, f64::min)
}
