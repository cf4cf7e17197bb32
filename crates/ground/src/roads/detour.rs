//! The way round closed links, and what a closure cuts off.

use std::collections::HashSet;

use gangday_model::{LonLat, Passage, StreetId};

use super::component::{both_ways, largest, reached};
use super::line::joined;
use super::runs::link_of;
use super::search::spread;
use super::{RoadGraph, Run};

/// The best way round closed links for the traffic that would have passed.
#[derive(Clone, Debug, PartialEq)]
pub struct Detour {
    /// The junction where it leaves the closed way.
    pub from: u32,
    /// The junction where it comes back to it.
    pub to: u32,
    /// How long it takes, ms.
    pub ms: u32,
    /// How far it is, mm.
    pub mm: u64,
    /// How much longer than with nothing closed, ms.
    pub extra_ms: u32,
    /// How much farther than the quickest way with nothing closed, mm; less than nothing where the
    /// quickest way was the longer one.
    pub extra_mm: i64,
    /// The links driven, in order.
    pub links: Vec<u32>,
    /// The streets passed, in the order in which they are first driven; links of no street of the
    /// programme have none.
    pub streets: Vec<StreetId>,
    /// The way it takes.
    pub line: Vec<LonLat>,
}

/// One direction of a closed stretch.
#[derive(Clone, Debug, PartialEq)]
pub struct WayRound {
    /// The junction where traffic comes to the stretch.
    pub from: u32,
    /// The junction where it would leave it.
    pub to: u32,
    /// The best way round; none where there is none.
    pub detour: Option<Detour>,
}

/// What a closure cuts off from the main roads.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CutOff {
    /// Links, other than the closed ones, that one can't come to or can't leave any more.
    pub links: Vec<u32>,
    /// Junctions that no link joins to the main roads any more.
    pub junctions: Vec<u32>,
    /// The streets that those links are part of, by id.
    pub streets: Vec<StreetId>,
}

impl CutOff {
    /// Whether nothing is cut off.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.links.is_empty()
    }
}

impl RoadGraph {
    /// The best way from junction to junction without the closed links, and what it costs; none
    /// where there is no way, or no way with nothing closed either.
    ///
    /// It is for the traffic that passes through: it takes open roads only, unless every closed
    /// link is itself for destinations only. How traffic comes to the first junction is not known,
    /// so no turn into its first link is forbidden; every turn after that counts.
    ///
    /// # Units
    /// ms and mm, whole.
    #[must_use]
    pub fn detour(&self, closed: &[u32], from: u32, to: u32) -> Option<Detour> {
        let shut: HashSet<u32> = closed.iter().copied().collect();
        let private = self.are_private(closed);
        let may = |run: u32| private || self.runs[run as usize].passage == Passage::Open;
        let open = self.between(from, to, may)?;
        let round = self.between(from, to, |run| may(run) && !shut.contains(&link_of(run)))?;
        Some(self.detoured((from, to), &open, &round))
    }

    /// The ways round a closed stretch, one for each direction in which it is driven; the one along
    /// its first link's line comes first. None at all where the links are no single stretch.
    #[must_use]
    pub fn detours(&self, closed: &[u32]) -> Vec<WayRound> {
        let shut: HashSet<u32> = closed.iter().copied().collect();
        let ends = self.ends_of(closed);
        let both = ends.map(|(from, to)| [(from, to), (to, from)]);
        let driven = |&(from, to): &(u32, u32)| {
            let within = |run: u32| shut.contains(&link_of(run));
            self.between(from, to, within).is_some()
        };
        let directions = both.into_iter().flatten().filter(driven);
        let way_round = |(from, to)| WayRound {
            from,
            to,
            detour: self.detour(closed, from, to),
        };
        directions.map(way_round).collect()
    }

    /// The two ends of a closed stretch: the junctions that only one of its links touches, the one
    /// nearer the beginning of its first link's line first; none where it is no single stretch.
    #[must_use]
    pub fn ends_of(&self, closed: &[u32]) -> Option<(u32, u32)> {
        let mut closed = closed.to_vec();
        closed.sort_unstable();
        closed.dedup();
        let links: Vec<_> = closed
            .iter()
            .map(|link| self.link(*link))
            .collect::<Option<_>>()?;
        let mut touched: Vec<u32> = links.iter().flat_map(|link| [link.from, link.to]).collect();
        touched.sort_unstable();
        let alone = |one: &u32| touched.iter().filter(|other| *other == one).count() == 1;
        let ends: Vec<u32> = touched.iter().copied().filter(alone).collect();
        let [low, high] = ends.try_into().ok()?;
        let begins =
            links.iter().any(|link| link.from == low) || links.iter().all(|link| link.from != high);
        Some(if begins { (low, high) } else { (high, low) })
    }

