//! Addresses: the number of a house with its street, at a node or at the outline of a building.
//!
//! # Source
//! OpenStreetMap wiki, "Addresses" and "Key:addr:*": the number is `addr:housenumber`, its street
//! `addr:street`, or `addr:place` where the number belongs to a place. Numbers that are only
//! interpolated along a line (`addr:interpolation`) are not made up here.

use gangday_model::{Address, LonLat};

use super::block::{Block, Tagged, Thing};
use super::gather::{Gathered, NoText, Purse, is_name, tags_in};
use super::links::lon_lat;
use super::nodes::Nodes;
use super::tags::Tags;
use super::wire::Broken;

/// What a number stands in.
const NUMBER: &str = "addr:housenumber";
/// What an address costs beside its words, roughly, from here to the finished network.
const COST: usize = 400;
/// The same for each corner of a building.
const CORNER_COST: usize = 30;
/// So many corners tell where a building is, and most have no more.
const CORNERS: usize = 16;

/// The words of an address.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Words {
    number: String,
    street: Option<String>,
}

impl Words {
    /// The address that tags state; none where they state no number that can be read.
    fn of(tags: &Tags<'_>) -> Option<Self> {
        let text = |key: &str| tags.get(key).map(str::trim).filter(|text| is_name(text));
        let street = text("addr:street").or_else(|| text("addr:place"));
        Some(Self {
            number: text(NUMBER)?.to_owned(),
            street: street.map(ToOwned::to_owned),
        })
    }

    fn cost(&self) -> usize {
        COST + self.number.len() + self.street.as_ref().map_or(0, String::len)
    }

    fn at(self, at: LonLat) -> Address {
        let Self { number, street } = self;
        Address { at, number, street }
    }
}

/// A building with an address.
#[derive(Clone, Debug)]
pub(super) struct Building {
    pub(super) id: i64,
    /// Some of the nodes of its outline.
    pub(super) corners: Vec<i64>,
    words: Words,
}

/// A node with an address.
#[derive(Clone, Debug)]
pub(super) struct Door {
    id: i64,
    at: LonLat,
    words: Words,
}

/// Whether tags state a number at all; most things have none.
pub(super) fn has_number(block: &Block<'_>, tags: Tagged<'_>) -> Result<bool, Broken> {
    for pair in tags {
        if block.text(pair?.0) == Some(NUMBER) {
            return Ok(true);
        }
    }
    Ok(false)
}

fn words(block: &Block<'_>, tags: Tagged<'_>, purse: &Purse) -> Result<Option<Words>, Broken> {
    if !has_number(block, tags)? {
        return Ok(None);
    }
    let words = match tags_in(block, tags)? {
        Ok(tags) => Words::of(&tags),
        Err(NoText) => None,
    };
    if let Some(words) = &words {
        purse.pay(words.cost())?;
    }
    Ok(words)
}

/// The address of a way, which is then a building's.
pub(super) fn of_way(
    block: &Block<'_>,
    thing: &Thing<'_>,
    purse: &Purse,
) -> Result<Option<Building>, Broken> {
    let Some(words) = words(block, thing.tagged(), purse)? else {
        return Ok(None);
    };
    let count = thing.eight.count();
    let mut corners = Vec::new();
    for (place, id) in thing.eight.deltas().enumerate() {
        let id = id?;
        // Spread round the outline, the first among them.
        let wanted = corners.len() * count.max(CORNERS) / CORNERS;
        if corners.len() < CORNERS && place >= wanted {
            corners.push(id);
        }
    }
    purse.pay(CORNER_COST * corners.len())?;
    let id = thing.id as i64;
    Ok((!corners.is_empty()).then_some(Building { id, corners, words }))
}

/// The address of a node.
pub(super) fn of_node(
    block: &Block<'_>,
    (id, place): (i64, (i64, i64)),
    tags: Tagged<'_>,
    purse: &Purse,
) -> Result<Option<Door>, Broken> {
    let Some(words) = words(block, tags, purse)? else {
        return Ok(None);
    };
    let at = block.place(place.0, place.1).and_then(lon_lat);
    Ok(at.map(|at| Door { id, at, words }))
}

/// Every address by street, number and place, each thing of the map once.
pub(super) fn addresses(gathered: &Gathered, mut doors: Vec<Door>, nodes: &Nodes) -> Vec<Address> {
    doors.sort_by_key(|door| door.id);
    doors.dedup_by_key(|door| door.id);
    let of_doors = doors.into_iter().map(|door| door.words.at(door.at));
    let of_buildings = gathered.buildings.iter().filter_map(|building| {
        let at = middle(&building.corners, nodes)?;
        Some(building.words.clone().at(at))
    });
    let mut all: Vec<Address> = of_doors.chain(of_buildings).collect();
    all.sort_by(|one, other| {
        let by_words = || (&one.street, &one.number).cmp(&(&other.street, &other.number));
        let east = || one.at.lon().total_cmp(&other.at.lon());
        let north = || one.at.lat().total_cmp(&other.at.lat());
        by_words().then_with(east).then_with(north)
    });
    all
}

/// The middle of the box round those corners that are in the extract.
fn middle(corners: &[i64], nodes: &Nodes) -> Option<LonLat> {
    let place = |id: &i64| nodes.place(nodes.index(*id)?);
    let places: Vec<(i32, i32)> = corners.iter().filter_map(place).collect();
    let half = |of: fn(&(i32, i32)) -> i32| {
        let all = || places.iter().map(of);
        Some(i32::midpoint(all().min()?, all().max()?))
    };
    lon_lat((half(|at| at.0)?, half(|at| at.1)?))
}
