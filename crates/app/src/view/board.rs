//! The board: each gang-day a column drawn as a section, time downward.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// One day of the week, for the board's heading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct BoardDay {
    /// ISO date.
    pub date: String,
    /// As a supervisor writes it: `Mon 1 Mar`.
    pub name: String,
    /// Whether gangs that state no days of their own work on it.
    pub working: bool,
    /// Whether it is before the day from which is planned: nothing is put on it any more.
    pub past: bool,
}

/// One gang-day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Column {
    /// `gang@date`: the key of the route everywhere.
    pub key: String,
    /// The gang.
    pub gang: String,
    /// ISO date.
    pub date: String,
    /// Shift starts.
    pub shift_from: u32,
    /// Shift ends.
    pub shift_to: u32,
    /// Leaves the depot.
    pub depart: u32,
    /// Back at the depot.
    pub back: u32,
    /// What the gang does, from the shift's start to the end of the day, without gaps.
    pub layers: Vec<Layer>,
    /// What chemistry does meanwhile.
    pub waits: Vec<WaitLayer>,
    /// Jobs in the order of their first visit.
    pub jobs: Vec<String>,
    /// Jobs that are left over the night, their rest done on another gang-day.
    pub left: Vec<String>,
    /// Jobs that were left over a night and are gone on with here.
    pub gone_on: Vec<String>,
    /// The way driven; none in what a change by hand would do, which is told without it.
    pub way: Option<WayView>,
    /// Minutes worked, driven and stood with nothing to do.
    pub worked_min: u32,
    /// Minutes on the road.
    pub travel_min: u32,
    /// Minutes with nothing to do.
    pub idle_min: u32,
}

/// The way of a gang-day, depot to depot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct WayView {
    /// On the map: steps from place to place in millionths of a degree, the first from longitude and
    /// latitude 0.
    pub line: Vec<[i32; 2]>,
    /// Distance driven, km, by the travel model that the sheet names.
    pub km: f64,
}

/// What fills a layer.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename_all = "snake_case")]
pub enum LayerKind {
    /// Loading at the depot.
    Load,
    /// On the road.
    Travel,
    /// Working on a stage.
    Work,
    /// Taking a break.
    Rest,
    /// Nothing to do.
    Idle,
    /// Unloading at the depot.
    Unload,
}

/// One layer of a gang-day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Layer {
    /// What fills it.
    pub kind: LayerKind,
    /// The job, for work and for travel towards it.
    pub job: Option<String>,
    /// The stage, for work.
    pub stage: Option<String>,
    /// `locked` or `done` where it stays when the week is planned again.
    pub stays: Option<String>,
    /// From.
    pub from: u32,
    /// Until.
    pub to: u32,
    /// In the site's words: `Dig J-014, 85 min`.
    pub words: String,
}

/// A cure, a set or the hold before traffic, at one job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct WaitLayer {
    /// The job.
    pub job: String,
    /// `base_cure`, `mortar_set`, `initial_set` or `hold`.
    pub kind: String,
    /// The stage before it ends.
    pub from: u32,
    /// It is over.
    pub to: u32,
    /// The next stage starts.
    pub next: u32,
    /// In the site's words: `Base cures until 10:40`.
    pub words: String,
}
