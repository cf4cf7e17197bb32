//! The road network as it is kept with a programme: compact, the same bytes for the same network,
//! and refused whole where a single byte of it has changed.
//!
//! The file is one JSON object: `format`, `version`, `sha256` of the exact bytes of `network`, and
//! `network`. Places are whole steps of 10^-7 degrees (about a centimetre, the map's own step),
//! longitude first; a line states the steps from each place to the next, its junctions left out.
//! Addresses state the steps from the one before. A network without them is written as version 1,
//! which had none, so that whoever reads that version reads it.

mod book;

use std::collections::HashMap;

use gangday_model::{
    Finding, Link, LinkClass, LonLat, Network, NetworkSource, Passage, StreetId, Turn,
};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;
use sha2::{Digest as _, Sha256};

use crate::codes;
use book::Book;

const FORMAT: &str = "gangday road network";
/// The newest version, with addresses.
const VERSION: u32 = 2;
/// Steps in a degree.
const STEPS: f64 = 1e7;

#[derive(Serialize, Deserialize)]
struct File<'a> {
    format: &'a str,
    version: u32,
    sha256: String,
    #[serde(borrow)]
    network: &'a RawValue,
}

/// The network in few bytes.
#[derive(Serialize, Deserialize)]
struct Body {
    source: Option<NetworkSource>,
    /// Two numbers a junction.
    junctions: Vec<i32>,
    streets: Vec<StreetId>,
    links: Vec<Row>,
    /// Junction, whether it is an order, links.
    turns: Vec<(u32, bool, Vec<u32>)>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    addresses: Option<Book>,
}

/// Street, counted from 1; from; to; class; limit or 0; along, against, on foot; the line between.
#[derive(Serialize, Deserialize)]
struct Row(usize, u32, u32, LinkClass, u16, [Passage; 3], Vec<i32>);

/// The bytes of `network.json`.
///
/// A place between two steps goes to the nearest, at most half a centimetre off; one from a map
/// extract stays as it is.
#[must_use]
pub fn write_network(network: &Network) -> Vec<u8> {
    let body = serde_json::to_string(&body(network)).expect("numbers and texts go to memory");
    let raw = RawValue::from_string(body).expect("what was just written is JSON");
    let file = File {
        format: FORMAT,
        version: if network.addresses.is_empty() {
            1
        } else {
            VERSION
        },
        sha256: print_of(&raw),
        network: &raw,
    };
    let mut bytes = serde_json::to_vec(&file).expect("numbers and texts go to memory");
    bytes.push(b'\n');
    bytes
}

/// Reads `network.json`.
///
/// # Errors
/// Where it is not whole, or not one that this version reads; the programme can be used without it.
pub fn read_network(bytes: &[u8]) -> Result<Network, Box<Finding>> {
    let file: File<'_> = serde_json::from_slice(bytes)
        .map_err(|_| damaged("it is not the file that was written"))?;
    if file.format != FORMAT || file.version == 0 {
        return Err(damaged("it is of another format"));
    }
    if file.version > VERSION {
        return Err(damaged("a newer version of the program wrote it"));
    }
    if file.sha256 != print_of(file.network) {
        return Err(damaged("its contents do not match their checksum"));
    }
    let body: Body = serde_json::from_str(file.network.get())
        .map_err(|_| damaged("its contents are not a network"))?;
    network(body).ok_or_else(|| damaged("its parts do not fit together"))
}

fn damaged(why: &str) -> Box<Finding> {
    let text = format!(
        "The road network can't be used: {why}. Travel is reckoned by straight distance and the \
         detour factor."
    );
    let remedy = "Import the map extract again, or restore network.json from a copy.";
    Box::new(Finding::fault(codes::NETWORK, text, remedy).in_file(crate::NETWORK))
}

