//! The way round a closed road in a small town of our own.

use std::sync::Arc;

use chrono::{NaiveDate, NaiveDateTime};
use gangday_ground::Plane;
use gangday_ground::roads::{Doors, RoadGraph, RoadIndex, Speeds, network_of_streets};
use gangday_model::{
    Address, ClashPair, ClashWeight, Closure, ClosureKind, Diversion, Finding, Job, LonLat, Nation,
    ParameterTable, PlanePoint, Position, Programme, Street, Week, Work,
};
use gangday_traffic::{Asked, Roads, Rounds, Rules, Standing, StandingOf, StreetNames, diversions};
use serde_json::Map;

const ORIGIN: (f64, f64) = (308_000.0, 459_000.0);

fn place(plane: &Plane, (east, north): (f64, f64)) -> LonLat {
    let at = PlanePoint::from_metres(ORIGIN.0 + east, ORIGIN.1 + north);
    plane
        .to_lonlat(at)
        .expect("the test's ground is on the plane")
}

fn street(plane: &Plane, id: &str, line: &[(f64, f64)], one_way: bool) -> Street {
    Street {
        id: id.into(),
        name: Some(format!("{id} Row")),
        road_type: None,
        speed_limit_mph: Some(30),
        width_m: Some(7.2),
        one_way,
        flow_per_3_min: None,
        traffic_sensitive: Vec::new(),
        restricted_until: None,
        lines: vec![line.iter().map(|at| place(plane, *at)).collect()],
        extra: Map::new(),
    }
}

/// A square of four streets, 200 m by 100 m, with a dead end of 80 m out of its north-east corner.
fn town(plane: &Plane, north_is_one_way: bool) -> Vec<Street> {
    vec![
        street(plane, "South", &[(0.0, 0.0), (200.0, 0.0)], false),
        street(plane, "East", &[(200.0, 0.0), (200.0, 100.0)], false),
        street(
            plane,
            "North",
            &[(200.0, 100.0), (0.0, 100.0)],
            north_is_one_way,
        ),
        street(plane, "West", &[(0.0, 100.0), (0.0, 0.0)], false),
        street(plane, "Stub", &[(200.0, 100.0), (280.0, 100.0)], false),
    ]
}

fn programme(streets: Vec<Street>, jobs: Vec<Job>) -> Programme {
    Programme {
        name: "Town".into(),
        jobs,
        streets,
        gangs: Vec::new(),
        tips: Vec::new(),
        method: ParameterTable::default(),
        materials: ParameterTable::default(),
        week: Week {
            nation: Nation::England,
            first_day: NaiveDate::default(),
            days: 5,
            holidays: Vec::new(),
            temperature_c: 10.0,
            today: None,
            rates: Vec::new(),
            nights: 0,
            over_weekend: false,
            plan_from: None,
            extra: Map::new(),
        },
    }
}

fn job(plane: &Plane, id: &str, street: &str, at: (f64, f64)) -> Job {
    let mut job = Job::new(id, place(plane, at), Work::New, Position::Carriageway);
    job.street = Some(street.into());
    job.closure = Some(ClosureKind::Road);
    job
}

fn closed(job: &Job) -> Closure {
    let at = |hour| -> NaiveDateTime {
        NaiveDate::default()
            .and_hms_opt(hour, 0, 0)
            .expect("it is an hour")
    };
    Closure {
        job: job.id.clone(),
        gang: "G1".into(),
        street: job.street.clone(),
        kind: ClosureKind::Road,
        closes_road: true,
        proposed: false,
        because: String::new(),
        worked: None,
        start: at(8),
        hold_from: at(11),
        end: at(12),
        footprint: Vec::new(),
    }
}

fn found(streets: Vec<Street>, jobs: &[Job], plane: &Plane) -> (Vec<Diversion>, Vec<Finding>) {
    let closures: Vec<Closure> = jobs.iter().map(closed).collect();
    found_for(streets, jobs, &closures, plane)
}

fn found_for(
    streets: Vec<Street>,
    jobs: &[Job],
    closures: &[Closure],
    plane: &Plane,
) -> (Vec<Diversion>, Vec<Finding>) {
    found_among(streets, &[], jobs, closures, plane)
}

fn found_among(
    streets: Vec<Street>,
    addresses: &[Address],
    jobs: &[Job],
    closures: &[Closure],
    plane: &Plane,
) -> (Vec<Diversion>, Vec<Finding>) {
    let programme = programme(streets, jobs.to_vec());
    let find = |roads: Roads<'_>| diversions(&programme, closures, plane, roads);
    on_roads(&programme, addresses, plane, find)
}

