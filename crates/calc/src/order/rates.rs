//! Figures of an order, each ready to be told with its source.

use gangday_model::{Parameter, ParameterTable};

use crate::defaults::shipped_material;

/// The materials table as an order reads it.
pub(crate) struct Rates<'a> {
    materials: &'a ParameterTable,
}

/// One figure and the words that trace it.
pub(crate) struct Rate {
    pub(crate) value: f64,
    pub(crate) told: String,
}

impl Rate {
    /// The figure in a unit so small that it is a whole number.
    pub(crate) fn whole(&self, parts_per_unit: f64) -> i128 {
        (self.value * parts_per_unit).round() as i128
    }

    /// A percentage in millionths of a per cent.
    pub(crate) fn percent(&self) -> i128 {
        self.whole(1e6)
    }
}

/// Larger than any figure of the trade.
const ABSURD: f64 = 1e6;

impl<'a> Rates<'a> {
    pub(crate) fn new(materials: &'a ParameterTable) -> Self {
        Self { materials }
    }

    /// A figure that may be zero, such as a waste.
    pub(crate) fn share(&self, key: &str) -> Rate {
        self.usable(key, |value| (0.0..=ABSURD).contains(&value))
    }

    /// A figure above zero, such as what a pack holds.
    pub(crate) fn size(&self, key: &str) -> Rate {
        self.usable(key, |value| value > 0.0 && value <= ABSURD)
    }

    /// Whether a begun or spare pack of this serves another day.
    pub(crate) fn keeps(&self, material: &str) -> bool {
        let stated = self.materials.get(&format!("keeps.{material}"));
        stated.is_some_and(|row| row.value > 0.0)
    }

    fn usable(&self, key: &str, good: impl Fn(f64) -> bool) -> Rate {
        if let Some(row) = self.materials.get(key).filter(|row| good(row.value)) {
            return Rate {
                value: row.value,
                told: told(row),
            };
        }
        let row = shipped_material(key).expect("an order reads only keys that are shipped");
        let told = format!(
            "{}; shipped figure, the table's own can't be used",
            told(row)
        );
        Rate {
            value: row.value,
            told,
        }
    }
}

fn told(row: &Parameter) -> String {
    let source = if row.source.is_empty() {
        "no source stated"
    } else {
        row.source.as_str()
    };
    format!("{} {} {} ({source})", row.key, row.value, row.unit)
}
