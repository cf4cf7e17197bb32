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
    let faults = table.rows().filter_map(|row| {
        let unit = unit_of(row, shipped)?;
        Some([unusable(row), other_unit(row, unit)])
    });
    let faults = faults.flatten().flatten();
    faults.map(|fault| fault.in_file(file)).collect()
}

/// Rows of one position are in the unit of the row that they take the place of.
const OF_POSITION: &str = "chamber.surfacing.";

/// The unit that a row must be in, where Gangday ships the row or the one that it stands in for.
fn unit_of<'a>(row: &Parameter, shipped: &'a ParameterTable) -> Option<&'a str> {
    let stood_in_for = || {
        let own = row.key.strip_prefix(OF_POSITION).map(|_| ());
        own.and_then(|()| shipped.get(OF_POSITION.trim_end_matches('.')))
    };
    let known = shipped.get(&row.key).or_else(stood_in_for)?;
    Some(known.unit.as_str())
}

/// Beginnings of keys that go on with a name of the user's: of a plant, a mixture or a ground.
const OWN_NAMES: [&str; 9] = [
    OF_POSITION,
    "layers.",
    "lift.use.",
    "lift.passes.",
    "lift.bituminous.",
    "mix.",
    "mixture.",
    "output.excavate.",
    "vibration.",
];

/// A note for each row whose key nothing reads, with the known key that is nearest.
///
/// ```
/// use gangday_calc::{shipped_method, unread_keys};
/// let mut row = shipped_method().get("chamber.wall").unwrap().clone();
/// row.key = "chamber.wal".to_owned();
/// let own = gangday_model::ParameterTable::new([row]);
/// let notes = unread_keys(&own, &[&shipped_method()], "method.json");
/// assert!(notes[0].remedy.contains("chamber.wall"));
/// ```
#[must_use]
pub fn unread_keys(table: &ParameterTable, known: &[&ParameterTable], file: &str) -> Vec<Finding> {
    let read = |key: &str| {
        OWN_NAMES.iter().any(|start| key.starts_with(start))
            || known.iter().any(|table| table.get(key).is_some())
    };
    let unread = table.rows().filter(|row| !read(&row.key));
    let note = |row: &Parameter| {
        let keys = known.iter().flat_map(|table| table.rows());
        let nearest = keys.min_by_key(|other| steps(&row.key, &other.key));
        let remedy = nearest.map_or_else(
            || "Take the row out.".to_owned(),
            |near| format!("Take the row out, or call it {}.", near.key),
        );
        Finding::note("P-UNREAD", format!("nothing reads {}", row.key), remedy)
            .in_file(file)
            .at(&row.key)
            .of("key")
    };
    unread.map(note).collect()
}

/// How many letters must be put in, taken out or changed to make one key of the other.
fn steps(from: &str, to: &str) -> usize {
    let mut row: Vec<usize> = (0..=to.len()).collect();
    for (at, letter) in from.bytes().enumerate() {
        let mut before = row[0];
        row[0] = at + 1;
        for (place, other) in to.bytes().enumerate() {
            let changed = before + usize::from(letter != other);
            before = row[place + 1];
            row[place + 1] = changed.min(before + 1).min(row[place] + 1);
        }
    }
    row[to.len()]
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

    #[test]
    fn a_row_for_one_position_has_the_unit_of_the_row_that_it_stands_in_for() {
        let mut row = METHOD.get("chamber.surfacing").unwrap().clone();
        row.key = "chamber.surfacing.footway".to_owned();
        let check = |row: &Parameter| check_table(&ParameterTable::new([row.clone()]), &METHOD, "");
        assert_eq!(check(&row), []);
        row.unit = "cm".to_owned();
        assert_eq!(check(&row)[0].code, "P-UNIT");
    }

    #[test]
    fn a_key_that_nothing_reads_is_told_with_the_nearest_that_is_read() {
        let known = METHOD.get("chamber.wall").unwrap();
        let row = |key: &str| Parameter {
            key: key.to_owned(),
            ..known.clone()
        };
        let own = [
            "chamber.wal",
            "layers.footway.1.ours",
            "vibration.ours",
            "chamber.wall",
        ];
        let own = ParameterTable::new(own.map(row));
        let notes = unread_keys(&own, &[&METHOD], "method.json");
        assert_eq!(notes.len(), 1);
        assert!(notes[0].code == "P-UNREAD" && notes[0].remedy.contains("chamber.wall"));
        assert_eq!((steps("kitten", "sitting"), steps("", "ab")), (3, 2));
    }
}
