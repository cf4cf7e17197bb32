//! One job of the sample: drawn by chance within what its street allows.

use serde_json::{Map, Value, json};

use super::chance::Chance;
use super::curve::{along, length};
use super::plane::{Point, lon_lat};
use super::street::{Kind, Street};

/// One job.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its id.
    pub id: String,
    /// Where it is.
    pub place: Point,
    /// Its properties, by the names of `jobs.geojson`.
    pub properties: Map<String, Value>,
}

impl Job {
    /// States a property, or another value of it.
    pub fn state(&mut self, name: &str, value: impl Into<Value>) {
        self.properties.insert(name.to_owned(), value.into());
    }

    /// Takes a property back.
    pub fn leave_out(&mut self, name: &str) {
        self.properties.shift_remove(name);
    }

    /// The text of a property; empty where it is not stated.
    #[must_use]
    pub fn text(&self, name: &str) -> &str {
        self.properties
            .get(name)
            .and_then(Value::as_str)
            .unwrap_or_default()
    }

    /// The job as a feature of RFC 7946.
    #[must_use]
    pub fn feature(&self) -> Value {
        json!({
            "type": "Feature",
            "id": self.id,
            "geometry": {"type": "Point", "coordinates": lon_lat(self.place)},
            "properties": self.properties,
        })
    }
}

/// Clear openings, along and across the street, in mm.
const OPENINGS: [(u32, u32); 6] = [
    (450, 450),
    (600, 450),
    (600, 600),
    (600, 600),
    (750, 600),
    (900, 600),
];

/// Draws a job somewhere on a street.
pub fn draw(id: String, street: &Street, part: f64, chance: &mut Chance) -> Job {
    let position = position(street.kind, chance);
    let work = work(street.kind, position, chance);
    let run = length(&street.line);
    let metres = (part * run).clamp(run.min(16.0) / 2.0, run - run.min(16.0) / 2.0);
    let (centre, step) = along(&street.line, metres);
    let side = if chance.in_hundred(50) { 1.0 } else { -1.0 };
    let place = centre + step.left() * (side * offset(street.kind, position, chance));
    let mut job = Job {
        id,
        place,
        properties: Map::new(),
    };
    job.state("title", title(street, metres, side));
    job.state("work", work);
    job.state("position", position);
    sizes(&mut job, work, position, chance);
    conditions(&mut job, street, chance);
    job
}

fn title(street: &Street, metres: f64, side: f64) -> String {
    let mut plot = 1;
    let mut to_go = metres;
    while to_go > 8.0 {
        plot += 1;
        to_go -= 8.0;
    }
    let number = if side > 0.0 { 2 * plot - 1 } else { 2 * plot };
    match street.kind {
        Kind::Lane | Kind::Trunk | Kind::Distributor => format!("{}, {metres:.0} m", street.name),
        Kind::Works => format!("{}, unit {plot}", street.name),
        _ => format!("{number} {}", street.name),
    }
}

fn position(kind: Kind, chance: &mut Chance) -> &'static str {
    match kind {
        Kind::Lane => chance.pick(&["verge", "verge", "carriageway"]),
        Kind::Trunk => "verge",
        Kind::Distributor => {
            chance.pick(&["verge", "verge", "cycle_track", "cycle_track", "footway"])
        }
        Kind::Main => chance.pick(&["footway", "footway", "cycle_track", "carriageway"]),
        Kind::Estate | Kind::Works => chance.pick(&["footway", "footway", "verge", "carriageway"]),
        _ => chance.pick(&["footway", "footway", "carriageway"]),
    }
}

/// Busy carriageways see adjustments only in a sample week; elsewhere all three kinds are usual.
fn work(kind: Kind, position: &str, chance: &mut Chance) -> &'static str {
    if position == "carriageway" && !kind.sensitive().is_empty() {
        return "adjust";
    }
    chance.pick(&[
        "new", "new", "new", "replace", "replace", "adjust", "adjust",
    ])
}

