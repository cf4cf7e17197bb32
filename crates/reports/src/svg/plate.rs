//! A work's number on the map, with gang and hours, and where there is room for it.

use crate::client_page::WorkEntry;

use super::frame::{HEIGHT, WIDTH};
use super::hours::HoursLabel;
use super::symbol::symbol_size;
use super::taken::{Patch, Taken, along};

/// Half the height of a number's plate, in units of the drawing.
pub(super) const HALF_PLATE: f64 = 8.5;

/// Width of a figure or capital on a plate, in units; broad enough for any system font.
const FIGURE: f64 = 8.6;

/// A work's number on the map.
#[derive(Clone)]
pub(super) struct Plate {
    /// Where the work is, in units of the drawing.
    pub(super) at: (f64, f64),
    /// Which way its street runs, in degrees.
    pub(super) heading: f64,
    /// From the work to the middle of the plate, whatever the magnification.
    pub(super) offset: (f64, f64),
    /// Width of the part that holds the number.
    pub(super) number_width: f64,
    /// Width of the part that holds the gang's letter.
    pub(super) gang_width: f64,
    /// Hours beside it, where there is room for them.
    pub(super) hours: Option<HoursLabel>,
}

impl Plate {
    /// The plate of a work, not yet placed.
    pub(super) fn new(index: usize, work: &WorkEntry, at: (f64, f64), heading: f64) -> Self {
        let width = |text: &str| text.chars().fold(7.0, |width, _| width + FIGURE);
        let mark = gang_mark(work);
        Self {
            at,
            heading,
            offset: offsets(heading).next().unwrap_or_default(),
            number_width: width(&(index + 1).to_string()),
            gang_width: if mark.is_empty() { 0.0 } else { width(&mark) },
            hours: None,
        }
    }

    /// Half the width of the plate.
    pub(super) fn half_width(&self) -> f64 {
        f64::midpoint(self.number_width, self.gang_width)
    }

    /// The middle of the plate at a magnification.
    pub(super) fn middle(&self, level: u8) -> (f64, f64) {
        let level = f64::from(level);
        (
            self.at.0 * level + self.offset.0,
            self.at.1 * level + self.offset.1,
        )
    }

    /// What the number covers at a magnification.
    fn patch(&self, level: u8) -> Patch {
        Patch::around(
            self.middle(level),
            self.half_width() + 1.5,
            HALF_PLATE + 1.5,
        )
    }

    /// What number and hours cover at a magnification.
    pub(super) fn patches(&self, level: u8) -> Vec<Patch> {
        let hours = self.hours.as_ref().filter(|hours| hours.level <= level);
        let hours = hours.map(|hours| hours.patch(self, level));
        hours.into_iter().chain([self.patch(level)]).collect()
    }

    /// What the bar of its closure covers at a magnification.
    pub(super) fn bar(&self, work: &WorkEntry, level: u8) -> Vec<Patch> {
        let (length, width) = symbol_size(work.closure);
        let level = f64::from(level);
        let at = (self.at.0 * level, self.at.1 * level);
        along(at, self.heading, length, width + 3.0)
    }

    /// Finds room for the number, and for these words beside it where both fit.
    ///
    /// Where works crowd, the number goes as far as it must and its leader leads back: one number
    /// over another says nothing.
    pub(super) fn settle(&mut self, words: Option<&[String]>, taken: &mut Taken) {
        let (first, heading) = (self.offset, self.heading);
        let mut is_free = |offset: &(f64, f64)| {
            self.offset = *offset;
            is_inside(&self.patch(1)) && taken.is_free(&[self.patch(1)])
        };
        let mut free: Vec<(f64, f64)> = offsets(heading).filter(&mut is_free).collect();
        if free.is_empty() {
            free.extend(farther(heading).find(is_free));
        }
        let with_words = free.iter().copied().find(|&offset| {
            self.offset = offset;
            self.hours = words.and_then(|words| HoursLabel::fit(words, self, taken, 1));
            self.hours.is_some()
        });
        self.offset = with_words
            .or_else(|| free.first().copied())
            .unwrap_or(first);
        taken.take(&self.patches(1));
    }
}

