//! The symbol of a closure: a bar along the street, hatched by its kind, seen from any distance.

use gangday_model::ClosureKind;

use crate::html::{Html, number};

use super::hatch::kind_class;

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
        ],
    );
    let hatch = hatch_path(kind, length, width);
    if !hatch.is_empty() {
        html.empty("path", &[("class", "hatch"), ("d", &hatch)]);
    }
    if kind == ClosureKind::Road {
        let (end, reach) = (number(length / 2.0), number(width / 2.0 + 2.5 * size));
        let barriers = format!("M-{end} -{reach}V{reach}M{end} -{reach}V{reach}");
        html.empty("path", &[("class", "barrier"), ("d", &barriers)]);
    }
    html.close();
}

/// Crossed, slanted, upright or no lines over a bar, as lines and not as a pattern: printers make
/// a grey of small patterns.
fn hatch_path(kind: ClosureKind, length: f64, width: f64) -> String {
    match kind {
        ClosureKind::Road => lines(length, width, width, 7.0) + &lines(length, width, -width, 7.0),
        ClosureKind::Lane => lines(length, width, width, 6.0),
        ClosureKind::Footway => lines(length, width, 0.0, 3.6),
        ClosureKind::None => String::new(),
    }
}

/// Lines across a bar, each leaning by so much from its lower to its upper edge.
fn lines(length: f64, width: f64, lean: f64, apart: f64) -> String {
    let (half, reach) = (length / 2.0, length / 2.0 + lean.abs() / 2.0);
    let mut path = String::new();
    let mut middle = -(reach / apart).floor() * apart;
    while middle < reach {
        let from = middle - lean / 2.0;
        // The part of the line that is within both ends of the bar.
        let at = |x: f64| {
            if lean == 0.0 {
                f64::from(x > from)
            } else {
                (x - from) / lean
            }
        };
        let (a, b) = (at(-half), at(half));
        let (start, end) = (a.min(b).clamp(0.0, 1.0), a.max(b).clamp(0.0, 1.0));
        if start < end {
            let point = |part: f64| {
                format!(
                    "{} {}",
                    number(from + part * lean),
                    number(width / 2.0 - part * width)
                )
            };
            path += &format!("M{}L{}", point(start), point(end));
        }
        middle += apart;
    }
    path
}

#[cfg(test)]
mod tests {
    use super::{hatch_path, lines};
    use gangday_model::ClosureKind;

    #[test]
    fn hatch_lines_stay_within_the_bar() {
        assert_eq!(lines(10.0, 4.0, 0.0, 4.0), "M-4 2L-4 -2M0 2L0 -2M4 2L4 -2");
        assert_eq!(lines(4.0, 4.0, 4.0, 8.0), "M-2 2L2 -2");
    }

    #[test]
    fn each_kind_has_a_hatch_of_its_own() {
        let kinds = [
            ClosureKind::Road,
            ClosureKind::Lane,
            ClosureKind::Footway,
            ClosureKind::None,
        ];
        let paths = kinds.map(|kind| hatch_path(kind, 40.0, 10.0));
        for (index, path) in paths.iter().enumerate() {
            assert!(!paths[..index].contains(path), "{:?}", kinds[index]);
        }
    }
}
