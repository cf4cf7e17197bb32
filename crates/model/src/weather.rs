//! The temperature of one day: a figure, or a curve by time of day.

use chrono::{NaiveTime, Timelike};
use serde_json::Value;

/// Minutes in a quarter of an hour.
const QUARTER: u32 = 15;

/// What the air is expected to be on one day.
///
/// Between the points of a curve it goes straight from one to the next; before the first and after
/// the last it stays as they are.
///
/// ```
/// use gangday_model::DayTemperature;
/// let day = DayTemperature::along(&[(360, 2.0), (720, 8.0)]).unwrap();
/// assert_eq!((day.at(540.0), day.lowest()), (5.0, 2.0));
/// ```
#[derive(Clone, Debug, PartialEq)]
pub struct DayTemperature {
    /// Minute of the day and degrees Celsius, in order; one alone is a figure for the whole day.
    points: Vec<(u32, f64)>,
}

impl DayTemperature {
    /// The same all day, degrees Celsius.
    #[must_use]
    pub fn figure(celsius: f64) -> Self {
        Self {
            points: vec![(0, celsius)],
        }
    }

    /// Through these points: minute of the day and degrees Celsius. Where all are as warm it is a
    /// figure; none where there are no points.
    #[must_use]
    pub fn along(points: &[(u32, f64)]) -> Option<Self> {
        let mut points = points.to_vec();
        points.sort_by_key(|(minute, _)| *minute);
        let (_, first) = *points.first()?;
        if points
            .iter()
            .all(|(_, celsius)| celsius.total_cmp(&first).is_eq())
        {
            return Some(Self::figure(first));
        }
        Some(Self { points })
    }

    /// As `week.json` states it: a number, or numbers by time of day such as `{"06:00": 2}`.
    #[must_use]
    pub fn stated(value: &Value) -> Option<Self> {
        if let Some(celsius) = value.as_f64() {
            return Some(Self::figure(celsius));
        }
        let point = |(time, celsius): (&String, &Value)| {
            let time = NaiveTime::parse_from_str(time, "%H:%M").ok()?;
            Some((time.hour() * 60 + time.minute(), celsius.as_f64()?))
        };
        let points: Option<Vec<_>> = value.as_object()?.iter().map(point).collect();
        Self::along(&points?)
    }

    /// Whether it differs by time of day.
    #[must_use]
    pub fn is_curve(&self) -> bool {
        self.points.len() > 1
    }

    /// Degrees Celsius at a minute of the day.
    #[must_use]
    pub fn at(&self, minute: f64) -> f64 {
        let after = self
            .points
            .iter()
            .position(|(from, _)| f64::from(*from) > minute);
        let last = self.points.len() - 1;
        match after {
            None => self.points[last].1,
            Some(0) => self.points[0].1,
            Some(to) => {
                let ((from, cold), (until, warm)) = (self.points[to - 1], self.points[to]);
                let part = (minute - f64::from(from)) / f64::from(until - from);
                cold + (warm - cold) * part
            }
        }
    }

    /// Degrees Celsius in a quarter-hour of the day, counted from midnight: what it is in its middle.
    #[must_use]
    pub fn in_quarter(&self, quarter: u32) -> f64 {
        self.at(f64::from(quarter * QUARTER) + f64::from(QUARTER) / 2.0)
    }

    /// The lowest of the day.
    #[must_use]
    pub fn lowest(&self) -> f64 {
        let all = self.points.iter().map(|(_, celsius)| *celsius);
        all.fold(f64::INFINITY, f64::min)
    }

    /// The highest of the day.
    #[must_use]
    pub fn highest(&self) -> f64 {
        let all = self.points.iter().map(|(_, celsius)| *celsius);
        all.fold(f64::NEG_INFINITY, f64::max)
    }

    /// `5 °C`, or `2 °C at 06:00, 8 °C at 12:00`.
    #[must_use]
    pub fn words(&self) -> String {
        if !self.is_curve() {
            return format!("{} °C", self.points[0].1);
        }
        let point = |(minute, celsius): &(u32, f64)| {
            format!("{celsius} °C at {:02}:{:02}", minute / 60, minute % 60)
        };
        let points: Vec<String> = self.points.iter().map(point).collect();
        points.join(", ")
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn a_curve_goes_straight_between_its_points_and_stays_at_its_ends() {
        let day =
            DayTemperature::stated(&json!({"18:00": 5, "06:00": 2, "12:00": 8.0})).expect("a day");
        let at = [0.0, 360.0, 540.0, 720.0, 900.0, 1_080.0, 1_400.0].map(|minute| day.at(minute));
        let meant = [2.0, 2.0, 5.0, 8.0, 6.5, 5.0, 5.0];
        assert!(
            at.iter()
                .zip(meant)
                .all(|(at, meant): (&f64, f64)| (at - meant).abs() < 1e-12)
        );
        assert_eq!(
            (day.lowest(), day.highest(), day.is_curve()),
            (2.0, 8.0, true)
        );
        // 09:00 to 09:15: its middle is 187.5 of 360 minutes up from 2 to 8.
        assert!((day.in_quarter(36) - (2.0 + 6.0 * 187.5 / 360.0)).abs() < 1e-12);
        assert_eq!(day.words(), "2 °C at 06:00, 8 °C at 12:00, 5 °C at 18:00");
    }

    #[test]
    fn a_flat_curve_is_a_figure_and_nonsense_is_nothing() {
        let flat = DayTemperature::stated(&json!({"06:00": 7, "18:00": 7}));
        assert_eq!(flat, Some(DayTemperature::figure(7.0)));
        assert_eq!(DayTemperature::stated(&json!(7)), flat);
        for odd in [
            json!({}),
            json!("warm"),
            json!({"noon": 7}),
            json!({"06:00": "cold"}),
            json!([7]),
        ] {
            assert_eq!(DayTemperature::stated(&odd), None, "{odd}");
        }
    }
}
