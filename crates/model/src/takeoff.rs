//! What one chamber takes: lengths, levels and volumes, net in place.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{CubicMillimetres, JobId, Mass, Millimetres, Position, Work};

/// How the sides of a dig stand.
///
/// Which of them a dig needs is for a competent person to assess; no depth is safe without that.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum DigShape {
    /// Upright, as dug.
    #[default]
    Vertical,
    /// Upright, wider by the room that sheets take on each side.
    Sheeted,
    /// Sloping outwards from the formation up.
    Battered,
}

/// A bound layer of the surfacing round the ironwork.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layer {
    /// The mixture, as the lift table keys it.
    pub mixture: String,
    /// Compacted thickness.
    pub thickness: Millimetres,
    /// In how many equal lifts it is laid.
    pub lifts: u32,
    /// Compacted volume.
    pub volume: CubicMillimetres,
}

/// Volumes of one chamber, net in place: what is measured and billed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Volumes {
    /// The whole dig.
    pub excavation: CubicMillimetres,
    /// Base concrete, less the wall ring that stands in it.
    pub base_concrete: CubicMillimetres,
    /// Type 1 round the chamber.
    pub type1: CubicMillimetres,
    /// Rapid-setting surround concrete.
    pub surround_concrete: CubicMillimetres,
    /// Bound surfacing round the ironwork, compacted.
    pub surfacing: CubicMillimetres,
    /// Topsoil or as found, in a verge.
    pub topsoil: CubicMillimetres,
    /// Bedding mortar under the ironwork.
    pub mortar: CubicMillimetres,
    /// Everything inside the outer faces of chamber and ironwork.
    pub inside: CubicMillimetres,
}

impl Volumes {
    /// All that goes back; equal to the excavation, to the cubic millimetre.
    #[must_use]
    pub fn filled(&self) -> CubicMillimetres {
        self.base_concrete
            + self.type1
            + self.surround_concrete
            + self.surfacing
            + self.topsoil
            + self.mortar
            + self.inside
    }
}

/// The take-off of one job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TakeOff {
    /// The job.
    pub job: JobId,
    /// What is done.
    pub work: Work,
    /// Where in the street.
    pub position: Position,
    /// n, sections stacked; 0 for an adjustment.
    pub sections: u32,
    /// D, depth of the dig.
    pub depth: Millimetres,
    /// Lo, outside of the frames along the street.
    pub outside_length: Millimetres,
    /// Wo, outside of the frames across the street.
    pub outside_width: Millimetres,
    /// L, clear opening along the street.
    pub clear_length: Millimetres,
    /// W, clear opening across the street.
    pub clear_width: Millimetres,
    /// How the sides of the dig stand.
    pub dig_shape: DigShape,
    /// Le, the dig along the street, at the surface.
    pub dig_length: Millimetres,
    /// We, the dig across the street, at the surface.
    pub dig_width: Millimetres,
    /// The dig along the street, at the formation; as at the surface unless battered.
    pub foot_length: Millimetres,
    /// The dig across the street, at the formation.
    pub foot_width: Millimetres,
    /// Ironwork outside along the street.
    pub ironwork_length: Millimetres,
    /// Ironwork outside across the street.
    pub ironwork_width: Millimetres,
    /// Levels of the layers, from the surface down.
    pub levels: Levels,
    /// Volumes net in place.
    pub volumes: Volumes,
    /// The user's own layers of the surfacing, from the surface down; none where only a total
    /// thickness is known.
    pub layers: Vec<Layer>,
    /// Clean spoil that leaves, by its bank density, never bulked.
    pub spoil: Mass,
    /// Of that, the walls of a chamber that is replaced.
    pub old_walls: Mass,
    /// Bituminous arisings, a stream of their own.
    pub bituminous: Mass,
    /// Mass of one section; nothing for an adjustment.
    pub section_mass: Mass,
    /// Edges to seal: exposed vertical faces of opening and frame, mm2.
    pub sealed_edges: crate::SquareMillimetres,
}

/// Depths below the surface at which each layer begins and ends.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Levels {
    /// Underside of the surfacing, or of the topsoil in a verge.
    pub surfacing_bottom: Millimetres,
    /// Underside of the ironwork frame.
    pub ironwork_bottom: Millimetres,
    /// Top of the uppermost section, under the bedding.
    pub sections_top: Millimetres,
    /// Top of type 1.
    pub type1_top: Millimetres,
    /// Top of the base concrete.
    pub base_top: Millimetres,
    /// Underside of the lowest section, set into the base.
    pub sections_bottom: Millimetres,
    /// Formation.
    pub formation: Millimetres,
}
