//! A client's list before it is taken in.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{FindingView, Properties};

/// A list with how it is to be read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ListRequest {
    /// The file's name, for messages.
    pub name: String,
    /// Its bytes, in Base64 (RFC 4648, clause 4): CSV, XLSX or GeoJSON; empty where it has a path.
    #[serde(default)]
    pub base64: String,
    /// Where it lies on this machine.
    #[serde(default)]
    #[ts(optional = nullable)]
    pub path: Option<String>,
    /// Whose list it is: how it is laid out is remembered by this name, and what is gone from it is
    /// told by it.
    pub client: Option<String>,
    /// How its columns become jobs, as `gangday import --show-mapping` prints it; remembered or
    /// guessed where absent.
    #[ts(type = "Record<string, unknown> | null")]
    pub mapping: Option<Properties>,
    /// Cells to read as something else.
    #[serde(default)]
    pub corrections: Vec<Correction>,
    /// Rows that were given a place on the map, whatever their cells say of one.
    #[serde(default)]
    pub places: Vec<RowPlace>,
    /// Rows to be shown wherever they stand, from 0: what was done to them by hand stays in sight, and
    /// where those that are shown are named, so many more are shown beside them.
    #[serde(default)]
    pub also: Vec<u32>,
    /// The `digest` of the file as it was looked at: another file than that is refused.
    #[serde(default)]
    #[ts(optional = nullable)]
    pub seen: Option<String>,
}

/// A place for a row, as it was put on the map.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct RowPlace {
    /// The row under the headings, from 0.
    pub row: u32,
    /// Longitude and latitude, degrees (WGS 84).
    pub at: [f64; 2],
}

/// A cell to read as something else.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Correction {
    /// The row under the headings, from 0.
    pub row: u32,
    /// The column's heading.
    pub column: String,
    /// What it is to say.
    pub value: String,
}

/// What taking a list in would do.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct PreviewView {
    /// The headings; none for GeoJSON.
    pub columns: Vec<String>,
    /// How its columns become jobs.
    #[ts(type = "Record<string, unknown>")]
    pub mapping: Properties,
    /// Whether that is remembered from an earlier list of the client.
    pub remembered: bool,
    /// The rows that were asked for, the first 2,000, and of each kind the first 500 beside those that were
    /// asked for, wherever they stand; in their order.
    pub rows: Vec<PreviewRow>,
    /// How many rows there are.
    pub of: u32,
    /// How many are new.
    pub fresh: u32,
    /// How many are jobs that would change.
    pub changed: u32,
    /// How many are jobs as they are.
    pub same: u32,
    /// How many can't become a job.
    pub at_fault: u32,
    /// How many may be the same as a job that is there, or as a row before them.
    pub near: u32,
    /// Words in columns of choices that are none of ours, of all rows.
    pub words: Vec<ForeignWord>,
    /// Jobs of this client that are no longer in the list.
    pub gone: Vec<String>,
    /// Those of them that are done in part or locked: they stay, whatever is asked for.
    pub staying: Vec<String>,
    /// What is wrong or needs a look.
    pub findings: Vec<FindingView>,
    /// Which bytes were looked at: their SHA-256 (FIPS 180-4), in hexadecimal digits.
    pub digest: String,
}

/// A word of the list that is none of the choices that its property has.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ForeignWord {
    /// The job's property.
    pub property: String,
    /// The word, as the list writes it.
    pub word: String,
}

/// One row of a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct PreviewRow {
    /// Which, from 0.
    pub row: u32,
    /// What it says, as corrected; none for GeoJSON.
    pub cells: Vec<String>,
    /// The job that it makes or changes.
    pub job: Option<String>,
    /// Where.
    pub at: Option<[f64; 2]>,
    /// `new`, `changed`, `same` or `fault`.
    pub status: String,
    /// `sections 3 → 4`, one each.
    pub changes: Vec<String>,
    /// A job that it may be the same as: `J001, 0.8 m away`.
    pub near: Option<String>,
}
