//! Which parts of the drawing already carry a mark, so that words keep clear of one another.

use std::collections::BTreeMap;

/// Side of a cell of the index, in units of the drawing.
const CELL: f64 = 48.0;

/// An upright rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Patch {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Patch {
    /// A patch by its middle and half its sides.
    pub(super) const fn around((x, y): (f64, f64), half_width: f64, half_height: f64) -> Self {
        Self {
            left: x - half_width,
            top: y - half_height,
            right: x + half_width,
            bottom: y + half_height,
        }
    }

    fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    #[allow(
        clippy::cast_possible_truncation,
        reason = "a cast to i32 stops at its ends"
    )]
    fn cells(&self) -> impl Iterator<Item = (i32, i32)> {
        let cell = |value: f64| (value / CELL).floor() as i32;
        let (top, bottom) = (cell(self.top), cell(self.bottom));
        (cell(self.left)..=cell(self.right)).flat_map(move |x| (top..=bottom).map(move |y| (x, y)))
    }
}

/// Patches that slanted words cover: squares along their line.
pub(super) fn along((x, y): (f64, f64), degrees: f64, length: f64, thickness: f64) -> Vec<Patch> {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let mut patches = Vec::new();
    let mut at = -length / 2.0 + thickness / 2.0;
    while at < length / 2.0 {
        patches.push(Patch::around(
            (x + at * cos, y + at * sin),
            thickness / 2.0,
            thickness / 2.0,
        ));
        at += thickness * 0.8;
    }
    patches
}

/// The patches taken so far.
#[derive(Default)]
pub(super) struct Taken {
    cells: BTreeMap<(i32, i32), Vec<Patch>>,
}

impl Taken {
    /// Whether none of the patches meets a taken one.
    pub(super) fn is_free(&self, patches: &[Patch]) -> bool {
        patches.iter().all(|patch| {
            patch
                .cells()
                .filter_map(|cell| self.cells.get(&cell))
                .flatten()
                .all(|other| !patch.meets(other))
        })
    }

    /// Takes patches, free or not.
    pub(super) fn take(&mut self, patches: &[Patch]) {
        for patch in patches {
            for cell in patch.cells() {
                self.cells.entry(cell).or_default().push(*patch);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Patch, Taken, along};

    #[test]
    fn a_taken_patch_is_found_across_cells() {
        let mut taken = Taken::default();
        taken.take(&[Patch::around((48.0, 48.0), 10.0, 10.0)]);
        assert!(!taken.is_free(&[Patch::around((60.0, 60.0), 4.0, 4.0)]));
        assert!(taken.is_free(&[Patch::around((63.0, 63.0), 4.0, 4.0)]));
        // Side by side is not over one another.
        assert!(taken.is_free(&[Patch::around((62.0, 48.0), 4.0, 4.0)]));
    }

    #[test]
    fn slanted_words_cover_their_line_and_not_their_box() {
        let patches = along((0.0, 0.0), 45.0, 100.0, 10.0);
        let mut taken = Taken::default();
        taken.take(&patches);
        assert!(!taken.is_free(&[Patch::around((20.0, 20.0), 2.0, 2.0)]));
        assert!(taken.is_free(&[Patch::around((20.0, -20.0), 2.0, 2.0)]));
    }
}
