//! A gang-day as a column of layers, time downward, and the waits beside it.

use std::collections::HashMap;

use chrono::NaiveDate;
use gangday_ground::thinned;
use gangday_model::{
    Gang, Halt, HaltKind, JobId, JobWork, LonLat, Route, Stage, StageWork, Visit, WaitKind,
};

use crate::diary::status_key;
use crate::prepared::Prepared;
use crate::stops::{Stop, What, stops};
use crate::view::{Column, Layer, LayerKind, WaitLayer, WayView};
use crate::words;

/// The key of a route everywhere: `gang@date`.
#[must_use]
pub fn route_key(route: &Route) -> String {
    format!("{}@{}", route.gang, route.date)
}

/// The column of one route; nothing where its gang is unknown.
#[must_use]
pub fn column(prepared: &Prepared, route: &Route) -> Option<Column> {
    let gang = prepared.programme.gang(&route.gang)?;
    let stops = stops(prepared, route, gang);
    Some(Column {
        way: Some(way(prepared, &places(&stops, gang))),
        ..drawn(prepared, (route, &stops), gang)
    })
}

/// The same without the way driven, which takes most of the time.
#[must_use]
pub fn column_without_way(prepared: &Prepared, route: &Route) -> Option<Column> {
    let gang = prepared.programme.gang(&route.gang)?;
    let stops = stops(prepared, route, gang);
    Some(drawn(prepared, (route, &stops), gang))
}

