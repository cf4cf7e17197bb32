//! Where each layer begins and ends, from the surface down.

use gangday_model::{Levels, Millimetres, Position};

use crate::chamber::Chamber;

impl Chamber {
    /// Underside of the bedding, on which the ironwork stands: top of the uppermost section.
    pub(crate) fn sections_top(&self) -> Millimetres {
        self.ironwork_depth + self.bedding
    }

    /// D, the depth of the dig: `b - e + n*h + m + f`, or down to the bedding for an adjustment.
    pub(crate) fn formation(&self) -> Millimetres {
        if !self.is_built() {
            return self.sections_top();
        }
        self.base - self.embed + self.section_depth * self.sections + self.sections_top()
    }

    /// Top of the base concrete; the formation where none is placed.
    pub(crate) fn base_top(&self) -> Millimetres {
        if self.is_built() {
            self.formation() - self.base
        } else {
            self.formation()
        }
    }

    /// Top of type 1: k below the uppermost section's top, or the base where the stack is shorter.
    pub(crate) fn type1_top(&self) -> Millimetres {
        (self.sections_top() + self.type1_below_top).min(self.base_top())
    }

    /// All levels.
    pub(crate) fn levels(&self) -> Levels {
        let verge = self.position == Position::Verge;
        let stack = self.section_depth * self.sections;
        Levels {
            surfacing_bottom: if verge {
                self.type1_top()
            } else {
                self.surfacing
            },
            ironwork_bottom: self.ironwork_depth,
            sections_top: self.sections_top(),
            type1_top: self.type1_top(),
            base_top: self.base_top(),
            sections_bottom: self.sections_top() + stack,
            formation: self.formation(),
        }
    }
}
