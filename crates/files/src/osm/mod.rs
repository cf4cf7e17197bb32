//! An OpenStreetMap extract becomes a road network and streets.
//!
//! The stream is read twice, some blocks at a time: first the ways that somebody moves on, the turns
//! that are forbidden and the buildings with an address, then where the nodes of all those are, and
//! the nodes with an address. What is none of it is passed over in place. So memory is bounded by three things, whatever a file claims:
//!
//! * the blocks in hand: [`LANES`] of at most 32 MiB packed and 32 MiB unpacked each, with a table
//!   of at most 2^20 texts (16 MiB);
//! * what is kept of roads and addresses: [`MEMORY`], counted as it is kept, way by way, node by node
//!   and address by address;
//! * the findings: one for each kind, however often it occurs.
//!
//! A block that is damaged is a fault of the whole extract, because half a network would lead gangs
//! astray; a single way or relation that is damaged is left out and counted.

mod addresses;
mod barrier;
mod block;
mod chains;
mod fault;
mod frames;
mod gather;
mod limits;
mod links;
mod merge;
mod nodes;
mod notes;
mod streets;
mod tags;
mod turns;
mod wire;

use std::collections::BTreeMap;
use std::io::{Read, Seek, SeekFrom};

use gangday_model::{Finding, LinkClass, Network, NetworkSource, Street};
use rayon::prelude::*;

use block::Block;
use fault::Fault;
use frames::{Frame, Frames, Kind};
use gather::{Gathered, Purse, Way};
use nodes::Nodes;
use notes::Notes;
use wire::{Broken, Fields, Value};

pub use merge::{StreetsMerged, merge_streets};

/// Who is to be named wherever the data is shown, in the words of the map's own licence.
///
/// # Source
/// OpenStreetMap, "Copyright and Licence" page; the licence since 12 September 2012.
pub const ATTRIBUTION: &str = "© OpenStreetMap contributors, ODbL 1.0";

/// How many blocks are read at once. The extract of a town has about as many.
const LANES: usize = 4;
/// The most memory that what is kept may take, in bytes: about a million ways, or four million
/// addresses.
const MEMORY: usize = 2 << 30;

/// What came of reading an extract.
#[derive(Clone, Debug, PartialEq)]
pub struct OsmIntake {
    /// The network, its links naming the streets; none where there is a fault.
    pub network: Option<Network>,
    /// The streets, in the order of the ids of their first ways.
    pub streets: Vec<Street>,
    /// How much there was.
    pub counts: OsmCounts,
    /// Every fault, warning and note.
    pub findings: Vec<Finding>,
}

/// How much there was in an extract.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OsmCounts {
    /// Ways of any kind.
    pub ways: u64,
    /// Relations of any kind.
    pub relations: u64,
    /// Ways that somebody moves on, by what they are.
    pub roads: BTreeMap<LinkClass, usize>,
    /// Those of them that vehicles may use one way only.
    pub one_way: usize,
    /// Bans on turning and orders to turn that are in the network, each counted once.
    pub turns: usize,
    /// Nodes of roads at which no vehicle gets through.
    pub barriers: usize,
    /// Addresses that are in the network.
    pub addresses: usize,
}

/// Whether bytes begin like an extract in the PBF format.
#[must_use]
pub fn is_osm_pbf(bytes: &[u8]) -> bool {
    let header = bytes.get(4..).unwrap_or_default();
    let first = Fields::of(header).next();
    first == Some(Ok((1, Value::Bytes(b"OSMHeader"))))
}

/// Reads an extract in the PBF format. `watch` hears now and then how much of it is read, from 0
/// to 1.
///
/// Anything damaged, cut off or hostile is a finding, never a panic, and takes no more memory than
/// is said above.
///
/// ```
/// use std::io::Cursor;
/// let intake = gangday_files::read_osm("area.osm.pbf", &mut Cursor::new(b"no map"), &mut |_| {});
/// assert!(intake.network.is_none());
/// assert_eq!(intake.findings[0].code, "F-PBF");
/// ```
pub fn read_osm<R: Read + Seek>(
    name: &str,
    source: &mut R,
    watch: &mut dyn FnMut(f64),
) -> OsmIntake {
    match read(name, source, watch) {
        Ok(intake) => intake,
        Err(fault) => OsmIntake {
            network: None,
            streets: Vec::new(),
            counts: OsmCounts::default(),
            findings: vec![fault.finding(name)],
        },
    }
}

fn read<R: Read + Seek>(
    name: &str,
    source: &mut R,
    watch: &mut dyn FnMut(f64),
) -> Result<OsmIntake, Fault> {
    let purse = Purse::of(MEMORY);
    let mut gathered = Gathered::default();
    let mut has_nodes = Vec::new();
    let mut batches = Batches::of(source)?;
    while let Some(batch) = batches.next(&|_| true)? {
        for (number, part) in each(&batch, &purse, |block| gather::gather(block, &purse))? {
            if part.census.has_nodes {
                has_nodes.push(number);
            }
            gathered.join(part);
        }
        watch(batches.share() / 2.0);
    }
    let twice = gathered.put_in_order();
    let mut nodes = Nodes::of(&gathered);
    let mut doors = Vec::new();
    let mut batches = Batches::of(source)?;
    let wanted = |number: usize| has_nodes.binary_search(&number).is_ok();
    while let Some(batch) = batches.next(&wanted)? {
        for (_, part) in each(&batch, &purse, |block| nodes.found_in(block, &purse))? {
            nodes.take(part.found);
            doors.extend(part.doors);
        }
        watch(0.5 + batches.share() / 2.0);
    }
    let addresses = addresses::addresses(&gathered, doors, &nodes);
    let mut intake = network(name, &gathered, &nodes, twice)?;
    intake.counts.addresses = addresses.len();
    if let Some(network) = &mut intake.network {
        network.addresses = addresses;
    }
    Ok(intake)
}

