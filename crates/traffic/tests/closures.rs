//! Closures of whole plans: ground, times and findings.

use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};
use gangday_ground::Plane;
use gangday_model::{
    Closure, ClosureKind, Gang, GangId, Hours, Job, JobWork, LonLat, Mass, Nation, ParameterTable,
    Plan, PlanePoint, Position, Programme, Route, Seconds, Stage, StageWork, Street, Visit, Wait,
    WaitKind, Week, Work,
};
use gangday_traffic::{Examined, Rules, Works, closures, examine};
use geo::{Area, Intersects, LineString, Point, Polygon, Validation, Winding};
use proptest::prelude::*;
use serde_json::Map;

const NO_TIME: NaiveTime = NaiveTime::MIN;
const HERE: PlanePoint = PlanePoint::from_metres(308_000.0, 459_000.0);

fn street(id: &str, line: Vec<LonLat>) -> Street {
    Street {
        id: id.into(),
        name: None,
        road_type: None,
        speed_limit_mph: Some(30),
        width_m: Some(7.2),
        one_way: false,
        flow_per_3_min: None,
        traffic_sensitive: Vec::new(),
        restricted_until: None,
        lines: vec![line],
        extra: Map::new(),
    }
}

fn gang() -> Gang {
    Gang {
        id: "G1".into(),
        name: "First".into(),
        depot: LonLat::new(-3.4, 54.0),
        people: 3,
        tickets: Vec::new(),
        payload: Some(Mass::from_kg(1_200.0)),
        volume_m3: None,
        shift: Hours {
            from: NO_TIME,
            until: NO_TIME,
        },
        overtime: Seconds::ZERO,
        days: None,
        extra: Map::new(),
    }
}

