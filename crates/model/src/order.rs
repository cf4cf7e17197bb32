//! The two ledgers: what is measured, and what is ordered.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Whole packs of one size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Packs {
    /// How many.
    pub count: u32,
    /// What one holds, in `unit`.
    pub size: f64,
    /// The unit of `size`.
    pub unit: String,
    /// What it is called: bag, load, unit.
    pub name: String,
}

/// One material of one order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct MaterialLine {
    /// Key of the material, for example `type1`.
    pub material: String,
    /// What it is called on the order.
    pub name: String,
    /// Net in place: what is billed.
    pub measured: f64,
    /// With waste, rounded up to whole packs once for the whole order: what is ordered.
    pub ordered: f64,
    /// The unit of both.
    pub unit: String,
    /// Packs or loads, where it comes in them.
    pub packs: Option<Packs>,
    /// What rounding up to packs added, in `unit`.
    pub rounding_added: f64,
    /// Formula with its numbers and their sources, in words.
    pub why: String,
}

/// All materials of one order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Order {
    /// What the order is for: a job, a route, a day or the week.
    pub key: String,
    /// Its materials.
    pub materials: Vec<MaterialLine>,
}
