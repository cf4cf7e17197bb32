//! The tables that Gangday ships: common practice and published values, each row traced.

use std::sync::LazyLock;

use gangday_model::{Finding, Parameter, ParameterTable};
use serde::Deserialize;

#[derive(Deserialize)]
struct Table {
    parameters: Vec<Parameter>,
}

static METHOD: LazyLock<ParameterTable> =
    LazyLock::new(|| parse(include_str!("../defaults/method.json")));
static MATERIALS: LazyLock<ParameterTable> =
    LazyLock::new(|| parse(include_str!("../defaults/materials.json")));

fn parse(text: &str) -> ParameterTable {
    let table: Table = serde_json::from_str(text).expect("the shipped tables are tested to parse");
    ParameterTable::new(table.parameters)
}

/// How a chamber is built and what a gang gets done, as shipped.
///
/// A programme's own `method.json` is laid over it, row by row.
///
/// # Source
/// Each row names its own.
///
/// ```
/// let method = gangday_calc::shipped_method();
/// assert_eq!(method.value("chamber.margin"), Some(250.0));
/// ```
#[must_use]
pub fn shipped_method() -> ParameterTable {
    METHOD.clone()
}

/// Densities, packs, waste and waits, as shipped.
///
/// A programme's own `materials.json` is laid over it, row by row.
///
/// # Source
/// Each row names its own.
#[must_use]
pub fn shipped_materials() -> ParameterTable {
    MATERIALS.clone()
}

/// The shipped row of this key, from the materials.
pub(crate) fn shipped_material(key: &str) -> Option<&'static Parameter> {
    MATERIALS.get(key)
}

/// What is the matter with a programme's own tables, before anything is calculated from them.
///
/// A figure in another unit than the shipped row would be taken a thousand times too large, so
/// the unit must be the shipped one; rows that Gangday does not ship are left alone.
///
/// ```
/// use gangday_calc::{check_parameters, shipped_materials, shipped_method};
/// assert_eq!(check_parameters(&shipped_method(), &shipped_materials()), []);
/// ```
#[must_use]
pub fn check_parameters(method: &ParameterTable, materials: &ParameterTable) -> Vec<Finding> {
    let mut findings = check_table(method, &METHOD, "method.json");
    findings.extend(check_table(materials, &MATERIALS, "materials.json"));
    findings
}

fn check_table(table: &ParameterTable, shipped: &ParameterTable, file: &str) -> Vec<Finding> {
    let known = |row: &&Parameter| shipped.get(&row.key).is_some();
    let faults = table.rows().filter(known).flat_map(|row| {
        let unit = shipped.get(&row.key).map_or("", |own| own.unit.as_str());
        [unusable(row), other_unit(row, unit)]
    });
    faults.flatten().map(|fault| fault.in_file(file)).collect()
}

/// What is the matter with one row that must be in this unit.
pub(crate) fn faults_of(row: &Parameter, unit: &str) -> Vec<Finding> {
    [unusable(row), other_unit(row, unit)]
        .into_iter()
        .flatten()
        .collect()
}

fn unusable(row: &Parameter) -> Option<Finding> {
    let signed = row.unit == "C";
    let usable = row.value.is_finite() && (signed || row.value >= 0.0);
    (!usable).then(|| {
        Finding::fault(
            "P-RANGE",
            format!("{} is {}", row.key, row.value),
            "State a figure of zero or more.",
        )
        .at(&row.key)
        .of("value")
    })
}

fn other_unit(row: &Parameter, unit: &str) -> Option<Finding> {
    (row.unit != unit).then(|| {
        Finding::fault(
            "P-UNIT",
            format!("{} is given in \"{}\"", row.key, row.unit),
            format!("Give it in \"{unit}\"."),
        )
        .at(&row.key)
        .of("unit")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_row_has_a_unit_a_source_and_a_date() {
        let (method, materials) = (shipped_method(), shipped_materials());
        assert!(method.rows().count() > 100 && materials.rows().count() > 25);
        for row in method.rows().chain(materials.rows()) {
            assert!(!row.unit.trim().is_empty(), "{} has no unit", row.key);
            assert!(!row.source.trim().is_empty(), "{} has no source", row.key);
            assert_eq!(row.date.len(), 10, "{} has no date", row.key);
            assert!(row.extra.is_empty(), "{} has a misspelt property", row.key);
        }
    }

    #[test]
    fn no_key_is_shipped_twice() {
        for text in [
            include_str!("../defaults/method.json"),
            include_str!("../defaults/materials.json"),
        ] {
            let rows: Table = serde_json::from_str(text).unwrap();
            let written = rows.parameters.len();
            assert_eq!(ParameterTable::new(rows.parameters).rows().count(), written);
        }
    }

    #[test]
    fn a_row_in_another_unit_or_below_nothing_is_refused() {
        let mut tonnes = shipped_material("density.type1").unwrap().clone();
        tonnes.value = 2.1;
        tonnes.unit = "t/m3".to_owned();
        let mut waste = shipped_material("waste.type1").unwrap().clone();
        waste.value = -5.0;
        let own = shipped_materials().overlaid(&ParameterTable::new([tonnes, waste]));
        let findings = check_parameters(&shipped_method(), &own);
        let codes: Vec<_> = findings
            .iter()
            .map(|finding| finding.code.as_str())
            .collect();
        assert_eq!(codes, ["P-UNIT", "P-RANGE"]);
    }
}
