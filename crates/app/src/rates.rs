//! What things cost, as shipped: placeholders that the week's own rates replace.

use gangday_model::{ClosureKind, Parameter, ParameterTable};
use serde::Deserialize;

use crate::words;

#[derive(Deserialize)]
struct Table {
    parameters: Vec<Parameter>,
}

/// The shipped rates.
#[must_use]
pub fn shipped() -> ParameterTable {
    let table: Table = serde_json::from_str(include_str!("../defaults/rates.json"))
        .expect("the shipped rates are tested to parse");
    ParameterTable::new(table.parameters)
}

/// A rate in whole pence; nothing where the table has no such row.
#[must_use]
pub fn pence(rates: &ParameterTable, key: &str) -> i64 {
    rates.value(key).map_or(0, |value| value.round() as i64)
}

/// A rate that goes by the kind of closure.
#[must_use]
pub fn by_closure(rates: &ParameterTable, what: &str, kind: ClosureKind) -> i64 {
    pence(rates, &format!("rate.{what}.{}", words::closure_key(kind)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_rate_is_traced_and_in_pence() {
        let shipped = shipped();
        assert!(shipped.rows().count() >= 17);
        for row in shipped.rows() {
            assert!(row.unit.starts_with('p'), "{} is in {}", row.key, row.unit);
            assert!(
                !row.source.is_empty() && !row.date.is_empty(),
                "{}",
                row.key
            );
        }
    }

    #[test]
    fn leaving_out_a_must_costs_most() {
        let rates = shipped();
        let left_out: Vec<i64> = (1..=5)
            .map(|priority| pence(&rates, &format!("rate.left_out.{priority}")))
            .collect();
        assert!(left_out.is_sorted_by(|more, less| more > less));
    }
}
