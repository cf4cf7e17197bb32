//! Places on the roads, roads from streets, detours and what a closure cuts off.

mod town;

use std::sync::Arc;

use gangday_ground::roads::{
    OnRoad, REACH_M, RoadGraph, RoadIndex, Speeds, length_mm, network_of_streets, time_ms,
};
use gangday_ground::{Plane, rectangle};
use gangday_model::{LonLat, Network, Passage, PlanePoint, Street, Turn};
use town::{Town, middle};

fn plane() -> Plane {
    Plane::local(LonLat::new(-3.6, 54.0))
}

fn at(east: f64, north: f64) -> LonLat {
    plane()
        .to_lonlat(PlanePoint::from_metres(east, north))
        .expect("on the plane")
}

fn street(id: &str, line: &[(f64, f64)]) -> Street {
    Street {
        id: id.into(),
        name: None,
        road_type: None,
        speed_limit_mph: None,
        width_m: None,
        one_way: false,
        flow_per_3_min: None,
        traffic_sensitive: Vec::new(),
        restricted_until: None,
        lines: vec![line.iter().map(|(east, north)| at(*east, *north)).collect()],
        extra: serde_json::Map::new(),
    }
}

fn network(streets: &[Street]) -> Network {
    network_of_streets(streets, &plane())
}

fn way(network: Network, from: u32, to: u32) -> Option<u32> {
    let graph = RoadGraph::prepare(Arc::new(network), &Speeds::shipped());
    graph.plain_time_ms(middle(from), middle(to))
}

#[test]
fn streets_that_share_a_vertex_are_joined_and_cut_there() {
    let made = network(&[
        street("A", &[(0.0, 0.0), (100.0, 0.0), (200.0, 0.0)]),
        street("B", &[(100.0, 0.0), (100.0, 80.0)]),
    ]);
    assert_eq!((made.junctions.len(), made.links.len()), (4, 3));
    assert!(way(made, 0, 2).is_some());
}

#[test]
fn an_end_on_another_line_joins_it_within_a_metre_and_no_farther() {
    let main = street("A", &[(0.0, 0.0), (200.0, 0.0)]);
    let near = network(&[main.clone(), street("B", &[(90.0, 0.9), (90.0, 80.0)])]);
    assert_eq!((near.junctions.len(), near.links.len()), (4, 3));
    assert!(way(near, 0, 2).is_some());
    let far = network(&[main.clone(), street("B", &[(90.0, 1.1), (90.0, 80.0)])]);
    assert_eq!((far.junctions.len(), far.links.len()), (4, 2));
    let at_its_end = network(&[main, street("B", &[(200.5, 0.5), (200.0, 80.0)])]);
    assert_eq!((at_its_end.junctions.len(), at_its_end.links.len()), (3, 2));
}

#[test]
fn a_bridge_is_no_crossroads() {
    let made = network(&[
        street("A", &[(0.0, 0.0), (200.0, 0.0)]),
        street("B", &[(100.0, -80.0), (100.0, 80.0)]),
    ]);
    assert_eq!((made.junctions.len(), made.links.len()), (4, 2));
    assert_eq!(way(made, 0, 1), None);
}

#[test]
fn a_one_way_street_with_a_limit_keeps_both() {
    let mut one = street("A", &[(0.0, 0.0), (100.0, 0.0)]);
    (one.one_way, one.speed_limit_mph, one.road_type) = (true, Some(20), Some(3));
    let made = network(&[one]);
    assert_eq!(made.links[0].against, Passage::Shut);
    assert_eq!(made.links[0].limit_kmh, Some(32));
}

/// Length by a published geodesic: Flinders Peak to Buninyong, 54,972.271 m on GRS 80.
///
/// # Source
/// Geocentric Datum of Australia Technical Manual, version 2.3, section 4: Vincenty's inverse
/// formula, worked example (from memory). The two ellipsoids differ by less than the last place.
#[test]
fn length_is_the_geodesic() {
    let dms =
        |degrees: f64, minutes: f64, seconds: f64| degrees + minutes / 60.0 + seconds / 3600.0;
    let flinders = LonLat::new(dms(144.0, 25.0, 29.524_4), -dms(37.0, 57.0, 3.720_3));
    let buninyong = LonLat::new(dms(143.0, 55.0, 35.383_9), -dms(37.0, 39.0, 10.156_1));
    assert!(length_mm(&[flinders, buninyong]).abs_diff(54_972_271) <= 1);
}

#[test]
fn a_kilometre_at_thirty_takes_two_minutes() {
    assert_eq!(time_ms(1_000_000, 30_000), 120_000);
    assert_eq!(time_ms(0, 30_000), 1);
}

