//! The real extracts once more, held to what the crate `osmpbf` 0.3 reads in them: every stretch of
//! road to the last step of its places, and every name.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::io::Cursor;

use gangday_model::LonLat;
use osmpbf::{Element, ElementReader};

use crate::real::{bytes_of, intake_of};

/// Values of `highway` that somebody moves on.
const HIGHWAYS: &str = "motorway motorway_link trunk trunk_link primary primary_link secondary \
    secondary_link tertiary tertiary_link unclassified road residential living_street service busway \
    track footway path steps pedestrian bridleway corridor cycleway";

/// A place in whole steps of 10^-7 degrees, longitude first.
type Place = (i32, i32);
/// Two neighbouring places, the lower first.
type Stretch = (Place, Place);

#[derive(Default)]
struct Other {
    nodes: HashMap<i64, Place>,
    /// Nodes and name of each way that somebody moves on.
    roads: Vec<(Vec<i64>, Option<String>)>,
    ways: u64,
    relations: u64,
    /// Street and number of each node that is an address, with its place.
    doors: Vec<(Words, Place)>,
    /// The same of each way, with its nodes.
    buildings: Vec<(Words, Vec<i64>)>,
    /// Relations with a number.
    split: usize,
}

/// The street and the number of an address.
type Words = (Option<String>, String);

/// The words of an address, as the wiki's "Addresses" page has them.
fn words<'a>(tags: impl Iterator<Item = (&'a str, &'a str)>) -> Option<Words> {
    let tags: HashMap<&str, &str> = tags.collect();
    let number = tags.get("addr:housenumber")?.trim().to_owned();
    let street = tags.get("addr:street").or(tags.get("addr:place"));
    Some((street.map(|street| street.trim().to_owned()), number))
}

impl Other {
    fn read(name: &str) -> Self {
        let mut all = Self::default();
        let reader = ElementReader::new(Cursor::new(bytes_of(name)));
        reader.for_each(|element| all.take(&element)).unwrap();
        all
    }

    fn take(&mut self, element: &Element<'_>) {
        match element {
            Element::Node(node) => {
                let place = (node.decimicro_lon(), node.decimicro_lat());
                self.nodes.insert(node.id(), place);
                self.doors
                    .extend(words(node.tags()).map(|words| (words, place)));
            }
            Element::DenseNode(node) => {
                let place = (node.decimicro_lon(), node.decimicro_lat());
                self.nodes.insert(node.id(), place);
                self.doors
                    .extend(words(node.tags()).map(|words| (words, place)));
            }
            Element::Way(way) => {
                self.ways += 1;
                let building = words(way.tags()).map(|words| (words, way.refs().collect()));
                self.buildings.extend(building);
                let tags: HashMap<&str, &str> = way.tags().collect();
                let highway = tags.get("highway").copied().unwrap_or_default();
                let is_road = HIGHWAYS.split_whitespace().any(|one| one == highway);
                if is_road && tags.get("area") != Some(&"yes") {
                    let name = tags.get("name").map(|name| name.trim().to_owned());
                    let name = name.filter(|name| !name.is_empty());
                    self.roads.push((way.refs().collect(), name));
                }
            }
            Element::Relation(relation) => {
                self.relations += 1;
                self.split += usize::from(words(relation.tags()).is_some());
            }
        }
    }

    /// Every stretch of road with the names of the ways that it is part of.
    fn stretches(&self) -> BTreeMap<Stretch, BTreeSet<Option<&str>>> {
        let mut all: BTreeMap<Stretch, BTreeSet<Option<&str>>> = BTreeMap::new();
        for (nodes, name) in &self.roads {
            for pair in nodes.windows(2) {
                let places = [self.nodes.get(&pair[0]), self.nodes.get(&pair[1])];
                if let [Some(one), Some(other)] = places
                    && one != other
                {
                    let stretch = (*one.min(other), *one.max(other));
                    all.entry(stretch).or_default().insert(name.as_deref());
                }
            }
        }
        all
    }
}

fn place(at: LonLat) -> Place {
    let steps = |degrees: f64| (degrees * 1e7).round() as i32;
    (steps(at.lon()), steps(at.lat()))
}

#[test]
fn every_stretch_of_road_and_every_name_is_the_one_that_osmpbf_reads() {
    for name in ["liechtenstein.osm.pbf", "helsinki.osm.pbf", "kotka.osm.pbf"] {
        let other = Other::read(name);
        let intake = intake_of(name);
        assert_eq!(
            (intake.counts.ways, intake.counts.relations),
            (other.ways, other.relations)
        );
        let network = intake.network.unwrap();
        let street_names: HashMap<_, _> = intake
            .streets
            .iter()
            .map(|street| (&street.id, street.name.as_deref()))
            .collect();
        let expected = other.stretches();
        let mut found = BTreeSet::new();
        for link in &network.links {
            let own = link.street.as_ref().map(|street| street_names[street]);
            for pair in link.line.windows(2) {
                let (one, other) = (place(pair[0]), place(pair[1]));
                let stretch = (one.min(other), one.max(other));
                let names = expected.get(&stretch);
                let names = names.unwrap_or_else(|| panic!("{name}: {stretch:?} is no road"));
                assert!(
                    own.is_none_or(|own| names.contains(&own)),
                    "{own:?} {names:?}"
                );
                found.insert(stretch);
            }
        }
        assert_eq!(found.len(), expected.len(), "{name}");
        assert!(found.len() > 600, "{name}");
    }
}

/// Every address with its street and number, doors to the last step of their places, buildings
/// within the box round their outlines.
#[test]
fn every_address_is_the_one_that_osmpbf_reads() {
    let extracts = [
        ("liechtenstein.osm.pbf", 198),
        ("helsinki.osm.pbf", 1464),
        ("kotka.osm.pbf", 0),
    ];
    for (name, least) in extracts {
        let other = Other::read(name);
        let intake = intake_of(name);
        let addresses = intake.network.unwrap().addresses;
        let mut expected: Vec<(Words, (Place, Place))> = other
            .doors
            .iter()
            .map(|(words, at)| (words.clone(), (*at, *at)))
            .collect();
        for (words, nodes) in &other.buildings {
            let places: Vec<Place> = nodes
                .iter()
                .filter_map(|id| other.nodes.get(id))
                .copied()
                .collect();
            let (lons, lats) = (
                || places.iter().map(|at| at.0),
                || places.iter().map(|at| at.1),
            );
            if let (Some(west), Some(east), Some(south), Some(north)) =
                (lons().min(), lons().max(), lats().min(), lats().max())
            {
                expected.push((words.clone(), ((west, south), (east, north))));
            }
        }
        assert_eq!(addresses.len(), expected.len(), "{name}");
        assert!(addresses.len() >= least, "{name}: {}", addresses.len());
        let mut by_words: HashMap<Words, (usize, Vec<(Place, Place)>)> = HashMap::new();
        for (words, area) in expected {
            let (count, areas) = by_words.entry(words).or_default();
            *count += 1;
            areas.push(area);
        }
        for address in &addresses {
            let at = place(address.at);
            let words = (address.street.clone(), address.number.clone());
            let known = by_words.get_mut(&words);
            let (count, areas) = known.unwrap_or_else(|| panic!("{name}: {words:?}"));
            let within = |(low, high): &(Place, Place)| {
                (low.0..=high.0).contains(&at.0) && (low.1..=high.1).contains(&at.1)
            };
            assert!(areas.iter().any(within), "{name}: {words:?} is elsewhere");
            *count -= 1;
        }
        assert!(by_words.values().all(|(count, _)| *count == 0), "{name}");
    }
}
