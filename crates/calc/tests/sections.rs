//! The drawn section holds what the take-off measures.
#![allow(
    clippy::unwrap_used,
    reason = "what a test builds is there, or the test fails"
)]

mod common;

use common::{POSITIONS, job, mm, taken};
use gangday_calc::{Section, section, section_svg};
use gangday_model::{Job, Work};
use geo::{Area as _, LineString, Polygon};
use proptest::prelude::*;

/// The area of an outline, by the geo crate.
fn area(outline: &[[f64; 2]]) -> f64 {
    let ring = LineString::from(outline.to_vec());
    Polygon::new(ring, Vec::new()).unsigned_area()
}

fn areas(drawn: &Section, what: &str) -> f64 {
    let own = drawn.parts.iter().filter(|part| part.what == what);
    own.map(|part| area(&part.outline)).sum()
}

fn shaped(work: Work, position: usize, shape: &str) -> Job {
    let mut job = job(work, POSITIONS[position]);
    job.extra.insert("dig".to_owned(), shape.into());
    job
}

/// By hand, the usual footway chamber, 1400 wide: base 1400 x 200 less 2 x 150 x 50; type 1
/// 500 x 625; surround 500 x 265; surfacing 500 x 60; walls 300 x 900; opening 600 x 850.
#[test]
fn the_parts_of_the_usual_chamber() {
    let drawn = section(&taken(&job(Work::New, POSITIONS[1])));
    let expected = [
        ("base_concrete", 1_400.0 * 200.0 - 300.0 * 50.0),
        ("type1", 500.0 * 625.0),
        ("surround_concrete", 500.0 * 265.0),
        ("surfacing", 500.0 * 60.0),
        ("wall", 300.0 * 900.0),
        ("opening", 600.0 * 850.0),
        ("ironwork", 900.0 * 100.0),
    ];
    for (what, mm2) in expected {
        assert!(
            (areas(&drawn, what) - mm2).abs() < 1e-6,
            "{what} {}",
            areas(&drawn, what)
        );
    }
    let walls = drawn
        .parts
        .iter()
        .filter(|part| part.what == "wall")
        .count();
    assert_eq!(walls, 12);
    let depth = drawn
        .down
        .iter()
        .find(|line| line.name == "depth of the dig")
        .unwrap();
    assert_eq!(depth.mm, 1_150);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    /// The parts fill the trapezium that the section cuts out of the dig, and every dimension is as
    /// long as it is drawn.
    #[test]
    fn parts_fill_the_dig_and_dimensions_are_true(
        kind in (0..3_usize, 0..4_usize, 0..3_usize),
        sizes in (300..2_800_i64, 20..300_i64, 1..10_u32, 300..500_i64),
        tops in (60..250_i64, 0..60_i64),
    ) {
        let work = [Work::New, Work::Replace, Work::Adjust][kind.0];
        let mut job = shaped(work, kind.1, ["vertical", "sheeted", "battered"][kind.2]);
        (job.sizes.clear_width, job.sizes.wall) = (mm(sizes.0), mm(sizes.1));
        (job.sizes.sections, job.sizes.margin) = (Some(sizes.2), mm(sizes.3));
        (job.sizes.ironwork_depth, job.sizes.bedding) = (mm(tops.0), mm(tops.1));
        job.sizes.ironwork_width = mm(sizes.0 + sizes.1);
        let taken = taken(&job);
        let drawn = section(&taken);
        let filled: f64 = drawn.parts.iter().map(|part| area(&part.outline)).sum();
        let dug = (taken.dig_width + taken.foot_width).mm() as f64 / 2.0 * taken.depth.mm() as f64;
        prop_assert!((filled - dug).abs() < 1e-3, "{filled} of {dug}");
        for line in drawn.across.iter().chain(&drawn.down) {
            let long = (line.to[0] - line.from[0]).hypot(line.to[1] - line.from[1]);
            prop_assert!((long - line.mm as f64).abs() < 1e-9, "{}", line.name);
        }
        prop_assert!(drawn.levels.is_sorted_by_key(|level| level.depth_mm));
    }
}

/// The ring round the chamber is a polygon with a hole, whose area the geo crate knows: over the
/// height of type 1 it is the volume taken off.
#[test]
fn the_ring_is_a_polygon_with_a_hole() {
    let taken = taken(&job(Work::New, POSITIONS[3]));
    let square = |length: gangday_model::Millimetres, width: gangday_model::Millimetres| {
        let (x, y) = (length.m() / 2.0, width.m() / 2.0);
        LineString::from(vec![[-x, -y], [x, -y], [x, y], [-x, y]])
    };
    let dig = square(taken.dig_length, taken.dig_width);
    let chamber = square(taken.outside_length, taken.outside_width);
    let ring = Polygon::new(dig, vec![chamber]).unsigned_area();
    let height = (taken.levels.base_top - taken.levels.type1_top).m();
    assert!((ring * height - taken.volumes.type1.m3()).abs() < 1e-9);
}

/// At 1 : 20 a dig of 1400 mm is 70 mm on paper.
#[test]
fn the_drawing_is_to_scale() {
    let drawn = section(&taken(&job(Work::New, POSITIONS[3])));
    let svg = section_svg(&drawn, 20);
    let number = |name: &str| -> f64 {
        let from = svg.find(&format!(" {name}=\"")).unwrap() + name.len() + 3;
        let text = &svg[from..];
        text[..text.find(['m', '"']).unwrap()].parse().unwrap()
    };
    let view = svg
        .split("viewBox=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap();
    let view: Vec<f64> = view.split(' ').map(|part| part.parse().unwrap()).collect();
    assert!((number("width") * 20.0 - view[2]).abs() < 1e-9);
    assert!((number("height") * 20.0 - view[3]).abs() < 1e-9);
    for line in drawn.across.iter().chain(&drawn.down) {
        assert!(
            svg.contains(&format!(">{}<title>{}", line.mm, line.name)),
            "{}",
            line.name
        );
    }
    assert_eq!(svg.matches("<polygon").count(), drawn.parts.len());
}

/// An id is text from a file: it may not become markup.
#[test]
fn an_id_never_becomes_markup() {
    let mut named = job(Work::New, POSITIONS[1]);
    named.id = "<script>&\"".into();
    let svg = section_svg(&section(&taken(&named)), 20);
    assert!(!svg.contains("<script>") && svg.contains("&lt;script&gt;&amp;&quot;"));
}