fn ladder() -> Town {
    // 0 - 1 - 2 - 3 with a way round 1 - 4 - 2, and 3 a dead end beyond which 5 lies.
    let mut town = Town::new(&[
        (0, 0),
        (100, 0),
        (200, 0),
        (300, 0),
        (150, 120),
        (400, 0),
        (0, 100),
    ]);
    for (from, to) in [
        (0, 1),
        (1, 2),
        (2, 3),
        (1, 4),
        (4, 2),
        (3, 5),
        (0, 6),
        (6, 1),
    ] {
        town.road(from, to);
    }
    town
}

#[test]
fn a_place_is_brought_to_its_road_by_where_it_is_along_it() {
    let town = ladder();
    let graph = town.graph();
    let index = RoadIndex::new(&graph, &plane());
    let snapped = index
        .snap(PlanePoint::from_metres(150.0, -20.0), REACH_M)
        .unwrap();
    assert_eq!(snapped.on.link, 1);
    assert!(snapped.on.part.abs_diff(500_000) < 5_000, "{snapped:?}");
    assert!((snapped.off_m - 20.0).abs() < 0.5);
    assert_eq!(
        index.snap(PlanePoint::from_metres(150.0, -101.0), REACH_M),
        None
    );
    assert_eq!(
        index.snap(PlanePoint::from_metres(f64::NAN, 0.0), REACH_M),
        None
    );
}

#[test]
fn no_place_is_brought_to_a_road_one_can_not_leave() {
    let mut town = ladder();
    let end = town.junction(400, 60);
    let trap = town.road(5, end) as usize;
    town.network.links[trap].against = Passage::Shut;
    // Without a way on at its end the trap leads nowhere.
    town.network.turns.push(Turn {
        links: vec![5, trap as u32],
        via: 5,
        only: true,
    });
    let graph = town.graph();
    assert!(!graph.is_usable(trap as u32));
    let index = RoadIndex::new(&graph, &plane());
    let snapped = index
        .snap(PlanePoint::from_metres(400.0, 50.0), REACH_M)
        .unwrap();
    assert_eq!(snapped.on.link, 5);
}

#[test]
fn the_links_under_a_closure_are_those_it_lies_on() {
    let graph = ladder().graph();
    let index = RoadIndex::new(&graph, &plane());
    let under = |about: (f64, f64), length_m| {
        let about = PlanePoint::from_metres(about.0, about.1);
        index.links_under(&rectangle(about, 90.0, length_m, 4.0).unwrap())
    };
    assert_eq!(under((130.0, 0.0), 20.0), [1]);
    assert_eq!(under((150.0, 2.5), 20.0), Vec::<u32>::new());
    assert_eq!(under((300.0, 0.0), 100.0), [2, 5]);
    // All of link 1 lies within it, and something of the four others that meet it.
    assert_eq!(under((150.0, 0.0), 120.0), [0, 1, 2, 3, 4, 7]);
}

#[test]
fn traffic_is_led_round_both_ways_and_told_what_it_costs() {
    let graph = ladder().graph();
    let ways = graph.detours(&[1], &[]);
    assert_eq!(
        ways.iter()
            .map(|way| (way.from, way.to))
            .collect::<Vec<_>>(),
        [(1, 2), (2, 1)]
    );
    let detour = ways[0].detour.as_ref().unwrap();
    assert_eq!(detour.links, [3, 4]);
    assert_eq!(detour.streets, ["S3".into(), "S4".into()]);
    // Twice 130 m in place of 100 m, at 30 km/h.
    assert!(
        (detour.extra_mm - 160_000).abs() < 1_000,
        "{}",
        detour.extra_mm
    );
    assert!(
        detour.extra_ms.abs_diff(19_200) < 150,
        "{}",
        detour.extra_ms
    );
    assert_eq!(detour.line.first(), graph.junction(1).as_ref());
    assert_eq!(detour.line.last(), graph.junction(2).as_ref());
}

#[test]
fn a_one_way_street_needs_a_way_round_one_way_only() {
    let mut town = ladder();
    town.network.links[1].against = Passage::Shut;
    let ways = town.graph().detours(&[1], &[]);
    assert_eq!(ways.len(), 1);
    assert_eq!((ways[0].from, ways[0].to), (1, 2));
}

#[test]
fn where_there_is_no_way_round_that_is_said_and_what_lies_beyond_is_named() {
    let graph = ladder().graph();
    let ways = graph.detours(&[2], &[]);
    assert_eq!(ways.len(), 2);
    assert!(ways.iter().all(|way| way.detour.is_none()));
    let cut = graph.cut_off(&[2]);
    assert_eq!(cut.links, [5]);
    assert_eq!(cut.streets, ["S5".into()]);
    assert_eq!(cut.junctions, [3, 5]);
    assert!(graph.cut_off(&[1]).is_empty());
    assert!(graph.cut_off(&[]).is_empty());
}

/// 0 - 1 - 2 in a row, with 2 on a loop 2 - 3 - 4 of main roads.
fn row_on_a_loop() -> Town {
    let mut town = Town::new(&[(0, 0), (100, 0), (200, 0), (300, 50), (300, -50), (100, 90)]);
    for (from, to) in [(2, 3), (3, 4), (4, 2), (2, 1), (1, 0)] {
        town.road(from, to);
    }
    town
}

