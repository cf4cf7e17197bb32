//! What has changed of a sheet that a door shows already.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use ts_rs::TS;

/// What makes the sheet of one edition that of another.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct SheetPatch {
    /// The edition that it is for.
    pub from: u32,
    /// The edition that it leads to.
    pub edition: u32,
    /// Whether findings, closures, clashes, notices, orders and loads are those of the new edition;
    /// else they come with a later patch.
    pub settled: bool,
    /// Members of the sheet that are others now, each whole.
    #[ts(type = "Partial<Sheet>")]
    pub sheet: Map<String, Value>,
    /// Members of its plan that are others now, each whole.
    #[ts(type = "Partial<PlanView>")]
    pub plan: Map<String, Value>,
    /// Lists of which only some rows are others, to be changed one after the other.
    pub lists: Vec<ListPatch>,
}

/// What has changed of a list whose rows are told apart by one of their members.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ListPatch {
    /// Which: `jobs`, `plan.columns`, `plan.closures` or `plan.deadlines`.
    pub list: String,
    /// The member that tells its rows apart.
    pub key: String,
    /// Rows to take out, first of all.
    pub gone: Vec<String>,
    /// Rows to put in, in this order.
    pub put: Vec<PutRow>,
}

/// A row that takes the place of the one with the same key; where there is none, it is inserted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct PutRow {
    /// Where it is inserted, from 0.
    pub at: u32,
    /// The row.
    #[ts(type = "unknown")]
    pub row: Value,
}

impl SheetPatch {
    /// Goes on to where another patch leads from here.
    pub fn then(&mut self, next: Self) {
        self.edition = next.edition;
        self.settled = next.settled;
        self.sheet.extend(next.sheet);
        self.plan.extend(next.plan);
        self.lists.extend(next.lists);
    }
}
