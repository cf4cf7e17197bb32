//! The index of clashes against holding every closure against every other, and each way of clashing.

use gangday_ground::{Ring, rectangle};
use gangday_model::{ClashKind, PlanePoint};
use gangday_traffic::{Along, ClashLimits, Pair, Party, Rules, clash_between, find_clashes};
use proptest::prelude::*;

fn limits() -> ClashLimits {
    Rules::shipped().clash_limits()
}

fn by_hand(parties: &[Party], limits: &ClashLimits) -> Vec<Pair> {
    let mut found = Vec::new();
    for (a, one) in parties.iter().enumerate() {
        for (b, other) in parties.iter().enumerate().skip(a + 1) {
            found.extend(clash_between(one, other, limits).map(|kind| (a, b, kind)));
        }
    }
    found
}

fn at(east: f64, north: f64) -> PlanePoint {
    PlanePoint::from_metres(east, north)
}

fn ground(centre: PlanePoint) -> Option<Ring> {
    rectangle(centre, 0.0, 8.0, 6.0)
}

/// A lane or road closure at a place in a street of 400 m, from and until these hours.
fn party(street: u32, chainage_m: f64, from: i64, until: i64) -> Party {
    let centre = at(chainage_m, f64::from(street) * 100.0);
    Party {
        from: from * 3600,
        until: until * 3600,
        gang: 0,
        takes_carriageway: true,
        along: Some(Along {
            street,
            chainage_m,
            length_m: 400.0,
        }),
        road: None,
        at: centre,
        apart_m: 1000.0,
        ground: ground(centre),
        ways: Vec::new(),
    }
}

fn kind(a: &Party, b: &Party) -> Option<ClashKind> {
    let found = clash_between(a, b, &limits());
    assert_eq!(found, clash_between(b, a, &limits()), "either way round");
    found
}

/// Common practice, no source: one set-up up to 100 m, both ends from half the street's length.
#[test]
fn two_works_on_one_street_clash_unless_they_are_one_set_up() {
    let first = party(1, 50.0, 8, 12);
    let near = party(1, 150.0, 9, 11);
    assert_eq!(kind(&first, &near), None, "one gang, one set-up");
    let others = Party {
        gang: 1,
        ..near.clone()
    };
    assert_eq!(kind(&first, &others), Some(ClashKind::OneStreet));
    assert_eq!(
        kind(&first, &party(1, 160.0, 9, 11)),
        Some(ClashKind::OneStreet)
    );
    assert_eq!(
        kind(&first, &party(1, 300.0, 9, 11)),
        Some(ClashKind::BothEnds)
    );
    assert_eq!(kind(&first, &party(1, 300.0, 12, 14)), None, "later");
    assert_eq!(kind(&first, &party(2, 50.0, 9, 11)), None, "elsewhere");
    let footway = Party {
        takes_carriageway: false,
        ..party(1, 300.0, 9, 11)
    };
    assert_eq!(kind(&first, &footway), None, "no carriageway taken");
}

#[test]
fn a_closure_on_another_s_diversion_clashes_while_both_stand() {
    let closed = Party {
        ways: vec![vec![at(0.0, 100.0), at(0.0, 200.0), at(300.0, 200.0)]],
        ..party(1, 50.0, 8, 12)
    };
    let on_way = party(2, 200.0, 11, 15);
    assert_eq!(kind(&closed, &on_way), Some(ClashKind::OnDiversion));
    assert_eq!(kind(&closed, &party(2, 200.0, 12, 15)), None, "after it");
    assert_eq!(
        kind(&closed, &party(2, 320.0, 11, 15)),
        None,
        "past its end"
    );
}

/// Traffic Signs Manual chapter 8 part 1 (2009), table 3.3, relaxed, 30 mph: 1 km.
#[test]
fn sites_on_one_road_nearer_than_the_table_clash() {
    let road = |street: u32, chainage: f64| Party {
        road: Some(7),
        ..party(street, chainage, 8, 12)
    };
    assert_eq!(kind(&road(1, 0.0), &road(2, 900.0)), Some(ClashKind::Near));
    assert_eq!(kind(&road(1, 0.0), &road(2, 1000.0)), None);
    let other = Party {
        road: Some(8),
        ..road(2, 900.0)
    };
    assert_eq!(kind(&road(1, 0.0), &other), None, "another road");
}

fn any_party() -> impl Strategy<Value = Party> {
    let place = (0u32..6, 0.0f64..400.0, 0i64..60, 1i64..30);
    let more = (
        0u32..3,
        any::<bool>(),
        any::<bool>(),
        prop::option::of(0u32..2),
    );
    let way = prop::collection::vec((0.0f64..400.0, 0.0f64..600.0), 0..5);
    (place, more, way).prop_map(|((street, chainage, from, lasts), more, way)| {
        let (gang, takes_carriageway, has_ground, road) = more;
        let found = party(street, chainage, from, from + lasts);
        let way: Vec<PlanePoint> = way
            .into_iter()
            .map(|(east, north)| at(east, north))
            .collect();
        Party {
            gang,
            takes_carriageway,
            road,
            ground: found.ground.clone().filter(|_| has_ground),
            apart_m: 150.0,
            ways: if way.len() > 1 { vec![way] } else { Vec::new() },
            ..found
        }
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_index_finds_what_every_pair_by_hand_finds(
        parties in prop::collection::vec(any_party(), 0..60)
    ) {
        prop_assert_eq!(find_clashes(&parties, &limits()), by_hand(&parties, &limits()));
    }
}
