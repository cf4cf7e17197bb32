//! Real extracts, held to what other readers find in them. The data is © OpenStreetMap contributors,
//! ODbL 1.0; where it comes from stands in the chore that fetches it.

use std::collections::{BTreeMap, BTreeSet};
use std::fs::File;
use std::path::Path;

use gangday_files::{OsmIntake, read_network, read_osm, write_network};
use gangday_model::{LinkClass, LonLat, Passage};

/// The bytes of an extract that `cargo xtask extracts` fetches.
pub fn bytes_of(name: &str) -> Vec<u8> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../.tools/extracts");
    std::fs::read(folder.join(name)).unwrap_or_else(|error| {
        panic!("{name}: {error}; `cargo xtask extracts` fetches the real extracts for the tests")
    })
}

pub fn intake_of(name: &str) -> OsmIntake {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../.tools/extracts");
    bytes_of(name);
    read_osm(
        name,
        &mut File::open(folder.join(name)).unwrap(),
        &mut |_| {},
    )
}

/// Ways and metres of each class, one-way ways and names of roads: the figures that
/// `reference.py` printed with pyosmium 4.3.2.
struct Reference {
    name: &'static str,
    ways: u64,
    relations: u64,
    classes: &'static [(LinkClass, usize, f64)],
    one_way: usize,
    road_names: usize,
}

use LinkClass::{
    Cycleway, Footway, LivingStreet, Minor, Motorway, Primary, Residential, Secondary, Service,
    Tertiary, Track,
};

const REFERENCES: [Reference; 3] = [
    Reference {
        name: "liechtenstein.osm.pbf",
        ways: 7121,
        relations: 113,
        classes: &[
            (Cycleway, 96, 23254.1),
            (Footway, 472, 169_781.3),
            (LivingStreet, 18, 1051.4),
            (Minor, 167, 57758.1),
            (Primary, 81, 27532.8),
            (Residential, 842, 209_655.2),
            (Secondary, 91, 40559.7),
            (Service, 352, 37011.3),
            (Tertiary, 33, 19800.0),
            (Track, 597, 379_716.8),
        ],
        one_way: 47,
        road_names: 572,
    },
    Reference {
        name: "helsinki.osm.pbf",
        ways: 5130,
        relations: 620,
        classes: &[
            (Cycleway, 120, 8614.8),
            (Footway, 1261, 51192.1),
            (Minor, 169, 5767.8),
            (Primary, 152, 3649.1),
            (Residential, 243, 5135.0),
            (Secondary, 144, 5266.4),
            (Service, 239, 10978.3),
            (Tertiary, 49, 1387.1),
        ],
        one_way: 442,
        road_names: 65,
    },
    Reference {
        name: "kotka.osm.pbf",
        ways: 2653,
        relations: 5,
        classes: &[
            (Cycleway, 81, 14137.1),
            (Footway, 43, 4042.9),
            (LivingStreet, 1, 145.8),
            (Minor, 1, 777.5),
            (Motorway, 15, 6933.8),
            (Residential, 124, 26623.8),
            (Secondary, 14, 4944.7),
            (Service, 40, 3039.3),
            (Tertiary, 20, 5137.6),
            (Track, 3, 337.9),
        ],
        one_way: 40,
        road_names: 95,
    },
];

fn metres(one: LonLat, other: LonLat) -> f64 {
    let (a, b) = (one.lat().to_radians(), other.lat().to_radians());
    let half_lon = (other.lon() - one.lon()).to_radians() / 2.0;
    let h = ((b - a) / 2.0).sin().powi(2) + a.cos() * b.cos() * half_lon.sin().powi(2);
    2.0 * 6_371_008.8 * h.sqrt().asin()
}

#[test]
fn ways_of_each_class_are_as_many_and_as_long_as_another_reader_finds() {
    for reference in &REFERENCES {
        let intake = intake_of(reference.name);
        let network = intake.network.unwrap();
        assert_eq!(
            (intake.counts.ways, intake.counts.relations),
            (reference.ways, reference.relations)
        );
        let counts: BTreeMap<LinkClass, usize> = reference
            .classes
            .iter()
            .map(|(class, count, _)| (*class, *count))
            .collect();
        assert_eq!(intake.counts.roads, counts, "{}", reference.name);
        for (class, _, expected) in reference.classes {
            let links = network.links.iter().filter(|link| link.class == *class);
            let lengths = links.flat_map(|link| link.line.windows(2));
            let length: f64 = lengths.map(|pair| metres(pair[0], pair[1])).sum();
            let off = (length - expected).abs();
            assert!(
                off < 0.1,
                "{} {class:?}: {length} and {expected}",
                reference.name
            );
        }
    }
}

#[test]
fn one_way_ways_and_names_are_those_that_another_reader_finds() {
    for reference in &REFERENCES {
        let intake = intake_of(reference.name);
        let roads = [
            Motorway,
            LinkClass::Trunk,
            Primary,
            Secondary,
            Tertiary,
            Minor,
            Residential,
            LivingStreet,
        ];
        let network = intake.network.unwrap();
        let on_roads: BTreeSet<_> = network
            .links
            .iter()
            .filter(|link| roads.contains(&link.class))
            .filter_map(|link| link.street.as_ref())
            .collect();
        let names: BTreeSet<_> = intake
            .streets
            .iter()
            .filter(|street| on_roads.contains(&street.id))
            .filter_map(|street| street.name.as_deref())
            .collect();
        assert_eq!(
            intake.counts.one_way, reference.one_way,
            "{}",
            reference.name
        );
        assert_eq!(names.len(), reference.road_names, "{}", reference.name);
    }
}

#[test]
fn every_turn_restriction_of_helsinki_is_applied_or_accounted_for() {
    // 45 relations, as pyosmium counts them too: 38 lie on the network, one holds at times, and of
    // 6 a member is not in the extract, or can't be told.
    let intake = intake_of("helsinki.osm.pbf");
    assert_eq!(intake.counts.turns, 38);
    let about = |code: &str| {
        let found = intake.findings.iter().find(|found| found.code == code);
        found.map(|found| found.text.clone()).unwrap_or_default()
    };
    assert!(about("F-OSM-TURN").starts_with("6 turn restrictions"));
    assert!(about("F-OSM-WHEN").ends_with("on 0 ways and 1 turn."));
}

#[test]
fn networks_are_sound_and_survive_their_file() {
    for reference in &REFERENCES {
        let network = intake_of(reference.name).network.unwrap();
        for link in &network.links {
            assert!(link.line.len() > 1 && link.from != link.to);
            assert_eq!(link.line.first(), network.junctions.get(link.from as usize));
            assert_eq!(link.line.last(), network.junctions.get(link.to as usize));
            let drivable = [link.along, link.against]
                .iter()
                .any(|one| *one != Passage::Shut);
            assert!(!drivable || link.street.is_some());
        }
        let bytes = write_network(&network);
        assert_eq!(read_network(&bytes).unwrap(), network, "{}", reference.name);
    }
}
