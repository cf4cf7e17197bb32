//! The temperature that each day of the week is expected to have.

use chrono::NaiveDate;
use gangday_model::{Finding, ParameterTable, Week};

use crate::waits::Conditions;

/// The temperature expected on this day: the week's `temperatures` by date, else the week's own.
///
/// # Units
/// Degrees Celsius.
#[must_use]
pub fn expected_celsius(week: &Week, day: NaiveDate) -> f64 {
    stated(week, day).unwrap_or(week.temperature_c)
}

fn stated(week: &Week, day: NaiveDate) -> Option<f64> {
    let by_date = week.extra.get("temperatures")?;
    by_date.get(day.to_string())?.as_f64()
}

/// The conditions that the week's waits are reckoned in: the coldest working day on which concrete
/// and mortar may be placed, so that no wait is told too short.
///
/// Where every day is too cold it is the first of them, to be refused by its date.
#[must_use]
pub fn week_conditions(week: &Week, materials: &ParameterTable) -> Conditions {
    let least = materials.value("wait.min_temperature").unwrap_or(f64::MIN);
    let working = || week.calendar_days().filter(|day| week.is_working_day(*day));
    let fit = working()
        .map(|day| expected_celsius(week, day))
        .filter(|celsius| *celsius >= least);
    match fit.min_by(f64::total_cmp) {
        Some(coldest) => Conditions::at(coldest),
        None => {
            let day = working().next().unwrap_or(week.first_day);
            Conditions::at(expected_celsius(week, day)).on(day)
        }
    }
}

/// A warning for each day with a temperature of its own on which no concrete or mortar may be placed.
#[must_use]
pub fn cold_days(week: &Week, materials: &ParameterTable) -> Vec<Finding> {
    let Some(least) = materials.value("wait.min_temperature") else {
        return Vec::new();
    };
    let cold = |day: NaiveDate| {
        let celsius = stated(week, day).filter(|celsius| *celsius < least)?;
        let warning = Finding::warning(
            "C-TOO-COLD",
            format!(
                "{celsius} C on {day} is below the {least} C at which concrete and mortar may be placed"
            ),
            "Place none that day, or set wait.min_temperature to the product's own.",
        );
        Some(warning.in_file("week.json").of("temperatures"))
    };
    week.calendar_days().filter_map(cold).collect()
}

#[cfg(test)]
mod tests {
    use gangday_model::Nation;
    use serde_json::json;

    use super::*;
    use crate::defaults::shipped_materials;

    fn week(temperatures: serde_json::Value) -> Week {
        let mut extra = serde_json::Map::new();
        extra.insert("temperatures".to_owned(), temperatures);
        Week {
            nation: Nation::England,
            first_day: NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date"),
            days: 5,
            holidays: Vec::new(),
            temperature_c: 10.0,
            today: None,
            rates: Vec::new(),
            extra,
        }
    }

    #[test]
    fn the_coldest_day_that_work_is_done_on_decides() {
        let materials = shipped_materials();
        let week = week(json!({ "2027-03-02": 3.0, "2027-03-03": 6.5 }));
        assert_eq!(week_conditions(&week, &materials), Conditions::at(6.5));
        let told = cold_days(&week, &materials);
        assert_eq!(told.len(), 1);
        assert!(
            told[0].text.contains("3 C on 2027-03-02"),
            "{}",
            told[0].text
        );
    }

    #[test]
    fn a_week_of_frost_is_refused_by_its_first_day() {
        let mut frost = week(json!({}));
        frost.temperature_c = -1.0;
        let day = frost.first_day;
        let expected = Conditions::at(-1.0).on(day);
        assert_eq!(week_conditions(&frost, &shipped_materials()), expected);
        assert_eq!(cold_days(&frost, &shipped_materials()), []);
    }
}
