//! Turn restrictions, from relation to links.

use gangday_files::OsmIntake;
use gangday_model::Turn;

use crate::map::{Map, Tags};

const ROAD: Tags<'static> = &[("highway", "residential")];

/// A crossroads at node 3: ways 10 (1-3), 11 (3-5), 12 (3-7); way 11 goes on as 13 (5-8).
fn crossroads() -> Map {
    Map::new()
        .row(1..=5, 0)
        .node(7, 3000, 900, &[])
        .node(8, 6000, 900, &[])
        .way(10, &[1, 2, 3], ROAD)
        .way(11, &[3, 4, 5], ROAD)
        .way(12, &[3, 7], ROAD)
        .way(13, &[5, 8], ROAD)
}

fn with(members: &[(u64, i64, &str)], tags: Tags<'_>) -> OsmIntake {
    let all: Vec<_> = [("type", "restriction")]
        .into_iter()
        .chain(tags.iter().copied())
        .collect();
    crossroads().relation(1, members, &all).read()
}

fn turns(members: &[(u64, i64, &str)], tags: Tags<'_>) -> Vec<Turn> {
    with(members, tags).network.unwrap().turns
}

const FROM_10_TO_12: &[(u64, i64, &str)] = &[(1, 10, "from"), (0, 3, "via"), (1, 12, "to")];

#[test]
fn a_ban_and_an_order_by_way_of_a_node() {
    let turn = |only| Turn {
        links: vec![0, 2],
        via: 1,
        only,
    };
    assert_eq!(
        turns(FROM_10_TO_12, &[("restriction", "no_left_turn")]),
        [turn(false)]
    );
    assert_eq!(
        turns(FROM_10_TO_12, &[("restriction", "only_left_turn")]),
        [turn(true)]
    );
}

#[test]
fn a_ban_by_way_of_ways_names_every_link_between() {
    let members: &[(u64, i64, &str)] = &[(1, 12, "from"), (1, 11, "via"), (1, 13, "to")];
    let expected = Turn {
        links: vec![2, 1, 3],
        via: 1,
        only: false,
    };
    assert_eq!(turns(members, &[("restriction", "no_u_turn")]), [expected]);
    // A way between that is cut by a junction in its middle gives each of its links.
    let map = crossroads()
        .node(9, 4000, -900, &[])
        .way(14, &[4, 9], ROAD)
        .relation(
            1,
            members,
            &[("type", "restriction"), ("restriction", "no_u_turn")],
        );
    let network = map.read().network.unwrap();
    assert_eq!(network.turns[0].links, [3, 1, 2, 4]);
}

#[test]
fn a_u_turn_is_banned_on_one_link() {
    let members: &[(u64, i64, &str)] = &[(1, 10, "from"), (0, 3, "via"), (1, 10, "to")];
    let expected = Turn {
        links: vec![0, 0],
        via: 1,
        only: false,
    };
    assert_eq!(turns(members, &[("restriction", "no_u_turn")]), [expected]);
}

#[test]
fn no_entry_has_several_beginnings() {
    let members: &[(u64, i64, &str)] = &[
        (1, 10, "from"),
        (1, 11, "from"),
        (0, 3, "via"),
        (1, 12, "to"),
    ];
    let turns = turns(members, &[("restriction", "no_entry")]);
    let links: Vec<_> = turns.iter().map(|turn| turn.links.clone()).collect();
    assert_eq!(links, [[0, 2], [1, 2]]);
    assert!(self::turns(members, &[("restriction", "only_left_turn")]).is_empty());
}

#[test]
fn exceptions_other_vehicles_and_times_are_told_apart() {
    let except = |who| {
        turns(
            FROM_10_TO_12,
            &[("restriction", "no_left_turn"), ("except", who)],
        )
        .len()
    };
    assert_eq!(
        (
            except("psv;bicycle"),
            except("psv; motorcar"),
            except("hgv")
        ),
        (1, 0, 1)
    );
    for (tag, code) in [
        (
            ("restriction:conditional", "no_left_turn @ (07:00-09:00)"),
            "F-OSM-WHEN",
        ),
        (("restriction:hgv", "no_left_turn"), "F-OSM-HEAVY"),
    ] {
        let intake = with(FROM_10_TO_12, &[tag]);
        assert!(intake.network.unwrap().turns.is_empty());
        assert!(
            intake.findings.iter().any(|found| found.code == code),
            "{code}"
        );
    }
    let day = [("restriction", "no_left_turn"), ("hour_on", "07:00")];
    assert!(turns(FROM_10_TO_12, &day).is_empty());
}

#[test]
fn what_is_incomplete_or_can_t_be_told_is_counted_and_not_applied() {
    let plain: Tags<'_> = &[("restriction", "no_left_turn")];
    let cases: &[&[(u64, i64, &str)]] = &[
        &[(1, 10, "from"), (1, 12, "to")],
        &[(1, 10, "from"), (0, 3, "via")],
        &[(1, 10, "from"), (0, 99, "via"), (1, 12, "to")],
        &[(1, 99, "from"), (0, 3, "via"), (1, 12, "to")],
        &[(1, 10, "from"), (0, 5, "via"), (1, 12, "to")],
        &[(1, 10, "from"), (1, 13, "via"), (1, 12, "to")],
        &[(1, 10, "from"), (0, 3, "via"), (0, 4, "via"), (1, 12, "to")],
        &[(2, 1, "from"), (0, 3, "via"), (2, 1, "to")],
        &[(1, 11, "from"), (0, 4, "via"), (1, 12, "to")],
    ];
    for members in cases {
        let intake = with(members, plain);
        assert!(intake.network.unwrap().turns.is_empty(), "{members:?}");
        let codes: Vec<_> = intake
            .findings
            .iter()
            .map(|found| found.code.as_str())
            .collect();
        assert_eq!(codes, ["F-OSM-TURN"], "{members:?}");
    }
}
