//! The figures that a programme rests on, and the rows of its files.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// One figure, as it counts now.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct FigureRow {
    /// Its dotted name: `chamber.base`.
    pub key: String,
    /// The figure.
    pub value: f64,
    /// Its unit.
    pub unit: String,
    /// The document, "common practice, no source" or "from memory".
    pub source: String,
    /// When it was read or set.
    pub date: String,
    /// Whether the programme states it itself, in place of what is shipped.
    pub own: bool,
    /// What is shipped, where anything is.
    pub shipped: Option<f64>,
}

/// A table of figures.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct FigureTable {
    /// What it is about: `How a chamber is built`.
    pub title: String,
    /// The programme's file that states figures of its own: `method.json`.
    pub file: String,
    /// Its figures, by key.
    pub rows: Vec<FigureRow>,
}