/// What is found on the roads of a programme.
fn on_roads<T>(
    programme: &Programme,
    addresses: &[Address],
    plane: &Plane,
    find: impl FnOnce(Roads<'_>) -> T,
) -> T {
    let mut network = network_of_streets(&programme.streets, plane);
    network.addresses = addresses.to_vec();
    let names = programme.streets.iter();
    let names = names.filter_map(|street| Some((street.id.clone(), street.name.clone()?)));
    let graph = RoadGraph::prepare(Arc::new(network), &Speeds::shipped());
    let index = RoadIndex::new(&graph, plane);
    find(Roads {
        graph: &graph,
        index: &index,
        doors: &Doors::of(names),
        rounds: &Rounds::default(),
        names: &StreetNames::of(&programme.streets),
    })
}

/// South is 200 m; round by West, North and East it is 400 m, so 200 m longer, both ways.
#[test]
fn a_closed_side_of_a_square_is_driven_round_by_the_three_others() {
    let plane = Plane::national_grid();
    let jobs = [job(&plane, "J1", "South", (100.0, 1.0))];
    let (found, findings) = found(town(&plane, false), &jobs, &plane);
    assert_eq!(findings, []);
    let diversion = &found[0];
    assert!(diversion.two_way && diversion.cut_off.is_empty());
    for (way, order) in [
        (&diversion.along, ["West", "North", "East"]),
        (&diversion.against, ["East", "North", "West"]),
    ] {
        let way = way.as_ref().unwrap();
        assert!((way.length_m - 400.0).abs() < 1.0, "{}", way.length_m);
        assert!((way.extra_m - 200.0).abs() < 1.0, "{}", way.extra_m);
        assert!(way.extra_s > 0.0);
        let streets: Vec<_> = way.streets.iter().map(|id| id.as_str()).collect();
        assert_eq!(streets, order);
    }
    assert!(
        diversion.words.contains("200 m longer"),
        "{}",
        diversion.words
    );
}

/// Lane joins South in its middle. Works 8 m before it take the half of South that they are in; a
/// closure drawn over the junction takes both halves and lets nobody cross it.
#[test]
fn a_closure_over_a_junction_closes_every_link_it_lies_on() {
    let plane = Plane::national_grid();
    let mut streets = town(&plane, false);
    streets.push(street(
        &plane,
        "Lane",
        &[(100.0, 0.0), (100.0, 100.0)],
        false,
    ));
    let job = job(&plane, "J1", "South", (92.0, 1.0));
    let round = |from: f64, until: f64| {
        let corners = [(from, -4.0), (until, -4.0), (until, 4.0), (from, 4.0)];
        let mut closure = closed(&job);
        closure.footprint = corners.map(|at| place(&plane, at)).to_vec();
        let (found, findings) = found_for(
            streets.clone(),
            std::slice::from_ref(&job),
            &[closure],
            &plane,
        );
        assert_eq!(findings, []);
        let way = found[0].along.clone().unwrap();
        let ids = way.streets.iter().map(|id| id.as_str().to_owned());
        (ids.collect::<Vec<_>>(), way.extra_m.round() as i64)
    };
    assert_eq!(
        round(88.0, 96.0),
        (["West", "North", "Lane"].map(String::from).to_vec(), 200)
    );
    assert_eq!(
        round(88.0, 104.0),
        (["West", "North", "East"].map(String::from).to_vec(), 200)
    );
}

/// Close leaves South in its middle and leads nowhere else: works over its mouth cut it off, works
/// beside it leave it the other half of South.
#[test]
fn a_dead_end_whose_mouth_is_closed_is_cut_off() {
    let plane = Plane::national_grid();
    let mut streets = town(&plane, false);
    streets.push(street(
        &plane,
        "Close",
        &[(100.0, 0.0), (100.0, -60.0)],
        false,
    ));
    let job = job(&plane, "J1", "South", (92.0, 1.0));
    let cut_off = |until: f64| {
        let corners = [(88.0, -4.0), (until, -4.0), (until, 4.0), (88.0, 4.0)];
        let mut closure = closed(&job);
        closure.footprint = corners.map(|at| place(&plane, at)).to_vec();
        let (found, findings) = found_for(
            streets.clone(),
            std::slice::from_ref(&job),
            &[closure],
            &plane,
        );
        let codes: Vec<String> = findings.into_iter().map(|one| one.code).collect();
        (found[0].cut_off.clone(), codes)
    };
    assert_eq!(cut_off(96.0), (Vec::new(), Vec::new()));
    assert_eq!(
        cut_off(104.0),
        (vec!["Close".into()], vec!["T-CUT-OFF".to_owned()])
    );
}

/// A loop that begins and ends at one junction has no two ends to be led round between; that it is
/// on the roads is not doubted.
#[test]
fn a_closed_loop_has_no_way_round_and_lies_on_the_roads() {
    let plane = Plane::national_grid();
    let mut streets = town(&plane, false);
    let ring = [(200.0, 0.0), (260.0, -40.0), (260.0, 40.0), (200.0, 0.0)];
    streets.push(street(&plane, "Ring", &ring, false));
    let jobs = [job(&plane, "J1", "Ring", (260.0, 0.0))];
    let (found, findings) = found(streets, &jobs, &plane);
    assert_eq!(found.len(), 1);
    assert_eq!(findings[0].code, "T-NO-WAY");
    assert!(
        findings[0].text.contains("can't be driven round"),
        "{}",
        findings[0].text
    );
}

/// The town with one more street behind its dead end, which nothing else leads to.
fn town_with_close(plane: &Plane) -> Vec<Street> {
    let mut streets = town(plane, false);
    let close = [(280.0, 100.0), (280.0, 160.0)];
    streets.push(street(plane, "Close", &close, false));
    streets
}

/// North goes west only: against South's line one drives round by it, along South's line one can't.
#[test]
fn where_one_direction_has_no_way_round_it_is_said() {
    let plane = Plane::national_grid();
    let jobs = [job(&plane, "J1", "South", (100.0, 1.0))];
    let (found, findings) = found(town(&plane, true), &jobs, &plane);
    assert!(found[0].along.is_none() && found[0].against.is_some());
    assert!(
        found[0].words.contains("no diversion exists"),
        "{}",
        found[0].words
    );
    assert!(findings.iter().any(|one| one.code == "T-NO-WAY"));
}

/// Behind the closed stub hangs one more street, which nothing else leads to.
#[test]
fn a_dead_end_has_no_way_round_and_what_it_cuts_off_is_named() {
    let plane = Plane::national_grid();
    let jobs = [job(&plane, "J1", "Stub", (240.0, 101.0))];
    let (found, findings) = found(town_with_close(&plane), &jobs, &plane);
    assert!(found[0].along.is_none() && found[0].against.is_none());
    let cut_off: Vec<_> = found[0].cut_off.iter().map(|id| id.as_str()).collect();
    assert_eq!(cut_off, ["Close", "Stub"]);
    let codes: Vec<_> = findings.iter().map(|one| one.code.as_str()).collect();
    assert_eq!(codes, ["T-NO-WAY", "T-CUT-OFF"]);
    assert!(
        findings[1].text.contains("Close Row"),
        "{}",
        findings[1].text
    );
}

/// Two sides of the square closed at once: each lies on the other's way round.
#[test]
fn a_closure_on_another_s_diversion_names_both() {
    let plane = Plane::national_grid();
    let jobs = [
        job(&plane, "J1", "South", (100.0, 1.0)),
        job(&plane, "J2", "North", (100.0, 99.0)),
    ];
    let (found, _) = found(town(&plane, false), &jobs, &plane);
    let programme = programme(town(&plane, false), jobs.to_vec());
    let mut closures: Vec<Closure> = jobs.iter().map(closed).collect();
    for (closure, north) in closures.iter_mut().zip([0.0, 100.0]) {
        let corners = [
            (95.0, -4.0),
            (105.0, -4.0),
            (105.0, 4.0),
            (95.0, 4.0),
            (95.0, -4.0),
        ];
        let corner = |(east, up): (f64, f64)| place(&plane, (east, north + up));
        closure.footprint = corners.into_iter().map(corner).collect();
    }
    let asked = Asked {
        programme: &programme,
        closures: &closures,
        diversions: &found,
        plane: &plane,
        names: &StreetNames::of(&programme.streets),
    };
    let (clashes, findings) = Rules::shipped().clashes(&asked);
    assert_eq!(clashes.len(), 1);
    assert_eq!(findings[0].code, "T-DIVERSION");
    for party in ["J1", "J2", "South Row", "North Row"] {
        assert!(findings[0].text.contains(party), "{}", findings[0].text);
    }
    let pairs = standing_pairs(&programme, &plane);
    assert_eq!(pairs.len(), 1);
    assert_eq!((pairs[0].one, pairs[0].other), (0, 1));
    assert_eq!(pairs[0].weight, ClashWeight::Barred);
}

/// Which two jobs clash if all closures always stand.
fn standing_pairs(programme: &Programme, plane: &Plane) -> Vec<ClashPair> {
    let take_offs = vec![None; programme.jobs.len()];
    let find = |roads: Roads<'_>| {
        let of = StandingOf {
            programme,
            take_offs: &take_offs,
            plane,
            rules: Rules::shipped(),
            roads: Some(roads),
        };
        Standing::of(&of).pairs().to_vec()
    };
    on_roads(programme, &[], plane, find)
}

