//! One hatch for each kind of closure: told apart in black and white.

use gangday_model::ClosureKind;

use crate::html::{Html, number};

use super::symbol::{symbol_size, write_symbol};

/// The kinds that are hatched, from the one that takes most.
const KINDS: [ClosureKind; 3] = [ClosureKind::Road, ClosureKind::Lane, ClosureKind::Footway];

/// The period of a hatch, in units of the drawing.
const PERIOD: f64 = 6.0;

/// How much finer the hatch of a footprint is than that of a symbol: it is seen from close by.
const CLOSE_BY: f64 = 0.2;

/// The class that gives a kind its colour.
pub(crate) const fn kind_class(kind: ClosureKind) -> &'static str {
    match kind {
        ClosureKind::Road => "road",
        ClosureKind::Lane => "lane",
        ClosureKind::Footway => "footway",
        ClosureKind::None => "none",
    }
}

/// The fill of a footprint, to scale.
pub(super) const fn ground_fill(kind: ClosureKind) -> &'static str {
    match kind {
        ClosureKind::Road => "url(#ground-road)",
        ClosureKind::Lane => "url(#ground-lane)",
        ClosureKind::Footway => "url(#ground-footway)",
        ClosureKind::None => "none",
    }
}

const fn id(kind: ClosureKind) -> &'static str {
    match kind {
        ClosureKind::Road => "ground-road",
        ClosureKind::Lane => "ground-lane",
        ClosureKind::Footway => "ground-footway",
        ClosureKind::None => "none",
    }
}

/// Crossed, slanted, upright or no lines at all.
const fn strokes(kind: ClosureKind) -> &'static str {
    match kind {
        ClosureKind::Road => "M-1 -1L7 7M7 -1L-1 7",
        ClosureKind::Lane => "M-1 7L7 -1M-1 1L1 -1M5 7L7 5",
        ClosureKind::Footway => "M1.5 0V6M4.5 0V6",
        ClosureKind::None => "",
    }
}

/// Writes the hatches that the whole page shares.
pub(crate) fn write_hatches(html: &mut Html) {
    html.open(
        "svg",
        &[
            ("class", "hatches"),
            ("width", "0"),
            ("height", "0"),
            ("aria-hidden", "true"),
        ],
    );
    html.open("defs", &[]).line();
    for kind in KINDS {
        write_hatch(html, id(kind), CLOSE_BY, kind_class(kind), strokes(kind));
    }
    write_hatch(html, "fill-water", 1.0, "water", "M0 3H3.5");
    write_hatch(html, "fill-green", 1.5, "green", "M2 3.5L3 2L4 3.5");
    html.close().close().line();
}

fn write_hatch(html: &mut Html, id: &str, scale: f64, class: &str, strokes: &str) {
    let period = number(PERIOD);
    html.open(
        "pattern",
        &[
            ("id", id),
            ("class", class),
            ("width", &period),
            ("height", &period),
            ("patternUnits", "userSpaceOnUse"),
            ("patternTransform", &format!("scale({})", number(scale))),
        ],
    );
    html.empty(
        "rect",
        &[("class", "bed"), ("width", &period), ("height", &period)],
    );
    html.empty("path", &[("class", "hatch"), ("d", strokes)])
        .close()
        .line();
}

/// A small piece of a kind's hatch, for tables and the key.
pub(crate) fn swatch(html: &mut Html, kind: ClosureKind) {
    let class = format!("swatch {}", kind_class(kind));
    html.open(
        "svg",
        &[
            ("class", &class),
            ("viewBox", "0 0 32 14"),
            ("aria-hidden", "true"),
        ],
    );
    html.open("g", &[("transform", "translate(16 7)")]);
    let size = if kind == ClosureKind::None {
        1.0
    } else {
        29.0 / symbol_size(kind).0
    };
    write_symbol(html, kind, 0.0, size);
    html.close().close();
}
