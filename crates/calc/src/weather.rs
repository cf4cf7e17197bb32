//! The temperature that each day of the week is expected to have.

use chrono::NaiveDate;
use gangday_model::{Finding, ParameterTable, Week};
use serde_json::Value;

use crate::waits::{Conditions, HOTTEST_C};

/// Colder than any day that is worked here, common sense.
const COLDEST_C: f64 = -30.0;

/// The temperature expected on this day: the week's `temperatures` by date, else the week's own.
///
/// # Units
/// Degrees Celsius.
#[must_use]
pub fn expected_celsius(week: &Week, day: NaiveDate) -> f64 {
    week.celsius_on(day)
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
        let celsius = week.own_celsius(day).filter(|celsius| *celsius < least)?;
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

/// Every row of the week's `temperatures` that says nothing, or nothing that can be.
#[must_use]
pub fn odd_temperatures(week: &Week) -> Vec<Finding> {
    let rows = match week.extra.get("temperatures") {
        None => return Vec::new(),
        Some(Value::Object(rows)) => rows,
        Some(other) => return vec![odd(&other.to_string())],
    };
    let good = |date: &str, celsius: &Value| {
        let celsius = celsius.as_f64();
        date.parse::<NaiveDate>().is_ok()
            && celsius.is_some_and(|celsius| (COLDEST_C..=HOTTEST_C).contains(&celsius))
    };
    rows.iter()
        .filter(|(date, celsius)| !good(date, celsius))
        .map(|(date, celsius)| odd(&format!("{date}: {celsius}")))
        .collect()
}

fn odd(row: &str) -> Finding {
    Finding::fault(
        "C-TEMPERATURE",
        format!("temperatures, {row}: no temperature of a day can be made out"),
        "State degrees Celsius from -30 to 50 by date, as in {\"2027-03-01\": 3.5}.",
    )
    .in_file("week.json")
    .of("temperatures")
}

#[cfg(test)]
mod tests {
    use gangday_model::Nation;
    use serde_json::json;

    use super::*;
    use crate::defaults::shipped_materials;

    fn week(temperatures: Value) -> Week {
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

    #[test]
    fn a_day_that_says_nothing_of_its_temperature_is_a_fault() {
        let odd = json!({ "2027-03-01": 7.5, "2027-03-02": "warm", "soon": 12, "2027-03-04": 99 });
        let told = odd_temperatures(&week(odd));
        assert_eq!(told.len(), 3);
        assert!(
            told.iter()
                .all(|fault| fault.is_fault() && fault.code == "C-TEMPERATURE")
        );
        assert_eq!(odd_temperatures(&week(json!([3.5]))).len(), 1);
        assert_eq!(odd_temperatures(&week(json!({}))), []);
    }
}
