//! Jobs and tables that several tests use.
#![allow(
    dead_code,
    clippy::unwrap_used,
    reason = "each test takes what it needs, and what it builds is there"
)]

pub mod arithmetic;

use chrono::NaiveDate;
use gangday_calc::{shipped_materials, shipped_method, take_off};
use gangday_model::{
    Finding, Job, LonLat, Millimetres, Nation, Parameter, ParameterTable, Position, TakeOff, Week,
    Work,
};
use serde_json::Map;

pub const POSITIONS: [Position; 4] = [
    Position::Verge,
    Position::Footway,
    Position::CycleTrack,
    Position::Carriageway,
];

pub fn mm(value: i64) -> Option<Millimetres> {
    Some(Millimetres::from_mm(value))
}

pub fn job(work: Work, position: Position) -> Job {
    Job::new("J1", LonLat::new(0.0, 52.0), work, position)
}

/// The shipped method with these figures in place of its own.
pub fn method(rows: &[(&str, f64)]) -> ParameterTable {
    over(&shipped_method(), rows)
}

/// The shipped materials with these figures in place of their own.
pub fn materials(rows: &[(&str, f64)]) -> ParameterTable {
    over(&shipped_materials(), rows)
}

fn over(shipped: &ParameterTable, rows: &[(&str, f64)]) -> ParameterTable {
    let row = |(key, value): &(&str, f64)| Parameter {
        key: (*key).to_owned(),
        value: *value,
        unit: shipped
            .get(key)
            .map_or_else(String::new, |row| row.unit.clone()),
        source: "this test".to_owned(),
        date: "2027-03-01".to_owned(),
        extra: Map::new(),
    };
    shipped.overlaid(&ParameterTable::new(rows.iter().map(row)))
}

pub fn taken(job: &Job) -> TakeOff {
    take_off(job, &shipped_method(), &shipped_materials()).unwrap()
}

pub fn refused(job: &Job) -> Vec<Finding> {
    take_off(job, &shipped_method(), &shipped_materials()).unwrap_err()
}

/// Codes and properties of findings, in order.
pub fn told(findings: &[Finding]) -> Vec<(&str, &str)> {
    findings
        .iter()
        .map(|finding| {
            (
                finding.code.as_str(),
                finding.place.property.as_deref().unwrap_or(""),
            )
        })
        .collect()
}

/// Five days from Monday 1 March 2027.
pub fn week() -> Week {
    Week {
        nation: Nation::England,
        first_day: NaiveDate::from_ymd_opt(2027, 3, 1).unwrap(),
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
