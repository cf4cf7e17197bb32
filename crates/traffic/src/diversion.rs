//! The way round a closed road, both ways, and what the closure cuts off.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use gangday_ground::roads::{Detour, Doors, OnRoad, RoadGraph, RoadIndex, WayRound as Found};
use gangday_ground::{Plane, Ring};
use gangday_model::{
    Closure, Diversion, Finding, Job, JobId, PlanePoint, Programme, StreetId, WayRound,
};

use crate::clash::on_plane;
use crate::cut_off::{Cut, JobsByLink, There};
use crate::names::StreetNames;

/// How far from the road a job may lie and still close it, m.
///
/// # Source
/// Common practice, no source.
const REACH_M: f64 = 30.0;

/// A road network, ready to be driven on.
#[derive(Clone, Copy, Debug)]
pub struct Roads<'a> {
    /// The network.
    pub graph: &'a RoadGraph,
    /// Which link a place is at.
    pub index: &'a RoadIndex,
    /// Which link each address is on.
    pub doors: &'a Doors,
    /// What the streets are called.
    pub names: &'a StreetNames,
    /// What closing stretches of it was found to do before.
    pub rounds: &'a Rounds,
}

/// What closing stretches of a road network does, each worked out once: many works lie on one stretch,
/// and the same works are looked at again after every edit.
#[derive(Debug, Default)]
pub struct Rounds(Mutex<HashMap<Taken, Arc<Round>>>);

impl Rounds {
    fn of(&self, taken: Taken, roads: Roads<'_>) -> Arc<Round> {
        let known = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let found = known().get(&taken).cloned();
        found.unwrap_or_else(|| {
            let round = Arc::new(Round::of(&taken, roads));
            known().insert(taken, Arc::clone(&round));
            round
        })
    }
}

/// The diversion of every closure past which nobody drives, in the order of the closures, and what
/// somebody should look at.
///
/// The links of the street that the works lie on are closed from junction to junction, and so is any
/// junction between them; traffic along them is led round by the quickest open roads. A street that
/// the closure cuts off is named.
#[must_use]
pub fn diversions(
    programme: &Programme,
    closures: &[Closure],
    plane: &Plane,
    roads: Roads<'_>,
) -> (Vec<Diversion>, Vec<Finding>) {
    let jobs: HashMap<&JobId, &Job> = programme.jobs.iter().map(|job| (&job.id, job)).collect();
    let by_link = JobsByLink::new(programme, plane, roads);
    let mut findings = Vec::new();
    let mut all = Vec::new();
    let closed = closures.iter().filter(|closure| closure.closes_road);
    for closure in closed {
        let job = jobs.get(&closure.job);
        let taken = job.and_then(|job| Some((*job, Taken::of(closure, job, plane, roads)?)));
        let Some((job, taken)) = taken else {
            findings.push(off_the_roads(closure));
            continue;
        };
        let round = roads.rounds.of(taken, roads);
        let there = by_link.beyond(&round.cut, closure, job);
        findings.extend(round.findings(closure, roads.names, &there));
        all.push(round.diversion(&closure.job, roads.names, there));
    }
    (all, findings)
}

/// The ways round a closed road, along the street and against it, on the plane.
pub(crate) fn ways_round(
    closure: &Closure,
    job: &Job,
    plane: &Plane,
    roads: Roads<'_>,
) -> Vec<Vec<PlanePoint>> {
    let Some(taken) = Taken::of(closure, job, plane, roads) else {
        return Vec::new();
    };
    let round = roads.rounds.of(taken, roads);
    let ways = [true, false].into_iter();
    let ways = ways.filter_map(|is_along| round.way(is_along)?.detour.as_ref());
    ways.map(|way| on_plane(plane, &way.line)).collect()
}

/// What a closure takes of the roads.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
struct Taken {
    /// The links of its street that it lies on, one stretch.
    stretch: Vec<u32>,
    /// Links that meet the stretch at a junction which the closure lies over.
    beside: Vec<u32>,
}