/// A lane closure past which nobody drives is driven round; one that traffic is led past is not.
#[test]
fn a_lane_closure_past_which_nobody_drives_has_a_diversion() {
    let plane = Plane::national_grid();
    let job = job(&plane, "J1", "South", (100.0, 1.0));
    let round = |closes_road| {
        let closure = Closure {
            kind: ClosureKind::Lane,
            closes_road,
            ..closed(&job)
        };
        let jobs = std::slice::from_ref(&job);
        found_for(town(&plane, false), jobs, &[closure], &plane).0
    };
    assert!(round(true)[0].along.is_some());
    assert_eq!(round(false), []);
}

/// Stub leads nowhere: works in it cut off what lies behind them, to its end, and not what lies
/// before them. No diversion, no signs for one.
#[test]
fn a_closed_dead_end_is_cut_off_from_the_works_to_its_end() {
    let plane = Plane::national_grid();
    let mut jobs = vec![
        job(&plane, "J1", "Stub", (240.0, 101.0)),
        job(&plane, "J2", "Stub", (270.0, 101.0)),
        job(&plane, "J3", "Stub", (210.0, 101.0)),
    ];
    let of_first = |streets, jobs: &[Job]| {
        let closures = [closed(&jobs[0])];
        let (mut found, findings) = found_for(streets, jobs, &closures, &plane);
        (found.remove(0), findings)
    };
    let (round, findings) = of_first(town(&plane, false), &jobs);
    assert_eq!(round.cut_off, ["Stub".into()]);
    let words = "Stub Row from the works to its end; job J2";
    assert!(
        round.words.ends_with(&format!("Cut off: {words}.")),
        "{}",
        round.words
    );
    assert!(findings[1].text.contains(words), "{}", findings[1].text);
    jobs.truncate(1);
    let mut streets = town(&plane, false);
    streets[4].name = None;
    let (round, _) = of_first(streets, &jobs);
    let words = "Cut off: an unnamed road off East Row from the works to its end.";
    assert!(round.words.ends_with(words), "{}", round.words);
}

