//! Addresses of small maps of our own.

use gangday_model::Address;

use crate::map::{Map, Tags};

const ROAD: Tags<'_> = &[("highway", "residential"), ("name", "Oak Lane")];

fn read(map: Map) -> (Vec<Address>, Vec<String>) {
    let intake = map.row(1..=2, 0).way(1, &[1, 2], ROAD).read();
    assert!(intake.findings.iter().all(|finding| !finding.is_fault()));
    let codes = intake.findings.iter().map(|one| one.code.clone());
    let codes = codes.collect();
    let network = intake.network.unwrap();
    assert_eq!(intake.counts.addresses, network.addresses.len());
    (network.addresses, codes)
}

fn words(addresses: &[Address]) -> Vec<(Option<&str>, &str)> {
    addresses
        .iter()
        .map(|one| (one.street.as_deref(), one.number.as_str()))
        .collect()
}

#[test]
fn numbers_come_from_doors_and_from_buildings() {
    let oak = |number: &'static str| [("addr:housenumber", number), ("addr:street", "Oak Lane")];
    let corner = |map: Map, id, east, north| map.node(id, east, north, &[]);
    let mut map = Map::new().node(10, 1500, 200, &oak("12"));
    for (id, east, north) in [
        (20, 1000, 300),
        (21, 1400, 300),
        (22, 1400, 700),
        (23, 1000, 700),
    ] {
        map = corner(map, id, east, north);
    }
    let map = map
        .way(5, &[20, 21, 22, 23, 20], &oak("14"))
        .node(
            30,
            1,
            1,
            &[("addr:housenumber", "3"), ("addr:place", "Elm Green")],
        )
        .node(31, 2, 2, &[("addr:housenumber", " 4 ")])
        .node(32, 3, 3, &[("addr:street", "Oak Lane")]);
    let (addresses, codes) = read(map);
    assert_eq!(
        words(&addresses),
        [
            (None, "4"),
            (Some("Elm Green"), "3"),
            (Some("Oak Lane"), "12"),
            (Some("Oak Lane"), "14")
        ]
    );
    // The middle of the building's box: 1200 and 500 steps from the origin.
    let at = addresses[3].at;
    let steps = |degrees: f64, from: i64| (degrees * 1e7).round() as i64 - from;
    assert_eq!(
        (steps(at.lon(), -10_000_000), steps(at.lat(), 530_000_000)),
        (1200, 500)
    );
    assert_eq!(codes, Vec::<String>::new());
}

#[test]
fn a_number_that_can_t_be_shown_or_placed_is_none() {
    let long = "9".repeat(256);
    let map = Map::new()
        .node(10, 0, 0, &[("addr:housenumber", "1\n2")])
        .node(11, 0, 0, &[("addr:housenumber", "  ")])
        .node(12, 0, 0, &[("addr:housenumber", &long)])
        .way(5, &[70, 71, 70], &[("addr:housenumber", "8")])
        .relation(
            9,
            &[(1, 5, "outer")],
            &[("type", "multipolygon"), ("addr:housenumber", "6")],
        );
    let (addresses, codes) = read(map);
    assert_eq!(addresses, []);
    assert_eq!(codes, ["F-OSM-ADDRESS"]);
}

#[test]
fn one_stated_twice_is_one() {
    let tags: Tags<'_> = &[("addr:housenumber", "1"), ("addr:street", "Oak Lane")];
    let map = Map::new()
        .node(10, 5, 5, tags)
        .node(10, 5, 5, tags)
        .row(20..=22, 40)
        .way(5, &[20, 21, 22, 20], tags)
        .way(5, &[20, 21, 22, 20], tags);
    let (addresses, codes) = read(map);
    assert_eq!(addresses.len(), 2, "{addresses:?}");
    assert_eq!(codes, ["F-OSM-TWICE"]);
}
