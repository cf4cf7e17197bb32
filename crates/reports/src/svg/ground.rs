//! The quiet part of the map: water, green and streets.

use crate::client_page::{BackdropKind, ClientPage, StreetLine};
use crate::html::{Html, number};

use super::frame::{Frame, is_near};

/// Streets are drawn in whole metres up to this width.
pub(crate) const WIDEST_M: u32 = 24;

/// A width where none is stated: two lanes. Common practice, no source.
const USUAL_WIDTH_M: f64 = 6.0;

/// Water and green.
pub(super) fn write_backdrop(html: &mut Html, page: &ClientPage, frame: &Frame) {
    for shape in &page.backdrop {
        let rings: Vec<_> = shape.rings.iter().map(|ring| frame.places(ring)).collect();
        let path: String = rings
            .iter()
            .filter(|ring| ring.len() > 2 && is_near(ring))
            .map(|ring| ring_path(ring))
            .collect();
        if path.is_empty() {
            continue;
        }
        let (class, fill) = match shape.kind {
            BackdropKind::Water => ("water", "url(#fill-water)"),
            BackdropKind::Green => ("green", "url(#fill-green)"),
        };
        html.empty(
            "path",
            &[
                ("class", class),
                ("fill", fill),
                ("fill-rule", "evenodd"),
                ("d", &path),
            ],
        );
        html.line();
    }
}

/// Every street, its edges first so that crossings stay open.
pub(super) fn write_streets(html: &mut Html, page: &ClientPage, frame: &Frame) {
    html.empty("use", &[("href", "#streets"), ("class", "edges")])
        .line();
    html.open("g", &[("id", "streets")]).line();
    let mut streets: Vec<&StreetLine> = page.streets.iter().collect();
    streets.sort_by_key(|street| std::cmp::Reverse(street.road_type.unwrap_or(u8::MAX)));
    for street in streets {
        let path: String = street
            .lines
            .iter()
            .map(|line| frame.places(line))
            .filter(|line| line.len() > 1 && is_near(line))
            .map(|line| line_path(&line))
            .collect();
        if !path.is_empty() {
            html.empty("path", &[("class", &street_class(street)), ("d", &path)])
                .line();
        }
    }
    html.close().line();
}

/// The class that gives a street its width: whole metres, and how strong it is from afar.
fn street_class(street: &StreetLine) -> String {
    let width = street
        .width_m
        .filter(|width| width.is_finite())
        .unwrap_or(USUAL_WIDTH_M);
    let metres = width.round().clamp(2.0, f64::from(WIDEST_M));
    let rank = street
        .road_type
        .map_or_else(|| "x".to_owned(), |kind| kind.min(4).to_string());
    format!("street w{} t{rank}", number(metres))
}

/// An open line.
pub(super) fn line_path(places: &[(f64, f64)]) -> String {
    let mut path = String::new();
    for (index, &(x, y)) in places.iter().enumerate() {
        path.push(if index == 0 { 'M' } else { 'L' });
        path.push_str(&number(x));
        path.push(' ');
        path.push_str(&number(y));
    }
    path
}

/// A closed ring.
pub(super) fn ring_path(places: &[(f64, f64)]) -> String {
    let open = if places.len() > 3 && places.first() == places.last() {
        &places[..places.len() - 1]
    } else {
        places
    };
    line_path(open) + "Z"
}

#[cfg(test)]
mod tests {
    use super::{line_path, ring_path};

    #[test]
    fn a_ring_closes_once() {
        let ring = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 0.0)];
        assert_eq!(ring_path(&ring), "M0 0L2 0L2 2Z");
        assert_eq!(line_path(&ring[..2]), "M0 0L2 0");
    }
}
