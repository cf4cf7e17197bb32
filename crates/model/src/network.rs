//! A road network, as a map extract or the programme's own streets state it: junctions, the links
//! between them, and the turns that are forbidden. Nothing in it is worked out; lengths and times
//! are `ground`'s.

use serde::{Deserialize, Serialize};

use crate::{LonLat, StreetId};

/// Where a network comes from, shown wherever its data is shown.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct NetworkSource {
    /// The name of the file it was read from.
    pub file: String,
    /// The words that its licence asks for, such as "© OpenStreetMap contributors".
    pub attribution: String,
    /// The licence, such as "ODbL 1.0".
    pub licence: String,
}

/// How a class of road users may use a link.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Passage {
    /// Anybody may pass.
    Open,
    /// Only to reach something on it (access for destinations, deliveries, private grounds).
    Destination,
    /// Nobody of this class may pass.
    Shut,
}

/// What sort of way a link is, by what it is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LinkClass {
    /// Motorway and its slip roads.
    Motorway,
    /// Trunk road and its slip roads.
    Trunk,
    /// Primary road.
    Primary,
    /// Secondary road.
    Secondary,
    /// Tertiary road.
    Tertiary,
    /// Minor road, not residential, or of a class not known.
    Minor,
    /// Residential street.
    Residential,
    /// Street on which walkers go first.
    LivingStreet,
    /// Access road, car park aisle, driveway.
    Service,
    /// Track through fields or woods.
    Track,
    /// Path or pavement for walkers, steps too.
    Footway,
    /// Path for cycles.
    Cycleway,
}

/// A stretch of road between two junctions.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Link {
    /// The street it is part of, if it is part of one in the programme.
    pub street: Option<StreetId>,
    /// The junction where its line begins.
    pub from: u32,
    /// The junction where its line ends.
    pub to: u32,
    /// Its line, both junctions included.
    pub line: Vec<LonLat>,
    /// What sort of way it is.
    pub class: LinkClass,
    /// Speed limit in km/h, where one is stated.
    pub limit_kmh: Option<u16>,
    /// Vehicles along the line.
    pub along: Passage,
    /// Vehicles against the line.
    pub against: Passage,
    /// Walkers, both ways.
    pub on_foot: Passage,
}

/// A ban on going from one link through others to another, or an order to take none but that way.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Turn {
    /// The links in order, by index: at least two, each meeting the next at a junction.
    pub links: Vec<u32>,
    /// The junction between the first two links, where the turn begins.
    pub via: u32,
    /// Whether this is the only way on (true) or one that is forbidden (false).
    pub only: bool,
}

/// Where somebody lives or works: a number on a street, as the map states it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Address {
    /// Where its door or its building is.
    pub at: LonLat,
    /// The house number, such as "12" or "12a".
    pub number: String,
    /// The street as the address names it; none where it names none.
    pub street: Option<String>,
}

/// Roads and paths between junctions.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Network {
    /// Where it comes from; absent for one made from the programme's own streets.
    pub source: Option<NetworkSource>,
    /// Where each junction is.
    pub junctions: Vec<LonLat>,
    /// Every link; `from` and `to` count in `junctions`.
    pub links: Vec<Link>,
    /// Every forbidden or ordered turn; they count in `links`.
    pub turns: Vec<Turn>,
    /// The addresses of the area, by street, number and place.
    #[serde(default)]
    pub addresses: Vec<Address>,
}
