//! One job, ready to show.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// A figure with its unit, and why it is what it is.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Figure {
    /// What it is: `Type 1`.
    pub label: String,
    /// Rounded as a foreman would order.
    pub value: String,
    /// Its unit.
    pub unit: String,
    /// The exact value with its unit.
    pub exact: String,
    /// Formula, numbers and source, in words.
    pub why: String,
}

/// One job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct JobView {
    /// Its id.
    pub id: String,
    /// Where it is.
    pub at: [f64; 2],
    /// The dig in plan, a closed ring; empty where the take-off was refused.
    pub outline: Vec<[f64; 2]>,
    /// The chamber in plan, a closed ring.
    pub chamber: Vec<[f64; 2]>,
    /// `new`, `replace` or `adjust`.
    pub work: String,
    /// `verge`, `footway`, `cycle_track` or `carriageway`.
    pub position: String,
    /// One line: `New chamber in the footway, 600 × 600, 6 sections`.
    pub title: String,
    /// What people call it, or its address, where somebody has said so.
    pub called: Option<String>,
    /// The street's name, or its id where it has none.
    pub street: Option<String>,
    /// 1 (must) to 5.
    pub priority: u32,
    /// `none`, `footway`, `lane` or `road`: stated or proposed.
    pub closure: String,
    /// Dates, hours, tickets and permit as words, one each.
    pub terms: Vec<String>,
    /// The route it is in: `gang@date`.
    pub route: Option<String>,
    /// The route on which its rest is done, where it is left over a night.
    pub next_route: Option<String>,
    /// Over which nights it is left open, in words; empty where over none.
    pub left: String,
    /// Work on it in all, minutes.
    pub work_min: u32,
    /// The shortest closure, minutes.
    pub closure_min: u32,
    /// Stages as words with minutes: `Dig 85 min`, `Base cures 73 min`.
    pub stages: Vec<String>,
    /// Its pictures.
    pub attachments: Vec<AttachmentView>,
}

/// A picture of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct AttachmentView {
    /// What it is called.
    pub name: String,
    /// `image/jpeg`, `image/png` or `image/webp`.
    pub media: String,
    /// How many bytes it is.
    pub bytes: f64,
    /// The same in words, with what was taken out of it.
    pub said: String,
}
