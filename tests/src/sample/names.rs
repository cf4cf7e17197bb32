//! Names of streets in the larger programmes: a first word and what sort of street it is.

use super::chance::Chance;

const FIRST: [&str; 48] = [
    "Acorn",
    "Barrow",
    "Bellmoor",
    "Birkdale",
    "Blackthorn",
    "Bracken",
    "Brimham",
    "Burnside",
    "Caldwell",
    "Carrick",
    "Cinder",
    "Copse",
    "Corbel",
    "Croft",
    "Dale",
    "Delph",
    "Dunmore",
    "Ellers",
    "Fallow",
    "Farrier",
    "Ferns",
    "Flint",
    "Garside",
    "Glebe",
    "Gorse",
    "Granby",
    "Hallam",
    "Heather",
    "Hillam",
    "Holm",
    "Keld",
    "Lathe",
    "Linden",
    "Lowther",
    "Mallory",
    "Marsden",
    "Nether",
    "Oakroyd",
    "Paddock",
    "Quarry",
    "Raven",
    "Scar",
    "Selby",
    "Thorn",
    "Upper",
    "Verbena",
    "Whinfell",
    "Yewdale",
];

fn name(sorts: &[&str], chance: &mut Chance) -> String {
    format!("{} {}", chance.pick(&FIRST), chance.pick(sorts))
}

/// A road round a neighbourhood.
pub fn road(chance: &mut Chance) -> String {
    name(&["Road", "Way", "Road"], chance)
}

/// A street through it.
pub fn street(chance: &mut Chance) -> String {
    name(&["Street", "Street", "Road", "Lane", "Terrace"], chance)
}

/// A road of an estate.
pub fn drive(chance: &mut Chance) -> String {
    name(&["Drive", "Avenue", "Grove", "Rise"], chance)
}

/// A crescent.
pub fn crescent(chance: &mut Chance) -> String {
    name(&["Crescent", "Gardens"], chance)
}

/// A close.
pub fn close(chance: &mut Chance) -> String {
    name(&["Close", "Court", "Mews"], chance)
}
