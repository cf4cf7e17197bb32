//! What a closed road cuts off, with the jobs there.

use std::cell::OnceCell;
use std::collections::HashMap;

use gangday_ground::Plane;
use gangday_ground::roads::{OnRoad, RoadGraph};
use gangday_model::{Closure, Job, Link, Programme, StreetId};

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

    /// The jobs that a closure cuts off, by id: those on links cut off, and those beyond its works
    /// on a stretch that leads to a dead end.
    pub(crate) fn beyond(&self, cut: &Cut, closure: &Closure, job: &Job) -> Vec<&'a str> {
        let links = cut.links.iter();
        let mut found: Vec<&str> = links
            .flat_map(|link| self.on(*link))
            .map(|(_, other)| other.id.as_str())
            .collect();
        let own = self.place(job, closure.street.as_ref());
        for (link, is_along) in &cut.last {
            let works = own.filter(|own| own.link == *link);
            let is_beyond = |part: u32| {
                works.is_none_or(|works| {
                    if *is_along {
                        part > works.part
                    } else {
                        part < works.part
                    }
                })
            };
            let beyond = self.on(*link).filter(|(part, _)| is_beyond(*part));
            found.extend(beyond.map(|(_, other)| other.id.as_str()));
        }
        found.retain(|id| *id != job.id.as_str());
        found.sort_unstable();
        found.dedup();
        found
    }
}