fn print_of(raw: &RawValue) -> String {
    let digest = Sha256::digest(raw.get());
    digest.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn body(network: &Network) -> Body {
    let mut streets: Vec<&StreetId> = Vec::new();
    let mut numbers: HashMap<&StreetId, usize> = HashMap::new();
    let mut links = Vec::with_capacity(network.links.len());
    for link in &network.links {
        let street = link.street.as_ref().map_or(0, |id| {
            *numbers.entry(id).or_insert_with(|| {
                streets.push(id);
                streets.len()
            })
        });
        links.push(Row(
            street,
            link.from,
            link.to,
            link.class,
            link.limit_kmh.unwrap_or(0),
            [link.along, link.against, link.on_foot],
            between(&link.line),
        ));
    }
    let turn = |turn: &Turn| (turn.via, turn.only, turn.links.clone());
    Body {
        source: network.source.clone(),
        junctions: network.junctions.iter().flat_map(|at| steps(*at)).collect(),
        streets: streets.into_iter().cloned().collect(),
        links,
        turns: network.turns.iter().map(turn).collect(),
        addresses: book::written(&network.addresses),
    }
}

/// A place in whole steps.
fn steps(place: LonLat) -> [i32; 2] {
    [place.lon(), place.lat()].map(|degrees| (degrees * STEPS).round() as i32)
}

/// The steps from place to place of a line, without its two ends.
fn between(line: &[LonLat]) -> Vec<i32> {
    let inner = line.len().saturating_sub(1);
    let pairs = line[..inner].iter().zip(line[..inner].iter().skip(1));
    pairs
        .flat_map(|(one, next)| {
            let (one, next) = (steps(*one), steps(*next));
            [next[0] - one[0], next[1] - one[1]]
        })
        .collect()
}

/// The network; none where a number leads to nothing, or off the globe.
fn network(body: Body) -> Option<Network> {
    let junctions: Option<Vec<LonLat>> = body
        .junctions
        .chunks(2)
        .map(|pair| place(*pair.first()?, *pair.get(1)?))
        .collect();
    let junctions = junctions?;
    let links: Option<Vec<Link>> = body
        .links
        .into_iter()
        .map(|row| link(row, &body.streets, &junctions))
        .collect();
    let links = links?;
    let turns: Option<Vec<Turn>> = body
        .turns
        .into_iter()
        .map(|(via, only, of)| turn(via, only, of, &links))
        .collect();
    Some(Network {
        source: body.source,
        junctions,
        links,
        turns: turns?,
        addresses: match body.addresses {
            Some(book) => book::read(book)?,
            None => Vec::new(),
        },
    })
}

fn place(lon: i32, lat: i32) -> Option<LonLat> {
    LonLat::checked(f64::from(lon) / STEPS, f64::from(lat) / STEPS)
}

fn link(row: Row, streets: &[StreetId], junctions: &[LonLat]) -> Option<Link> {
    let Row(street, from, to, class, limit, [along, against, on_foot], between) = row;
    let (first, last) = (*junctions.get(from as usize)?, *junctions.get(to as usize)?);
    let mut line = vec![first];
    let [mut lon, mut lat] = steps(first);
    for step in between.chunks(2) {
        lon = lon.checked_add(*step.first()?)?;
        lat = lat.checked_add(*step.get(1)?)?;
        line.push(place(lon, lat)?);
    }
    line.push(last);
    Some(Link {
        street: match street {
            0 => None,
            number => Some(streets.get(number - 1)?.clone()),
        },
        from,
        to,
        line,
        class,
        limit_kmh: (limit > 0).then_some(limit),
        along,
        against,
        on_foot,
    })
}

/// A turn whose links follow one another from junction to junction.
fn turn(via: u32, only: bool, of: Vec<u32>, links: &[Link]) -> Option<Turn> {
    let touches = |number: u32, junction: u32| {
        let link = links.get(number as usize)?;
        let is_end = [link.from, link.to].contains(&junction);
        is_end.then_some(link.from ^ link.to ^ junction)
    };
    let (first, rest) = of.split_first().filter(|(_, rest)| !rest.is_empty())?;
    touches(*first, via)?;
    let mut at = via;
    for number in rest {
        at = touches(*number, at)?;
    }
    Some(Turn {
        links: of,
        via,
        only,
    })
}

#[cfg(test)]
mod tests;
