//! Compaction in lifts: how many, how often, and whether the plant is permitted to.

use gangday_model::{Finding, Millimetres, ParameterTable};

/// What is compacted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// 20 % granular content or more, type 1 among it.
    Granular,
    /// Less than 20 % granular content.
    Cohesive,
}

impl Fill {
    fn key(self) -> &'static str {
        match self {
            Self::Granular => "granular",
            Self::Cohesive => "cohesive",
        }
    }
}

/// How a height of fill is compacted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LiftPlan {
    /// The plant, as `lift.use.*` names it.
    pub plant: String,
    /// How many lifts.
    pub lifts: u32,
    /// Passes on each.
    pub passes_per_lift: u32,
    /// The row of the method table that states them.
    pub row: String,
}

impl LiftPlan {
    /// Passes over all lifts.
    #[must_use]
    pub fn passes(&self) -> u32 {
        self.lifts * self.passes_per_lift
    }
}

/// Passes that this plant needs on a compacted lift of this thickness, if it is permitted.
///
/// # Source
/// SROR 3rd edition (Scotland), Table A8.1, as rows `lift.passes.*` of the method table.
///
/// ```
/// use gangday_calc::{Fill, permitted_passes, shipped_method};
/// use gangday_model::Millimetres;
/// let method = shipped_method();
/// let passes = |mm| {
///     permitted_passes("vibrotamper_50", Fill::Granular, Millimetres::from_mm(mm), &method)
/// };
/// assert_eq!(passes(150), Some(8));
/// assert_eq!(passes(151), None);
/// ```
#[must_use]
pub fn permitted_passes(
    plant: &str,
    fill: Fill,
    thickness: Millimetres,
    method: &ParameterTable,
) -> Option<u32> {
    passes_row(plant, fill, thickness, method).map(|(passes, _)| passes)
}

/// The same with the row that states them.
fn passes_row(
    plant: &str,
    fill: Fill,
    thickness: Millimetres,
    method: &ParameterTable,
) -> Option<(u32, String)> {
    let prefix = format!("lift.passes.{plant}.{}.", fill.key());
    let columns = method.under(&prefix).filter_map(|row| {
        let column: i64 = row.key[prefix.len()..].parse().ok()?;
        (column >= thickness.mm()).then_some((column, row))
    });
    let (_, row) = columns.min_by_key(|(column, _)| *column)?;
    let usable = (1.0..=1e3).contains(&row.value);
    usable.then(|| (row.value as u32, row.key.clone()))
}

/// How this height is compacted by the plant on the gang: the permitted one with fewest passes.
///
/// # Units
/// `height` in millimetres; lifts as thick as `lift.thickness`, the last one thinner. A height below
/// that is one lift, judged as thick as it is.
///
/// # Errors
/// No plant on the gang is permitted to compact lifts of that thickness.
pub fn lift_plan(
    height: Millimetres,
    fill: Fill,
    method: &ParameterTable,
) -> Result<LiftPlan, Vec<Finding>> {
    let thickness = Millimetres::from_mm(method.value("lift.thickness").unwrap_or(0.0) as i64);
    let on_gang = || {
        let used = method.under("lift.use.").filter(|row| row.value > 0.0);
        used.map(|row| &row.key["lift.use.".len()..])
    };
    let lifts = if thickness > Millimetres::ZERO {
        (height.mm() + thickness.mm() - 1).div_euclid(thickness.mm())
    } else {
        0
    };
    let judged = thickness.min(height.max(Millimetres::from_mm(1)));
    let permitted = on_gang().filter_map(|plant| {
        let (passes, row) = passes_row(plant, fill, judged, method)?;
        Some((passes, plant, row))
    });
    match permitted.min() {
        Some((passes_per_lift, plant, row)) if thickness > Millimetres::ZERO => Ok(LiftPlan {
            plant: plant.to_owned(),
            lifts: u32::try_from(lifts.max(0)).unwrap_or(u32::MAX),
            passes_per_lift,
            row,
        }),
        _ => {
            let plant = on_gang().collect::<Vec<_>>().join(", ");
            Err(vec![refused(judged, fill, &plant)])
        }
    }
}

