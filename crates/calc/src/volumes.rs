//! Volumes net in place; what goes back equals what came out, to the cubic millimetre.

use gangday_model::{CubicMillimetres, Millimetres, Position, Volumes};

use crate::chamber::Chamber;

impl Chamber {
    /// All volumes of this chamber.
    ///
    /// An adjustment leaves the chamber where it is: its dig is the ring round the ironwork and
    /// the old bedding down to the top of the sections, and nothing inside counts as dug.
    ///
    /// # Units
    /// Cubic millimetres.
    pub(crate) fn volumes(&self) -> Volumes {
        let type1_top = self.type1_top();
        let mortar = (self.seat_area() - self.clear_area()) * self.bedding;
        let layers = Volumes {
            excavation: self.excavation(),
            base_concrete: self.base_concrete(),
            type1: self.ring(type1_top, self.base_top()),
            mortar,
            inside: self.inside(),
            ..Volumes::default()
        };
        if self.position == Position::Verge {
            return Volumes {
                topsoil: self.ring(Millimetres::ZERO, type1_top),
                ..layers
            };
        }
        Volumes {
            surround_concrete: self.ring(self.surfacing, type1_top),
            surfacing: self.ring(Millimetres::ZERO, self.surfacing),
            ..layers
        }
    }

    fn excavation(&self) -> CubicMillimetres {
        let hole = self.hole().volume();
        if self.is_built() {
            return hole;
        }
        hole - self.ironwork_area() * self.ironwork_depth - self.clear_area() * self.bedding
    }

    /// `Le*We*b` less the wall ring that stands in it, `e*(Lo*Wo - L*W)`; a battered foot widens.
    fn base_concrete(&self) -> CubicMillimetres {
        if !self.is_built() {
            return CubicMillimetres::ZERO;
        }
        let foot = self.hole().between(self.base_top(), self.formation());
        foot - self.walls_area() * self.embed
    }

    /// Ironwork, opening in the bedding, and sections less the concrete that fills their foot.
    fn inside(&self) -> CubicMillimetres {
        if !self.is_built() {
            return CubicMillimetres::ZERO;
        }
        self.ironwork_area() * self.ironwork_depth
            + self.clear_area() * self.bedding
            + self.outside_area() * (self.section_depth * self.sections)
            - self.clear_area() * self.embed
    }

    /// The walls, cut level.
    pub(crate) fn walls_area(&self) -> gangday_model::SquareMillimetres {
        self.outside_area() - self.clear_area()
    }
}
