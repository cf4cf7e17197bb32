//! The figures that closures are proposed and drawn by, each with its source.

use std::sync::LazyLock;

use gangday_model::{Finding, Job, Millimetres, Parameter, ParameterTable, Street};

use crate::key;

static SHIPPED: LazyLock<Rules> = LazyLock::new(|| {
    Rules::from_table(&shipped_traffic()).expect("the shipped traffic figures are tested")
});

/// The traffic figures that come with the program.
///
/// # Source
/// Each row names its own; those from memory say so.
#[must_use]
pub fn shipped_traffic() -> ParameterTable {
    let rows: Vec<Parameter> = serde_json::from_str(include_str!("../defaults/traffic.json"))
        .expect("the shipped traffic figures are tested");
    ParameterTable::new(rows)
}

/// A complete set of traffic figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Rules {
    table: ParameterTable,
}

impl Rules {
    /// The rules that a table states; lay the user's own over [`shipped_traffic`] first.
    ///
    /// # Errors
    /// One `T-RULE` for each figure that is missing, below nothing or not a number.
    pub fn from_table(table: &ParameterTable) -> Result<Self, Vec<Finding>> {
        let is_usable = |value: f64| value.is_finite() && value >= 0.0;
        let faults: Vec<Finding> = key::all()
            .filter(|key| !table.value(key).is_some_and(is_usable))
            .map(unusable)
            .collect();
        if faults.is_empty() {
            Ok(Self {
                table: table.clone(),
            })
        } else {
            Err(faults)
        }
    }

    /// The rules that come with the program.
    #[must_use]
    pub fn shipped() -> &'static Self {
        &SHIPPED
    }

    /// The figure of a key that every set of rules has.
    pub(crate) fn value(&self, key: &'static str) -> f64 {
        self.table
            .value(key)
            .expect("every key is there, or there are no rules")
    }

    /// Where the figure comes from.
    pub(crate) fn source(&self, key: &'static str) -> &str {
        self.table.get(key).map_or("", |row| row.source.as_str())
    }

    /// The speed limit, mph, and whether it is assumed.
    pub(crate) fn speed(&self, street: Option<&Street>) -> (f64, bool) {
        let stated = street
            .and_then(|street| street.speed_limit_mph)
            .filter(|mph| *mph > 0);
        stated.map_or((self.value(key::ASSUMED_SPEED_LIMIT), true), |mph| {
            (f64::from(mph), false)
        })
    }

    /// The key of the sideways clearance at this speed.
    pub(crate) fn clearance_key(&self, mph: f64) -> &'static str {
        let is_slow = mph <= self.value(key::CLEARANCE_SLOW_LIMIT);
        if is_slow {
            key::CLEARANCE_SLOW
        } else {
            key::CLEARANCE_FAST
        }
    }

    /// The figure of the lowest band that holds this speed; the highest band beyond them all.
    pub(crate) fn banded(&self, bands: [(u32, &'static str); 4], mph: f64) -> f64 {
        let last = bands[bands.len() - 1];
        let band = bands
            .into_iter()
            .find(|(top, _)| mph <= f64::from(*top))
            .unwrap_or(last);
        self.value(band.1)
    }

    /// The dig across the street by the job's own sizes, m, and whether any of them is assumed.
    pub(crate) fn dig_across(&self, job: &Job) -> (f64, bool) {
        let sizes = &job.sizes;
        self.dig(
            [sizes.clear_width, sizes.wall, sizes.margin],
            key::CLEAR_WIDTH,
        )
    }

    /// The dig along the street, likewise.
    pub(crate) fn dig_along(&self, job: &Job) -> (f64, bool) {
        let sizes = &job.sizes;
        self.dig(
            [sizes.clear_length, sizes.wall, sizes.margin],
            key::CLEAR_LENGTH,
        )
    }

    /// Clear opening, and wall and working space on both sides of it.
    fn dig(&self, stated: [Option<Millimetres>; 3], clear: &'static str) -> (f64, bool) {
        let keys = [clear, key::WALL, key::MARGIN];
        let size = |part: usize| stated[part].map_or(self.value(keys[part]) / 1e3, Millimetres::m);
        let whole = size(0) + 2.0 * (size(1) + size(2));
        (whole, stated.iter().any(Option::is_none))
    }
}

/// A street's carriageway width, m, where it states one that can be used.
pub(crate) fn stated_width(street: Option<&Street>) -> Option<f64> {
    let width = street.and_then(|street| street.width_m);
    width.filter(|width| width.is_finite() && *width > 0.0)
}

fn unusable(key: &str) -> Finding {
    Finding::fault(
        "T-RULE",
        format!("The traffic figure `{key}` is missing or can't be used."),
        format!("State `{key}` as a number of nothing or more, or leave it to the shipped table."),
    )
    .of(key)
}

#[cfg(test)]
mod tests {
    use gangday_model::{LonLat, Position, Work};

    use super::*;

    #[test]
    fn every_shipped_figure_has_a_unit_a_source_and_a_date() {
        let table = shipped_traffic();
        assert!(Rules::from_table(&table).is_ok());
        for row in table.rows() {
            assert!(!row.unit.is_empty() && !row.source.is_empty() && !row.date.is_empty());
        }
        assert_eq!(table.rows().count(), key::all().count());
    }

    #[test]
    fn figures_from_memory_say_so() {
        let table = shipped_traffic();
        for (_, key) in key::TAPERS.into_iter().chain(key::RUN_INS) {
            assert!(
                table.get(key).unwrap().source.starts_with("from memory"),
                "{key}"
            );
        }
    }

    #[test]
    fn every_missing_figure_is_named() {
        let faults = Rules::from_table(&ParameterTable::default()).unwrap_err();
        assert_eq!(faults.len(), key::all().count());
        assert!(faults.iter().all(|fault| fault.code == "T-RULE"));
    }

    /// HAUC(UK) Guidance Bulletin 34: 0.5 m at 40 mph and below, 1.2 m at 50 mph and above.
    #[test]
    fn clearance_follows_bulletin_34() {
        let rules = Rules::shipped();
        let clearance = |mph| rules.value(rules.clearance_key(mph));
        let found = [20.0, 30.0, 40.0, 50.0, 60.0].map(clearance);
        assert_eq!(found.map(|m| (m * 10.0) as i32), [5, 5, 5, 12, 12]);
    }

    /// A 600 clear opening, 150 wall and 250 working space: 600 + 2 x 400 = 1400 mm.
    #[test]
    fn a_dig_is_the_opening_with_wall_and_working_space_both_sides() {
        let at = LonLat::new(0.0, 0.0);
        let mut job = Job::new("J1", at, Work::New, Position::Carriageway);
        let (assumed, is_assumed) = Rules::shipped().dig_across(&job);
        assert!((assumed - 1.4).abs() < 1e-9 && is_assumed);
        job.sizes.clear_width = Some(Millimetres::from_mm(900));
        job.sizes.wall = Some(Millimetres::from_mm(50));
        job.sizes.margin = Some(Millimetres::from_mm(300));
        let (stated, is_assumed) = Rules::shipped().dig_across(&job);
        assert!((stated - 1.6).abs() < 1e-9 && !is_assumed);
    }
}
