//! A dig whose sides slope evenly, measured exactly.

use gangday_model::{CubicMillimetres, Millimetres};

/// A hole with level, rectangular foot and top and evenly sloping sides.
///
/// # Units
/// Whole millimetres; a volume is the whole cubic millimetre nearest to the prismoidal one.
///
/// # Source
/// The prismoidal rule, exact for such a hole: depth / 6 x (top + 4 x middle + foot).
///
/// ```
/// use gangday_calc::Frustum;
/// use gangday_model::Millimetres;
/// // 30 m x 25 m at the top, 20 m x 10 m at the foot, 3 m deep: 1350 m3.
/// let mm = Millimetres::from_mm;
/// let pit = Frustum { foot: (mm(20_000), mm(10_000)), top: (mm(30_000), mm(25_000)), depth: mm(3_000) };
/// assert_eq!(pit.volume().m3(), 1350.0);
/// assert_eq!(pit.end_area_volume().m3(), 1425.0);
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Frustum {
    /// Length and width of the foot.
    pub foot: (Millimetres, Millimetres),
    /// Length and width of the top.
    pub top: (Millimetres, Millimetres),
    /// From top to foot.
    pub depth: Millimetres,
}

impl Frustum {
    /// The whole hole.
    #[must_use]
    pub fn volume(&self) -> CubicMillimetres {
        self.up_to(self.depth)
    }

    /// The part between two depths below the top.
    ///
    /// Parts are differences of whole running volumes, so that those of any stack of layers add up
    /// to the hole, to the cubic millimetre.
    #[must_use]
    pub fn between(&self, from: Millimetres, to: Millimetres) -> CubicMillimetres {
        if self.foot == self.top {
            return self.top.0 * self.top.1 * (to - from);
        }
        self.up_to(self.depth - from) - self.up_to(self.depth - to)
    }

    /// What averaging the end areas gives: too much for any hole that widens both ways.
    #[must_use]
    pub fn end_area_volume(&self) -> CubicMillimetres {
        let ends = self.foot.0 * self.foot.1 + self.top.0 * self.top.1;
        CubicMillimetres::from_mm3((ends * self.depth).mm3() / 2)
    }

    /// From the foot up to a height: the sides' products integrated, over `6 x depth^2`.
    fn up_to(&self, height: Millimetres) -> CubicMillimetres {
        let wide = |length: Millimetres| i128::from(length.mm());
        let (depth, height) = (wide(self.depth), wide(height));
        if depth == 0 {
            return CubicMillimetres::ZERO;
        }
        let (length, width) = (wide(self.foot.0), wide(self.foot.1));
        let (longer, wider) = (wide(self.top.0) - length, wide(self.top.1) - width);
        let upright = 6 * depth * depth * length * width * height;
        let sides = 3 * depth * (length * wider + width * longer) * height * height;
        let corners = 2 * longer * wider * height * height * height;
        let over = 6 * depth * depth;
        let nearest = (2 * (upright + sides + corners) + over).div_euclid(2 * over);
        CubicMillimetres::from_mm3(i64::try_from(nearest).unwrap_or(i64::MAX))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn mm(value: i64) -> Millimetres {
        Millimetres::from_mm(value)
    }

    /// Question on mathhelpforum 18685, worked by the prismoidal rule, 3/6 (750 + 4 x 437.5 + 200);
    /// by end areas 1425 m3, 5.6 % too much.
    #[test]
    fn the_pit_with_two_different_batters() {
        let pit = Frustum {
            foot: (mm(20_000), mm(10_000)),
            top: (mm(30_000), mm(25_000)),
            depth: mm(3_000),
        };
        assert_eq!(pit.volume().mm3(), 1_350_000_000_000);
        assert_eq!(pit.end_area_volume().mm3(), 1_425_000_000_000);
    }

    /// Question on askfilo: a pond of 8 m x 6 m at the foot, sides 2 : 1, 4 m deep: 981.33 m3.
    #[test]
    fn the_pond() {
        let pond = Frustum {
            foot: (mm(8_000), mm(6_000)),
            top: (mm(24_000), mm(22_000)),
            depth: mm(4_000),
        };
        assert_eq!(pond.volume().mm3(), 981_333_333_333);
    }

    /// Euclid, Elements XII.7, corollary: a pyramid is a third of the prism on its base.
    #[test]
    fn a_pyramid_is_a_third() {
        let pyramid = Frustum {
            foot: (mm(0), mm(0)),
            top: (mm(3_000), mm(2_000)),
            depth: mm(1_000),
        };
        assert_eq!(pyramid.volume().mm3(), 2_000_000_000);
    }

    #[test]
    fn parts_add_up_to_the_hole_however_it_is_cut() {
        let hole = Frustum {
            foot: (mm(1_401), mm(1_303)),
            top: (mm(2_553), mm(2_455)),
            depth: mm(1_151),
        };
        let cuts = [0, 1, 7, 60, 325, 951, 1_151];
        let parts = cuts
            .windows(2)
            .map(|cut| hole.between(mm(cut[0]), mm(cut[1])));
        assert_eq!(parts.sum::<CubicMillimetres>(), hole.volume());
    }
}
