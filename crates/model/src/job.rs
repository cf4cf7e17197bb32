//! One chamber to install, replace or adjust.

use chrono::{NaiveDate, NaiveTime};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use crate::{JobId, LonLat, Millimetres, StreetId};

/// What is done to the chamber.
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
pub enum Work {
    /// A chamber where none was.
    #[default]
    New,
    /// A failed or old chamber dug out and a new one built.
    Replace,
    /// The ironwork lifted and re-bedded; the chamber stays.
    Adjust,
}

/// Where in the street the chamber lies.
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
pub enum Position {
    /// Soft ground beside the road.
    Verge,
    /// For people on foot.
    #[default]
    Footway,
    /// For people cycling.
    CycleTrack,
    /// For vehicles.
    Carriageway,
}

/// What is taken from the public while the work lasts.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ClosureKind {
    /// Nothing beyond the guarded works area.
    None,
    /// The footway, with a way past.
    Footway,
    /// One lane.
    Lane,
    /// The whole road.
    Road,
}

/// EN 124 class: the test load in kN is in the name.
///
/// # Source
/// EN 124-1 classes, from memory, high confidence.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[allow(missing_docs, reason = "the names are the standard's own")]
pub enum LoadClass {
    A15,
    B125,
    C250,
    D400,
    E600,
    F900,
}

/// Hours of a day within which something may or may not happen, both ends local time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Hours {
    /// From.
    pub from: NaiveTime,
    /// Until.
    pub until: NaiveTime,
}

/// The sizes that a job states; what it leaves out comes from the method table.
///
/// # Units
/// Millimetres; the symbols are those of the chamber drawing.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sizes {
    /// L, clear opening along the street.
    pub clear_length: Option<Millimetres>,
    /// W, clear opening across the street.
    pub clear_width: Option<Millimetres>,
    /// n, stacked sections; 0 for an adjustment.
    pub sections: Option<u32>,
    /// h, depth of one section.
    pub section_depth: Option<Millimetres>,
    /// t, wall of a section.
    pub wall: Option<Millimetres>,
    /// b, base concrete.
    pub base: Option<Millimetres>,
    /// e, how far the first section stands in the base.
    pub embed: Option<Millimetres>,
    /// f, ironwork frame and cover.
    pub ironwork_depth: Option<Millimetres>,
    /// Ironwork outside, along the street.
    pub ironwork_length: Option<Millimetres>,
    /// Ironwork outside, across the street.
    pub ironwork_width: Option<Millimetres>,
    /// m, bedding mortar under the ironwork.
    pub bedding: Option<Millimetres>,
    /// a, working space outside the frames.
    pub margin: Option<Millimetres>,
}

/// One job, as its feature in `jobs.geojson` states it.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Its id, unique in the programme.
    pub id: JobId,
    /// Where it is.
    pub at: LonLat,
    /// What is done.
    pub work: Work,
    /// Where in the street.
    pub position: Position,
    /// Stated sizes.
    pub sizes: Sizes,
    /// EN 124 class of the cover, if stated.
    pub load_class: Option<LoadClass>,
    /// Key of an output row in the method table.
    pub ground: Option<String>,
    /// The street it is in, if stated.
    pub street: Option<StreetId>,
    /// The closure asked for; proposed where absent.
    pub closure: Option<ClosureKind>,
    /// First day it may be worked.
    pub earliest: Option<NaiveDate>,
    /// Last day it may be worked, inclusive.
    pub latest: Option<NaiveDate>,
    /// Work and closure only within these hours; empty means any.
    pub site_hours: Vec<Hours>,
    /// Tickets that somebody in the gang must hold.
    pub tickets: Vec<String>,
    /// 1 (must) to 5.
    pub priority: u8,
    /// Permit reference, free text.
    pub permit: Option<String>,
    /// The most nights over which its works may be left; as the week says where absent.
    pub nights: Option<u32>,
    /// Whether they may be left over a weekend or another day on which nobody works; as the week says
    /// where absent.
    pub over_weekend: Option<bool>,
    /// Properties that Gangday does not know, kept for the round trip.
    pub extra: Map<String, Value>,
}

impl Job {
    /// A job with nothing stated but where and what, priority 3.
    #[must_use]
    pub fn new(id: impl Into<JobId>, at: LonLat, work: Work, position: Position) -> Self {
        Self {
            id: id.into(),
            at,
            work,
            position,
            sizes: Sizes::default(),
            load_class: None,
            ground: None,
            street: None,
            closure: None,
            earliest: None,
            latest: None,
            site_hours: Vec::new(),
            tickets: Vec::new(),
            priority: 3,
            permit: None,
            nights: None,
            over_weekend: None,
            extra: Map::new(),
        }
    }

    /// Whether the job's own dates allow this day.
    #[must_use]
    pub fn allows(&self, day: NaiveDate) -> bool {
        self.earliest.is_none_or(|first| first <= day) && self.latest.is_none_or(|last| day <= last)
    }
}