fn drawn(prepared: &Prepared, (route, stops): (&Route, &[Stop<'_>]), gang: &Gang) -> Column {
    let shift_from = words::minutes_of_day(gang.shift.from);
    let legs = legs(prepared, (route, stops), gang);
    let layers = Layers::draw(prepared, (route, stops), &legs, shift_from);
    Column {
        key: route_key(route),
        gang: route.gang.to_string(),
        date: route.date.to_string(),
        shift_from,
        shift_to: words::minutes_of_day(gang.shift.until),
        depart: words::minutes_of(route.depart, route.date),
        back: words::minutes_of(route.back, route.date),
        worked_min: lasting(&layers, LayerKind::Work),
        travel_min: lasting(&layers, LayerKind::Travel),
        idle_min: lasting(&layers, LayerKind::Idle),
        layers,
        waits: waits(prepared, route),
        jobs: jobs_in_order(route)
            .into_iter()
            .map(|job| job.to_string())
            .collect(),
        left: over_night(prepared, route, |stages| stages.last()),
        gone_on: over_night(prepared, route, |stages| stages.first()),
        way: None,
    }
}

/// Jobs whose first or last stage is on another gang-day, in order.
fn over_night(
    prepared: &Prepared,
    route: &Route,
    end: fn(&[StageWork]) -> Option<&StageWork>,
) -> Vec<String> {
    let mut visits = by_job(route);
    let elsewhere = |job: &&JobId| {
        let work = prepared.work_on(job, &route.gang, route.date);
        let end = work.and_then(|work| end(&work.stages));
        let own = visits.remove(*job).unwrap_or_default();
        end.is_some_and(|end| own.iter().all(|visit| visit.stage != end.stage))
    };
    let jobs = jobs_in_order(route).into_iter().filter(elsewhere);
    jobs.map(ToString::to_string).collect()
}

/// Minutes of all layers of one kind.
fn lasting(layers: &[Layer], kind: LayerKind) -> u32 {
    layers
        .iter()
        .filter(|layer| layer.kind == kind)
        .map(|layer| layer.to - layer.from)
        .sum()
}

/// Jobs in the order of their first visit.
#[must_use]
pub fn jobs_in_order(route: &Route) -> Vec<&JobId> {
    let mut jobs: Vec<&JobId> = Vec::new();
    for visit in &route.visits {
        if !jobs.contains(&&visit.job) {
            jobs.push(&visit.job);
        }
    }
    jobs
}

/// Where a gang is, depot to depot.
fn places(stops: &[Stop<'_>], gang: &Gang) -> Vec<LonLat> {
    let stops = stops.iter().map(|stop| stop.at);
    let depot = std::iter::once(gang.depot);
    depot.clone().chain(stops).chain(depot).collect()
}

/// How long each leg takes, in minutes.
fn legs(prepared: &Prepared, (route, stops): (&Route, &[Stop<'_>]), gang: &Gang) -> Vec<u32> {
    let left = std::iter::once(route.depart).chain(stops.iter().map(Stop::leave));
    let places = places(stops, gang);
    let legs = places.windows(2).zip(left);
    legs.map(|(leg, left)| prepared.travel_minutes(gang, (leg[0], leg[1]), left))
        .collect()
}

/// The way driven.
fn way(prepared: &Prepared, places: &[LonLat]) -> WayView {
    let mut line = Vec::new();
    let mut metres = 0.0;
    for leg in places.windows(2).filter(|leg| leg[0] != leg[1]) {
        let drive = prepared.drive(leg[0], leg[1]);
        line.extend(drive.line);
        metres += drive.metres;
    }
    line.dedup();
    WayView {
        line: words::steps(&thinned(&line)),
        km: (metres / 100.0).round() / 10.0,
    }
}

/// The layers, filled from the top without a gap.
struct Layers {
    done: Vec<Layer>,
    now: u32,
}

impl Layers {
    fn draw(
        prepared: &Prepared,
        (route, stops): (&Route, &[Stop<'_>]),
        legs: &[u32],
        shift_from: u32,
    ) -> Vec<Layer> {
        let back = words::minutes_of(route.back, route.date);
        let first = stops.first().zip(legs.first());
        let there = first
            .map(|(stop, leg)| words::minutes_of(stop.arrive, route.date).saturating_sub(*leg));
        // What was done early was driven to before that.
        let depart = words::minutes_of(route.depart, route.date);
        let depart = there.map_or(depart, |there| depart.min(there));
        let loads = depart.saturating_sub(prepared.load_minutes());
        let mut layers = Self {
            done: Vec::new(),
            now: shift_from.min(loads),
        };
        layers.idle_until(loads);
        layers.fill(LayerKind::Load, depart, None, "Load at the depot");
        for (stop, leg) in stops.iter().zip(legs) {
            match stop.what {
                What::Visit(visit) => layers.visit(visit, *leg, route.date),
                What::Halt(halt) => layers.halt(halt, *leg, route.date),
            }
        }
        let leg = legs.last().copied().unwrap_or(0);
        layers.idle_until(back.saturating_sub(leg));
        layers.fill(LayerKind::Travel, back, None, "Back to the depot");
        layers.fill(
            LayerKind::Unload,
            back + prepared.unload_minutes(),
            None,
            "Unload",
        );
        layers.done
    }

    fn visit(&mut self, visit: &Visit, leg: u32, day: NaiveDate) {
        let arrive = words::minutes_of(visit.arrive, day);
        let job = Some(&visit.job);
        self.idle_until(arrive.saturating_sub(leg));
        self.fill(
            LayerKind::Travel,
            arrive,
            job,
            &format!("Drive to {}", visit.job),
        );
        self.idle_until(words::minutes_of(visit.start, day));
        self.work(visit, words::minutes_of(visit.finish, day));
    }

    fn halt(&mut self, halt: &Halt, leg: u32, day: NaiveDate) {
        let arrive = words::minutes_of(halt.arrive, day);
        let tip = halt.tip.as_ref().map_or("the depot", |tip| tip.as_str());
        let (kind, way, what) = match halt.kind {
            HaltKind::Break => (LayerKind::Rest, "Drive on".to_owned(), "Break"),
            HaltKind::Tip => (LayerKind::Unload, format!("Drive to {tip}"), "Tip arisings"),
            HaltKind::Reload => {
                let what = "Tip arisings and load again at the depot";
                (LayerKind::Load, "Drive to the depot".to_owned(), what)
            }
        };
        self.idle_until(arrive.saturating_sub(leg));
        self.fill(LayerKind::Travel, arrive, None, &way);
        self.fill(kind, words::minutes_of(halt.leave, day), None, what);
    }

    fn work(&mut self, visit: &Visit, until: u32) {
        let minutes = words::lasting(until.saturating_sub(self.now));
        let text = format!("{} {}, {minutes}", words::stage(visit.stage), visit.job);
        // What was recorded before something else that went on then is shown all the same.
        let now = self.now;
        self.now = now.min(until.saturating_sub(1));
        self.push(
            LayerKind::Work,
            until,
            Some(&visit.job),
            Some(visit.stage),
            text,
        );
        self.now = now.max(until);
        if let (Some(layer), Some(status)) = (self.done.last_mut(), visit.status) {
            layer.stays = Some(status_key(status).to_owned());
        }
    }

    fn idle_until(&mut self, until: u32) {
        self.fill(LayerKind::Idle, until, None, "Nothing to do");
    }

    fn fill(&mut self, kind: LayerKind, until: u32, job: Option<&JobId>, what: &str) {
        let text = format!("{what}, {}", words::lasting(until.saturating_sub(self.now)));
        self.push(kind, until, job, None, text);
    }

    fn push(
        &mut self,
        kind: LayerKind,
        until: u32,
        job: Option<&JobId>,
        stage: Option<Stage>,
        words: String,
    ) {
        if until <= self.now {
            return;
        }
        self.done.push(Layer {
            kind,
            job: job.map(ToString::to_string),
            stays: None,
            stage: stage.map(|stage| words::stage_key(stage).to_owned()),
            from: self.now,
            to: until,
            words,
        });
        self.now = until;
    }
}

/// Every cure, set and hold of the route's jobs.
fn waits(prepared: &Prepared, route: &Route) -> Vec<WaitLayer> {
    let visits = by_job(route);
    let mut all = Vec::new();
    for job in jobs_in_order(route) {
        if let Some(work) = prepared.work_on(job, &route.gang, route.date) {
            all.extend(waits_of(prepared, work, &visits[job], route.date));
        }
    }
    all
}

/// The visits of each job, in order of time.
fn by_job(route: &Route) -> HashMap<&JobId, Vec<&Visit>> {
    let mut visits: HashMap<&JobId, Vec<&Visit>> = HashMap::new();
    for visit in &route.visits {
        visits.entry(&visit.job).or_default().push(visit);
    }
    visits
}

fn waits_of(
    prepared: &Prepared,
    work: &JobWork,
    visits: &[&Visit],
    day: NaiveDate,
) -> Vec<WaitLayer> {
    let mut all = Vec::new();
    for pair in visits.windows(2) {
        let stage = work
            .stages
            .iter()
            .find(|stage| stage.stage == pair[0].stage);
        let Some(wait) = stage.and_then(|stage| stage.then) else {
            continue;
        };
        let from = words::minutes_of(pair[0].finish, day);
        let along = prepared.cure_on(day, wait.kind);
        let to = match along.filter(|_| wait.kind != WaitKind::Hold) {
            Some(cure) => cure.ready(from * 60) / 60,
            None => from + u32::try_from(wait.time.minutes_up()).unwrap_or(0),
        };
        all.push(WaitLayer {
            job: work.job.to_string(),
            kind: words::wait_key(wait.kind).to_owned(),
            from,
            to,
            next: words::minutes_of(pair[1].start, day),
            words: format!(
                "{} until {}",
                words::wait(wait.kind),
                words::clock_on(day, to)
            ),
        });
    }
    all
}
