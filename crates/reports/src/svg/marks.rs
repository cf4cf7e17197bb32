//! The works on the map: ground taken, bar along the street, number, gang and hours.

use crate::client_page::{ClientPage, WorkEntry};
use crate::html::{Html, number};

use super::frame::Frame;
use super::ground::ring_path;
use super::hatch::{ground_fill, kind_class};
use super::hours::{LINE, hours_words};
use super::placing::{LEVELS, Labels};
use super::plate::{HALF_PLATE, Plate, gang_mark};
use super::symbol::{symbol_size, write_symbol};

/// The footprints to scale, below everything that is written.
pub(super) fn write_closures(html: &mut Html, page: &ClientPage, frame: &Frame) {
    html.open("g", &[("class", "footprints"), ("aria-hidden", "true")])
        .line();
    for (index, work) in page.works.iter().enumerate() {
        let ring = frame.places(&work.footprint);
        if ring.len() > 2 {
            let class = format!("footprint {}", kind_class(work.closure));
            let of = (index + 1).to_string();
            html.empty(
                "path",
                &[
                    ("class", &class),
                    ("data-day", &work.days()),
                    ("data-work", &of),
                    ("fill", ground_fill(work.closure)),
                    ("d", &ring_path(&ring)),
                ],
            );
            html.line();
        }
    }
    html.close().line();
}

/// The marks: each a link to its line of the schedule.
///
/// All bars come first, then all leaders, then the numbers, so that nothing hides a number.
pub(super) fn write_marks(html: &mut Html, page: &ClientPage, frame: &Frame, labels: &Labels) {
    let both = labels.of_all_days.iter().zip(&labels.of_its_day);
    let placed: Vec<Placed<'_>> = page
        .works
        .iter()
        .zip(both)
        .enumerate()
        .filter_map(|(index, (work, (all, day)))| {
            let (all, day) = (all.as_ref()?, day.as_ref()?);
            Some(Placed {
                count: (index + 1).to_string(),
                day: work.days(),
                work,
                plates: [all, day],
            })
        })
        .collect();
    html.open("g", &[("class", "bars"), ("aria-hidden", "true")])
        .line();
    placed
        .iter()
        .for_each(|placed| write_bar(html, placed, frame));
    html.close().line();
    html.open("g", &[("class", "leaders"), ("aria-hidden", "true")])
        .line();
    placed.iter().for_each(|placed| write_leaders(html, placed));
    html.close().line();
    html.open("g", &[("class", "marks")]).line();
    placed
        .iter()
        .for_each(|placed| write_mark(html, page, placed));
    html.close().line();
}

/// A work with its place on the map.
struct Placed<'a> {
    count: String,
    day: String,
    work: &'a WorkEntry,
    plates: [&'a Plate; 2],
}

/// The classes of the two ways to show a work: among all days, or on its own day.
const MODES: [&str; 2] = ["in-all", "in-day"];

impl Placed<'_> {
    fn at(&self) -> String {
        let [plate, _] = self.plates;
        format!("translate({} {})", number(plate.at.0), number(plate.at.1))
    }
}

fn write_bar(html: &mut Html, placed: &Placed<'_>, frame: &Frame) {
    html.open(
        "g",
        &[
            ("class", until(placed.work, frame)),
            ("data-day", &placed.day),
            ("data-work", &placed.count),
            ("transform", &placed.at()),
        ],
    );
    html.open("g", &[("class", "still")]);
    write_symbol(html, placed.work.closure, placed.plates[0].heading, 1.0);
    html.close().close().line();
}

fn write_leaders(html: &mut Html, placed: &Placed<'_>) {
    let class = format!("leader {}", kind_class(placed.work.closure));
    html.open(
        "g",
        &[
            ("class", &class),
            ("data-day", &placed.day),
            ("data-work", &placed.count),
            ("transform", &placed.at()),
        ],
    );
    html.open("g", &[("class", "still")]);
    for (mode, plate) in MODES.into_iter().zip(placed.plates) {
        let line = format!("M0 0L{} {}", number(plate.offset.0), number(plate.offset.1));
        html.empty("path", &[("class", mode), ("d", &line)]);
    }
    html.close().close().line();
}

