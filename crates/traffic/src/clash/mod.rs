//! Works that get in one another's way, found by index in time and space.

mod index;
pub(crate) mod key;
mod party;
mod seen;
mod standing;
mod terms;

use std::collections::HashMap;

use gangday_ground::Plane;
use gangday_model::{
    Clash, ClashKind, ClashWeight, Closure, Diversion, Finding, Job, JobId, LonLat, PlanePoint,
    Programme,
};

pub use index::{Pair, find_clashes};
pub use party::{Along, ClashLimits, Party, clash_between};
pub use standing::{Standing, StandingOf};

use crate::names::StreetNames;
use crate::rules::Rules;
use crate::street::Streets;
use seen::Seen;

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
    let jobs = asked.programme.jobs.iter();
    let jobs: HashMap<&JobId, &Job> = jobs.map(|job| (&job.id, job)).collect();
    let ways = asked.diversions.iter();
    let ways: HashMap<&JobId, &Diversion> = ways.map(|way| (&way.job, way)).collect();
    let mut numbers = Numbers::default();
    let seen = Seen {
        rules,
        plane: asked.plane,
        streets: &streets,
    };
    let closures = asked.closures.iter();
    let party = |closure: &Closure| {
        let ways = ways.get(&closure.job);
        let ways = ways.map_or_else(Vec::new, |way| lines(asked.plane, way));
        let job = jobs.get(&closure.job).copied();
        let mut number = |text: &str| numbers.of(text);
        seen.party((closure, job), ways, &mut number)
    };
    closures.map(party).collect()
}

fn lines(plane: &Plane, diversion: &Diversion) -> Vec<Vec<PlanePoint>> {
    let ways = [&diversion.along, &diversion.against];
    let ways = ways.into_iter().flatten();
    ways.map(|way| on_plane(plane, &way.line)).collect()
}

pub(crate) fn on_plane(plane: &Plane, places: &[LonLat]) -> Vec<PlanePoint> {
    let places = places.iter();
    places.filter_map(|place| plane.to_plane(*place)).collect()
}

/// A number for each text, so that parties are compared by numbers.
#[derive(Debug, Default)]
struct Numbers(HashMap<String, u32>);

impl Numbers {
    fn of(&mut self, text: &str) -> u32 {
        if let Some(known) = self.0.get(text) {
            return *known;
        }
        let next = u32::try_from(self.0.len()).unwrap_or(u32::MAX);
        self.0.insert(text.to_owned(), next);
        next
    }

    /// The number of a text that has one; all others have the same.
    fn known(&self, text: &str) -> u32 {
        self.0.get(text).copied().unwrap_or(u32::MAX)
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
