//! The map: one SVG drawing, built as text.

mod frame;
mod furniture;
mod ground;
mod hatch;
mod heading;
mod hours;
mod marks;
mod names;
mod placing;
mod plate;
mod symbol;
mod taken;

use crate::client_page::{ClientPage, WorkEntry};
use crate::html::{Html, number};

use frame::Frame;
pub(crate) use ground::WIDEST_M;
pub(crate) use hatch::{kind_class, swatch, write_hatches};
pub(crate) use hours::hours_words;

/// Units of drawing width across one metre of ground, for the style; nothing is known without a
/// place.
pub(crate) fn units_per_metre(page: &ClientPage) -> Option<f64> {
    Frame::around(page).map(|frame| frame.units_per_metre())
}

/// Whether a work has a place on the map.
pub(crate) fn has_place(work: &WorkEntry) -> bool {
    frame::is_place(&work.at)
}

/// Writes the map, or says that there is none.
pub(crate) fn write_map(html: &mut Html, page: &ClientPage) {
    let Some(frame) = Frame::around(page) else {
        html.words(
            "p",
            &[("class", "empty")],
            "No map: none of these works has a place.",
        );
        return;
    };
    let size = format!("0 0 {} {}", number(frame::WIDTH), number(frame::HEIGHT));
    let label = format!("Map of {}: works and closures by street", page.programme);
    html.open(
        "svg",
        &[
            ("id", "map"),
            ("class", "map"),
            ("viewBox", &size),
            ("role", "group"),
            ("aria-label", &label),
        ],
    );
    html.line();
    let labels = placing::place_labels(page, &frame);
    html.open("g", &[("id", "ground")]).line();
    ground::write_backdrop(html, page, &frame);
    ground::write_streets(html, page, &frame);
    marks::write_closures(html, page, &frame);
    names::write_names(html, &labels);
    marks::write_marks(html, page, &frame, &labels);
    html.close().line();
    furniture::write_furniture(html, &frame);
    html.close().line();
}
