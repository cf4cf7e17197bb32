//! Streets out of ways.

use gangday_files::OsmIntake;

use crate::map::{Map, Tags};

fn named(name: &str) -> [(&str, &str); 2] {
    [("highway", "residential"), ("name", name)]
}

fn ids(intake: &OsmIntake) -> Vec<&str> {
    intake
        .streets
        .iter()
        .map(|street| street.id.as_str())
        .collect()
}

#[test]
fn one_name_that_hangs_together_is_one_street_called_after_its_least_way() {
    let map = Map::new()
        .row(1..=9, 0)
        .way(30, &[1, 2, 3], &named("Alder Row"))
        .way(20, &[3, 4], &named("Alder Row"))
        .way(40, &[8, 9], &named("Alder Row"))
        .way(10, &[4, 5], &[("highway", "service")])
        .way(11, &[5, 6], &[("highway", "service")]);
    let intake = map.read();
    assert_eq!(ids(&intake), ["osm-w10", "osm-w11", "osm-w20", "osm-w40"]);
    let street = &intake.streets[2];
    assert_eq!(street.name.as_deref(), Some("Alder Row"));
    assert_eq!(street.lines.len(), 1);
    assert_eq!(street.lines[0].len(), 4);
    let network = intake.network.as_ref().unwrap();
    let of_street = network
        .links
        .iter()
        .filter(|link| link.street.as_ref() == Some(&street.id));
    assert_eq!(of_street.count(), 2);
    assert_eq!(map.read(), intake);
}

#[test]
fn the_same_map_in_another_order_gives_the_same_streets() {
    let one = Map::new()
        .row(1..=4, 0)
        .way(30, &[1, 2], &named("Alder Row"))
        .way(20, &[2, 3], &named("Alder Row"));
    let other = Map::new()
        .row(1..=4, 0)
        .way(20, &[2, 3], &named("Alder Row"))
        .way(30, &[1, 2], &named("Alder Row"));
    assert_eq!(one.read(), other.read());
}

#[test]
fn the_highest_limit_and_the_least_width_are_the_street_s() {
    let more = |more: &[(&'static str, &'static str)]| [&named("Alder Row")[..], more].concat();
    let intake = Map::new()
        .row(1..=3, 0)
        .way(
            10,
            &[1, 2],
            &more(&[("maxspeed", "20 mph"), ("width", "7.3")]),
        )
        .way(
            11,
            &[2, 3],
            &more(&[("maxspeed", "40 mph"), ("width", "6 m")]),
        )
        .read();
    let street = &intake.streets[0];
    assert_eq!(
        (street.speed_limit_mph, street.width_m),
        (Some(40), Some(6.0))
    );
    assert_eq!(
        (street.road_type, street.flow_per_3_min, street.one_way),
        (None, None, false)
    );
}

#[test]
fn a_street_is_one_way_if_all_of_it_is() {
    let one_way = |value| {
        [
            ("highway", "residential"),
            ("name", "Alder Row"),
            ("oneway", value),
        ]
    };
    let map = |second: Tags<'_>| {
        Map::new()
            .row(1..=3, 0)
            .way(10, &[1, 2], &one_way("yes"))
            .way(11, &[3, 2], second)
            .read()
    };
    let all = map(&one_way("-1"));
    assert!(all.streets[0].one_way);
    assert_eq!(all.streets[0].lines.len(), 1);
    assert!(all.streets[0].lines[0][0].lon() < all.streets[0].lines[0][2].lon());
    assert!(!map(&named("Alder Row")).streets[0].one_way);
}

#[test]
fn a_named_street_for_walkers_is_a_street_and_a_pavement_is_none() {
    let intake = Map::new()
        .row(1..=9, 0)
        .way(
            10,
            &[1, 2],
            &[("highway", "pedestrian"), ("name", "Market Place")],
        )
        .way(11, &[3, 4], &[("highway", "pedestrian")])
        .way(
            12,
            &[5, 6],
            &[("highway", "footway"), ("name", "Mill Path")],
        )
        .way(13, &[7, 8], &named("Alder Row"))
        .read();
    assert_eq!(ids(&intake), ["osm-w10", "osm-w13"]);
    assert!(!intake.streets[0].one_way);
}
