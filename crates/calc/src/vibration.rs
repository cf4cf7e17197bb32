//! Hand-arm vibration of one operative in one day.

use std::collections::BTreeMap;

use gangday_model::{Finding, ParameterTable};
use schemars::JsonSchema;
use serde::Serialize;

use crate::figures::Figures;

/// Hours that a daily exposure is related to.
const DAY_H: f64 = 8.0;

/// How long one tool is held in one day.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ToolTime {
    /// The tool, as `vibration.*` names it.
    pub tool: String,
    /// Vibration magnitude, m/s2.
    pub magnitude: f64,
    /// Minutes in the hand of one operative.
    pub minutes: f64,
    /// Exposure points of that.
    pub points: f64,
}

/// One operative's vibration in one day.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DayVibration {
    /// Daily exposure A(8), m/s2.
    pub a8: f64,
    /// Exposure points.
    pub points: f64,
    /// Each tool.
    pub tools: Vec<ToolTime>,
    /// A warning past the action value, a fault past the limit value.
    pub finding: Option<Finding>,
}

/// Daily exposure of one magnitude held so many hours.
///
/// # Units
/// m/s2 and hours.
///
/// # Source
/// A(8) = a x sqrt(t / 8), Control of Vibration at Work Regulations 2005, Schedule 1, as
/// Introduction to Health and Safety at Work, section 15.2.3, has it.
///
/// ```
/// // A tool of 10 m/s2 for half an hour reaches the action value.
/// assert_eq!(gangday_calc::a8(10.0, 0.5), 2.5);
/// ```
#[must_use]
pub fn a8(magnitude: f64, hours: f64) -> f64 {
    magnitude * (hours / DAY_H).sqrt()
}

/// Exposure points of one magnitude held so many hours: 100 at the action value, 400 at the limit.
///
/// # Units
/// m/s2 and hours.
///
/// # Source
/// 2 a^2 t, HSE's points system, from memory, high confidence.
#[must_use]
pub fn points(magnitude: f64, hours: f64) -> f64 {
    2.0 * magnitude * magnitude * hours
}

/// What so many minutes of each tool are for one operative, the operatives taking turns as
/// `vibration.sharing` says, but never more of them than the gang has.
///
/// # Errors
/// A tool without a magnitude, or a figure that can't be used.
///
/// ```
/// use gangday_calc::{day_vibration, shipped_method};
/// // A breaker of 12 m/s2 for an hour.
/// let day = day_vibration([("breaker", 60.0)], 3, &shipped_method()).unwrap();
/// assert_eq!(day.points, 288.0);
/// assert_eq!(day.finding.unwrap().code, "C-EAV");
/// ```
pub fn day_vibration<'a>(
    tools: impl IntoIterator<Item = (&'a str, f64)>,
    people: u32,
    method: &ParameterTable,
) -> Result<DayVibration, Vec<Finding>> {
    let mut read = Figures::method(method);
    let sharing = read.rate("vibration.sharing").min(f64::from(people.max(1)));
    let (action, limit) = (
        read.rate("vibration.action_value"),
        read.rate("vibration.limit_value"),
    );
    let mut held: BTreeMap<&str, f64> = BTreeMap::new();
    for (tool, minutes) in tools {
        *held.entry(tool).or_default() += minutes;
    }
    let tools: Vec<ToolTime> = held
        .into_iter()
        .map(|(tool, minutes)| {
            let magnitude = read.number(&format!("vibration.{tool}"));
            let minutes = minutes / sharing;
            ToolTime {
                tool: tool.to_owned(),
                magnitude,
                minutes,
                points: points(magnitude, minutes / 60.0),
            }
        })
        .collect();
    let faults = read.into_faults();
    if !faults.is_empty() {
        return Err(faults);
    }
    let squares: f64 = tools
        .iter()
        .map(|tool| a8(tool.magnitude, tool.minutes / 60.0).powi(2))
        .sum();
    let a8 = squares.sqrt();
    Ok(DayVibration {
        a8,
        points: tools.iter().map(|tool| tool.points).sum(),
        tools,
        finding: past(a8, action, limit),
    })
}

fn past(a8: f64, action: f64, limit: f64) -> Option<Finding> {
    let remedy = "Share the tools among more operatives, spread the jobs over more days, or use \
                  tools that shake less.";
    let text = |what: &str, value: f64| {
        format!("vibration A(8) of {a8:.2} m/s² is past the exposure {what} value of {value} m/s²")
    };
    if a8 > limit {
        Some(Finding::fault("C-ELV", text("limit", limit), remedy))
    } else if a8 > action {
        Some(Finding::warning("C-EAV", text("action", action), remedy))
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::defaults::shipped_method;

    /// Own arithmetic on the published formulas (SI 2005/1093; points from memory): 12 m/s2 for 1 h, 10 for 30 min, 5 for 2 h, 15 for 15 min.
    #[test]
    fn the_published_formulas() {
        let rows = [
            (12.0, 1.0, 4.24, 288.0),
            (10.0, 0.5, 2.50, 100.0),
            (5.0, 2.0, 2.50, 100.0),
            (15.0, 0.25, 2.65, 112.5),
        ];
        for (magnitude, hours, exposure, score) in rows {
            assert!(
                (a8(magnitude, hours) - exposure).abs() < 5e-3,
                "{magnitude}"
            );
            assert!(
                (points(magnitude, hours) - score).abs() < 1e-9,
                "{magnitude}"
            );
        }
    }

    /// SI 2005/1093: 2.5 and 5 m/s2 A(8), which are 100 and 400 points.
    #[test]
    fn points_and_exposure_agree_at_action_and_limit_value() {
        let method = shipped_method();
        for (key, score) in [
            ("vibration.action_value", 100.0),
            ("vibration.limit_value", 400.0),
        ] {
            let value = method.value(key).unwrap();
            assert!((points(value, 8.0) - score).abs() < 1e-9, "{key}");
            assert!((a8(value, 8.0) - value).abs() < 1e-9, "{key}");
        }
    }

    /// Points add up over tools as the squares of exposures do.
    #[test]
    fn tools_of_one_day_add_up() {
        let tools = [
            ("breaker", 30.0),
            ("vibrotamper_50", 40.0),
            ("breaker", 5.0),
        ];
        let day = day_vibration(tools, 3, &shipped_method()).unwrap();
        assert_eq!(day.tools.len(), 2);
        assert!((day.points - (2.0 * 144.0 * 35.0 + 2.0 * 81.0 * 40.0) / 60.0).abs() < 1e-9);
        assert!((day.points - day.a8 * day.a8 * 16.0).abs() < 1e-9);
    }

    #[test]
    fn past_the_action_value_warns_and_past_the_limit_is_a_fault() {
        let method = shipped_method();
        // 12 m/s2: the action value at 20.8 min, the limit value at 83.3 min.
        let code = |minutes| {
            let day = day_vibration([("breaker", minutes)], 3, &method).unwrap();
            day.finding
                .map(|finding| (finding.code.clone(), finding.is_fault()))
        };
        assert_eq!(code(20.8), None);
        assert_eq!(code(20.9), Some(("C-EAV".to_owned(), false)));
        assert_eq!(code(83.3), Some(("C-EAV".to_owned(), false)));
        assert_eq!(code(83.4), Some(("C-ELV".to_owned(), true)));
        let unknown = day_vibration([("spoon", 1.0)], 3, &method).unwrap_err();
        assert_eq!(unknown[0].code, "P-ABSENT");
    }
}
