//! Gangs, their yards, and tips.

use serde_json::{Value, json};

use super::plane::{Point, lon_lat};

/// First names that gangs go by; invented like everything else.
const LEADS: [&str; 10] = [
    "Morag", "Dev", "Callum", "Ines", "Tomos", "Asha", "Piotr", "Bronwen", "Femi", "Greta",
];

/// What the gangs hold, in turn: every third can control traffic, every fifth lacks nothing.
const TICKETS: [&[&str]; 5] = [
    &["street works", "traffic control"],
    &["street works", "confined space"],
    &["street works", "traffic control", "confined space"],
    &["street works"],
    &["street works", "traffic control"],
];

/// How many are in the gangs, in turn.
const PEOPLE: [u32; 5] = [3, 3, 4, 3, 3];

/// A gang with its wagon, numbered from 0.
#[must_use]
pub fn gang(number: usize, depot: Point) -> Value {
    let lead = LEADS[number % LEADS.len()];
    let heavy = number.is_multiple_of(2);
    json!({
        "id": format!("G{}", number + 1),
        "name": format!("{lead}'s gang"),
        "depot": lon_lat(depot),
        "people": PEOPLE[number % PEOPLE.len()],
        "tickets": TICKETS[number % TICKETS.len()],
        "payload_kg": if heavy { 9_000 } else { 7_500 },
        "volume_m3": if heavy { 8.0 } else { 6.5 },
        "shift": ["07:30", "16:30"],
        "overtime_min": 60,
    })
}

/// A tip, numbered from 0.
#[must_use]
pub fn tip(number: usize, name: &str, place: Point) -> Value {
    json!({"id": format!("T{}", number + 1), "name": name, "at": lon_lat(place)})
}