/// A gang's letter as it fits on a plate.
pub(super) fn gang_mark(work: &WorkEntry) -> String {
    work.gang_mark.chars().take(3).collect()
}

/// Spots for a plate: across the street first, then round about and farther out.
fn offsets(heading: f64) -> impl Iterator<Item = (f64, f64)> {
    const TURNS: [f64; 8] = [-90.0, 90.0, -45.0, 135.0, -135.0, 45.0, 0.0, 180.0];
    const DISTANCES: [f64; 5] = [21.0, 30.0, 42.0, 58.0, 78.0];
    let spot = move |out| TURNS.map(move |turn| spot(heading + turn, out));
    DISTANCES.into_iter().flat_map(spot)
}

/// Spots between those, and beyond them, the nearest first.
fn farther(heading: f64) -> impl Iterator<Item = (f64, f64)> {
    const STEPS: u8 = 24;
    const DISTANCES: [f64; 12] = [
        21.0, 30.0, 42.0, 58.0, 78.0, 100.0, 124.0, 150.0, 180.0, 215.0, 255.0, 300.0,
    ];
    DISTANCES.into_iter().flat_map(move |out| {
        let turn = |step: u8| f64::from(step) * 360.0 / f64::from(STEPS) - 90.0;
        (0..STEPS).map(move |step| spot(heading + turn(step), out))
    })
}

/// The spot so far out in a direction, in degrees.
fn spot(degrees: f64, out: f64) -> (f64, f64) {
    let (sin, cos) = degrees.to_radians().sin_cos();
    // A plate is broader than high: sideways it has to go farther.
    (cos * (out + 12.0), sin * out)
}

/// Whether a patch lies on the sheet.
pub(super) fn is_inside(patch: &Patch) -> bool {
    patch.left > 4.0 && patch.top > 4.0 && patch.right < WIDTH - 4.0 && patch.bottom < HEIGHT - 4.0
}

#[cfg(test)]
mod tests {
    use super::super::taken::{Patch, Taken};
    use super::Plate;

    fn plate() -> Plate {
        Plate {
            at: (500.0, 300.0),
            heading: 0.0,
            offset: (0.0, 0.0),
            number_width: 24.0,
            gang_width: 16.0,
            hours: None,
        }
    }

    #[test]
    fn hours_stand_beside_the_number_where_both_fit() {
        let mut plate = plate();
        plate.settle(Some(&["09:30–15:30".to_owned()]), &mut Taken::default());
        assert!(plate.hours.is_some());
        // Straight across the street.
        assert!(plate.offset.0.abs() < 1e-9 && plate.offset.1 < 0.0);
    }

    #[test]
    fn no_number_of_a_crowd_hides_another() {
        let mut taken = Taken::default();
        let mut settled: Vec<Patch> = Vec::new();
        for work in 0..40_u8 {
            let mut plate = plate();
            plate.at.0 += f64::from(work % 8) * 9.0;
            plate.at.1 += f64::from(work / 8) * 9.0;
            plate.settle(None, &mut taken);
            for patch in plate.patches(1) {
                let mut others = Taken::default();
                others.take(&settled);
                assert!(others.is_free(&[patch]), "number {work} hides another");
                settled.push(patch);
            }
        }
        assert_eq!(settled.len(), 40);
    }

    #[test]
    fn a_number_moves_out_of_the_way() {
        let mut taken = Taken::default();
        taken.take(&[Patch::around((500.0, 275.0), 60.0, 20.0)]);
        let mut plate = plate();
        plate.settle(None, &mut taken);
        assert!(plate.offset.1 > 0.0 && plate.hours.is_none());
    }
}
