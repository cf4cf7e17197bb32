//! What the public meets: controls, ways round, clashes and deadlines.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// How the public is led past one job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ArrangementView {
    /// `none`, `both_ways`, `one_way`, `give_and_take`, `priority_signs`, `stop_go_boards`,
    /// `portable_signals` or `road_closed`.
    pub control: String,
    /// In words: `Give and take`.
    pub control_words: String,
    /// `unaffected`, `past_works`, `walkway` or `other_footway`.
    pub on_foot: String,
    /// In words.
    pub on_foot_words: String,
    /// The rule that led there.
    pub because: String,
    /// Every test that was looked at.
    pub rulings: Vec<RulingView>,
    /// Widths left.
    pub widths: Vec<WidthView>,
    /// First to last cone, m.
    pub coned_m: Option<f64>,
    /// What is set out.
    pub kit: Vec<KitView>,
    /// The street across, right to left seen along its line.
    pub section: Vec<BandView>,
    /// What always goes with it.
    pub caution: String,
}

/// One test of one control.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct RulingView {
    /// The control, in words.
    pub control: String,
    /// `met`, `not_met`, `not_stated` or `on_the_spot`.
    pub verdict: String,
    /// What was held against what.
    pub words: String,
    /// Document, edition and clause.
    pub source: String,
}

/// A width that is left.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct WidthView {
    /// `carriageway`, `footway` or `walkway`.
    pub of: String,
    /// What is left, m.
    pub left_m: f64,
    /// What is asked for, m.
    pub wanted_m: f64,
    /// What it may not fall below, m.
    pub least_m: f64,
    /// In words: `3.70 m left, at least 3.00 m`.
    pub words: String,
    /// How it was reckoned, and by what source.
    pub why: String,
}

/// Things of one kind that are set out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct KitView {
    /// Stable name.
    pub item: String,
    /// As the trade calls it, with the sign's diagram where one is known.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Formula and source.
    pub why: String,
}

/// One band of the street across.
///
/// # Units
/// Metres from the street's line, negative to the right.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct BandView {
    /// `footway`, `carriageway`, `walkway`, `clearance`, `works` or `closed`.
    pub kind: String,
    /// From.
    pub from_m: f64,
    /// To.
    pub to_m: f64,
}

/// The way round a closed road.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct DiversionView {
    /// For traffic along the street's line, in steps as [`WayView::line`](super::WayView::line); empty where
    /// there is no way.
    pub along: Vec<[i32; 2]>,
    /// For traffic against it.
    pub against: Vec<[i32; 2]>,
    /// In words, with distance and time.
    pub words: String,
    /// Names of streets that are cut off.
    pub cut_off: Vec<String>,
    /// Addresses there, street by street.
    pub addresses: Vec<String>,
}

/// Two works in one another's way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ClashView {
    /// `on_diversion`, `both_ends`, `one_street` or `near`.
    pub kind: String,
    /// One party's job.
    pub job: String,
    /// The other's.
    pub other: String,
    /// ISO date of the day on which it begins.
    pub date: String,
    /// From.
    pub from: u32,
    /// Until, counted on past midnight.
    pub to: u32,
    /// `warned`, `priced` or `barred`.
    pub weight: String,
    /// What is the matter.
    pub text: String,
    /// What to do.
    pub remedy: String,
}

/// A closure in depth: how the public is led past it, and what has to be told.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ClosureDetail {
    /// The job.
    pub job: String,
    /// How the public is led past.
    pub arrangement: ArrangementView,
    /// What has to be told; none where nothing has.
    pub notice: Option<NoticeView>,
}

/// The deadlines of one job, for a list of all of them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct DeadlinesView {
    /// The job.
    pub job: String,
    /// Whether the works start before the earliest lawful day, with no permit stated.
    pub late: bool,
    /// What to do and by when.
    pub steps: Vec<DeadlineView>,
}

/// One deadline.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct DeadlineView {
    /// What to do.
    pub what: String,
    /// By when, as an ISO date and time, local.
    pub by: String,
    /// The same in words: `Wed 24 Feb 16:30`.
    pub by_words: String,
    /// Whether it is past on the programme's day.
    pub missed: bool,
}

/// What has to be told of one job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct NoticeView {
    /// The job.
    pub job: String,
    /// `immediate`, `minor`, `standard` or `major`.
    pub category: String,
    /// The rule that led to it, with the edition of the law.
    pub because: String,
    /// What to do and by when.
    pub steps: Vec<NoticeStepView>,
    /// The earliest start where all is told on the programme's day, as an ISO date.
    pub earliest: Option<String>,
    /// One line: `Minor works; told today, not before Tue 2 Mar`.
    pub words: String,
    /// Whether the works start before that, with no permit stated.
    pub late: bool,
    /// How long a closure may stand.
    pub longest: Option<String>,
}

/// One thing to tell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct NoticeStepView {
    /// What to do.
    pub what: String,
    /// By when, as an ISO date and time, local.
    pub by: String,
    /// The same in words: `Wed 24 Feb 16:30`.
    pub by_words: String,
    /// The rule and its source.
    pub why: String,
    /// Whether it is past on the programme's day.
    pub missed: bool,
}