/// The class that takes the bar away once the footprint itself is larger.
fn until(work: &WorkEntry, frame: &Frame) -> &'static str {
    let ring = frame.places(&work.footprint);
    let size = ring
        .iter()
        .zip(ring.iter().skip(1))
        .map(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1))
        .fold(0.0, f64::max);
    let large = |level: &u8| size * f64::from(*level) >= symbol_size(work.closure).0;
    match LEVELS.iter().find(|level| large(level)) {
        Some(1) => "bar-until u1",
        Some(2) => "bar-until u2",
        Some(4) => "bar-until u4",
        Some(_) => "bar-until u8",
        None => "bar-until u16",
    }
}

fn write_mark(html: &mut Html, page: &ClientPage, placed: &Placed<'_>) {
    let class = format!("mark {}", kind_class(placed.work.closure));
    html.open(
        "a",
        &[
            ("id", &format!("mark-{}", placed.count)),
            ("class", &class),
            ("href", &format!("#row-{}", placed.count)),
            ("data-day", &placed.day),
            ("data-work", &placed.count),
            ("transform", &placed.at()),
        ],
    );
    html.words("title", &[], &spoken(page, placed))
        .open("g", &[("class", "still")]);
    for (mode, plate) in MODES.into_iter().zip(placed.plates) {
        let (x, y) = (number(plate.offset.0), number(plate.offset.1));
        let to = format!("translate({x} {y})");
        html.open("g", &[("class", mode), ("transform", &to)]);
        write_hours(html, plate);
        write_plate(html, placed, plate);
        html.close();
    }
    html.close().close().line();
}

fn write_plate(html: &mut Html, placed: &Placed<'_>, plate: &Plate) {
    let half = plate.half_width();
    plate_rect(html, "plate", -half, 2.0 * half, HALF_PLATE);
    let middle = number(plate.number_width / 2.0 - half);
    html.words(
        "text",
        &[("class", "count"), ("x", &middle), ("y", "4.5")],
        &placed.count,
    );
    if plate.gang_width > 0.0 {
        let edge = half - plate.gang_width;
        plate_rect(html, "gang-plate", edge, plate.gang_width, HALF_PLATE);
        let middle = number(edge + plate.gang_width / 2.0);
        html.words(
            "text",
            &[("class", "gang"), ("x", &middle), ("y", "4.5")],
            &gang_mark(placed.work),
        );
    }
}

fn write_hours(html: &mut Html, plate: &Plate) {
    let Some(hours) = &plate.hours else { return };
    let half = plate.half_width();
    let left = if hours.left {
        -half - hours.width
    } else {
        half
    };
    let class = format!("hours z{}", hours.level);
    html.open("g", &[("class", &class)]);
    plate_rect(html, "hours-plate", left, hours.width, hours.half_height());
    let middle = number(left + hours.width / 2.0);
    let first = 4.5 - LINE * (hours.lines.len() as f64 - 1.0) / 2.0;
    for (line, words) in hours.lines.iter().enumerate() {
        let y = number(first + LINE * line as f64);
        html.words("text", &[("x", &middle), ("y", &y)], words);
    }
    html.close();
}

fn plate_rect(html: &mut Html, class: &'static str, left: f64, width: f64, half_height: f64) {
    html.empty(
        "rect",
        &[
            ("class", class),
            ("x", &number(left)),
            ("y", &number(-half_height)),
            ("width", &number(width)),
            ("height", &number(2.0 * half_height)),
            ("rx", "1.5"),
        ],
    );
}

/// The mark in words, for those who point at it or hear it.
fn spoken(page: &ClientPage, placed: &Placed<'_>) -> String {
    let work = placed.work;
    let named = |day: usize| page.days.get(day).map(|day| day.date.as_str());
    let last = named(work.last_day).filter(|_| work.last_day > work.day);
    let day = named(work.day).unwrap_or("day not stated");
    let day = last.map_or_else(|| day.to_owned(), |last| format!("{day} to {last}"));
    let street = if work.street.is_empty() {
        "street not known"
    } else {
        &work.street
    };
    let (count, closure) = (&placed.count, &work.closure_words);
    let gang = match work.gang_mark.as_str() {
        "" => work.gang.clone(),
        mark => format!("gang {mark}"),
    };
    format!(
        "{count}: {street}, {closure}, {day}, {}, {gang}",
        hours_words(work)
    )
}
