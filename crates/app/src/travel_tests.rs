//! Travel in the invented week.

use std::collections::BTreeSet;
use std::sync::Arc;

use gangday_ground::roads::{Travelled, network_of_streets};
use gangday_model::{LonLat, PlanePoint};
use gangday_planner::Travel as Times;

use crate::journeys::Vehicles;
use crate::opened::Opened;
use crate::prepared::Prepared;

fn week() -> Opened {
    crate::demo::open(crate::view::DemoWeek::Small)
}

fn places(prepared: &Prepared) -> Vec<LonLat> {
    let jobs = prepared.programme.jobs.iter().map(|job| job.at);
    jobs.chain(prepared.programme.gangs.iter().map(|gang| gang.depot))
        .collect()
}

#[test]
fn the_invented_town_is_driven_by_road() {
    let opened = week();
    let prepared = &opened.prepared;
    let places = places(prepared);
    let drive = prepared.drive(places[0], places[1]);
    assert_eq!(drive.by, Travelled::Road);
    assert!(drive.line.len() > 2 && drive.metres > 0.0);
    assert_eq!(
        (drive.line[0], drive.line[drive.line.len() - 1]),
        (places[0], places[1])
    );
    assert!(prepared.travel.describe().contains("by road"));
}

/// What the search is given, what is shown and what the checker reckons, for every two places.
#[test]
fn search_and_checker_agree_on_every_journey() {
    let opened = week();
    let prepared = &opened.prepared;
    let places = places(prepared);
    let points: Vec<PlanePoint> = places
        .iter()
        .map(|at| prepared.plane.to_plane(*at).unwrap())
        .collect();
    for factor in [1_000, 1_150] {
        let vehicles = Vehicles::of(&prepared.travel, &points, &BTreeSet::from([factor]));
        assert!(matches!(vehicles.times[0], Times::Matrix { .. }));
        let asked = crate::journeys::asked(&prepared.travel, &points, factor);
        for (a, from) in (0..).zip(&places) {
            for (b, to) in (0..).zip(&places) {
                let plainly = prepared.travel.time_plainly(factor, *from, *to);
                assert_eq!(prepared.travel.time(factor, *from, *to), plainly);
                assert_eq!(
                    i64::from(vehicles.times[0].seconds(a, b)),
                    plainly.seconds()
                );
                assert_eq!(i64::from(asked.seconds(a, b)), plainly.seconds());
            }
        }
    }
}

#[test]
fn a_place_off_the_roads_is_driven_to_straight_and_that_is_said() {
    let mut programme = week().prepared.programme.as_ref().clone();
    let far = LonLat::new(
        programme.jobs[0].at.lon(),
        programme.jobs[0].at.lat() + 0.05,
    );
    programme.jobs[0].at = far;
    let (id, depot) = (programme.jobs[0].id.clone(), programme.gangs[0].depot);
    let prepared = Prepared::new(programme);
    assert_eq!(prepared.drive(depot, far).by, Travelled::Straight);
    let said = |finding: &&gangday_model::Finding| finding.code == "T-OFF-ROAD";
    let off: Vec<_> = prepared.findings().iter().filter(said).collect();
    assert!(
        off.iter()
            .any(|finding| finding.place.feature.as_deref() == Some(id.as_str()))
    );
}

#[test]
fn without_streets_every_journey_is_straight() {
    let mut programme = week().prepared.programme.as_ref().clone();
    programme.streets.clear();
    let prepared = Prepared::new(programme);
    let places = places(&prepared);
    let drive = prepared.drive(places[0], places[1]);
    assert_eq!((drive.by, drive.line.len()), (Travelled::Straight, 2));
    assert!(
        !prepared
            .findings()
            .iter()
            .any(|finding| finding.code == "T-OFF-ROAD")
    );
}

#[test]
fn a_slower_vehicle_takes_longer_and_a_senseless_factor_is_named() {
    let mut programme = week().prepared.programme.as_ref().clone();
    programme.gangs[0]
        .extra
        .insert("journey_factor".into(), 1.5.into());
    programme.gangs[1]
        .extra
        .insert("journey_factor".into(), "fast".into());
    let prepared = Prepared::new(programme);
    let gangs = &prepared.programme.gangs;
    assert_eq!(
        (
            prepared.journey_factor(&gangs[0]),
            prepared.journey_factor(&gangs[1])
        ),
        (1_500, 1_000)
    );
    let codes: Vec<&str> = prepared
        .findings()
        .iter()
        .map(|finding| finding.code.as_str())
        .collect();
    assert_eq!(codes.iter().filter(|code| **code == "G-JOURNEY").count(), 1);
}

#[test]
fn a_network_that_is_given_is_driven_in_place_of_the_streets() {
    let programme = week().prepared.programme.as_ref().clone();
    let plane = gangday_ground::Plane::for_places(programme.jobs.iter().map(|job| job.at));
    let mut network = network_of_streets(&programme.streets, &plane);
    for link in &mut network.links {
        link.limit_kmh = Some(5);
    }
    let usual = Prepared::new(programme.clone());
    let slow = Prepared::on_roads(programme, Some(Arc::new(network)), None);
    let places = places(&usual);
    let (from, to) = (places[0], places[1]);
    assert!(slow.travel.time(1_000, from, to) > usual.travel.time(1_000, from, to));
}
