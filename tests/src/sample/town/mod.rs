//! The invented town of Sallowby on the River Sallow, which lies nowhere.

mod centre;
mod east;
mod lanes;
mod north;
mod plan;
mod river;
mod roads;
mod terraces;
mod west;

use super::curve::{along, even, length, smooth};
use super::noding::{join, node};
use super::plane::{Point, at};
use super::street::{Kind, Street};
use plan::{Close, Line, Quarter};

pub use river::{Patch, backdrop};

const QUARTERS: [&Quarter; 7] = [
    &roads::ROADS,
    &centre::CENTRE,
    &terraces::TERRACES,
    &east::EAST,
    &west::WEST,
    &north::NORTH,
    &lanes::LANES,
];

/// How far the end of a street looks for one to join, in metres.
const REACH: f64 = 60.0;

/// Streets that may not be opened again yet, after earlier works.
const RESTRICTED: [(&str, &str); 2] = [
    ("Institute Road", "2027-09-30"),
    ("Cloister Drive", "2028-03-31"),
];

/// Every street of the town, with shared junctions and ids in the order of laying.
#[must_use]
pub fn streets() -> Vec<Street> {
    let mut streets: Vec<Street> = Vec::new();
    for quarter in QUARTERS {
        for line in quarter.lines {
            let laid = lay(&mut streets, line);
            streets.push(laid);
        }
        for close in quarter.closes {
            let laid = branch(&mut streets, close);
            streets.push(laid);
        }
    }
    node(&mut streets);
    for (n, street) in streets.iter_mut().enumerate() {
        street.id = format!("S{:03}", n + 1);
        street.bridge = matches!(street.name.as_str(), "Old Bridge" | "Weir Bridge");
        let held = RESTRICTED.iter().find(|(name, _)| *name == street.name);
        street.restricted_until = held.map(|(_, date)| *date);
    }
    streets
}

/// A place of the plan, bent a little as ground bends what is ruled.
fn ground((x, y): (i32, i32)) -> Point {
    let (x, y) = (f64::from(x), f64::from(y));
    let east = 22.0 * wave(x / 1130.0 + y / 910.0) + 14.0 * wave(y / 470.0 - x / 1900.0);
    let north = 22.0 * wave(y / 1210.0 - x / 860.0 + 0.3) + 14.0 * wave(x / 530.0 + y / 2100.0);
    at(x + east, y + north)
}

/// A smooth wave of period one between -1 and 1, made of parabolas.
fn wave(phase: f64) -> f64 {
    let part = 2.0 * (phase - phase.round());
    4.0 * part * (1.0 - part.abs())
}

fn lay(streets: &mut [Street], line: &Line) -> Street {
    let mut through: Vec<Point> = line.through.iter().copied().map(ground).collect();
    let last = through.len() - 1;
    for end in [0, last] {
        if let Some(place) = join(streets, through[end], REACH) {
            through[end] = place;
        }
    }
    let ruled = line.ruled || through.len() == 2;
    let run = if ruled {
        even(&through)
    } else {
        smooth(&through)
    };
    Street::new(line.name, line.kind, run)
}

fn branch(streets: &mut [Street], close: &Close) -> Street {
    let on = streets.iter().position(|street| street.name == close.on);
    let on = on.expect("a close names a street laid before it");
    let parent = &streets[on].line;
    let (place, step) = along(parent, length(parent) * f64::from(close.hundredths) / 100.0);
    let root = join(&mut streets[on..=on], place, REACH).unwrap_or(place);
    let out = step.left() * f64::from(close.reach);
    let through = [
        root,
        root + out * 0.55,
        root + out + step * f64::from(close.lean),
    ];
    Street::new(close.name, Kind::Close, smooth(&through))
}
