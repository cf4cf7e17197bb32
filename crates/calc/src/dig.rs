//! Plan areas: the dig, and what stands in it at each depth.

use gangday_model::{CubicMillimetres, DigShape, Millimetres, SquareMillimetres};

use crate::chamber::Chamber;
use crate::frustum::Frustum;

impl Chamber {
    /// The dig along the street at its foot; an adjustment is dug round the ironwork, not the
    /// chamber.
    pub(crate) fn foot_length(&self) -> Millimetres {
        self.space() * 2
            + if self.is_built() {
                self.outside_length()
            } else {
                self.ironwork_length
            }
    }

    /// The dig across the street at its foot.
    pub(crate) fn foot_width(&self) -> Millimetres {
        self.space() * 2
            + if self.is_built() {
                self.outside_width()
            } else {
                self.ironwork_width
            }
    }

    /// Working space and, where there are sheets, the room that they take.
    fn space(&self) -> Millimetres {
        match self.shape {
            DigShape::Sheeted => self.margin + self.sheeting,
            DigShape::Vertical | DigShape::Battered => self.margin,
        }
    }

    /// How far one battered side goes out from foot to surface, the begun millimetre counted.
    fn run(&self) -> Millimetres {
        match self.shape {
            DigShape::Battered => {
                let run = self.batter * self.formation().mm();
                Millimetres::from_mm((run + 999).div_euclid(1_000))
            }
            DigShape::Vertical | DigShape::Sheeted => Millimetres::ZERO,
        }
    }

    /// Le, the dig along the street at the surface.
    pub(crate) fn dig_length(&self) -> Millimetres {
        self.foot_length() + self.run() * 2
    }

    /// We, the dig across the street at the surface.
    pub(crate) fn dig_width(&self) -> Millimetres {
        self.foot_width() + self.run() * 2
    }

    /// The dig's shape from surface to formation.
    pub(crate) fn hole(&self) -> Frustum {
        Frustum {
            foot: (self.foot_length(), self.foot_width()),
            top: (self.dig_length(), self.dig_width()),
            depth: self.formation(),
        }
    }

    /// Inside the outer faces of the ironwork.
    pub(crate) fn ironwork_area(&self) -> SquareMillimetres {
        self.ironwork_length * self.ironwork_width
    }

    /// Inside the outer faces of the chamber.
    pub(crate) fn outside_area(&self) -> SquareMillimetres {
        self.outside_length() * self.outside_width()
    }

    /// The clear opening.
    pub(crate) fn clear_area(&self) -> SquareMillimetres {
        self.clear_length * self.clear_width
    }

    /// Inside the outer edge of the bedding, which lies only where ironwork stands over a wall.
    pub(crate) fn seat_area(&self) -> SquareMillimetres {
        self.ironwork_length.min(self.outside_length())
            * self.ironwork_width.min(self.outside_width())
    }

    /// The dig less what stands in it, between two depths: ironwork, bedding and sections.
    pub(crate) fn ring(&self, from: Millimetres, to: Millimetres) -> CubicMillimetres {
        let sections_bottom = self.sections_top() + self.section_depth * self.sections;
        let bands = [
            (Millimetres::ZERO, self.ironwork_depth, self.ironwork_area()),
            (self.ironwork_depth, self.sections_top(), self.seat_area()),
            (self.sections_top(), sections_bottom, self.outside_area()),
        ];
        let standing = bands.into_iter().map(|(top, bottom, standing)| {
            let depth = (bottom.min(to) - top.max(from)).or_nothing();
            standing * depth
        });
        self.hole().between(from, to) - standing.sum::<CubicMillimetres>()
    }
}