    /// What closing these links cuts off from the main roads.
    ///
    /// The main roads after it are the largest part that is left. Two sweeps over the graph, one
    /// out and one back, so a closure costs as much as reading the graph once or twice.
    #[must_use]
    pub fn cut_off(&self, closed: &[u32]) -> CutOff {
        let shut: HashSet<u32> = closed.iter().copied().collect();
        let allowed = |run: u32| !shut.contains(&link_of(run));
        let left = self.main_without(&allowed);
        let still = left.map(|main| both_ways(self, main, allowed));
        let still = still.unwrap_or_else(|| vec![false; self.usable.len()]);
        let lost = |link: &u32| {
            let at = *link as usize;
            self.usable[at] && !still[at] && !shut.contains(link)
        };
        let links: Vec<u32> = (0..self.usable.len() as u32).filter(lost).collect();
        CutOff {
            streets: self.sorted_streets(&links),
            junctions: self.junctions_lost(&still, &shut),
            links,
        }
    }

    /// A state of the largest part of the open roads that these runs leave.
    fn main_without(&self, allowed: &impl Fn(u32) -> bool) -> Option<u32> {
        let states = &self.states;
        let may = |state: u32| self.is_open(state) && allowed(states.run[state as usize]);
        let open = (0..states.len() as u32)
            .filter(|state| self.is_open(*state))
            .count();
        let quick = self.main.filter(|main| may(*main)).filter(|main| {
            let out = reached(states.len(), &states.next, *main, may);
            let back = reached(states.len(), &states.before, *main, may);
            let both = out.iter().zip(&back).filter(|(out, back)| **out && **back);
            both.count() * 2 > open
        });
        quick.or_else(|| largest(states.len(), &states.next, may)?.into_iter().min())
    }

    fn junctions_lost(&self, still: &[bool], shut: &HashSet<u32>) -> Vec<u32> {
        let mut before = vec![false; self.network.junctions.len()];
        let mut after = before.clone();
        for (number, link) in (0..).zip(&self.network.links) {
            if self.usable[number as usize] {
                for end in [link.from, link.to] {
                    before[end as usize] = true;
                    after[end as usize] |= still[number as usize] && !shut.contains(&number);
                }
            }
        }
        let lost = before
            .iter()
            .zip(&after)
            .map(|(before, after)| *before && !*after);
        (0..)
            .zip(lost)
            .filter(|(_, lost)| *lost)
            .map(|(junction, _)| junction)
            .collect()
    }

    fn sorted_streets(&self, links: &[u32]) -> Vec<StreetId> {
        let streets = links
            .iter()
            .filter_map(|link| self.link(*link)?.street.clone());
        let mut streets: Vec<StreetId> = streets.collect();
        streets.sort();
        streets.dedup();
        streets
    }

    /// Whether every closed link is for destinations only.
    fn are_private(&self, closed: &[u32]) -> bool {
        let mut driven = closed
            .iter()
            .flat_map(|link| [link * 2, link * 2 + 1])
            .filter_map(|run| self.runs.get(run as usize))
            .filter(|run| run.is_driven());
        driven.all(|run| run.passage == Passage::Destination)
    }

    /// The quickest way between two junctions over allowed runs.
    fn between(&self, from: u32, to: u32, allowed: impl Fn(u32) -> bool) -> Option<Way> {
        if from == to {
            return None;
        }
        let numbered = || {
            (0_u32..)
                .zip(&self.runs)
                .filter(|(run, one)| one.is_driven() && allowed(*run))
        };
        let leaving = numbered().filter(|(_, run): &(u32, &Run)| run.from == from);
        let starts: Vec<_> = leaving
            .filter_map(|(run, _)| Some((self.states.beginning(run)?, 0)))
            .collect();
        let arriving = numbered().filter(|(_, run)| run.to == to);
        let ends: Vec<_> = arriving
            .flat_map(|(run, one)| self.states.of_run(run).map(|state| (state, one.ms)))
            .collect();
        let found = spread(self, &starts, &ends, &allowed)?;
        let runs = found
            .states
            .iter()
            .map(|state| self.states.run[*state as usize]);
        Some(Way {
            ms: found.ms,
            runs: runs.collect(),
        })
    }

    fn detoured(&self, (from, to): (u32, u32), open: &Way, round: &Way) -> Detour {
        let length = |way: &Way| -> u64 {
            way.runs
                .iter()
                .map(|run| u64::from(self.length_mm(link_of(*run))))
                .sum()
        };
        let mm = length(round);
        let lines: Vec<_> = round.runs.iter().map(|run| self.run_line(*run)).collect();
        Detour {
            from,
            to,
            ms: round.ms,
            mm,
            extra_ms: round.ms.saturating_sub(open.ms),
            extra_mm: mm.cast_signed() - length(open).cast_signed(),
            links: round.runs.iter().map(|run| link_of(*run)).collect(),
            streets: self.streets_of(&round.runs),
            line: joined(&lines),
        }
    }
}

/// A way between junctions.
struct Way {
    ms: u32,
    runs: Vec<u32>,
}
