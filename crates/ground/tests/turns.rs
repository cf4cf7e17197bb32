//! Forbidden turns, each case one where a way that ignores them would be another.

mod town;

use gangday_ground::roads::OnRoad;
use gangday_model::{Passage, Turn};
use town::{Town, middle};

/// ```text
///        2
///        |1
///  0 -0- 1 -2- 3 -3- 4
///        |     |     |
///       (4)   (5)   (6)
///        |     |     |
///        5 -7- 6 -8- 7      2 -9- 8 -10- 3, a block to the north
/// ```
fn grid() -> Town {
    let mut town = Town::new(&[
        (0, 0),
        (100, 0),
        (100, 100),
        (200, 0),
        (300, 0),
        (100, -130),
        (200, -100),
        (300, -100),
        (200, 150),
    ]);
    for (from, to) in [
        (0, 1),
        (1, 2),
        (1, 3),
        (3, 4),
        (1, 5),
        (3, 6),
        (4, 7),
        (5, 6),
        (6, 7),
    ] {
        town.road(from, to);
    }
    town.road(2, 8);
    town.road(8, 3);
    town
}

fn links(town: &Town, from: OnRoad, to: OnRoad) -> Vec<u32> {
    let journey = town
        .graph()
        .plain_journey(from, to)
        .expect("there is a way");
    journey.runs.iter().map(|run| run / 2).collect()
}

fn ban(links: &[u32], via: u32) -> Turn {
    Turn {
        links: links.to_vec(),
        via,
        only: false,
    }
}

fn order(links: &[u32], via: u32) -> Turn {
    Turn {
        only: true,
        ..ban(links, via)
    }
}

#[test]
fn with_nothing_forbidden_the_gang_turns_left() {
    assert_eq!(links(&grid(), middle(0), middle(1)), [0, 1]);
}

#[test]
fn no_left_turn_sends_it_round_the_block() {
    let mut town = grid();
    town.network.turns.push(ban(&[0, 1], 1));
    assert_eq!(links(&town, middle(0), middle(1)), [0, 2, 10, 9, 1]);
}

#[test]
fn only_straight_on_forbids_every_other_way() {
    let mut town = grid();
    town.network.turns.push(order(&[0, 2], 1));
    assert_eq!(links(&town, middle(0), middle(1)), [0, 2, 10, 9, 1]);
    assert_eq!(links(&town, middle(0), middle(4)), [0, 2, 5, 7, 4]);
    assert_eq!(links(&town, middle(1), middle(4)), [1, 4]);
}

#[test]
fn a_ban_over_a_link_holds_only_for_who_came_by_its_first() {
    let mut town = grid();
    town.network.turns.push(ban(&[0, 2, 5], 1));
    assert_eq!(links(&town, middle(0), middle(5)), [0, 4, 7, 5]);
    assert_eq!(links(&town, middle(1), middle(5)), [1, 2, 5]);
    assert_eq!(links(&town, middle(2), middle(5)), [2, 5]);
}

#[test]
fn an_order_over_a_link_holds_at_every_junction_of_its_way() {
    let mut town = grid();
    town.network.turns.push(order(&[0, 2, 3], 1));
    assert_eq!(links(&town, middle(0), middle(1)), [0, 2, 3, 6, 8, 5, 2, 1]);
    assert_eq!(links(&town, middle(0), middle(5)), [0, 2, 3, 6, 8, 5]);
}

#[test]
fn a_gang_turns_round_at_a_dead_end_unless_that_is_forbidden() {
    let mut town = grid();
    let end = town.junction(400, 0);
    let stub = town.road(4, end);
    town.network.turns.push(ban(&[3, 6], 4));
    // From 3 to 6 by turning round in the dead end, for want of any shorter way.
    town.network.turns.push(ban(&[5, 8], 6));
    assert_eq!(
        links(&town, middle(3), OnRoad { link: 6, part: 1 }),
        [3, stub, stub, 6]
    );
    town.network.turns.push(ban(&[stub, stub], end));
    assert_eq!(
        links(&town, middle(3), OnRoad { link: 6, part: 1 }),
        [3, 2, 4, 7, 8, 6]
    );
}

#[test]
fn nobody_turns_round_at_a_crossing_to_cheat_a_ban() {
    let mut town = grid();
    town.network.turns.push(ban(&[0, 1], 1));
    let way = links(&town, middle(0), middle(1));
    assert!(!way.windows(2).any(|pair| pair[0] == pair[1]), "{way:?}");
}

#[test]
fn a_road_for_destinations_is_reached_but_never_passed_through() {
    let mut town = grid();
    town.network.links[2].along = Passage::Destination;
    town.network.links[2].against = Passage::Destination;
    assert_eq!(links(&town, middle(0), middle(2)), [0, 2]);
    assert_eq!(links(&town, middle(2), middle(0)), [2, 0]);
    assert_eq!(links(&town, middle(0), middle(3)), [0, 4, 7, 5, 3]);
}

#[test]
fn from_a_road_for_destinations_to_the_next_one_goes_over_open_roads() {
    let mut town = grid();
    for link in [1, 4] {
        town.network.links[link].along = Passage::Destination;
        town.network.links[link].against = Passage::Destination;
    }
    let stub = town.road(5, 0);
    assert_eq!(links(&town, middle(1), middle(4)), [1, 4]);
    assert_eq!(links(&town, middle(0), middle(7)), [0, stub, 7]);
    assert_eq!(links(&town, middle(2), middle(4)), [2, 4]);
}

#[test]
fn a_one_way_street_is_driven_one_way() {
    let mut town = grid();
    town.network.links[2].against = Passage::Shut;
    assert_eq!(links(&town, middle(0), middle(3)), [0, 2, 3]);
    assert_eq!(links(&town, middle(3), middle(0)), [3, 5, 7, 4, 0]);
    let back = |a, b| {
        town.graph()
            .plain_time_ms(OnRoad { link: 2, part: a }, OnRoad { link: 2, part: b })
    };
    assert!(back(700_000, 300_000) > back(300_000, 700_000));
}