/// The blocks of a stream, some at a time.
struct Batches<'s, R> {
    frames: Frames<&'s mut R>,
    size: u64,
}

impl<'s, R: Read + Seek> Batches<'s, R> {
    fn of(source: &'s mut R) -> Result<Self, Fault> {
        let unreadable = |error| Fault::unreadable(0, &error);
        let size = source.seek(SeekFrom::End(0)).map_err(unreadable)?;
        source.rewind().map_err(unreadable)?;
        let mut frames = Frames::of(source);
        // Bytes that are no frame at all are no damaged extract but another kind of file.
        let first = frames.frame().map_err(|_| Fault::no_extract())?;
        let header = first.filter(|frame| frame.kind == Kind::Header);
        check_header(&header.ok_or_else(Fault::no_extract)?)?;
        Ok(Self { frames, size })
    }

    /// The next blocks of data that are wanted; none at the end.
    fn next(&mut self, wanted: &dyn Fn(usize) -> bool) -> Result<Option<Vec<Frame>>, Fault> {
        let mut batch = Vec::new();
        while batch.len() < LANES
            && let Some(frame) = self.frames.frame()?
        {
            if frame.kind == Kind::Data && wanted(frame.number) {
                batch.push(frame);
            }
        }
        Ok((!batch.is_empty()).then_some(batch))
    }

    /// How much of the stream is read, from 0 to 1.
    fn share(&self) -> f64 {
        self.frames.read as f64 / (self.size as f64).max(1.0)
    }
}

/// Reads every block of a batch, side by side; the parts come in the order of the file.
fn each<T: Send>(
    batch: &[Frame],
    purse: &Purse,
    read: impl Fn(&Block<'_>) -> Result<T, Broken> + Sync,
) -> Result<Vec<(usize, T)>, Fault> {
    let of_frame = |frame: &Frame| {
        let bytes = frames::unpacked(frame)?;
        let part = Block::of(&bytes).and_then(|block| read(&block));
        part.map(|part| (frame.number, part))
            .map_err(|Broken| Fault::broken(frame.number))
    };
    let parts: Vec<Result<(usize, T), Fault>> = batch.par_iter().map(of_frame).collect();
    if purse.is_spent() {
        return Err(Fault::too_big());
    }
    parts.into_iter().collect()
}

/// What readers must know to read the extract.
const KNOWN: &[&[u8]] = &[b"OsmSchema-V0.6", b"DenseNodes"];

fn check_header(frame: &Frame) -> Result<(), Fault> {
    let bytes = frames::unpacked(frame)?;
    for field in Fields::of(&bytes) {
        match field.map_err(|Broken| Fault::broken(frame.number))? {
            (4, Value::Bytes(feature)) if !KNOWN.contains(&feature) => {
                return Err(Fault::feature(&String::from_utf8_lossy(feature)));
            }
            _ => {}
        }
    }
    Ok(())
}

fn network(
    name: &str,
    gathered: &Gathered,
    nodes: &Nodes,
    twice: usize,
) -> Result<OsmIntake, Fault> {
    let mut network = Network {
        source: Some(NetworkSource {
            file: name.to_owned(),
            attribution: "© OpenStreetMap contributors".to_owned(),
            licence: "ODbL 1.0".to_owned(),
        }),
        ..Network::default()
    };
    let laid = links::lay(&gathered.ways, nodes, &mut network);
    let lost_bans = turns::lay(&gathered.bans, &laid, &mut network);
    let turns = network.turns.len();
    let crowded = turns::bar(&laid, &mut network);
    let named = streets::streets(&gathered.ways, &laid, nodes);
    for (way, street) in named.of_way.iter().enumerate() {
        let Some(street) = street.map(|street| &named.streets[street].id) else {
            continue;
        };
        for link in laid.links_of(way) {
            network.links[link as usize].street = Some(street.clone());
        }
    }
    if !gathered.ways.iter().any(|way| way.about.is_drivable()) || network.links.is_empty() {
        return Err(Fault::no_roads());
    }
    let notes = Notes {
        gathered,
        nodes,
        laid: &laid,
        twice,
        lost_bans,
        crowded,
    };
    Ok(OsmIntake {
        counts: OsmCounts {
            turns,
            barriers: laid.barred.len(),
            ..counts(gathered)
        },
        network: Some(network),
        streets: named.streets,
        findings: notes.findings(name),
    })
}

fn counts(gathered: &Gathered) -> OsmCounts {
    let mut counts = OsmCounts {
        ways: gathered.census.ways,
        relations: gathered.census.relations,
        ..OsmCounts::default()
    };
    for Way { about, .. } in &gathered.ways {
        *counts.roads.entry(about.class).or_default() += 1;
        let both = gangday_model::Passage::Shut;
        let ways = usize::from(about.along != both) + usize::from(about.against != both);
        counts.one_way += usize::from(ways == 1);
    }
    counts
}
