//! Reading figures out of a table, every fault at once.

use gangday_model::{Finding, Millimetres, ParameterTable};

/// A table being read: what is missing or unusable is gathered and told at the end.
pub(crate) struct Figures<'a> {
    table: &'a ParameterTable,
    file: &'static str,
    faults: Vec<Finding>,
}

/// Larger than any figure of the trade; beyond it a product of sizes could overflow.
const ABSURD: f64 = 1e6;

impl<'a> Figures<'a> {
    pub(crate) fn method(table: &'a ParameterTable) -> Self {
        Self {
            table,
            file: "method.json",
            faults: Vec::new(),
        }
    }

    pub(crate) fn materials(table: &'a ParameterTable) -> Self {
        Self {
            table,
            file: "materials.json",
            faults: Vec::new(),
        }
    }

    /// A finite figure of either sign.
    pub(crate) fn signed(&mut self, key: &str) -> f64 {
        match self.table.value(key) {
            Some(value) if value.is_finite() && value.abs() <= ABSURD => value,
            Some(value) => self.refuse(key, &format!("{key} is {value}"), "State a usable figure."),
            None => self.absent(key),
        }
    }

    /// A figure that is not negative.
    pub(crate) fn number(&mut self, key: &str) -> f64 {
        let value = self.signed(key);
        if value < 0.0 {
            return self.refuse(
                key,
                &format!("{key} is {value}, below nothing"),
                "State a figure of zero or more.",
            );
        }
        value
    }

    /// A figure above zero, because something is divided by it.
    pub(crate) fn rate(&mut self, key: &str) -> f64 {
        let faults = self.faults.len();
        let value = self.number(key);
        if value > 0.0 || self.faults.len() > faults {
            return value;
        }
        self.refuse(key, &format!("{key} is zero"), "State a figure above zero.")
    }

    /// A length in whole millimetres.
    pub(crate) fn mm(&mut self, key: &str) -> Millimetres {
        Millimetres::from_mm(self.whole(key))
    }

    /// A density in whole kg/m3, so that masses are exact.
    pub(crate) fn density(&mut self, key: &str) -> i64 {
        let before = self.faults.len();
        let density = self.whole(key);
        if density == 0 && self.faults.len() == before {
            self.refuse(
                key,
                &format!("{key} is zero"),
                "State the density in kg/m3.",
            );
        }
        density
    }

    /// A figure that must be a whole number.
    pub(crate) fn whole(&mut self, key: &str) -> i64 {
        let value = self.number(key);
        if value.fract() != 0.0 {
            self.refuse(
                key,
                &format!("{key} is {value}, not a whole number"),
                "Round it.",
            );
        }
        value as i64
    }

    /// A whole number from 0 to `most` that stands for a choice.
    pub(crate) fn choice(&mut self, key: &str, most: i64) -> i64 {
        let value = self.whole(key);
        if value <= most {
            return value;
        }
        let text = format!("{key} is {value}, which stands for nothing");
        self.refuse(key, &text, "State one of the numbers that the unit names.") as i64
    }

    /// The figure of the first of these keys that the table has.
    pub(crate) fn mm_of_first(&mut self, keys: [&str; 2]) -> Millimetres {
        let key = if self.table.get(keys[0]).is_some() {
            keys[0]
        } else {
            keys[1]
        };
        self.mm(key)
    }

    /// Everything that was the matter.
    pub(crate) fn into_faults(self) -> Vec<Finding> {
        self.faults
    }

    fn absent(&mut self, key: &str) -> f64 {
        let fault = Finding::fault(
            "P-ABSENT",
            format!("{key} is in no table"),
            format!(
                "Add a row {key} with value, unit and source to {}.",
                self.file
            ),
        );
        self.faults.push(fault.in_file(self.file).at(key));
        0.0
    }

    fn refuse(&mut self, key: &str, text: &str, remedy: &str) -> f64 {
        let fault = Finding::fault("P-RANGE", text, remedy);
        self.faults
            .push(fault.in_file(self.file).at(key).of("value"));
        0.0
    }
}

#[cfg(test)]
mod tests {
    use gangday_model::{Parameter, ParameterTable};
    use serde_json::Map;

    use super::Figures;

    fn table(rows: &[(&str, f64)]) -> ParameterTable {
        ParameterTable::new(rows.iter().map(|(key, value)| Parameter {
            key: (*key).to_owned(),
            value: *value,
            unit: String::new(),
            source: String::new(),
            date: String::new(),
            extra: Map::new(),
        }))
    }

    #[test]
    fn every_unusable_figure_is_told_once() {
        let table = table(&[
            ("nan", f64::NAN),
            ("below", -1.0),
            ("zero", 0.0),
            ("part", 22.5),
            ("huge", 1e300),
            ("good", 60.0),
        ]);
        let mut figures = Figures::method(&table);
        figures.number("nan");
        figures.rate("below");
        figures.rate("zero");
        figures.mm("part");
        figures.density("huge");
        figures.number("none");
        assert_eq!(figures.mm("good").mm(), 60);
        let told: Vec<_> = figures
            .into_faults()
            .iter()
            .map(|fault| (fault.code.clone(), fault.place.feature.clone().unwrap()))
            .collect();
        let expected = [
            ("P-RANGE", "nan"),
            ("P-RANGE", "below"),
            ("P-RANGE", "zero"),
            ("P-RANGE", "part"),
            ("P-RANGE", "huge"),
            ("P-ABSENT", "none"),
        ];
        assert_eq!(
            told,
            expected.map(|(code, key)| (code.to_owned(), key.to_owned()))
        );
    }
}
