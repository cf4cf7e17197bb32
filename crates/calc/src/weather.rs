//! The temperature that each day of the week is expected to have.

use chrono::NaiveDate;
use gangday_model::{DayTemperature, Finding, ParameterTable, WaitKind, Week, day_in_words};
use serde_json::Value;

use crate::cold::{PLACED, least_celsius, placed};
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

/// What hardens by its own chemistry; in what cold surfacing is laid does not lengthen a wait.
const HARDENS: [WaitKind; 3] = [
    WaitKind::BaseCure,
    WaitKind::MortarSet,
    WaitKind::InitialSet,
];

/// The conditions that the week's waits are reckoned in: the coldest of a working day at which
/// concrete and mortar may be placed, so that no wait is told too short.
///
/// Where every day is too cold for one of them it is the first of the warmest, to be refused by its
/// date.
#[must_use]
pub fn week_conditions(week: &Week, materials: &ParameterTable) -> Conditions {
    let least = HARDENS.map(|kind| least_celsius(materials, kind).unwrap_or(f64::MIN));
    let least = least.into_iter().fold(f64::MIN, f64::max);
    let working = || week.calendar_days().filter(|day| week.is_working_day(*day));
    let fit = working()
        .map(|day| week.temperature_on(day))
        .filter(|day| day.highest() >= least)
        .map(|day| day.lowest().max(least));
    if let Some(coldest) = fit.min_by(f64::total_cmp) {
        return Conditions::at(coldest);
    }
    let highest = |day: NaiveDate| week.temperature_on(day).highest();
    let warmest = working().map(highest).max_by(f64::total_cmp);
    let day = working().find(|day| Some(highest(*day)) == warmest);
    let day = day.unwrap_or(week.first_day);
    Conditions::at(highest(day)).on(day)
}

/// A warning for each day with a temperature of its own that is too cold for something, for all of it
/// or in some of its hours.
#[must_use]
pub fn cold_days(week: &Week, materials: &ParameterTable) -> Vec<Finding> {
    let cold = |day: NaiveDate| {
        let own = week.own_temperature(day)?;
        let celsius = own.lowest();
        let kinds = PLACED.into_iter().filter_map(|(kind, _)| {
            let least = least_celsius(materials, kind)?;
            (celsius < least).then(|| format!("{} °C for {}", least, placed(kind).1))
        });
        let kinds: Vec<String> = kinds.collect();
        if kinds.is_empty() {
            return None;
        }
        let lowest = if own.is_curve() {
            ", at its coldest,"
        } else {
            ""
        };
        let warning = Finding::warning(
            "C-TOO-COLD",
            format!(
                "{celsius} °C on {}{lowest} is below what may be placed: {}",
                day_in_words(day),
                kinds.join(", ")
            ),
            "Place none while it is as cold, or set wait.min_temperature.MATERIAL to the product's own.",
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
    let usable = |day: &DayTemperature| day.lowest() >= COLDEST_C && day.highest() <= HOTTEST_C;
    let good = |date: &str, celsius: &Value| {
        date.parse::<NaiveDate>().is_ok()
            && DayTemperature::stated(celsius).is_some_and(|day| usable(&day))
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
        "State degrees Celsius from -30 to 50 by date, as in {\"2027-03-01\": 3.5}, or by date and time of \
         day, as in {\"2027-03-01\": {\"06:00\": 2, \"12:00\": 8}}.",
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
            nights: 0,
            over_weekend: false,
            plan_from: None,
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
            told[0].text.contains("3 °C on Tue 2 Mar"),
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
        let odd = json!({ "2027-03-01": 7.5, "2027-03-02": "warm", "soon": 12, "2027-03-04": 99,
            "2027-03-05": { "06:00": 2, "12:00": 8 }, "2027-03-06": { "6 in the morning": 2 },
            "2027-03-07": {}, "2027-03-08": { "06:00": -40, "12:00": 8 } });
        let told = odd_temperatures(&week(odd));
        assert_eq!(told.len(), 6);
        assert!(
            told.iter()
                .all(|fault| fault.is_fault() && fault.code == "C-TEMPERATURE")
        );
        assert_eq!(odd_temperatures(&week(json!([3.5]))).len(), 1);
        assert_eq!(odd_temperatures(&week(json!({}))), []);
    }
}
