//! The cross-section as an SVG, to scale and dimensioned.

use std::fmt::Write as _;

use crate::section::{Dimension, Point, Section, SectionPart};

/// Room for dimension lines round the dig, as a share of its larger side.
const ROOM: f64 = 0.3;

/// How far dimension lines stand from each other, as a share of the larger side.
const STEP: f64 = 0.08;

/// Half a tick, mm of the chamber.
const TICK: f64 = 12.0;

/// The cross-section as the text of an SVG that needs nothing beside it.
///
/// User units are the chamber's own millimetres; the size asked for makes one of them
/// 1 / `scale` mm on paper. Each part carries its name as a class, for a window to style.
///
/// ```
/// use gangday_calc::{section, section_svg, shipped_materials, shipped_method, take_off};
/// use gangday_model::{Job, LonLat, Position, Work};
/// let (method, materials) = (shipped_method(), shipped_materials());
/// let job = Job::new("1", LonLat::new(0.0, 52.0), Work::New, Position::Footway);
/// let svg = section_svg(&section(&take_off(&job, &method, &materials).unwrap()), 20);
/// assert!(svg.starts_with("<svg ") && svg.contains(">1400<"));
/// ```
#[must_use]
pub fn section_svg(section: &Section, scale: u32) -> String {
    let (width, depth) = size(section);
    let larger = width.max(depth).max(1.0);
    let room = larger * ROOM;
    let (left, top) = (-width / 2.0 - room, -room);
    let (wide, high) = (width + 2.0 * room, depth + 2.0 * room);
    let scale_down = f64::from(scale.max(1));
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"{left} {top} {wide} {high}\" \
         width=\"{}mm\" height=\"{}mm\" role=\"img\" font-family=\"sans-serif\" font-size=\"{}\" \
         stroke-width=\"{}\">",
        wide / scale_down,
        high / scale_down,
        larger * 0.032,
        larger * 0.003,
    );
    let title = format!("Cross-section of {}, 1 : {}", section.job, scale.max(1));
    put(&mut svg, format_args!("<title>{}</title>", escaped(&title)));
    for part in &section.parts {
        put(&mut svg, format_args!("{}", outline(part)));
    }
    for dimension in &section.across {
        level(&mut svg, dimension, depth, larger * STEP);
    }
    for dimension in &section.down {
        plumb(&mut svg, dimension, width, larger * STEP);
    }
    svg.push_str("</svg>");
    svg
}

fn size(section: &Section) -> (f64, f64) {
    let points = || section.parts.iter().flat_map(|part| &part.outline);
    let reach = points().map(|[across, _]| across.abs()).fold(0.0, f64::max);
    let depth = points().map(|[_, depth]| *depth).fold(0.0, f64::max);
    (reach * 2.0, depth)
}

/// Text can always be added to.
fn put(svg: &mut String, text: std::fmt::Arguments) {
    svg.write_fmt(text).expect("text can always be added to");
}

/// What fills a part, in greys that print; the opening is left white.
fn fill(what: &str) -> &'static str {
    match what {
        "base_concrete" => "#b9b9b9",
        "surround_concrete" => "#c9c9c9",
        "type1" => "#e3e3e3",
        "surfacing" => "#6f6f6f",
        "topsoil" => "#d6d6d6",
        "wall" => "#a3a3a3",
        "ironwork" => "#4a4a4a",
        "mortar" => "#8c8c8c",
        _ => "#ffffff",
    }
}

fn outline(part: &SectionPart) -> String {
    let points: Vec<String> = part
        .outline
        .iter()
        .map(|[x, y]| format!("{x},{y}"))
        .collect();
    format!(
        "<polygon class=\"{}\" fill=\"{}\" stroke=\"#222222\" points=\"{}\"/>",
        escaped(&part.what),
        fill(&part.what),
        points.join(" ")
    )
}

/// A dimension along a level, drawn above or below the dig.
fn level(svg: &mut String, dimension: &Dimension, depth: f64, step: f64) {
    let away = f64::from(dimension.lane) * step;
    let y = if away < 0.0 { away } else { depth + away };
    let ends = [[dimension.from[0], y], [dimension.to[0], y]];
    witness(svg, ends);
    let middle = f64::midpoint(ends[0][0], ends[1][0]);
    put(
        svg,
        format_args!(
            "<text x=\"{middle}\" y=\"{y}\" dy=\"-0.3em\" text-anchor=\"middle\">{}</text>",
            told(dimension)
        ),
    );
}

/// A dimension along a plumb line, drawn beside the dig, its figure outward of it.
fn plumb(svg: &mut String, dimension: &Dimension, width: f64, step: f64) {
    let hand = f64::from(dimension.lane.signum());
    let x = hand * width / 2.0 + f64::from(dimension.lane) * step;
    let ends = [[x, dimension.from[1]], [x, dimension.to[1]]];
    witness(svg, ends);
    let middle = f64::midpoint(ends[0][1], ends[1][1]);
    let (anchor, shift) = if hand < 0.0 {
        ("end", "-0.4em")
    } else {
        ("start", "0.4em")
    };
    put(
        svg,
        format_args!(
            "<text x=\"{x}\" y=\"{middle}\" dx=\"{shift}\" dy=\"0.35em\" text-anchor=\"{anchor}\">{}</text>",
            told(dimension)
        ),
    );
}

fn told(dimension: &Dimension) -> String {
    format!(
        "{}<title>{}</title>",
        dimension.mm,
        escaped(&dimension.name)
    )
}

/// The dimension line with a tick at each end.
fn witness(svg: &mut String, [from, to]: [Point; 2]) {
    put(
        svg,
        format_args!(
            "<path class=\"dimension\" fill=\"none\" stroke=\"#222222\" d=\"M{} {}L{} {}\"/>",
            from[0], from[1], to[0], to[1]
        ),
    );
    for [x, y] in [from, to] {
        let (left, top, right, bottom) = (x - TICK, y + TICK, x + TICK, y - TICK);
        put(
            svg,
            format_args!(
                "<path class=\"tick\" stroke=\"#222222\" d=\"M{left} {top}L{right} {bottom}\"/>"
            ),
        );
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
        .replace('"', "&quot;")
}
