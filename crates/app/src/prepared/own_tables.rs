//! What is the matter with the tables that a programme brings along.

use gangday_calc::{check_parameters, shipped_materials, shipped_method, unread_keys};
use gangday_files::{MATERIALS, METHOD};
use gangday_ground::roads::shipped_roads;
use gangday_ground::shipped_travel;
use gangday_model::{Finding, Programme};
use gangday_traffic::shipped_traffic;

/// Faults of the programme's own tables, which keep anything from being worked out of them, and
/// notes on their rows that nothing reads.
pub(super) fn findings(programme: &Programme) -> (Vec<Finding>, Vec<Finding>) {
    let (method, materials) = (&programme.method, &programme.materials);
    let shipped = [
        &shipped_method(),
        &shipped_materials(),
        &crate::limits::shipped(),
        &shipped_roads(),
        &shipped_travel(),
        &shipped_traffic(),
    ];
    let mut unread = unread_keys(method, &shipped, METHOD);
    unread.extend(unread_keys(materials, &shipped, MATERIALS));
    (check_parameters(method, materials), unread)
}

#[cfg(test)]
mod tests {
    use gangday_model::{Parameter, ParameterTable};

    use super::*;
    use crate::demo;
    use crate::prepared::Prepared;
    use crate::view::DemoWeek;

    fn row(key: &str, value: f64, unit: &str) -> Parameter {
        Parameter {
            key: key.to_owned(),
            value,
            unit: unit.to_owned(),
            source: "this test".to_owned(),
            date: "2027-03-01".to_owned(),
            extra: serde_json::Map::new(),
        }
    }

    /// The small week with these rows of its own.
    fn with(method: &[Parameter], materials: &[Parameter]) -> Prepared {
        let sound = demo::open(DemoWeek::Small)
            .prepared
            .programme
            .as_ref()
            .clone();
        let own = |rows: &[Parameter]| ParameterTable::new(rows.to_vec());
        Prepared::new(Programme {
            method: sound.method.overlaid(&own(method)),
            materials: sound.materials.overlaid(&own(materials)),
            ..sound
        })
    }

    /// What is told of its tables, and how many jobs have quantities.
    fn told(method: &[Parameter], materials: &[Parameter]) -> (Vec<String>, usize) {
        let prepared = with(method, materials);
        let place = |finding: &Finding| finding.place.feature.clone().unwrap_or_default();
        let of_tables = prepared
            .findings()
            .iter()
            .filter(|found| found.code.starts_with("P-"));
        let told = of_tables.map(|found| format!("{} {}", found.code, place(found)));
        (told.collect(), prepared.take_offs.iter().flatten().count())
    }

    #[test]
    fn a_wrong_unit_or_sign_in_the_programmes_tables_is_a_fault_and_gives_no_quantity() {
        let jobs = demo::open(DemoWeek::Small).prepared.programme.jobs.len();
        assert_eq!(told(&[], &[]), (Vec::new(), jobs));
        let cases = [
            (
                vec![row("chamber.wall", 8.0, "cm")],
                vec![],
                "P-UNIT chamber.wall",
            ),
            (
                vec![row("output.excavate.soil", 50.0, "m3/day")],
                vec![],
                "P-UNIT output.excavate.soil",
            ),
            (
                vec![],
                vec![row("density.type1", 2.1, "t/m3")],
                "P-UNIT density.type1",
            ),
            (
                vec![],
                vec![row("waste.mortar", -5.0, "%")],
                "P-RANGE waste.mortar",
            ),
            (
                vec![],
                vec![row("price.type1", -1.0, "p per t")],
                "P-RANGE price.type1",
            ),
        ];
        for (method, materials, fault) in cases {
            assert_eq!(told(&method, &materials), (vec![fault.to_owned()], 0));
        }
        let unread = told(&[row("chamber.wal", 80.0, "mm")], &[]);
        assert_eq!(unread, (vec!["P-UNREAD chamber.wal".to_owned()], jobs));
    }

    #[test]
    fn a_negative_figure_is_told_by_its_row_alone() {
        let cases = [
            (
                vec![row("chamber.wall", -5.0, "mm")],
                vec![],
                "P-RANGE chamber.wall",
            ),
            (
                vec![],
                vec![row("density.concrete", -5.0, "kg/m3")],
                "P-RANGE density.concrete",
            ),
        ];
        for (method, materials, fault) in cases {
            assert_eq!(told(&method, &materials), (vec![fault.to_owned()], 0));
            let prepared = with(&method, &materials);
            let mut codes = prepared.findings().iter().map(|found| &found.code);
            assert!(codes.all(|code| code != "T-RULE"));
        }
    }
}
