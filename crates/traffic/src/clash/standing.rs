//! Jobs as if their closures always stood, so that a planner knows before anything is planned which two must
//! not be there at once. It is kept job by job: after an edit only what the edit changed is held against the
//! others.

use std::sync::Arc;

use gangday_ground::Plane;
use gangday_model::{ClashKind, ClashPair, PlanePoint, Programme, TakeOff};
use rstar::{AABB, Envelope as _};

use super::index::find_clashes;
use super::party::{ClashLimits, Party, clash_between};
use super::seen::Seen;
use super::{Numbers, key};
use crate::closures::Drawing;
use crate::diversion::{Roads, ways_round};
use crate::rules::Rules;
use crate::street::{StreetLines, Streets};

/// One in so many jobs may be another before all pairs are found anew.
const FEW: usize = 16;

/// What standing closures are worked out from.
#[derive(Clone, Copy)]
pub struct StandingOf<'a> {
    /// Jobs and streets.
    pub programme: &'a Programme,
    /// Sizes of the digs, in the order of the jobs; usual ones serve where a job has none.
    pub take_offs: &'a [Option<Arc<TakeOff>>],
    /// The working plane.
    pub plane: &'a Plane,
    /// By what figures closures are proposed, drawn and held against one another.
    pub rules: &'a Rules,
    /// The roads that traffic is led round closures on, if there are any.
    pub roads: Option<Roads<'a>>,
}

/// The closures of all jobs as if they always stood, and which two of them clash then.
///
/// Two jobs that one gang may have at once under one set-up are held apart only for two gangs.
#[derive(Clone, Debug)]
pub struct Standing {
    lines: Arc<StreetLines>,
    numbers: Arc<Numbers>,
    stands: Vec<Arc<Stand>>,
    /// In order.
    pairs: Vec<ClashPair>,
    /// Each closure has a gang of its own: who has which job is not known yet.
    gangs: u32,
}

/// The closure of one job.
#[derive(Debug)]
struct Stand {
    party: Party,
    closes_road: bool,
    /// Round its ground, and round the ways about it.
    ground: Option<AABB<[f64; 2]>>,
    ways: Option<AABB<[f64; 2]>>,
}

impl Standing {
    /// Works out every job.
    #[must_use]
    pub fn of(of: &StandingOf<'_>) -> Self {
        let streets = &of.programme.streets;
        let mut numbers = Numbers::default();
        for street in streets {
            numbers.of(street.id.as_str());
            street.name.iter().for_each(|name| {
                numbers.of(name);
            });
        }
        let lines = Arc::new(StreetLines::of(streets, of.plane));
        Self::on(of, lines, Arc::new(numbers))
    }

    fn on(of: &StandingOf<'_>, lines: Arc<StreetLines>, numbers: Arc<Numbers>) -> Self {
        let mut all = Self {
            lines,
            numbers,
            stands: Vec::new(),
            pairs: Vec::new(),
            gangs: 0,
        };
        let jobs: Vec<usize> = (0..of.programme.jobs.len()).collect();
        let stands = all.drawn(of, &jobs);
        let parties: Vec<&Party> = stands.iter().map(|stand| &stand.party).collect();
        let limits = of.rules.clash_limits();
        let found = find_clashes(&parties, &limits).into_iter();
        let pair = |(a, b, kind)| pair(of.rules, &limits, &stands, (a, b), kind);
        all.pairs = found.filter_map(pair).collect();
        all.stands = stands;
        all
    }

    /// The same with other jobs, of the same streets, roads and figures: `was` tells where each job stood
    /// before, none where it has to be worked out.
    #[must_use]
    pub fn with_jobs(&self, of: &StandingOf<'_>, was: &[Option<usize>]) -> Self {
        let fresh: Vec<usize> = (0..was.len()).filter(|at| was[*at].is_none()).collect();
        if fresh.len() * FEW > was.len() {
            return Self::on(of, Arc::clone(&self.lines), Arc::clone(&self.numbers));
        }
        let mut next = Self {
            pairs: self.kept_pairs(was),
            ..self.clone()
        };
        let mut drawn = next.drawn(of, &fresh).into_iter();
        let stand = |at: &Option<usize>| match at {
            Some(at) => Some(Arc::clone(&self.stands[*at])),
            None => drawn.next(),
        };
        next.stands = was.iter().filter_map(stand).collect();
        let limits = of.rules.clash_limits();
        for at in fresh {
            // Of two that are fresh the later is held against the earlier.
            let others = (0..was.len()).filter(|other| was[*other].is_some() || *other < at);
            let own = &next.stands[at];
            let met = others.filter(|other| own.may_meet(&next.stands[*other]));
            let found = met.filter_map(|other| {
                let (a, b) = (at.min(other), at.max(other));
                let (one, two) = (&next.stands[a].party, &next.stands[b].party);
                let kind = clash_between(one, two, &limits)?;
                pair(of.rules, &limits, &next.stands, (a, b), kind)
            });
            next.pairs.extend(found);
        }
        next.pairs.sort_unstable();
        next
    }

