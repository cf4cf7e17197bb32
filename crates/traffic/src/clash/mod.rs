//! Works that get in one another's way, found by index in time and space.

mod index;
pub(crate) mod key;
mod pairs;
mod party;

use std::collections::HashMap;

use gangday_ground::{Plane, Ring};
use gangday_model::{
    Clash, ClashKind, ClashWeight, Closure, ClosureKind, Diversion, Finding, Job, JobId, LonLat,
    PlanePoint, Programme,
};

pub use index::{Pair, find_clashes};
pub use party::{Along, ClashLimits, Party, clash_between};

use crate::names::StreetNames;
use crate::rules::Rules;
use crate::street::Streets;

/// What clashes are looked for in.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// Jobs and streets.
    pub programme: &'a Programme,
    /// The closures.
    pub closures: &'a [Closure],
    /// The ways round those that close a road.
    pub diversions: &'a [Diversion],
    /// The working plane.
    pub plane: &'a Plane,
    /// What the streets are called.
    pub names: &'a StreetNames,
}

impl Rules {
    /// Every clash of a plan, by job, and a finding for each that names both parties.
    #[must_use]
    pub fn clashes(&self, asked: &Asked<'_>) -> (Vec<Clash>, Vec<Finding>) {
        let parties = parties(self, asked);
        let found = find_clashes(&parties, &self.clash_limits());
        let names = Names(asked.names);
        let clash = |(a, b, kind): Pair| {
            let (a, b) = (&asked.closures[a], &asked.closures[b]);
            let weight = self.clash_weight(kind, a, b)?;
            Some(names.clash(self, (a, b), kind, weight))
        };
        let clashes: Vec<Clash> = found.into_iter().filter_map(clash).collect();
        let findings = clashes.iter().map(finding).collect();
        (clashes, findings)
    }
}

/// Closures as the search sees them.
fn parties(rules: &Rules, asked: &Asked<'_>) -> Vec<Party> {
    let reach_m = rules.value(crate::key::STREET_REACH);
    let streets = Streets::new(&asked.programme.streets, asked.plane, reach_m);
    let jobs: HashMap<&JobId, &Job> = asked
        .programme
        .jobs
        .iter()
        .map(|job| (&job.id, job))
        .collect();
    let ways: HashMap<&JobId, &Diversion> = asked
        .diversions
        .iter()
        .map(|diversion| (&diversion.job, diversion))
        .collect();
    let mut numbers = Numbers::default();
    asked
        .closures
        .iter()
        .map(|closure| {
            let place = jobs.get(&closure.job).map(|job| job.at);
            let at = place.and_then(|at| asked.plane.to_plane(at));
            let at = at.unwrap_or(PlanePoint::from_metres(f64::MAX, f64::MAX));
            let in_street = jobs
                .get(&closure.job)
                .and_then(|job| streets.of(job, Some(at)));
            let street = in_street.map(|place| place.street);
            let (mph, _) = rules.speed(street);
            let along = in_street.and_then(|place| {
                let (line, snap) = place.line?;
                Some(Along {
                    street: numbers.of(place.street.id.as_str()),
                    chainage_m: snap.station.chainage_m,
                    length_m: line.length_m(),
                })
            });
            let name = street.and_then(|street| street.name.as_deref());
            Party {
                from: closure.start.and_utc().timestamp(),
                until: closure.end.and_utc().timestamp(),
                gang: numbers.of(closure.gang.as_str()),
                takes_carriageway: takes_carriageway(closure),
                along,
                road: name.map(|name| numbers.of(name)),
                at,
                apart_m: rules.banded(key::APART, mph) * 1e3,
                ground: Ring::new(on_plane(asked.plane, &closure.footprint)),
                ways: ways
                    .get(&closure.job)
                    .map_or_else(Vec::new, |way| lines(asked.plane, way)),
            }
        })
        .collect()
}

fn takes_carriageway(closure: &Closure) -> bool {
    matches!(closure.kind, ClosureKind::Lane | ClosureKind::Road)
}

