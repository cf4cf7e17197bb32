//! One job, made ready to show.

use gangday_ground::rectangle;
use gangday_model::{
    Job, JobWork, LonLat, Millimetres, Route, StageWork, TakeOff, Visit, WaitKind,
};

use crate::attachments;
use crate::columns::route_key;
use crate::nights;
use crate::prepared::Prepared;
use crate::view::JobView;
use crate::words;

/// The view of a job.
///
/// # Units
/// `bearing_deg`: of the street at the job, clockwise from the plane's north.
#[must_use]
pub fn job_view(prepared: &Prepared, at: usize, bearing_deg: f64, routes: &[&Route]) -> JobView {
    let job = &prepared.programme.jobs[at];
    let (route, rest) = (routes.first().copied(), routes.get(1..).unwrap_or_default());
    let taken = prepared.take_offs[at].as_deref();
    let work = match route {
        Some(route) => prepared.work_on(&job.id, &route.gang, route.date),
        None => prepared.works[at].as_deref(),
    };
    let plan = |size: fn(&TakeOff) -> (Millimetres, Millimetres)| {
        taken
            .map(|taken| in_plan(prepared, at, bearing_deg, size(taken)))
            .unwrap_or_default()
    };
    JobView {
        id: job.id.to_string(),
        at: job.at.into(),
        outline: plan(|taken| (taken.dig_length, taken.dig_width)),
        chamber: plan(|taken| (taken.ironwork_length, taken.ironwork_width)),
        work: words::work_key(job.work).to_owned(),
        position: words::position_key(job.position).to_owned(),
        title: title(job, taken),
        called: called(job),
        street: street_name(prepared, at),
        priority: u32::from(job.priority),
        closure: words::closure_key(prepared.closures[at].kind).to_owned(),
        terms: terms(job),
        route: route.map(route_key),
        next_route: rest.first().map(|route| route_key(route)),
        left: nights::in_words(routes),
        work_min: work.map_or(0, |work| minutes(work.work())),
        closure_min: work.map_or(0, |work| minutes(work.shortest())),
        stages: work
            .map(|work| stages(prepared, job, work, route))
            .unwrap_or_default(),
        attachments: attachments::of_job(job),
    }
}

fn minutes(time: gangday_model::Seconds) -> u32 {
    u32::try_from(time.minutes_up()).unwrap_or(0)
}

/// What a job's street is called.
#[must_use]
pub fn street_name(prepared: &Prepared, at: usize) -> Option<String> {
    let street = &prepared.programme.streets[prepared.streets[at]?];
    Some(prepared.street_names().word(&street.id).to_owned())
}

/// What people call a job, or its address: a property of its own that no figure needs.
#[must_use]
pub fn called(job: &Job) -> Option<String> {
    let words = job.extra.get("title")?.as_str()?.trim();
    (!words.is_empty()).then(|| words.to_owned())
}

/// A rectangle in plan, turned with the street.
fn in_plan(
    prepared: &Prepared,
    at: usize,
    bearing_deg: f64,
    (length, width): (Millimetres, Millimetres),
) -> Vec<[f64; 2]> {
    let ring = prepared.points[at]
        .and_then(|point| rectangle(point, bearing_deg, length.m(), width.m()))
        .and_then(|ring| prepared.plane.ring_to_lonlat(&ring));
    ring.unwrap_or_default()
        .into_iter()
        .map(words::place_of_dig)
        .collect()
}

/// `New chamber in the footway, 600 × 600 mm, 6 sections`.
fn title(job: &Job, taken: Option<&TakeOff>) -> String {
    let what = format!(
        "{} {}",
        words::work(job.work),
        words::position(job.position)
    );
    match taken {
        Some(taken) if taken.sections > 0 => {
            let depth = taken.depth.m();
            let sections = words::count(taken.sections as usize, "section", "sections");
            format!("{what}, {sections}, {depth:.2} m deep")
        }
        _ => what,
    }
}

/// Dates, hours, tickets and permit as words.
#[must_use]
pub fn terms(job: &Job) -> Vec<String> {
    let earliest = job
        .earliest
        .map(|day| format!("Not before {}", words::day(day)));
    let latest = job
        .latest
        .map(|day| format!("Not after {}", words::day(day)));
    let hours: Vec<String> = job.site_hours.iter().map(words::hours).collect();
    let hours = (!hours.is_empty()).then(|| format!("Site hours {}", hours.join(", ")));
    let tickets = (!job.tickets.is_empty()).then(|| format!("Needs {}", job.tickets.join(", ")));
    let permit = job.permit.as_ref().map(|permit| format!("Permit {permit}"));
    let class = job
        .load_class
        .map(|class| format!("Cover class {class:?} (EN 124)"));
    let priority = Some(format!(
        "Priority {}{}",
        job.priority,
        priority(job.priority)
    ));
    [
        priority,
        earliest,
        latest,
        hours,
        tickets,
        class,
        permit,
        leave(job),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Over which nights its works may be left, where the job says so itself.
fn leave(job: &Job) -> Option<String> {
    let weekend = match job.over_weekend {
        Some(true) => ", over a weekend too",
        Some(false) => ", not over a weekend",
        None => "",
    };
    match job.nights {
        Some(0) => Some("Not left over a night".to_owned()),
        Some(nights) => {
            let nights = words::count(nights as usize, "night", "nights");
            Some(format!("May be left over {nights}{weekend}"))
        }
        None => None,
    }
}

const fn priority(priority: u8) -> &'static str {
    if priority == 1 { " (must)" } else { "" }
}

/// `Dig 85 min`, `Base cures 73 min`; on a gang-day with temperatures by the hour the wait is that of the plan.
fn stages(prepared: &Prepared, job: &Job, work: &JobWork, route: Option<&Route>) -> Vec<String> {
    let planned = |stage: &StageWork| as_planned(prepared, job, stage, route?);
    let own = work.stages.iter();
    own.flat_map(|own| stage(own, planned(own))).collect()
}

/// Minutes from the end of a planned visit until what it placed is ready, along the day's temperatures.
fn as_planned(prepared: &Prepared, job: &Job, stage: &StageWork, route: &Route) -> Option<u32> {
    let kind = stage.then?.kind;
    let cure = prepared.cure_on(route.date, kind);
    let cure = cure.filter(|_| kind != WaitKind::Hold)?;
    let own = |visit: &&Visit| visit.job == job.id && visit.stage == stage.stage;
    let placed = words::minutes_of(route.visits.iter().find(own)?.finish, route.date);
    Some((cure.ready(placed * 60) / 60).saturating_sub(placed))
}

fn stage(stage: &StageWork, planned: Option<u32>) -> Vec<String> {
    let mut lines = vec![format!(
        "{} {}",
        words::stage(stage.stage),
        words::lasting(minutes(stage.work))
    )];
    if let Some(wait) = stage.then {
        lines.push(format!(
            "{} {}",
            words::wait(wait.kind),
            words::lasting(planned.unwrap_or_else(|| minutes(wait.time)))
        ));
    }
    lines
}

/// The middle of the programme's jobs and depots, as `[west, south, east, north]`.
#[must_use]
pub fn area(places: impl Iterator<Item = LonLat>) -> [f64; 4] {
    places.fold(
        [180.0, 90.0, -180.0, -90.0],
        |[west, south, east, north], place| {
            [
                west.min(place.lon()),
                south.min(place.lat()),
                east.max(place.lon()),
                north.max(place.lat()),
            ]
        },
    )
}
