//! What a chamber takes and how long its stages last.
//!
//! Lengths and volumes are whole millimetres and cubic millimetres from end to end, so that what
//! goes back into a dig equals what came out, exactly. Figures come from two tables, method and
//! materials, whose every row has a unit and a source; the code holds only the formulas.

mod activities;
mod along;
mod arisings;
mod chamber;
mod codes;
mod cold;
mod compaction;
mod cure;
mod defaults;
mod dig;
mod explain;
mod figures;
mod finish;
mod fit;
mod frustum;
mod handling;
mod levels;
mod lifts;
mod load_class;
mod measured;
mod minutes;
mod mixtures;
mod opening;
mod order;
mod outputs;
mod pour;
mod recorded;
mod review;
mod section;
mod section_svg;
mod staged;
mod stages;
mod stated;
mod take_off;
mod vibration;
mod volumes;
mod waits;
mod weather;

pub use activities::Activity;
pub use along::DayCures;
pub use codes::CODES;
pub use cold::{least_celsius, least_celsius_key};
pub use compaction::{CompactedLift, CompactionRules};
pub use cure::{Maturity, equivalent_age, equivalent_age_factor, nurse_saul};
pub use defaults::{check_parameters, shipped_materials, shipped_method, unread_keys};
pub use explain::{Buying, Explained, Explaining, Explanation, Part, Traced, wait_as_planned};
pub use finish::finish;
pub use frustum::Frustum;
pub use handling::handling;
pub use lifts::{Fill, LiftPlan, lift_plan, permitted_passes};
pub use load_class::usual_load_class;
pub use measured::Measured;
pub use mixtures::LiftLimits;
pub use opening::{Opening, OpeningClass, opening};
pub use order::{
    Carried, Haulage, Vehicle, haulage, latest_order_day, order, order_days, supplied,
};
pub use pour::{Pour, PourRules, PrescribedMix};
pub use recorded::as_recorded;
pub use review::review;
pub use section::{Dimension, Section, SectionLevel, SectionPart, section};
pub use section_svg::section_svg;
pub use staged::of_stages;
pub use stages::{StageRules, likely_closure, stage_work};
pub use take_off::{TakeOffRules, take_off};
pub use vibration::{DayVibration, ToolTime, a8, day_vibration, points};
pub use waits::Conditions;
pub use weather::{cold_days, expected_celsius, odd_temperatures, week_conditions};