    /// The pairs of which both jobs are as they were, by where they stand now.
    fn kept_pairs(&self, was: &[Option<usize>]) -> Vec<ClashPair> {
        let mut now: Vec<Option<usize>> = vec![None; self.stands.len()];
        for (at, was) in was.iter().enumerate() {
            if let Some(was) = was {
                now[*was] = Some(at);
            }
        }
        let kept = self.pairs.iter().filter_map(|pair| {
            let (one, other) = (now[pair.one]?, now[pair.other]?);
            let (one, other) = (one.min(other), one.max(other));
            Some(ClashPair {
                one,
                other,
                ..*pair
            })
        });
        kept.collect()
    }

    /// Which two jobs must not stand at the same time, whenever they are planned, in order.
    #[must_use]
    pub fn pairs(&self) -> &[ClashPair] {
        &self.pairs
    }

    /// These jobs' closures, as if they always stood.
    fn drawn(&mut self, of: &StandingOf<'_>, jobs: &[usize]) -> Vec<Arc<Stand>> {
        let reach_m = of.rules.value(crate::key::STREET_REACH);
        let streets = Streets::on(&of.programme.streets, Arc::clone(&self.lines), reach_m);
        let take_offs = jobs.iter().filter_map(|at| of.take_offs[*at].as_deref());
        let figures = (of.plane, of.programme.week.nation, of.rules);
        let drawing = Drawing::on(streets, figures, take_offs);
        let seen = Seen {
            rules: of.rules,
            plane: of.plane,
            streets: drawing.streets(),
        };
        let mut number = |text: &str| self.numbers.known(text);
        let mut all = Vec::new();
        for at in jobs {
            let job = &of.programme.jobs[*at];
            let closure = drawing.standing(job);
            let roads = of.roads.filter(|_| closure.closes_road);
            let ways = roads.map(|roads| ways_round(&closure, job, of.plane, roads));
            let ways = ways.unwrap_or_default();
            let party = seen.party((&closure, Some(job)), ways, &mut number);
            all.push(Arc::new(Stand::of(party, self.gangs, closure.closes_road)));
            self.gangs += 1;
        }
        all
    }
}

impl Stand {
    fn of(party: Party, gang: u32, closes_road: bool) -> Self {
        let party = Party {
            from: 0,
            until: i64::from(u32::MAX),
            gang,
            ..party
        };
        let ground = party.ground.as_ref().filter(|_| party.takes_carriageway);
        Self {
            ground: ground.and_then(|ground| bounds(ground.points().iter())),
            ways: bounds(party.ways.iter().flatten()),
            closes_road,
            party,
        }
    }

    /// Whether it has to be looked whether two clash.
    fn may_meet(&self, other: &Self) -> bool {
        let (one, two) = (&self.party, &other.party);
        let street = |party: &Party| party.along.map(|along| along.street);
        let same = |a: Option<u32>, b: Option<u32>| a.is_some() && a == b;
        let both = one.takes_carriageway && two.takes_carriageway;
        (both && (same(street(one), street(two)) || same(one.road, two.road)))
            || on_way(self, other)
            || on_way(other, self)
    }
}

fn on_way(closed: &Stand, diverted: &Stand) -> bool {
    let both = closed.ground.as_ref().zip(diverted.ways.as_ref());
    both.is_some_and(|(ground, ways)| ground.intersects(ways))
}

fn bounds<'a>(points: impl Iterator<Item = &'a PlanePoint>) -> Option<AABB<[f64; 2]>> {
    let places: Vec<[f64; 2]> = points.map(|at| [at.east_m(), at.north_m()]).collect();
    (!places.is_empty()).then(|| AABB::from_points(places.iter()))
}

fn pair(
    rules: &Rules,
    limits: &ClashLimits,
    stands: &[Arc<Stand>],
    (one, other): (usize, usize),
    kind: ClashKind,
) -> Option<ClashPair> {
    let (a, b) = (&stands[one], &stands[other]);
    let weight = rules.weight_of_clash(kind, a.closes_road && b.closes_road)?;
    let apart_m = a.party.at.distance_m(b.party.at);
    Some(ClashPair {
        one,
        other,
        kind,
        weight,
        pence: rules.value(key::PENCE) as i64,
        one_gang_may: kind == ClashKind::OneStreet && apart_m <= limits.one_set_up_m,
    })
}
