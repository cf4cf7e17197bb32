//! What leaves: clean spoil and bituminous arisings, by bank density and never bulked.

use gangday_model::{CubicMillimetres, Finding, Mass, Millimetres, ParameterTable, Work};

use crate::chamber::{Chamber, POSITIONS, index};
use crate::figures::Figures;

/// What the ground weighs, and how much bound material lies on it.
#[derive(Clone, Debug)]
pub(crate) struct Ground {
    bank: i64,
    bituminous: i64,
    concrete: i64,
    section: i64,
    bound: [Millimetres; 4],
}

/// Masses that leave, each a stream of its own.
pub(crate) struct Arisings {
    pub(crate) spoil: Mass,
    pub(crate) bituminous: Mass,
    /// Of the spoil, the walls of a chamber that is replaced.
    pub(crate) old_walls: Mass,
}

impl Ground {
    pub(crate) fn read(
        method: &ParameterTable,
        materials: &ParameterTable,
    ) -> Result<Self, Vec<Finding>> {
        let mut weights = Figures::materials(materials);
        let mut layers = Figures::method(method);
        let ground = Self {
            bank: weights.density("density.bank_soil"),
            bituminous: weights.density("density.bituminous"),
            concrete: weights.density("density.concrete"),
            section: weights.density("density.section"),
            bound: POSITIONS.map(|(_, key)| layers.mm(&format!("existing.bound.{key}"))),
        };
        let mut faults = weights.into_faults();
        faults.extend(layers.into_faults());
        if faults.is_empty() {
            Ok(ground)
        } else {
            Err(faults)
        }
    }

    /// What leaves this dig.
    ///
    /// The bound layer goes apart. A chamber that is replaced is taken to be as large as the one
    /// that takes its place: its walls weigh as concrete, its clear space weighs nothing, and its
    /// ironwork is counted, not weighed.
    pub(crate) fn arisings(&self, chamber: &Chamber) -> Arisings {
        let volumes = chamber.volumes();
        let bound = self.bound_volume(chamber);
        let walls = chamber.walls_area() * (chamber.section_depth * chamber.sections);
        let (ground, walls) = match chamber.work {
            Work::New | Work::Adjust => (volumes.excavation, CubicMillimetres::ZERO),
            Work::Replace => (volumes.excavation - volumes.inside, walls),
        };
        Arisings {
            spoil: (ground - bound).at_density(self.bank) + walls.at_density(self.concrete),
            bituminous: bound.at_density(self.bituminous),
            old_walls: walls.at_density(self.concrete),
        }
    }

    /// What one section weighs, by its walls.
    pub(crate) fn section_mass(&self, chamber: &Chamber) -> Mass {
        if !chamber.is_built() {
            return Mass::ZERO;
        }
        (chamber.walls_area() * chamber.section_depth).at_density(self.section)
    }

    /// Bound material over the dig: all of it where no chamber was, else round the ironwork.
    fn bound_volume(&self, chamber: &Chamber) -> CubicMillimetres {
        let thickness = self.bound[index(chamber.position)].min(chamber.formation());
        match chamber.work {
            Work::New => chamber.hole().between(Millimetres::ZERO, thickness),
            Work::Replace | Work::Adjust => chamber.ring(Millimetres::ZERO, thickness),
        }
    }
}