/// Metres from the centre line of the street to the middle of the chamber.
fn offset(kind: Kind, position: &str, chance: &mut Chance) -> f64 {
    let standing = kind.standing();
    let kerb = standing.width / 2.0;
    match position {
        "carriageway" => chance.between(kerb * 0.45, kerb - 0.8),
        "verge" => kerb + standing.verge.max(1.8) / 2.0,
        "cycle_track" => kerb + standing.verge + standing.track / 2.0,
        _ => kerb + standing.verge + standing.track + standing.footway / 2.0,
    }
}

fn sizes(job: &mut Job, work: &str, position: &str, chance: &mut Chance) {
    let (along, across) = chance.pick(&OPENINGS);
    let sections = match work {
        "adjust" => 0,
        _ => 3 + chance.below(if along < 600 { 2 } else { 4 }),
    };
    let class = match position {
        "carriageway" => "D400",
        "footway" => chance.pick(&["B125", "B125", "C250"]),
        _ => "B125",
    };
    job.state("clear_length_mm", along);
    job.state("clear_width_mm", across);
    job.state("sections", sections);
    job.state("load_class", class);
    if position == "carriageway" {
        job.state("ironwork_depth_mm", 150);
    }
    if work != "adjust" && chance.in_hundred(40) {
        job.state(
            "ground",
            chance.pick(&["clay", "made_ground", "gravel", "sand"]),
        );
    }
}

fn conditions(job: &mut Job, street: &Street, chance: &mut Chance) {
    if chance.in_hundred(85) {
        job.state("street", street.id.as_str());
    }
    let in_road = job.text("position") == "carriageway";
    if chance.in_hundred(65) {
        job.state("closure", closure(street.kind, job.text("position")));
    }
    if !street.kind.sensitive().is_empty() && (in_road || chance.in_hundred(40)) {
        job.state("site_hours", json!([["09:30", "16:00"]]));
    } else if chance.in_hundred(5) {
        job.state("site_hours", json!([["08:30", "16:00"]]));
    }
    let mut tickets = vec!["street works"];
    if in_road && street.kind.standing().road_type <= 2 {
        tickets.push("traffic control");
    }
    if job.properties["sections"].as_u64() >= Some(6) {
        tickets.push("confined space");
    }
    job.state("tickets", tickets);
    job.state("priority", chance.pick(&[1, 2, 2, 2, 3, 3, 3, 3, 4, 4, 5]));
    dates(job, chance);
    if chance.in_hundred(60) {
        job.state(
            "permit",
            format!("SAL-27-{:05}", 10_000 + chance.below(89_999)),
        );
    }
}

fn closure(kind: Kind, position: &str) -> &'static str {
    match (position, kind) {
        ("carriageway", Kind::Lane | Kind::Terrace | Kind::Close) => "road",
        ("carriageway", _) => "lane",
        ("verge", _) => "none",
        _ => "footway",
    }
}

fn dates(job: &mut Job, chance: &mut Chance) {
    match chance.below(14) {
        0 => job.state("earliest", "2027-03-02"),
        1 => job.state("earliest", "2027-03-03"),
        2 => job.state("latest", "2027-03-03"),
        3 => job.state("latest", "2027-03-04"),
        _ => {}
    }
}

/// Why a job can't be planned in the week, so that the reasons can be seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hindrance {
    /// It needs a ticket that nobody holds.
    Ticket,
    /// Its site hours are shorter than the work.
    Hours,
    /// It may start only after the week.
    TooEarly,
    /// It had to be done before the week.
    TooLate,
}

/// Makes a job one that can't be planned.
pub fn hinder(job: &mut Job, hindrance: Hindrance) {
    for name in ["earliest", "latest", "site_hours"] {
        job.leave_out(name);
    }
    match hindrance {
        Hindrance::Ticket => job.state("tickets", vec!["street works", "asbestos"]),
        Hindrance::Hours => {
            job.state("work", "new");
            job.state("sections", 5);
            job.state("site_hours", json!([["10:00", "11:15"]]));
        }
        Hindrance::TooEarly => job.state("earliest", "2027-03-08"),
        Hindrance::TooLate => job.state("latest", "2027-02-26"),
    }
}