#[test]
fn in_what_a_closure_makes_a_dead_end_one_may_turn_round() {
    let graph = row_on_a_loop().graph();
    // 0 was the dead end; with 1 - 0 closed 1 is one.
    assert!(graph.cut_off(&[4]).is_empty());
    assert_eq!(graph.cut_off(&[4]).junctions, [0]);
    assert_eq!(graph.cut_off(&[3]).links, [4]);
}

/// With a road 1 - 5 as well, nobody turns round at 1 while it is open; nor does an order to go on
/// into the closed road hold anybody there.
#[test]
fn a_turn_that_names_a_closed_link_says_nothing() {
    let mut town = row_on_a_loop();
    let side = town.road(1, 5);
    town.network.turns.push(Turn {
        links: vec![3, 4],
        via: 1,
        only: true,
    });
    let graph = town.graph();
    assert!(graph.cut_off(&[4]).is_empty());
    // The order stands while the road it leads into is open.
    let forced = graph.plain_time_ms(middle(3), middle(side)).unwrap();
    let mut free = row_on_a_loop();
    free.road(1, 5);
    assert!(forced > free.graph().plain_time_ms(middle(3), middle(side)).unwrap());
}

#[test]
fn a_one_way_loop_is_cut_off_though_no_bridge_is_closed() {
    let mut town = Town::new(&[
        (0, 0),
        (100, 0),
        (200, 0),
        (100, 100),
        (100, -100),
        (0, -100),
    ]);
    for (from, to) in [(0, 1), (1, 2), (2, 3), (3, 1), (0, 5), (5, 4), (4, 0)] {
        town.road(from, to);
    }
    for link in [1, 2, 3] {
        town.network.links[link].against = Passage::Shut;
    }
    let graph = town.graph();
    // 1 -> 2 -> 3 -> 1 runs one way: with 1 - 2 closed nobody comes to 2 - 3.
    assert_eq!(graph.cut_off(&[1]).links, [2, 3]);
}

#[test]
fn through_traffic_is_not_led_over_a_road_for_destinations() {
    let mut town = ladder();
    (town.network.links[3].along, town.network.links[3].against) =
        (Passage::Destination, Passage::Destination);
    let ways = town.graph().detours(&[1], &[]);
    assert!(ways.iter().all(|way| way.detour.is_none()));
}

/// A crossing road 6 - 1 - 7 offers a way over the middle of the stretch 0 - 1 - 2, which is closed.
#[test]
fn nobody_is_led_over_a_junction_within_the_closed_stretch() {
    let mut town = Town::new(&[
        (0, 0),
        (100, 0),
        (200, 0),
        (0, 100),
        (0, -100),
        (200, -100),
        (100, 100),
        (100, -100),
        (200, 100),
    ]);
    for (from, to) in [
        (0, 1),
        (1, 2),
        (0, 3),
        (3, 6),
        (6, 1),
        (1, 7),
        (7, 5),
        (5, 2),
        (6, 8),
        (8, 2),
    ] {
        town.road(from, to);
    }
    let graph = town.graph();
    let longest = |way: &gangday_ground::roads::WayRound| way.detour.clone().map(|one| one.links);
    let ways = graph.detours(&[0, 1], &graph.links_at(&[1])[2..]);
    assert_eq!(longest(&ways[0]), Some(vec![2, 3, 8, 9]));
    assert_eq!(graph.links_at(&[1]), [0, 1, 4, 5]);
}

#[test]
fn a_stretch_of_several_links_has_two_ends_and_a_fork_has_none() {
    let graph = ladder().graph();
    assert_eq!(graph.ends_of(&[0, 1]), Some((0, 2)));
    assert_eq!(graph.ends_of(&[1, 0, 1]), Some((0, 2)));
    assert_eq!(graph.ends_of(&[0, 1, 3]), None);
    assert_eq!(graph.ends_of(&[99]), None);
    assert_eq!(graph.ends_of(&[]), None);
    assert!(graph.detours(&[99], &[]).is_empty());
}

#[test]
fn a_network_that_makes_no_sense_is_no_road() {
    let mut town = ladder();
    for link in &mut town.network.links {
        link.to = 77;
    }
    town.network.turns.push(Turn {
        links: vec![0, 500],
        via: 900,
        only: true,
    });
    let graph = town.graph();
    assert!(graph.is_empty());
    assert_eq!(graph.plain_time_ms(middle(0), middle(1)), None);
    assert_eq!(
        graph.plain_time_ms(
            OnRoad {
                link: u32::MAX,
                part: 0
            },
            middle(1)
        ),
        None
    );
    assert!(graph.cut_off(&[0]).is_empty());
    assert_eq!(graph.detour(&[0], 5, 800), None);
    let none = RoadGraph::prepare(Arc::new(Network::default()), &Speeds::shipped());
    assert!(none.is_empty());
}
