//! Street names along their lines.

use std::collections::BTreeSet;

use crate::client_page::{ClientPage, StreetLine};
use crate::html::{Html, number};

use super::frame::{Frame, HEIGHT, WIDTH};
use super::heading::upright;
use super::placing::Labels;
use super::taken::{Taken, along};

/// Width of a character of a street name, in units; broad enough for any system font.
const CHARACTER: f64 = 6.9;
/// Height that a name keeps clear.
const THICKNESS: f64 = 13.0;
/// The same name again no nearer than this, in units.
const APART: f64 = 420.0;
/// Names longer than this are cut on the map; the schedule has them whole.
const LONGEST: usize = 40;

type Place = (f64, f64);

/// A street name on the map.
pub(super) struct NameLabel {
    words: String,
    at: Place,
    angle: f64,
    level: u8,
    worked: bool,
}

/// A street that wants its name written.
struct Wanted<'a> {
    name: &'a str,
    lines: Vec<Vec<Place>>,
    worked: bool,
    rank: u8,
    length: f64,
}

/// Street names placed and still to be placed.
pub(super) struct NamePlaces<'a> {
    wanted: Vec<Wanted<'a>>,
    placed: Vec<NameLabel>,
}

impl<'a> NamePlaces<'a> {
    /// The named streets of a page: those with works first, then the greater and longer.
    pub(super) fn of(page: &'a ClientPage, frame: &Frame) -> Self {
        let worked: BTreeSet<&str> = page.works.iter().map(|work| work.street.as_str()).collect();
        let mut wanted: Vec<Wanted<'_>> = page
            .streets
            .iter()
            .filter(|street| !street.name.is_empty())
            .map(|street| Wanted::of(street, worked.contains(street.name.as_str()), frame))
            .collect();
        wanted.sort_by(|a, b| {
            (!a.worked, a.rank)
                .cmp(&(!b.worked, b.rank))
                .then(b.length.total_cmp(&a.length))
        });
        Self {
            wanted,
            placed: Vec::new(),
        }
    }

    /// Takes what the names placed so far cover at a magnification.
    pub(super) fn take(&self, taken: &mut Taken, level: u8) {
        for label in self.placed.iter().filter(|label| label.level <= level) {
            taken.take(&label.patches(level));
        }
    }

    /// Places more names at a magnification, where there is room.
    pub(super) fn place(&mut self, taken: &mut Taken, level: u8) {
        for street in &self.wanted {
            for line in &street.lines {
                for spot in spots(line, street.width() / f64::from(level)) {
                    let label = street.label(spot, level);
                    if self.placed.iter().all(|other| label.is_apart(other)) && label.fits(taken) {
                        taken.take(&label.patches(level));
                        self.placed.push(label);
                    }
                }
            }
        }
    }

    /// The names placed.
    pub(super) fn into_labels(self) -> Vec<NameLabel> {
        self.placed
    }
}

impl<'a> Wanted<'a> {
    fn of(street: &'a StreetLine, worked: bool, frame: &Frame) -> Self {
        let lines: Vec<Vec<Place>> = street.lines.iter().map(|line| frame.places(line)).collect();
        let length = lines
            .iter()
            .map(|line| steps(line).map(|step| step.2).sum::<f64>())
            .sum();
        Self {
            name: &street.name,
            lines,
            worked,
            rank: street.road_type.unwrap_or(5),
            length,
        }
    }

    fn width(&self) -> f64 {
        self.name
            .chars()
            .take(LONGEST)
            .fold(4.0, |width, _| width + CHARACTER)
    }

    fn label(&self, (at, angle): (Place, f64), level: u8) -> NameLabel {
        let mut words: String = self.name.chars().take(LONGEST).collect();
        if words.len() < self.name.len() {
            words.push('…');
        }
        NameLabel {
            words,
            at,
            angle,
            level,
            worked: self.worked,
        }
    }
}

