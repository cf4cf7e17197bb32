//! Where ways are cut, and what a barrier does.

use gangday_model::{Network, Passage, Turn};

use crate::map::Map;

const ROAD: &[(&str, &str)] = &[("highway", "residential")];

fn network(map: &Map) -> Network {
    map.read().network.unwrap()
}

#[test]
fn ways_are_cut_where_they_share_a_node_and_nowhere_else() {
    let map = Map::new()
        .row(1..=5, 0)
        .node(6, 3000, 500, &[])
        .way(10, &[1, 2, 3, 4, 5], ROAD)
        .way(11, &[3, 6], ROAD);
    let network = network(&map);
    let ends: Vec<_> = network
        .links
        .iter()
        .map(|link| (link.from, link.to, link.line.len()))
        .collect();
    assert_eq!(ends, [(0, 1, 3), (1, 2, 3), (1, 3, 2)]);
    assert_eq!(network.junctions.len(), 4);
    assert_eq!(
        (network.junctions[0].lon(), network.junctions[0].lat()),
        (-0.9999, 53.0)
    );
}

#[test]
fn a_ring_has_two_links_and_a_way_that_meets_itself_is_cut_there() {
    let map = Map::new()
        .row(1..=4, 0)
        .node(5, 0, 900, &[])
        .way(10, &[1, 2, 3, 5, 1], ROAD)
        .way(11, &[4, 4, 4], ROAD);
    let network = network(&map);
    let ends: Vec<_> = network
        .links
        .iter()
        .map(|link| (link.from, link.to))
        .collect();
    assert_eq!(ends, [(0, 1), (1, 0)]);
    let lollipop = Map::new().row(1..=4, 0).way(10, &[1, 2, 3, 4, 2], ROAD);
    let links = lollipop.read().network.unwrap().links;
    assert_eq!(links.len(), 3);
    assert!(links.iter().all(|link| link.from != link.to));
}

#[test]
fn a_line_against_which_the_traffic_runs_is_turned_round() {
    let reversed = [("highway", "residential"), ("oneway", "-1")];
    let network = network(&Map::new().row(1..=3, 0).way(10, &[1, 2, 3], &reversed));
    let link = &network.links[0];
    assert_eq!((link.along, link.against), (Passage::Open, Passage::Shut));
    assert!(link.line[0].lon() > link.line[2].lon());
}

#[test]
fn a_bollard_stops_vehicles_both_ways_but_an_open_gate_none() {
    let map = |tags| {
        Map::new()
            .node(1, 0, 0, &[])
            .node(2, 1000, 0, tags)
            .node(3, 2000, 0, &[])
            .way(10, &[1, 2, 3], ROAD)
    };
    let ban = |one, other| Turn {
        links: vec![one, other],
        via: 1,
        only: false,
    };
    let barred = network(&map(&[("barrier", "bollard")]));
    assert_eq!(barred.turns, [ban(0, 1), ban(1, 0)]);
    let intake = map(&[("barrier", "gate")]).read();
    assert_eq!(intake.network.unwrap().links.len(), 1);
    let private = map(&[("barrier", "gate"), ("access", "private")]).read();
    assert_eq!(private.network.unwrap().turns.len(), 2);
    let note = private
        .findings
        .iter()
        .find(|found| found.code == "F-OSM-BARRIER")
        .unwrap();
    assert!(
        note.text.starts_with("1 private gate is taken as closed"),
        "{}",
        note.text
    );
}

#[test]
fn a_way_is_cut_where_its_nodes_are_not_in_the_extract() {
    let intake = Map::new()
        .row(1..=5, 0)
        .way(10, &[90, 1, 2, 91, 3, 4, 5, 92], ROAD)
        .read();
    let network = intake.network.unwrap();
    assert_eq!(network.links.len(), 2);
    assert_eq!(intake.findings[0].code, "F-OSM-EDGE");
    assert_eq!(intake.streets.len(), 1);
    assert_eq!(intake.streets[0].lines.len(), 2);
}

#[test]
fn footways_are_in_the_network_and_drive_nobody() {
    let map =
        Map::new()
            .row(1..=3, 0)
            .way(10, &[1, 2], ROAD)
            .way(11, &[2, 3], &[("highway", "footway")]);
    let network = network(&map);
    let foot = &network.links[1];
    assert_eq!(
        (foot.along, foot.against, foot.on_foot),
        (Passage::Shut, Passage::Shut, Passage::Open)
    );
    assert_eq!(foot.street, None);
}

#[test]
fn limits_are_kept_in_kilometres_an_hour() {
    let tags = [("highway", "residential"), ("maxspeed", "30 mph")];
    let intake = Map::new().row(1..=2, 0).way(10, &[1, 2], &tags).read();
    assert_eq!(intake.network.unwrap().links[0].limit_kmh, Some(48));
    assert_eq!(intake.streets[0].speed_limit_mph, Some(30));
}
