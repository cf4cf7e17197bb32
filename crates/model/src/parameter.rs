//! Figures as data: each with its key, value, unit, source and date, so that it can be traced.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

/// One figure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Parameter {
    /// Dotted name, for example `chamber.base`.
    pub key: String,
    /// The figure.
    pub value: f64,
    /// Its unit, as a foreman would write it.
    pub unit: String,
    /// The document it comes from, or "common practice, no source", or "from memory".
    #[serde(default)]
    pub source: String,
    /// When the source was read or the figure was set.
    #[serde(default)]
    pub date: String,
    /// Properties that Gangday does not know, kept for the round trip.
    #[serde(flatten)]
    pub extra: Map<String, Value>,
}

/// Figures by key; a later one replaces an earlier one of the same key.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ParameterTable {
    rows: BTreeMap<String, Parameter>,
}

impl ParameterTable {
    /// A table of these rows.
    pub fn new(rows: impl IntoIterator<Item = Parameter>) -> Self {
        let rows = rows.into_iter().map(|row| (row.key.clone(), row)).collect();
        Self { rows }
    }

    /// The row of this key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Parameter> {
        self.rows.get(key)
    }

    /// The figure of this key.
    #[must_use]
    pub fn value(&self, key: &str) -> Option<f64> {
        self.get(key).map(|row| row.value)
    }

    /// These rows, with those of `over` in place of those of the same key.
    #[must_use]
    pub fn overlaid(&self, over: &Self) -> Self {
        let mut rows = self.rows.clone();
        rows.extend(
            over.rows
                .iter()
                .map(|(key, row)| (key.clone(), row.clone())),
        );
        Self { rows }
    }

    /// All rows, by key.
    pub fn rows(&self) -> impl Iterator<Item = &Parameter> {
        self.rows.values()
    }

    /// Rows whose key starts with `prefix`, by key.
    pub fn under<'a>(&'a self, prefix: &'a str) -> impl Iterator<Item = &'a Parameter> {
        self.rows().filter(move |row| row.key.starts_with(prefix))
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
}
