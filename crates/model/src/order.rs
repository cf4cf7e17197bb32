//! The two ledgers: what is measured, and what is ordered.

use chrono::NaiveDate;
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

/// Who supplies a material, by when it is ordered and what it costs.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Supply {
    /// The supplier, where the materials table names one.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub supplier: Option<String>,
    /// Working days from ordering to having it.
    pub lead_days: u32,
    /// The last day to order on.
    pub order_by: NaiveDate,
    /// What it costs, in pence; none where nobody has set a price.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub price_pence: Option<i64>,
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
    /// What earlier orders left over and this one uses, in `unit`.
    #[serde(skip_serializing_if = "is_nothing", default)]
    pub brought_forward: f64,
    /// What this order leaves over for a later one, in `unit`; nothing where it does not keep.
    #[serde(skip_serializing_if = "is_nothing", default)]
    pub left_over: f64,
    /// Supplier, lead time, last day to order and price, where they were asked for.
    #[serde(skip_serializing_if = "Option::is_none", default)]
    pub supply: Option<Supply>,
    /// Formula with its numbers and their sources, in words.
    pub why: String,
}

fn is_nothing(value: &f64) -> bool {
    *value == 0.0
}

/// All materials of one order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Order {
    /// What the order is for: a job, a route, a day or the week.
    pub key: String,
    /// Its materials.
    pub materials: Vec<MaterialLine>,
    /// What could be ordered in place of some of them; never added to them.
    #[serde(skip_serializing_if = "Vec::is_empty", default)]
    pub alternatives: Vec<MaterialLine>,
}
