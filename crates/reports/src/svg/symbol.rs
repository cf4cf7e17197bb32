//! The symbol of a closure: a bar along the street, hatched by its kind, seen from any distance.

use gangday_model::ClosureKind;

use crate::html::{Html, number};

use super::hatch::{kind_class, symbol_fill};

/// Length along the street and width across it, in units of the drawing.
pub(super) const fn symbol_size(kind: ClosureKind) -> (f64, f64) {
    match kind {
        ClosureKind::Road => (44.0, 15.0),
        ClosureKind::Lane => (32.0, 11.0),
        ClosureKind::Footway => (26.0, 8.0),
        ClosureKind::None => (9.0, 9.0),
    }
}

/// Writes the symbol round the origin, turned by an angle in degrees.
///
/// A closed road carries a barrier at both ends, so that it is known without its hatch.
pub(super) fn write_symbol(html: &mut Html, kind: ClosureKind, angle: f64, size: f64) {
    let (length, width) = symbol_size(kind);
    let (length, width) = (length * size, width * size);
    let transform = format!("rotate({})", number(angle));
    let class = format!("bar {}", kind_class(kind));
    html.open("g", &[("class", &class), ("transform", &transform)]);
    html.empty(
        "rect",
        &[
            ("x", &number(-length / 2.0)),
            ("y", &number(-width / 2.0)),
            ("width", &number(length)),
            ("height", &number(width)),
            ("fill", symbol_fill(kind)),
        ],
    );
    if kind == ClosureKind::Road {
        let (end, reach) = (number(length / 2.0), number(width / 2.0 + 2.5 * size));
        let barriers = format!("M-{end} -{reach}V{reach}M{end} -{reach}V{reach}");
        html.empty("path", &[("class", "barrier"), ("d", &barriers)]);
    }
    html.close();
}
