//! Edits that a door may ask for, and what it needs to offer them.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};
use ts_rs::TS;

/// Properties of a job by their names in `jobs.geojson`.
pub type Properties = Map<String, Value>;

/// One edit: done as a whole, named, and taken back as a whole.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(tag = "do", rename_all = "snake_case")]
#[ts(tag = "do", rename_all = "snake_case")]
pub enum Edit {
    /// Set properties of several jobs; null takes one away.
    Set {
        /// Their ids.
        jobs: Vec<String>,
        /// The properties.
        #[ts(type = "Record<string, unknown>")]
        properties: Properties,
    },
    /// Move pins.
    Move {
        /// Which, and where to.
        pins: Vec<Pin>,
    },
    /// Delete jobs.
    Delete {
        /// Their ids.
        jobs: Vec<String>,
    },
    /// Add a job.
    Add {
        /// Where.
        at: [f64; 2],
        /// What is stated of it; `id` too, if it is to have one of its own.
        #[ts(type = "Record<string, unknown>")]
        properties: Properties,
    },
    /// Give a job another id.
    Rename {
        /// Its id so far.
        job: String,
        /// Its new id.
        to: String,
    },
    /// Add the jobs of a text that was copied.
    Paste {
        /// GeoJSON.
        text: String,
        /// Where their middle is to be; where they were, if absent.
        at: Option<[f64; 2]>,
    },
    /// Set members of a row in one of the programme's files; null takes one away.
    Row {
        /// The file: `method.json`, `materials.json`, `week.json`, `gangs.json` or `streets.geojson`.
        file: String,
        /// The key of a figure, the id of a gang, a tip or a street; absent for what stands in the
        /// file itself. A figure whose `value` is taken away is as it is shipped again.
        row: Option<String>,
        /// Which is meant of a gang and a tip that have one id; the gang, if absent.
        #[serde(default)]
        #[ts(optional = nullable)]
        yard: Option<Yard>,
        /// The members.
        #[ts(type = "Record<string, unknown>")]
        members: Properties,
    },
    /// Add a gang by its depot, or a tip.
    AddYard {
        /// Which.
        yard: Yard,
        /// Where.
        at: [f64; 2],
    },
    /// Take away a gang that has no work in the plan, or a tip.
    RemoveYard {
        /// Which of the two.
        yard: Yard,
        /// Its id.
        id: String,
    },
    /// Put members right of what reading had to refuse; null takes one away.
    Mend {
        /// Which.
        aside: Aside,
        /// The members: of a job or a street its properties and its `id`. A text is what was typed; what
        /// it is, the member says: a figure, a truth or a list where the member is no text.
        #[ts(type = "Record<string, unknown>")]
        members: Properties,
        /// Where it is to be, if its place is to be another: a job alone has one that is a point.
        at: Option<[f64; 2]>,
    },
    /// Take what reading had to refuse out of its file.
    TakeOut {
        /// Which.
        aside: Aside,
    },
}

/// Something in one of the programme's files that reading had to refuse: a job, a street, a gang or a tip.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Aside {
    /// The file: `jobs.geojson`, `streets.geojson` or `gangs.json`.
    pub file: String,
    /// The list in it: `features`, `gangs` or `tips`.
    pub list: String,
    /// Which of those refused in the list, from 0.
    pub nth: u32,
    /// What findings call it: its id, or `feature 3`.
    pub called: String,
}

/// The same with what it states.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct AsideRow {
    /// Which it is.
    pub aside: Aside,
    /// Its members, as far as there are any.
    #[ts(type = "Record<string, unknown>")]
    pub members: Properties,
    /// Those of them of which only the beginning is shown: they can be taken away, by the name that is
    /// shown, not written over. An id alone can be written over only.
    pub too_long: Vec<String>,
    /// How it stands in the file, cut off where it is long.
    pub written: String,
}

/// What stands on the map for as long as the programme lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(rename_all = "snake_case")]
pub enum Yard {
    /// A gang, at its depot.
    Gang,
    /// A tip.
    Tip,
}

/// A job with its new place.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Pin {
    /// The job.
    pub id: String,
    /// Where to.
    pub at: [f64; 2],
}

/// What is stated of a job, and nothing that is worked out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Stated {
    /// Its id.
    pub id: String,
    /// Where it is.
    pub at: [f64; 2],
    /// Its properties.
    #[ts(type = "Record<string, unknown>")]
    pub properties: Properties,
}

/// A property that jobs have, for a form.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct FieldView {
    /// Its name in `jobs.geojson`.
    pub name: String,
    /// What it is called.
    pub label: String,
    /// `choice`, `mm`, `count`, `date`, `text`, `texts` or `hours`.
    pub kind: String,
    /// What may be chosen.
    pub choices: Vec<String>,
}