/// Of the dead end's houses those behind the works are cut off, with those of the close that leads
/// off it; one that names the side street is on that, though the dead end is nearer.
#[test]
fn addresses_behind_a_closed_dead_end_are_named() {
    let plane = Plane::national_grid();
    let job = job(&plane, "J1", "Stub", (240.0, 101.0));
    let house = |number: &str, street: Option<&str>, at| Address {
        at: place(&plane, at),
        number: number.to_owned(),
        street: street.map(ToOwned::to_owned),
    };
    let stub = Some("Stub Row");
    let addresses = [
        house("1", stub, (215.0, 112.0)),
        house("2", stub, (220.0, 88.0)),
        house("12", stub, (250.0, 112.0)),
        house("14", stub, (258.0, 112.0)),
        house("16", stub, (266.0, 112.0)),
        house("18", stub, (274.0, 112.0)),
        house("5", Some("Close Row"), (270.0, 110.0)),
        house("7", None, (285.0, 150.0)),
        house("30", Some("East Row"), (250.0, 90.0)),
        house("9", stub, (600.0, 400.0)),
    ];
    let jobs = std::slice::from_ref(&job);
    let closures = [closed(&job)];
    let streets = town_with_close(&plane);
    let (found, findings) = found_among(streets, &addresses, jobs, &closures, &plane);
    let named = ["5, 7 Close Row", "12 to 18 Stub Row"];
    assert_eq!(found[0].cut_off_addresses, named);
    let words = "addresses 5, 7 Close Row, 12 to 18 Stub Row";
    assert!(found[0].words.contains(words), "{}", found[0].words);
    assert!(findings[1].text.contains(words), "{}", findings[1].text);
}
