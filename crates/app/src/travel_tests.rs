//! Travel in the invented week.

use std::collections::BTreeSet;
use std::sync::Arc;

use gangday_ground::roads::{Travelled, network_of_streets};
use gangday_model::{LonLat, Parameter, ParameterTable, PlanePoint, Programme};
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
            prepared.journey_factors(&gangs[0]),
            prepared.journey_factors(&gangs[1])
        ),
        ([1_500; 24], [1_000; 24])
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

/// The week with journeys that take longer from 7 to 9 and from 10 to 11.
fn week_with_peaks() -> Opened {
    let mut opened = week();
    let row = |hour: u32, value: f64| Parameter {
        key: format!("road.hour.{hour:02}"),
        value,
        unit: "times the usual journey".into(),
        source: "this test".into(),
        date: "2026-11-26".into(),
        extra: serde_json::Map::new(),
    };
    let peaks = [(7, 1.5), (8, 2.5), (10, 1.25)].map(|(hour, value)| row(hour, value));
    let mut programme = Programme::clone(&opened.prepared.programme);
    let rows = programme.method.rows().cloned().chain(peaks);
    programme.method = ParameterTable::new(rows);
    opened.prepared = Arc::new(Prepared::new(programme));
    opened
}

#[test]
fn each_journey_takes_as_long_as_its_hour_says_and_the_checker_finds_one_that_is_quicker() {
    let opened = week_with_peaks();
    let prepared = &opened.prepared;
    let mut factors = [1_000; 24];
    (factors[7], factors[8], factors[10]) = (1_500, 2_500, 1_250);
    assert_eq!(
        prepared.journey_factors(&prepared.programme.gangs[0]),
        factors
    );
    let options = crate::planning::PlanOptions {
        iterations: Some(300),
        ..Default::default()
    };
    let plan = crate::planning::make(&opened, &options, None, &mut |_| true);
    assert!(plan.routes.len() > 2);
    let broken = crate::reports::broken_rules(&opened, &plan);
    assert!(broken.is_empty(), "{broken:?}");
    // The plan of the week without peaks is too quick for this one.
    let usual = crate::planning::make(&week(), &options, None, &mut |_| true);
    let broken = crate::reports::broken_rules(&opened, &usual);
    let codes: Vec<&str> = broken.iter().map(|broken| broken.code.as_str()).collect();
    assert!(codes.contains(&"R-DEPART"), "{codes:?}");
    // Other times on the road are other costs.
    let quick = ["R-TRAVEL", "R-DEPART", "R-RETURN", "R-COSTS"];
    assert!(codes.iter().all(|code| quick.contains(code)), "{codes:?}");
}

#[test]
fn the_board_draws_a_drive_as_long_as_it_takes() {
    let opened = week_with_peaks();
    let prepared = &opened.prepared;
    let gang = &prepared.programme.gangs[0];
    let (from, to) = (gang.depot, prepared.programme.jobs[0].at);
    let minutes = |time: &str| {
        let at = format!("2027-03-01T{time}").parse().unwrap();
        prepared.travel_minutes(gang, (from, to), at)
    };
    let by = |factor: u32| prepared.travel.time(factor, from, to).minutes_up();
    assert!(by(2_500) > by(1_000) + 1);
    assert_eq!(i64::from(minutes("06:59:00")), by(1_000));
    assert_eq!(i64::from(minutes("07:00:00")), by(1_500));
    assert_eq!(i64::from(minutes("08:00:00")), by(2_500));
    // At 8:59 waiting a minute is quicker.
    assert_eq!(i64::from(minutes("08:59:00")), by(1_000));
}
