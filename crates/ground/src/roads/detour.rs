//! The way round closed links, and what a closure cuts off.

use gangday_model::{LonLat, Passage, StreetId};

use super::component::both_ways;
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
        self.round(closed, &[], (from, to))
    }

    /// The ways round a closed stretch, one for each direction in which it is driven, with other
    /// links closed beside it; the one along its first link's line comes first. None at all where
    /// the links are no single stretch.
    #[must_use]
    pub fn detours(&self, stretch: &[u32], beside: &[u32]) -> Vec<WayRound> {
        let within = |run: u32| stretch.contains(&link_of(run));
        let ends = self.ends_of(stretch);
        let both = ends.map(|(from, to)| [(from, to), (to, from)]);
        let driven = |&(from, to): &(u32, u32)| self.between(from, to, within).is_some();
        let directions = both.into_iter().flatten().filter(driven);
        let way_round = |(from, to)| WayRound {
            from,
            to,
            detour: self.round(stretch, beside, (from, to)),
        };
        directions.map(way_round).collect()
    }

    fn round(&self, stretch: &[u32], beside: &[u32], (from, to): (u32, u32)) -> Option<Detour> {
        let shut: Vec<u32> = stretch.iter().chain(beside).copied().collect();
        let private = self.are_private(stretch);
        let may = |run: u32| private || self.runs[run as usize].passage == Passage::Open;
        let open = self.between(from, to, may)?;
        let round = self.between(from, to, |run| may(run) && !shut.contains(&link_of(run)))?;
        Some(self.detoured((from, to), &open, &round))
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
    /// The main roads after it are the largest part that is left. What the closure makes a dead end
    /// is one: a vehicle may turn round where nothing else leaves the junction any more. A turn that
    /// names a closed link says nothing. Most closures cut nothing off, and two sweeps over the graph
    /// show it; else the graph is made again without the closed links.
    #[must_use]
    pub fn cut_off(&self, closed: &[u32]) -> CutOff {
        let shut = closed;
        let lost = |still: &[bool]| -> Vec<u32> {
            let links = 0..self.usable.len() as u32;
            // What is cheap to say is asked first: it is asked of every link of the network.
            links
                .filter(|link| self.usable[*link as usize] && !still[*link as usize])
                .filter(|link| !shut.contains(link))
                .collect()
        };
        let swept = self.swept(shut).filter(|still| lost(still).is_empty());
        let still = swept.unwrap_or_else(|| self.without(&shut.iter().copied().collect()).usable);
        let links = lost(&still);
        CutOff {
            streets: self.sorted_streets(&links),
            junctions: self.junctions_lost(&still, shut),
            links,
        }
    }

    /// Which links can be come to and gone from without the closed ones, nobody turning round where
    /// nobody turned round before; none where the main roads are closed where we know them.
    fn swept(&self, shut: &[u32]) -> Option<Vec<bool>> {
        let allowed = |run: u32| !shut.contains(&link_of(run));
        let main = self
            .main
            .filter(|main| allowed(self.states.run[*main as usize]))?;
        Some(both_ways(self, main, allowed))
    }

    fn junctions_lost(&self, still: &[bool], shut: &[u32]) -> Vec<u32> {
        let is_shut = |link: u32| shut.contains(&link);
        let mut before = vec![false; self.network.junctions.len()];
        let mut after = before.clone();
        for (number, link) in (0..).zip(&self.network.links) {
            if self.usable[number as usize] {
                for end in [link.from, link.to] {
                    before[end as usize] = true;
                    after[end as usize] |= still[number as usize] && !is_shut(number);
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
        // What is cheap to say is asked first: it is asked of every run of the network.
        let numbered = |is_there: fn(&Run, u32) -> bool, at: u32| {
            let all = (0_u32..).zip(&self.runs);
            all.filter(move |(_, one)| is_there(one, at))
                .filter(|(run, one)| one.is_driven() && allowed(*run))
        };
        let leaving = numbered(|run, at| run.from == at, from);
        let starts: Vec<_> = leaving
            .filter_map(|(run, _)| Some((self.states.beginning(run)?, 0)))
            .collect();
        let arriving = numbered(|run, at| run.to == at, to);
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
