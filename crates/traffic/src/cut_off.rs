//! What a closed road cuts off, with the jobs and the addresses there.

use std::cell::OnceCell;
use std::collections::{BTreeSet, HashMap};

use gangday_ground::Plane;
use gangday_ground::roads::{OnRoad, RoadGraph};
use gangday_model::{Closure, Job, Link, Programme, StreetId};

use crate::addresses::in_words;
use crate::diversion::{Roads, on_road};

/// What one stretch cuts off, whoever works in it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Cut {
    /// The streets, by id.
    pub streets: Vec<StreetId>,
    /// The street whose own end is cut off from the works on.
    pub to_its_end: Option<StreetId>,
    links: Vec<u32>,
    /// Links of the stretch that lead to a dead end, and whether along their line.
    last: Vec<(u32, bool)>,
}

impl Cut {
    /// The streets that nobody can come to or leave any more: a street that begins at a closed
    /// junction is one where nothing joins its other end either, and a closed stretch that leads to
    /// a dead end cuts its own street off from the works on.
    pub(crate) fn of(stretch: &[u32], beside: &[u32], graph: &RoadGraph) -> Self {
        let all: Vec<u32> = stretch.iter().chain(beside).copied().collect();
        let cut = graph.cut_off(&all);
        let is_lost = |at: &u32| cut.junctions.contains(at);
        let shut: Vec<u32> = beside
            .iter()
            .copied()
            .filter(|link| {
                let ends = |link: &Link| [link.from, link.to].iter().all(is_lost);
                graph.link(*link).is_some_and(ends)
            })
            .collect();
        let ends = graph.ends_of(stretch);
        let lost = ends.map_or_else(Vec::new, |(from, to)| vec![from, to]);
        let lost: Vec<u32> = lost.into_iter().filter(is_lost).collect();
        let last = |link: &u32| {
            let is_along = |at: &u32| graph.link(*link).map(|link| link.to == *at);
            let meets = |at: &&u32| {
                let ends = graph.link(*link).map(|link| [link.from, link.to]);
                ends.is_some_and(|ends| ends.contains(*at))
            };
            Some((*link, lost.iter().find(meets).and_then(is_along)?))
        };
        let last: Vec<(u32, bool)> = stretch.iter().filter_map(last).collect();
        let street = |link: &u32| graph.link(*link)?.street.clone();
        let to_its_end = last.first().and_then(|(link, _)| street(link));
        let shut_streets = shut.iter().filter_map(street);
        let mut streets: Vec<StreetId> = cut.streets.clone();
        streets.extend(shut_streets.chain(to_its_end.clone()));
        streets.sort();
        streets.dedup();
        Self {
            streets,
            to_its_end,
            links: cut.links.into_iter().chain(shut).collect(),
            last,
        }
    }
}

/// The jobs of a programme by the link that each lies by, found when first asked for.
pub(crate) struct JobsByLink<'a> {
    programme: &'a Programme,
    plane: &'a Plane,
    roads: Roads<'a>,
    found: OnceCell<HashMap<u32, Vec<(u32, &'a Job)>>>,
}

impl<'a> JobsByLink<'a> {
    pub(crate) const fn new(programme: &'a Programme, plane: &'a Plane, roads: Roads<'a>) -> Self {
        Self {
            programme,
            plane,
            roads,
            found: OnceCell::new(),
        }
    }

    fn on(&self, link: u32) -> impl Iterator<Item = (u32, &'a Job)> {
        let found = self.found.get_or_init(|| {
            let mut found: HashMap<u32, Vec<(u32, &Job)>> = HashMap::new();
            for job in &self.programme.jobs {
                if let Some(on) = self.place(job, job.street.as_ref()) {
                    found.entry(on.link).or_default().push((on.part, job));
                }
            }
            found
        });
        found.get(&link).into_iter().flatten().copied()
    }

    fn place(&self, job: &Job, street: Option<&StreetId>) -> Option<OnRoad> {
        on_road(job, street, self.plane, self.roads)
    }

    /// What a closure cuts off beside streets: the jobs and addresses on links cut off, and those
    /// beyond its works on a stretch that leads to a dead end.
    pub(crate) fn beyond(&self, cut: &Cut, closure: &Closure, job: &Job) -> There<'a> {
        let own = self.place(job, closure.street.as_ref());
        let whole = cut.links.iter().map(|link| (*link, Beyond::All));
        let last = cut.last.iter().map(|(link, is_along)| {
            let works = own.filter(|own| own.link == *link);
            let beyond = works.map_or(Beyond::All, |works| Beyond::of(works.part, *is_along));
            (*link, beyond)
        });
        let mut jobs: Vec<&str> = Vec::new();
        let mut addresses = BTreeSet::new();
        let mut street_of = HashMap::new();
        for (link, beyond) in whole.chain(last) {
            let here = self.on(link).filter(|(part, _)| beyond.holds(*part));
            jobs.extend(here.map(|(_, other)| other.id.as_str()));
            let street = self.roads.graph.link(link);
            let street = street.and_then(|link| Some(self.roads.names.word(link.street.as_ref()?)));
            let doors = self.roads.doors;
            let doors = doors.on(link, (self.roads.graph, self.roads.index), self.plane);
            for (_, address) in doors.iter().filter(|(part, _)| beyond.holds(*part)) {
                addresses.insert(*address);
                street_of.extend(street.map(|street| (*address, street)));
            }
        }
        jobs.retain(|id| *id != job.id.as_str());
        jobs.sort_unstable();
        jobs.dedup();
        let known = &self.roads.graph.network().addresses;
        There {
            jobs,
            addresses: in_words(&addresses, known, &street_of),
        }
    }
}

/// What is beyond a closure, in words.
pub(crate) struct There<'a> {
    /// Jobs, by id.
    pub jobs: Vec<&'a str>,
    /// Addresses, street by street.
    pub addresses: Vec<String>,
}

/// Which part of a link is cut off.
enum Beyond {
    All,
    After(u32),
    Before(u32),
}

impl Beyond {
    const fn of(works: u32, is_along: bool) -> Self {
        if is_along {
            Self::After(works)
        } else {
            Self::Before(works)
        }
    }

    const fn holds(&self, part: u32) -> bool {
        match self {
            Self::All => true,
            Self::After(works) => part > *works,
            Self::Before(works) => part < *works,
        }
    }
}
