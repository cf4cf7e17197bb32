//! How the public is led past works: what controls traffic, where walkers go, what widths are left
//! and what is set out for it. A proposal with its reasons, never a judgement of safety.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::JobId;

/// What leads vehicles past the works.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Control {
    /// Traffic is as it was.
    #[default]
    None,
    /// Lanes are narrower or moved over, and both directions still pass.
    BothWays,
    /// A one-way street with one lane taken.
    OneWay,
    /// Drivers give way to one another.
    GiveAndTake,
    /// Signs give one direction priority.
    PrioritySigns,
    /// Boards held by people: stop, go.
    StopGoBoards,
    /// Portable traffic signals.
    PortableSignals,
    /// Nobody drives past.
    RoadClosed,
}

/// Where walkers go.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    Hash,
    PartialOrd,
    Ord,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum OnFoot {
    /// As before.
    #[default]
    Unaffected,
    /// Past the works on what is left of the footway.
    PastWorks,
    /// On a guarded walkway in the carriageway.
    Walkway,
    /// Over to the other footway.
    OtherFootway,
}

/// Whether a rule's test was met.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// It is met.
    Met,
    /// It is not.
    NotMet,
    /// The programme doesn't state what it needs, so it can't be shown.
    NotStated,
    /// It has to be looked at on the spot.
    OnTheSpot,
}

/// One test of one way of controlling traffic.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Ruling {
    /// The control that the test belongs to.
    pub control: Control,
    /// Its outcome.
    pub verdict: Verdict,
    /// What was held against what: `54 vehicles in 3 minutes, at most 20`.
    pub words: String,
    /// Document, edition and clause, or "from memory".
    pub source: String,
}

/// A width that is left, with what it must not fall below.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct WidthLeft {
    /// `carriageway`, `footway` or `walkway`.
    pub of: String,
    /// What is left, m.
    pub left_m: f64,
    /// What is asked for, m.
    pub wanted_m: f64,
    /// What it may not fall below, m.
    pub least_m: f64,
    /// How it was reckoned.
    pub because: String,
    /// Where the limits come from.
    pub source: String,
}

/// Things of one kind that are set out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct KitLine {
    /// Stable name: `cone`.
    pub item: String,
    /// As the trade calls it.
    pub name: String,
    /// Diagram number of the sign, where one is known.
    pub diagram: Option<String>,
    /// How many.
    pub count: u32,
    /// How the count came about.
    pub formula: String,
    /// Where the formula and its figures come from.
    pub source: String,
}

/// What lies where across the street at the works, seen along the street's line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum BandKind {
    /// Footway that stays open.
    Footway,
    /// Carriageway that stays open.
    Carriageway,
    /// A guarded walkway.
    Walkway,
    /// The sideways clearance between works and traffic.
    Clearance,
    /// The guarded works.
    Works,
    /// Shut, with nothing on it.
    Closed,
}

/// One band of the street's cross-section.
///
/// # Units
/// Metres across the street from its line, negative to the right and positive to the left.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Band {
    /// What it is.
    pub kind: BandKind,
    /// From.
    pub from_m: f64,
    /// To.
    pub to_m: f64,
}

/// How the public is led past one job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Arrangement {
    /// The job.
    pub job: JobId,
    /// What leads vehicles past.
    pub control: Control,
    /// Where walkers go.
    pub on_foot: OnFoot,
    /// The rule that led there, in a sentence or two.
    pub because: String,
    /// Every test that was looked at, in order of preference.
    pub rulings: Vec<Ruling>,
    /// Widths left.
    pub widths: Vec<WidthLeft>,
    /// From the first cone to the last, m; nothing where no cones stand in a carriageway.
    pub coned_m: Option<f64>,
    /// What is set out.
    pub kit: Vec<KitLine>,
    /// The street across, at the works; empty where nobody states a width.
    pub section: Vec<Band>,
    /// What always goes with it.
    pub caution: String,
}