impl Taken {
    /// The link that the job lies by, and whatever else of its street the closure's ground lies on,
    /// where that is one stretch.
    fn of(closure: &Closure, job: &Job, plane: &Plane, roads: Roads<'_>) -> Option<Self> {
        let own = link_of(job, closure.street.as_ref(), plane, roads)?;
        let outline = closure.footprint.iter();
        let ground = Ring::new(outline.filter_map(|at| plane.to_plane(*at)));
        let under = ground.map_or_else(Vec::new, |ground| roads.index.links_under(&ground));
        let street = |link: u32| roads.graph.link(link)?.street.as_ref();
        let is_own =
            |link: &u32| *link == own || (street(own).is_some() && street(*link) == street(own));
        let mut stretch: Vec<u32> = under.into_iter().filter(is_own).chain([own]).collect();
        stretch.sort_unstable();
        stretch.dedup();
        let Some((from, to)) = roads.graph.ends_of(&stretch) else {
            let (stretch, beside) = (vec![own], Vec::new());
            return Some(Self { stretch, beside });
        };
        let touched = stretch.iter().filter_map(|link| roads.graph.link(*link));
        let within = touched.flat_map(|link| [link.from, link.to]);
        let within: Vec<u32> = within.filter(|at| ![from, to].contains(at)).collect();
        let mut beside = roads.graph.links_at(&within);
        beside.retain(|link| !stretch.contains(link));
        Some(Self { stretch, beside })
    }
}

/// The link of the closure's own street that the job lies by, else the nearest.
fn link_of(job: &Job, street: Option<&StreetId>, plane: &Plane, roads: Roads<'_>) -> Option<u32> {
    on_road(job, street, plane, roads).map(|on| on.link)
}

/// Where on the link of its own street a job lies, else on the nearest.
pub(crate) fn on_road(
    job: &Job,
    street: Option<&StreetId>,
    plane: &Plane,
    roads: Roads<'_>,
) -> Option<OnRoad> {
    let at = plane.to_plane(job.at)?;
    let of_street = street.map_or(&[][..], |street| roads.graph.links_of(street));
    let near = |link: &u32| roads.index.snap_to(*link, at);
    let nearest = of_street
        .iter()
        .filter_map(near)
        .filter(|found| found.off_m <= REACH_M)
        .min_by(|a, b| a.off_m.total_cmp(&b.off_m).then(a.on.link.cmp(&b.on.link)));
    let any = || roads.index.snap(at, REACH_M);
    nearest.or_else(any).map(|found| found.on)
}

/// What closing these links does, worked out once for all works on them.
#[derive(Debug)]
struct Round {
    ways: Vec<Found>,
    along_from: Option<u32>,
    cut: Cut,
}

impl Round {
    fn of(taken: &Taken, roads: Roads<'_>) -> Self {
        let ends = roads.graph.ends_of(&taken.stretch);
        Self {
            ways: roads.graph.detours(&taken.stretch, &taken.beside),
            along_from: ends.map(|(from, _)| from),
            cut: Cut::of(&taken.stretch, &taken.beside, roads.graph),
        }
    }

    fn way(&self, is_along: bool) -> Option<&Found> {
        let mut ways = self.ways.iter();
        ways.find(|way| (Some(way.from) == self.along_from) == is_along)
    }

    fn diversion(&self, job: &JobId, names: &StreetNames, there: There<'_>) -> Diversion {
        let round = |is_along| {
            let way = self.way(is_along)?;
            way.detour.as_ref().map(way_round)
        };
        let (along, against) = (round(true), round(false));
        let mut words = words(&along, &against, self.way(false).is_some(), names);
        if !self.cut.streets.is_empty() {
            words.push_str(&format!(" Cut off: {}.", self.cut_words(names, &there)));
        }
        Diversion {
            words,
            job: job.clone(),
            along,
            against,
            two_way: self.ways.len() > 1,
            cut_off: self.cut.streets.clone(),
            cut_off_addresses: there.addresses,
        }
    }

