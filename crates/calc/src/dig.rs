//! Plan areas: the dig, and what stands in it at each depth.

use gangday_model::{CubicMillimetres, Millimetres, SquareMillimetres};

use crate::chamber::Chamber;

impl Chamber {
    /// Le, the dig along the street; an adjustment is dug round the ironwork, not the chamber.
    pub(crate) fn dig_length(&self) -> Millimetres {
        self.margin * 2
            + if self.is_built() {
                self.outside_length()
            } else {
                self.ironwork_length
            }
    }

    /// We, the dig across the street.
    pub(crate) fn dig_width(&self) -> Millimetres {
        self.margin * 2
            + if self.is_built() {
                self.outside_width()
            } else {
                self.ironwork_width
            }
    }

    /// The dig.
    pub(crate) fn dig_area(&self) -> SquareMillimetres {
        self.dig_length() * self.dig_width()
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
        let bands = bands.into_iter().map(|(top, bottom, standing)| {
            let depth = (bottom.min(to) - top.max(from)).or_nothing();
            (self.dig_area() - standing) * depth
        });
        bands.sum()
    }
}
