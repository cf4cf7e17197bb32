//! The hours of a closure, written beside its number.

use gangday_model::ClosureKind;

use crate::client_page::WorkEntry;

use super::placing::LEVELS;
use super::plate::{HALF_PLATE, Plate, is_inside};
use super::taken::{Patch, Taken};

/// Width of a character of the hours, in units; broad enough for any system font.
const CHARACTER: f64 = 7.4;
/// Longer lines are cut on the map; the schedule has them whole.
const LONGEST: usize = 30;
/// From one line of words to the next, in units.
pub(super) const LINE: f64 = 14.0;

/// Hours next to a plate.
#[derive(Clone)]
pub(super) struct HoursLabel {
    /// The street of a closed road, then the hours.
    pub(super) lines: Vec<String>,
    /// Width of their own plate.
    pub(super) width: f64,
    /// Whether they stand to the left of the number.
    pub(super) left: bool,
    /// The magnification from which there is room.
    pub(super) level: u8,
}

impl HoursLabel {
    /// Words to the right or left of a plate, if there is room; at the closest look they always
    /// stand.
    pub(super) fn fit(words: &[String], plate: &Plate, taken: &Taken, level: u8) -> Option<Self> {
        let width = |line: &String| line.chars().fold(9.0, |width, _| width + CHARACTER);
        let width = words.iter().map(width).reduce(f64::max)?;
        let on = |left| Self {
            lines: words.to_vec(),
            width,
            left,
            level,
        };
        let has_room = |label: &Self| {
            let patch = label.patch(plate, level);
            (level > 1 || is_inside(&patch)) && taken.is_free(&[patch])
        };
        let last = LEVELS.last() == Some(&level);
        [on(false), on(true)]
            .into_iter()
            .find(has_room)
            .or_else(|| last.then(|| on(false)))
    }

    /// What the words cover at a magnification.
    pub(super) fn patch(&self, plate: &Plate, level: u8) -> Patch {
        let middle = plate.middle(level);
        let reach = plate.half_width() + self.width / 2.0;
        let x = if self.left {
            middle.0 - reach
        } else {
            middle.0 + reach
        };
        // Its own plate keeps a rim clear on this side too.
        Patch::around((x, middle.1), self.width / 2.0 - 2.0, self.half_height())
    }

    /// Half the height of the plate under the words.
    pub(super) fn half_height(&self) -> f64 {
        if self.lines.len() > 1 {
            HALF_PLATE + LINE / 2.0
        } else {
            HALF_PLATE
        }
    }
}

/// Hours of a work in words.
pub(crate) fn hours_words(work: &WorkEntry) -> String {
    match (work.from.as_str(), work.to.as_str()) {
        ("", "") => String::new(),
        ("", to) => format!("to {to}"),
        (from, "") => format!("from {from}"),
        (from, to) => format!("{from}–{to}"),
    }
}

/// What is written beside the number, after the day where more than one is shown; a closed road
/// says its street's name too.
pub(super) fn beside(work: &WorkEntry, day: Option<&str>) -> Vec<String> {
    let street = (work.closure == ClosureKind::Road).then(|| work.street.clone());
    let hours = format!("{} {}", day.unwrap_or_default(), hours_words(work));
    let cut = |line: String| line.trim().chars().take(LONGEST).collect::<String>();
    street
        .into_iter()
        .chain([hours])
        .map(cut)
        .filter(|line| !line.is_empty())
        .collect()
}