impl NameLabel {
    fn patches(&self, level: u8) -> Vec<super::taken::Patch> {
        let width = self.words.chars().fold(4.0, |width, _| width + CHARACTER);
        let level = f64::from(level);
        along(
            (self.at.0 * level, self.at.1 * level),
            self.angle,
            width,
            THICKNESS,
        )
    }

    fn is_apart(&self, other: &Self) -> bool {
        let distance = (self.at.0 - other.at.0).hypot(self.at.1 - other.at.1);
        self.words != other.words || distance * f64::from(self.level) >= APART
    }

    fn fits(&self, taken: &Taken) -> bool {
        let patches = self.patches(self.level);
        let (right, bottom) = (
            WIDTH * f64::from(self.level),
            HEIGHT * f64::from(self.level),
        );
        let inside = patches.iter().all(|patch| {
            patch.left > 4.0
                && patch.top > 4.0
                && patch.right < right - 4.0
                && patch.bottom < bottom - 4.0
        });
        inside && taken.is_free(&patches)
    }
}

/// Steps of a line: from, to, length.
fn steps(line: &[Place]) -> impl Iterator<Item = (Place, Place, f64)> + '_ {
    line.iter()
        .zip(line.iter().skip(1))
        .map(|(&a, &b)| (a, b, (b.0 - a.0).hypot(b.1 - a.1)))
}

/// The place this far along a line.
fn place_along(line: &[Place], mut far: f64) -> Option<Place> {
    for (a, b, length) in steps(line) {
        if far <= length && length > 0.0 {
            let part = far / length;
            return Some((a.0 + part * (b.0 - a.0), a.1 + part * (b.1 - a.1)));
        }
        far -= length;
    }
    line.last().copied()
}

/// Where words of a width can lie along a line that is nearly straight there: middle and angle.
fn spots(line: &[Place], width: f64) -> impl Iterator<Item = (Place, f64)> + '_ {
    const PARTS: [f64; 9] = [0.5, 0.35, 0.65, 0.2, 0.8, 0.42, 0.58, 0.27, 0.73];
    let whole: f64 = steps(line).map(|step| step.2).sum();
    PARTS.into_iter().filter_map(move |part| {
        let middle = whole * part;
        if middle < width / 2.0 || middle + width / 2.0 > whole {
            return None;
        }
        let a = place_along(line, middle - width / 2.0)?;
        let b = place_along(line, middle + width / 2.0)?;
        let (x, y) = (b.0 - a.0, b.1 - a.1);
        let straight = x.hypot(y) > 0.97 * width;
        straight.then(|| {
            (
                (a.0.midpoint(b.0), a.1.midpoint(b.1)),
                upright(y.atan2(x).to_degrees()),
            )
        })
    })
}

/// Writes the names.
pub(super) fn write_names(html: &mut Html, labels: &Labels) {
    html.open("g", &[("class", "names"), ("aria-hidden", "true")])
        .line();
    for label in &labels.names {
        let at = format!("translate({} {})", number(label.at.0), number(label.at.1));
        let class = format!(
            "z{}{}",
            label.level,
            if label.worked { " worked" } else { "" }
        );
        html.open("g", &[("class", &class), ("transform", &at)])
            .open("g", &[("class", "still")]);
        let turn = format!("rotate({})", number(label.angle));
        html.words("text", &[("transform", &turn), ("y", "4")], &label.words);
        html.close().close().line();
    }
    html.close().line();
}

#[cfg(test)]
mod tests {
    use super::spots;

    #[test]
    fn names_lie_on_straight_stretches_that_are_long_enough() {
        let line = [(0.0, 0.0), (100.0, 0.0)];
        let (at, angle) = spots(&line, 60.0).next().expect("room in the middle");
        assert!((at.0 - 50.0).abs() < 1e-9 && angle.abs() < 1e-9);
        assert_eq!(spots(&line, 120.0).count(), 0);
        // A hairpin has the length but not the room.
        let bend = [(0.0, 0.0), (50.0, 0.0), (0.0, 2.0)];
        assert_eq!(spots(&bend, 60.0).count(), 0);
    }
}