fn refused(thickness: Millimetres, fill: Fill, plant: &str) -> Finding {
    let plant = if plant.is_empty() { "no plant" } else { plant };
    Finding::fault(
        "C-LIFT",
        format!(
            "a lift of {} mm of {} material is not permitted with {plant}",
            thickness.mm(),
            fill.key()
        ),
        "Lessen lift.thickness, or set lift.use of the plant that the gang has to 1.",
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::defaults::shipped_method;

    fn with(rows: &[(&str, f64)]) -> ParameterTable {
        let shipped = shipped_method();
        let rows = rows.iter().map(|(key, value)| {
            let mut row = shipped.get(key).unwrap().clone();
            row.value = *value;
            row
        });
        shipped.overlaid(&ParameterTable::new(rows.collect::<Vec<_>>()))
    }

    fn plan(rows: &[(&str, f64)]) -> (u32, u32) {
        let plan = lift_plan(Millimetres::from_mm(450), Fill::Granular, &with(rows)).unwrap();
        (plan.lifts, plan.passes())
    }

    /// SROR 3rd edition (Scotland), Table A8.1 passes; the lift counts are own arithmetic.
    #[test]
    fn type1_450_mm_deep() {
        assert_eq!(plan(&[("lift.thickness", 150.0)]), (3, 24));
        assert_eq!(plan(&[("lift.thickness", 100.0)]), (5, 20));
        let plate = [
            ("lift.thickness", 200.0),
            ("lift.use.plate_1800", 1.0),
            ("lift.use.vibrotamper_50", 0.0),
        ];
        assert_eq!(plan(&plate), (3, 21));
    }

    /// The whole of Table A8.1: 11 rows of two fills and three lifts.
    #[test]
    fn the_published_table() {
        let table: [(&str, [[u32; 3]; 2]); 11] = [
            ("vibrotamper_50", [[4, 8, 0], [4, 8, 0]]),
            ("roller_single_600", [[0, 0, 0], [12, 0, 0]]),
            ("roller_single_1000", [[8, 0, 0], [6, 0, 0]]),
            ("roller_single_2000", [[3, 6, 0], [3, 5, 7]]),
            ("roller_single_3500", [[3, 4, 6], [3, 4, 6]]),
            ("roller_twin_600", [[0, 0, 0], [6, 0, 0]]),
            ("roller_twin_1000", [[4, 8, 0], [3, 6, 0]]),
            ("roller_twin_2000", [[2, 3, 5], [2, 3, 4]]),
            ("plate_1400", [[0, 0, 0], [5, 0, 0]]),
            ("plate_1800", [[3, 6, 0], [3, 5, 7]]),
            ("restricted_25", [[6, 0, 0], [6, 0, 0]]),
        ];
        let method = shipped_method();
        for (plant, fills) in table {
            for (fill, row) in [Fill::Cohesive, Fill::Granular].into_iter().zip(fills) {
                for (thickness, passes) in [100, 150, 200].into_iter().zip(row) {
                    let mm = Millimetres::from_mm(thickness);
                    let found = permitted_passes(plant, fill, mm, &method).unwrap_or(0);
                    assert_eq!(found, passes, "{plant} {fill:?} {thickness}");
                }
            }
        }
    }

    /// 90 mm in one lift is in the column for 100 mm, whatever lifts are usual: 4 passes, not 8.
    #[test]
    fn a_height_below_one_lift_is_judged_as_thick_as_it_is() {
        let method = with(&[("lift.thickness", 150.0)]);
        let plan = lift_plan(Millimetres::from_mm(90), Fill::Granular, &method).unwrap();
        assert_eq!((plan.lifts, plan.passes_per_lift), (1, 4));
        let thick = with(&[("lift.thickness", 200.0)]);
        let height = |mm| lift_plan(Millimetres::from_mm(mm), Fill::Granular, &thick);
        assert_eq!(height(150).unwrap().passes_per_lift, 8);
        assert_eq!(height(160).unwrap_err()[0].code, "C-LIFT");
    }

    #[test]
    fn a_lift_of_151_mm_by_vibrotamper_is_refused_and_named() {
        let faults = lift_plan(
            Millimetres::from_mm(450),
            Fill::Granular,
            &with(&[("lift.thickness", 151.0)]),
        )
        .unwrap_err();
        let [fault] = faults.as_slice() else {
            panic!("{faults:?}")
        };
        assert!(fault.is_fault() && fault.code == "C-LIFT");
        assert!(fault.text.contains("151 mm") && fault.text.contains("vibrotamper_50"));
    }

    #[test]
    fn of_two_plants_the_one_with_fewer_passes_is_taken() {
        let rows = [("lift.use.plate_1800", 1.0)];
        let plan = lift_plan(Millimetres::from_mm(450), Fill::Granular, &with(&rows)).unwrap();
        assert_eq!(
            (plan.plant.as_str(), plan.passes_per_lift),
            ("plate_1800", 5)
        );
    }
}