fn lines(plane: &Plane, diversion: &Diversion) -> Vec<Vec<PlanePoint>> {
    let ways = [&diversion.along, &diversion.against];
    let ways = ways.into_iter().flatten();
    ways.map(|way| on_plane(plane, &way.line)).collect()
}

fn on_plane(plane: &Plane, places: &[LonLat]) -> Vec<PlanePoint> {
    let places = places.iter();
    places.filter_map(|place| plane.to_plane(*place)).collect()
}

/// A number for each text, so that parties are compared by numbers.
#[derive(Default)]
struct Numbers<'a>(HashMap<&'a str, u32>);

impl<'a> Numbers<'a> {
    fn of(&mut self, text: &'a str) -> u32 {
        let next = u32::try_from(self.0.len()).unwrap_or(u32::MAX);
        *self.0.entry(text).or_insert(next)
    }
}

/// What streets are called.
struct Names<'a>(&'a StreetNames);

impl Names<'_> {
    /// The street of a closure, in words.
    fn street(&self, closure: &Closure) -> &str {
        let id = closure.street.as_ref();
        id.map_or("its street", |id| self.0.word(id))
    }

    fn clash(
        &self,
        rules: &Rules,
        (a, b): (&Closure, &Closure),
        kind: ClashKind,
        weight: ClashWeight,
    ) -> Clash {
        let (from, until) = (a.start.max(b.start), a.end.min(b.end));
        let both = format!("jobs {} and {}", a.job, b.job);
        let when = format!(
            "from {} to {}",
            from.format("%-d %b %H:%M"),
            until.format("%-d %b %H:%M")
        );
        let (one, other) = (self.street(a), self.street(b));
        let place = if one == other {
            format!("both in {one}")
        } else {
            format!("in {one} and {other}")
        };
        let text = match kind {
            ClashKind::OnDiversion => format!(
                "The closures of {both}, {place}, stand {when}, and one takes the road \
                 that the other's diversion follows."
            ),
            ClashKind::BothEnds => {
                format!("The closures of {both} stand at both ends of {one} {when}.")
            }
            ClashKind::OneStreet => format!("The closures of {both} stand in {one} {when}."),
            ClashKind::Near => format!(
                "The sites of {both} stand on one road, {one}, {when}, nearer than the code has sites \
                 ({}).",
                rules.source("clash.apart.30"),
            ),
        };
        Clash {
            kind,
            job: a.job.clone(),
            other: b.job.clone(),
            from,
            until,
            weight,
            text,
            remedy: remedy(kind).to_owned(),
        }
    }
}

const fn remedy(kind: ClashKind) -> &'static str {
    match kind {
        ClashKind::OnDiversion => "Plan one after the other, or agree another diversion.",
        ClashKind::BothEnds => "Plan one end after the other.",
        ClashKind::OneStreet => {
            "Plan one after the other, or put both under one set-up of one gang."
        }
        ClashKind::Near => "Ask the authority how far apart it wants them, or plan one later.",
    }
}

/// The codes of everything that clashes: works with works, and works with the terms of their street.
pub const CLASHES: [&str; 6] = [
    "T-DIVERSION",
    "T-BOTH-ENDS",
    "T-ONE-STREET",
    "T-NEAR",
    "T-RESTRICTED",
    "T-SENSITIVE",
];

/// The code of a clash.
const fn code(kind: ClashKind) -> &'static str {
    match kind {
        ClashKind::OnDiversion => "T-DIVERSION",
        ClashKind::BothEnds => "T-BOTH-ENDS",
        ClashKind::OneStreet => "T-ONE-STREET",
        ClashKind::Near => "T-NEAR",
    }
}

fn finding(clash: &Clash) -> Finding {
    let make = match clash.weight {
        ClashWeight::Warned => Finding::note,
        ClashWeight::Priced | ClashWeight::Barred => Finding::warning,
    };
    let (text, remedy) = (clash.text.as_str(), clash.remedy.as_str());
    make(code(clash.kind), text, remedy).at(clash.job.as_str())
}