fn programme(jobs: Vec<Job>, streets: Vec<Street>) -> Programme {
    Programme {
        name: "Test".into(),
        jobs,
        streets,
        gangs: vec![gang()],
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

fn moment(minutes: i64) -> NaiveDateTime {
    NaiveDate::default().and_time(NO_TIME) + TimeDelta::minutes(minutes)
}

fn visit(job: &Job, stage: Stage, from: i64, until: i64) -> Visit {
    Visit {
        job: job.id.clone(),
        stage,
        arrive: moment(from),
        start: moment(from),
        finish: moment(until),
        status: None,
    }
}

/// Dig 08:00 to 09:00, surface 10:00 to 10:30, a 60 min hold, signing away 11:30 to 11:40.
fn day(jobs: &[Job]) -> Plan {
    let of_job = |job: &Job| {
        [
            visit(job, Stage::Dig, 480, 540),
            visit(job, Stage::Surface, 600, 630),
            visit(job, Stage::Reopen, 690, 700),
        ]
    };
    let route = Route {
        gang: GangId::new("G1"),
        date: NaiveDate::default(),
        visits: jobs.iter().flat_map(of_job).collect(),
        depart: moment(450),
        back: moment(720),
        halts: Vec::new(),
    };
    Plan {
        routes: vec![route],
        ..Plan::default()
    }
}

fn stages(job: &Job) -> JobWork {
    let hold = Wait {
        kind: WaitKind::Hold,
        time: Seconds::from_minutes(60),
    };
    let stage = |stage, then| StageWork {
        stage,
        work: Seconds::from_minutes(30),
        then,
    };
    JobWork {
        job: job.id.clone(),
        parted: Vec::new(),
        stages: vec![
            stage(Stage::Dig, None),
            stage(Stage::Surface, Some(hold)),
            stage(Stage::Reopen, None),
        ],
    }
}

fn examined(programme: &Programme, plan: &Plan, plane: &Plane) -> Examined {
    let works: Vec<JobWork> = programme.jobs.iter().map(stages).collect();
    let works = Works {
        programme,
        take_offs: &[],
        works: &works,
        plan,
        plane,
        beyond: &[],
    };
    assert_eq!(closures(&works), examine(&works, Rules::shipped()).closures);
    examine(&works, Rules::shipped())
}

fn polygon(closure: &Closure) -> Polygon {
    let outline: LineString = closure
        .footprint
        .iter()
        .map(|place| (place.lon(), place.lat()))
        .collect();
    Polygon::new(outline, Vec::new())
}

/// The ground taken in m2, on the grid.
fn ground_m2(closure: &Closure, plane: &Plane) -> f64 {
    let corners = closure
        .footprint
        .iter()
        .filter_map(|place| plane.to_plane(*place));
    let outline: LineString = corners.map(|at| (at.east_m(), at.north_m())).collect();
    Polygon::new(outline, Vec::new()).signed_area()
}

fn lonlat(plane: &Plane, east: f64, north: f64) -> LonLat {
    let at = PlanePoint::from_metres(HERE.east_m() + east, HERE.north_m() + north);
    plane
        .to_lonlat(at)
        .expect("the test's ground is on the plane")
}

fn job_at(id: &str, at: LonLat, position: Position, kind: Option<ClosureKind>) -> Job {
    let mut job = Job::new(id, at, Work::New, position);
    job.closure = kind;
    job
}

/// A straight 200 m street due east with one job 1.8 m left of its middle.
fn one(position: Position, kind: Option<ClosureKind>) -> (Examined, Plane) {
    let plane = Plane::national_grid();
    let line = vec![lonlat(&plane, -100.0, 0.0), lonlat(&plane, 100.0, 0.0)];
    let job = job_at("J1", lonlat(&plane, 0.0, 1.8), position, kind);
    let programme = programme(vec![job], vec![street("S1", line)]);
    let plan = day(&programme.jobs);
    (examined(&programme, &plan, &plane), plane)
}

#[test]
fn the_times_are_those_of_the_visits_with_the_hold_inside() {
    let (found, _) = one(Position::Carriageway, None);
    let closure = &found.closures[0];
    assert_eq!(found.findings, []);
    assert_eq!((closure.start, closure.end), (moment(480), moment(700)));
    assert_eq!(closure.hold_from, moment(630));
    assert_eq!(closure.street.as_ref().map(|id| id.as_str()), Some("S1"));
    assert_eq!((closure.kind, closure.proposed), (ClosureKind::Lane, true));
}

/// A 1.4 m dig with 0.5 m round it: 2.4 m square.
#[test]
fn with_no_closure_only_the_guarded_works_are_taken() {
    let (found, plane) = one(Position::Verge, None);
    let area = ground_m2(&found.closures[0], &plane);
    assert!((area - 5.76).abs() < 0.01, "{area}");
}

/// 2.4 m wide (more than the footway's 1.8), 2.4 m and a metre of barriers at each end long.
#[test]
fn a_footway_is_taken_for_the_works_and_their_barriers() {
    let (found, plane) = one(Position::Footway, None);
    let area = ground_m2(&found.closures[0], &plane);
    assert!((area - 2.4 * 4.4).abs() < 0.01, "{area}");
}

/// From the kerb at 3.6 m to the works' far edge at 0.6 m and 0.5 m of sideways clearance, 3.5 m;
/// along it a 45 degree taper of 3.5 m and a run-in of 0.5 m, 2.4 m of works, an exit taper of
/// 3.5 m.
#[test]
fn a_lane_is_taken_with_tapers_at_45_degrees_under_two_way_control() {
    let (found, plane) = one(Position::Carriageway, None);
    let closure = &found.closures[0];
    let area = ground_m2(closure, &plane);
    assert!((area - 3.5 * 9.9).abs() < 0.05, "{area}");
    assert!(
        closure
            .because
            .contains("4.0 m before the works and 3.5 m behind")
    );
    // Traffic keeps left, so on the left of the line it comes from the line's start.
    let east_of_job = closure
        .footprint
        .iter()
        .filter_map(|place| plane.to_plane(*place));
    let reach = east_of_job
        .map(|at| at.east_m() - HERE.east_m())
        .fold(0.0, f64::max);
    assert!((reach - 4.7).abs() < 0.01, "{reach}");
}

/// The whole 7.2 m; 2.4 m of works and a run-in of 0.5 m at both ends.
#[test]
fn a_road_is_taken_over_its_whole_width() {
    let (found, plane) = one(Position::Carriageway, Some(ClosureKind::Road));
    let area = ground_m2(&found.closures[0], &plane);
    assert!((area - 7.2 * 3.4).abs() < 0.05, "{area}");
    assert!(!found.closures[0].proposed);
    assert!(found.closures[0].because.starts_with("Stated by the job."));
}

#[test]
fn with_no_street_near_the_works_are_drawn_to_north() {
    let plane = Plane::national_grid();
    let job = job_at("J1", lonlat(&plane, 0.0, 0.0), Position::Carriageway, None);
    let programme = programme(vec![job], Vec::new());
    let found = examined(&programme, &day(&programme.jobs), &plane);
    let closure = &found.closures[0];
    assert_eq!(
        (closure.kind, closure.street.clone()),
        (ClosureKind::Road, None)
    );
    assert!(
        closure.because.contains("No street line is near"),
        "{}",
        closure.because
    );
    assert!((ground_m2(closure, &plane) - 5.5 * 2.4).abs() < 0.05);
}

#[test]
fn what_is_doubtful_is_found() {
    let plane = Plane::national_grid();
    let line = vec![lonlat(&plane, -100.0, 0.0), lonlat(&plane, 100.0, 0.0)];
    let narrow = Street {
        width_m: Some(5.0),
        ..street("S1", line)
    };
    let far = job_at("J1", lonlat(&plane, 0.0, 80.0), Position::Footway, None);
    let lost = job_at("J2", lonlat(&plane, 0.0, 2.0), Position::Footway, None);
    let lane = ClosureKind::Lane;
    let tight = job_at(
        "J3",
        lonlat(&plane, 20.0, 1.0),
        Position::Carriageway,
        Some(lane),
    );
    let far = Job {
        street: Some("S1".into()),
        ..far
    };
    let lost = Job {
        street: Some("S9".into()),
        ..lost
    };
    let programme = programme(vec![far, lost, tight], vec![narrow]);
    let mut plan = day(&programme.jobs);
    let stranger = job_at("X1", lonlat(&plane, 0.0, 0.0), Position::Verge, None);
    plan.routes[0]
        .visits
        .push(visit(&stranger, Stage::Dig, 480, 500));
    plan.routes[0]
        .visits
        .retain(|visit| visit.job.as_str() != "J3" || visit.stage != Stage::Reopen);
    let found = examined(&programme, &plan, &plane);
    let codes: Vec<_> = found
        .findings
        .iter()
        .map(|finding| {
            (
                finding.place.feature.as_deref().unwrap_or(""),
                finding.code.as_str(),
            )
        })
        .collect();
    let expected = [
        ("J1", "T-FAR"),
        ("J2", "T-STREET"),
        ("J3", "T-WIDTH"),
        ("J3", "T-OPEN"),
        ("X1", "T-JOB"),
    ];
    assert_eq!(codes, expected);
    assert_eq!(found.closures.len(), 3);
    assert_eq!(
        found.closures[1].street.as_ref().map(|id| id.as_str()),
        Some("S1")
    );
    assert_eq!(found.closures[2].end, moment(690));
}

#[test]
fn a_place_off_the_plane_keeps_its_closure_and_says_so() {
    let job = job_at("J1", LonLat::new(9.5, 47.1), Position::Footway, None);
    let programme = programme(vec![job], Vec::new());
    let found = examined(&programme, &day(&programme.jobs), &Plane::national_grid());
    assert!(found.closures[0].footprint.is_empty());
    assert_eq!(found.findings[0].code, "T-PLANE");
}

#[test]
fn unplanned_jobs_have_no_closure() {
    let plane = Plane::national_grid();
    let job = job_at("J1", lonlat(&plane, 0.0, 0.0), Position::Verge, None);
    let programme = programme(vec![job], Vec::new());
    assert_eq!(
        examined(&programme, &Plan::default(), &plane),
        Examined::default()
    );
}

fn any_kind() -> impl Strategy<Value = Option<ClosureKind>> {
    prop::sample::select(vec![
        None,
        Some(ClosureKind::None),
        Some(ClosureKind::Footway),
        Some(ClosureKind::Lane),
        Some(ClosureKind::Road),
    ])
}

fn wander(turns: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut bearing = 0.0f64;
    let mut points = vec![(0.0, 0.0)];
    for (turn, step) in turns {
        bearing += turn;
        let (east, north) = points[points.len() - 1];
        let (sin, cos) = bearing.to_radians().sin_cos();
        points.push((east + sin * step, north + cos * step));
    }
    points
}

proptest! {
    /// On the National Grid and on a local plane far from it.
    #[test]
    fn every_ground_is_a_valid_anticlockwise_ring_round_its_job(
        turns in prop::collection::vec((-100.0f64..100.0, 3.0f64..40.0), 1..10),
        pick in 0usize..10,
        (east, north) in (-25.0f64..25.0, -25.0f64..25.0),
        kind in any_kind(),
        (width, mph) in (prop::option::of(2.5f64..12.0), prop::option::of(20u32..70)),
        one_way: bool,
        on_grid: bool,
    ) {
        let (plane, origin) = if on_grid {
            (Plane::national_grid(), HERE)
        } else {
            let far = Plane::local(LonLat::new(30.0, -17.0));
            (far, PlanePoint::from_metres(500.0, -900.0))
        };
        let place = |(e, n): (f64, f64)| {
            plane.to_lonlat(PlanePoint::from_metres(origin.east_m() + e, origin.north_m() + n))
        };
        let points = wander(&turns);
        let near = points[pick % points.len()];
        let line: Option<Vec<LonLat>> = points.iter().map(|at| place(*at)).collect();
        let street = Street {
            width_m: width,
            speed_limit_mph: mph,
            one_way,
            ..street("S1", line.unwrap())
        };
        let at = place((near.0 + east, near.1 + north)).unwrap();
        let job = job_at("J1", at, Position::Carriageway, kind);
        let programme = programme(vec![job], vec![street]);
        let found = examined(&programme, &day(&programme.jobs), &plane);
        let closure = &found.closures[0];
        let shape = polygon(closure);
        prop_assert_eq!(closure.footprint.first(), closure.footprint.last());
        prop_assert!(shape.is_valid(), "{:?}", shape);
        prop_assert!(shape.exterior().is_ccw());
        prop_assert!(shape.intersects(&Point::new(at.lon(), at.lat())));
        prop_assert!(ground_m2(closure, &plane) >= 5.7);
    }
}

/// HAUC(UK) Guidance Bulletin 34: below the least lane, stop and apply for a closure; so a lane
/// closure that leaves less closes its road. A width that nobody states closes nothing: it is to be
/// measured (common practice, no source).
#[test]
fn a_lane_closure_that_leaves_too_little_closes_its_road() {
    let plane = Plane::national_grid();
    let line = vec![lonlat(&plane, -100.0, 0.0), lonlat(&plane, 100.0, 0.0)];
    let job = job_at(
        "J1",
        lonlat(&plane, 0.0, 1.8),
        Position::Carriageway,
        Some(ClosureKind::Lane),
    );
    let found = |width_m: Option<f64>| {
        let street = Street {
            width_m,
            ..street("S1", line.clone())
        };
        let programme = programme(vec![job.clone()], vec![street]);
        examined(&programme, &day(&programme.jobs), &plane)
    };
    let closes = |width_m| found(width_m).closures[0].closes_road;
    assert!(closes(Some(4.8)) && !closes(Some(7.2)));
    let unknown = found(None);
    let closure = &unknown.closures[0];
    assert_eq!(
        (closure.kind, closure.closes_road),
        (ClosureKind::Lane, false)
    );
    assert!(unknown.arrangements[0].because.contains("measure it first"));
    let codes: Vec<_> = unknown
        .findings
        .iter()
        .map(|one| one.code.as_str())
        .collect();
    assert_eq!(codes, ["T-CONTROL"]);
    assert!(unknown.findings[0].text.contains("until it is measured"));
}