    /// The streets cut off, the works' own only from the works to its end, and the addresses and jobs
    /// there.
    fn cut_words(&self, names: &StreetNames, there: &There<'_>) -> String {
        let own = self.cut.to_its_end.as_ref();
        let whole = self
            .cut
            .streets
            .iter()
            .filter(|street| Some(*street) != own);
        let whole: Vec<StreetId> = whole.cloned().collect();
        let own = own.map(std::slice::from_ref);
        let own = own.map(|own| format!("{} from the works to its end", in_words(own, names)));
        let whole = (!whole.is_empty()).then(|| in_words(&whole, names));
        let streets: Vec<String> = own.into_iter().chain(whole).collect();
        let mut words = streets.join(", ");
        if !there.addresses.is_empty() {
            words.push_str(&format!("; addresses {}", there.addresses.join(", ")));
        }
        match there.jobs.as_slice() {
            [] => words,
            [one] => format!("{words}; job {one}"),
            all => format!("{words}; jobs {}", all.join(", ")),
        }
    }

    fn findings(&self, closure: &Closure, names: &StreetNames, there: &There<'_>) -> Vec<Finding> {
        let mut found = Vec::new();
        let has_no_way = self.ways.is_empty() || self.ways.iter().any(|way| way.detour.is_none());
        if has_no_way {
            let text = format!(
                "No diversion exists for the road closure of job {}: the road can't be driven round \
                 on open roads.",
                closure.job
            );
            let remedy = "Keep a lane open, or agree with the authority how traffic is served.";
            found.push(Finding::warning("T-NO-WAY", text, remedy).at(closure.job.as_str()));
        }
        if !self.cut.streets.is_empty() {
            let streets = self.cut_words(names, there);
            let text = format!(
                "The road closure of job {} cuts off {streets}: no vehicle can come in and out.",
                closure.job
            );
            let remedy = "Keep a way in for residents and emergency vehicles, and tell them.";
            found.push(Finding::warning("T-CUT-OFF", text, remedy).at(closure.job.as_str()));
        }
        found
    }
}

fn way_round(detour: &Detour) -> WayRound {
    WayRound {
        line: detour.line.clone(),
        length_m: detour.mm as f64 / 1e3,
        extra_m: detour.extra_mm as f64 / 1e3,
        extra_s: f64::from(detour.extra_ms) / 1e3,
        streets: detour.streets.clone(),
    }
}

fn off_the_roads(closure: &Closure) -> Finding {
    let text = format!(
        "No diversion can be worked out for the road closure of job {}: it lies on no road of the \
         network.",
        closure.job
    );
    let remedy = "Check the job's place and street, or load the roads of the area.";
    Finding::warning("T-NO-WAY", text, remedy).at(closure.job.as_str())
}

fn words(
    along: &Option<WayRound>,
    against: &Option<WayRound>,
    is_two_way: bool,
    names: &StreetNames,
) -> String {
    let one = |way: &Option<WayRound>| match way {
        Some(way) => format!(
            "{:.0} m longer and {:.1} min more by {}",
            way.extra_m.max(0.0),
            way.extra_s / 60.0,
            in_words(&way.streets, names)
        ),
        None => "no diversion exists".to_owned(),
    };
    if is_two_way {
        format!(
            "Along the street: {}. Against it: {}.",
            one(along),
            one(against)
        )
    } else {
        format!("Along the street: {}.", one(along))
    }
}

fn in_words(streets: &[StreetId], names: &StreetNames) -> String {
    let mut all: Vec<&str> = Vec::new();
    for street in streets {
        let name = names.word(street);
        if all.last() != Some(&name) {
            all.push(name);
        }
    }
    if all.is_empty() {
        "roads with no name here".to_owned()
    } else {
        all.join(", ")
    }
}
