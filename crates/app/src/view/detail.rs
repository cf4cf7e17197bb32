//! One job or gang-day in depth, for whoever asks.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Figure, FindingView, OrderView};

/// One figure that a quantity rests on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct TracedView {
    /// The row's key, or the property that the job states instead.
    pub key: String,
    /// The figure with its unit.
    pub value: String,
    /// The document, "common practice, no source", "from memory", or the job.
    pub source: String,
    /// When it was read or set; empty where nobody said.
    pub date: String,
}

/// One quantity, followed back.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct QuantityView {
    /// What it is.
    pub quantity: String,
    /// How much, with its unit.
    pub value: String,
    /// The formula in words and symbols.
    pub formula: String,
    /// The formula with its numbers.
    pub numbers: String,
    /// The figures that it rests on.
    pub parameters: Vec<TracedView>,
}

/// Quantities that belong together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct QuantitiesView {
    /// What they are about: `Sizes and volumes`.
    pub title: String,
    /// Each.
    pub quantities: Vec<QuantityView>,
}

/// One part of the cross-section.
///
/// # Units
/// Points are millimetres: across from the chamber's middle, and below the surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct SectionPartView {
    /// `base_concrete`, `type1`, `surround_concrete`, `surfacing`, `topsoil`, `mortar`, `ironwork`,
    /// `wall` or `opening`.
    pub what: String,
    /// Its outline, a closed ring whose first point is not repeated.
    pub outline: Vec<[f64; 2]>,
}

/// One dimension of the cross-section.
///
/// # Units
/// Millimetres.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct DimensionView {
    /// What it measures.
    pub name: String,
    /// From.
    pub from: [f64; 2],
    /// To.
    pub to: [f64; 2],
    /// How long it is, as it is written.
    pub mm: String,
    /// Which dimension line it is drawn on, counted away from the dig: above or left of it where
    /// negative, below or right of it where positive.
    pub lane: i32,
}

/// The cross-section of a chamber across the street, true to size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct SectionView {
    /// Width of the dig at the surface, mm.
    pub width: f64,
    /// Depth of the dig, mm.
    pub depth: f64,
    /// Every part; they never overlap and together fill the dig.
    pub parts: Vec<SectionPartView>,
    /// Dimensions along a level.
    pub across: Vec<DimensionView>,
    /// Dimensions along a plumb line.
    pub down: Vec<DimensionView>,
}

/// A job in depth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct JobDetail {
    /// The job.
    pub job: String,
    /// The stages that are left to be done, as `record` names them, in order.
    pub left: Vec<String>,
    /// For which gang, day and temperature its times are reckoned.
    pub reckoned_for: String,
    /// What the code calls the opening: `Small opening, 4th edition`, or nothing in a verge.
    pub opening: String,
    /// Why, with its numbers.
    pub opening_why: String,
    /// What it takes, in short.
    pub figures: Vec<Figure>,
    /// The cross-section.
    pub section: SectionView,
    /// Every quantity, in the order of the work.
    pub quantities: Vec<QuantitiesView>,
    /// Pours, sides, lifting and vibration that somebody should look at.
    pub findings: Vec<FindingView>,
}

/// One stream of a gang-day's haulage.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct CarriedView {
    /// What it is: `Out to the jobs`.
    pub label: String,
    /// Its mass.
    pub mass: String,
    /// Its loose volume.
    pub volume: String,
    /// `3 loads`.
    pub loads: String,
    /// Formula with its numbers.
    pub why: String,
}

/// One tool's part in a day's vibration.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ToolView {
    /// What it is called.
    pub tool: String,
    /// Minutes in one operative's hands.
    pub minutes: String,
    /// Vibration magnitude, m/s².
    pub magnitude: String,
    /// Exposure points.
    pub points: String,
}

/// What one operative of a gang-day feels.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct VibrationView {
    /// Daily exposure, m/s²: `1.84`.
    pub a8: String,
    /// The same, to draw: m/s².
    pub exposure: f64,
    /// Exposure action value, m/s².
    pub action: f64,
    /// Exposure limit value, m/s².
    pub limit: f64,
    /// Exposure points.
    pub points: String,
    /// `below`, `action` or `limit`: past which value it is.
    pub past: String,
    /// In words: `Below the action value of 2.5 m/s²`.
    pub words: String,
    /// What to do where it is past one; else empty.
    pub remedy: String,
    /// Each tool.
    pub tools: Vec<ToolView>,
}

/// A gang-day in depth.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct GangDayDetail {
    /// `gang@date`.
    pub key: String,
    /// Its materials, under `route:GANG@DATE`.
    pub order: OrderView,
    /// What it carries, lifts and feels.
    pub carried: GangDayView,
}

/// What a gang-day carries, lifts and feels.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct GangDayView {
    /// `gang@date`.
    pub key: String,
    /// What its vehicle may carry: `Payload 3.5 t`.
    pub vehicle: String,
    /// What is carried, where there is any.
    pub carried: Vec<CarriedView>,
    /// None where a figure is missing; then `faults` say which.
    pub vibration: Option<VibrationView>,
    /// Sections that are heavier than the guideline for lifting by hand.
    pub handling: Vec<String>,
    /// Why a figure could not be worked out.
    pub faults: Vec<String>,
}
