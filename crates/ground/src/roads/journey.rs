//! Places on the roads, and journeys between them by the plain method.

use gangday_model::{LonLat, StreetId};

use super::RoadGraph;
use super::line::{clipped, joined};
use super::runs::link_of;
use super::search::{Found, all_times, spread};

/// The parts that a link's length is counted in.
pub const WHOLE_LINK: u32 = 1_000_000;

/// A place on a link: how far along its line.
///
/// # Units
/// `part` in millionths of the link's length, from where its line begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct OnRoad {
    /// The link.
    pub link: u32,
    /// How far along.
    pub part: u32,
}

impl OnRoad {
    /// How far this is from where a run of its link begins, in the run's own time.
    pub(super) fn passed(self, run: u32, ms: u32) -> u32 {
        let part = u64::from(self.part.min(WHOLE_LINK));
        let whole = u64::from(WHOLE_LINK);
        let along = ((u64::from(ms) * part + whole / 2) / whole) as u32;
        if run.is_multiple_of(2) {
            along
        } else {
            ms - along
        }
    }
}

/// A journey by road.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Journey {
    /// How long it takes, ms.
    pub ms: u32,
    /// How far it is, mm.
    pub mm: u64,
    /// The runs driven, in order; the first and the last may be driven in part.
    pub runs: Vec<u32>,
    /// The way it takes.
    pub line: Vec<LonLat>,
}

impl RoadGraph {
    /// The runs of a place's link that are driven, with the time from the run's start to it.
    pub(super) fn standings(&self, at: OnRoad) -> impl Iterator<Item = (u32, u32)> + '_ {
        let both = [
            at.link.saturating_mul(2),
            at.link.saturating_mul(2).saturating_add(1),
        ];
        both.into_iter().filter_map(move |run| {
            let one = self.runs.get(run as usize).filter(|run| run.is_driven())?;
            Some((run, at.passed(run, one.ms)))
        })
    }

    /// The states that a journey from here begins with, and what it takes to come to them.
    ///
    /// A gang may leave a place either way, whichever way it came.
    #[must_use]
    pub fn starts(&self, from: OnRoad) -> Vec<(u32, u32)> {
        let mut starts = Vec::new();
        for (run, passed) in self.standings(from) {
            let left = self.runs[run as usize].ms - passed;
            let state = self.states.beginning(run);
            let next = state
                .map(|state| self.states.next.of_one(state))
                .unwrap_or_default();
            starts.extend(next.iter().map(|next| (*next, left)));
        }
        starts
    }

    /// The states that a journey to here ends in, and what it takes from there.
    #[must_use]
    pub fn ends(&self, to: OnRoad) -> Vec<(u32, u32)> {
        let standings = self.standings(to);
        standings
            .flat_map(|(run, passed)| self.states.of_run(run).map(move |state| (state, passed)))
            .collect()
    }

    /// The way along the one link that both places are on, without leaving it.
    pub(super) fn along_one(&self, from: OnRoad, to: OnRoad) -> Option<(u32, u32)> {
        if from.link != to.link {
            return None;
        }
        let ways = self.standings(from).zip(self.standings(to));
        let ahead = ways.filter_map(|((run, a), (_, b))| Some((b.checked_sub(a)?, run)));
        ahead.min()
    }

    /// How long the quickest way takes, by plain Dijkstra; none where there is no way.
    ///
    /// It shares nothing with the fast method but the graph, and so can be held against it.
    ///
    /// # Units
    /// Whole milliseconds.
    ///
    /// # Source
    /// E. W. Dijkstra, "A note on two problems in connexion with graphs", Numerische Mathematik 1
    /// (1959).
    #[must_use]
    pub fn plain_time_ms(&self, from: OnRoad, to: OnRoad) -> Option<u32> {
        self.plain(from, to).map(|(ms, _)| ms)
    }

    /// The times between all places, row by row, by one plain Dijkstra from each.
    ///
    /// # Units
    /// Whole milliseconds; [`NO_WAY`](super::NO_WAY) where there is no way.
    #[must_use]
    pub fn plain_table(&self, places: &[OnRoad]) -> Vec<u32> {
        let ends: Vec<_> = places.iter().map(|place| self.ends(*place)).collect();
        let mut table = Vec::with_capacity(places.len() * places.len());
        for from in places {
            let times = all_times(self, &self.starts(*from));
            for (to, ends) in places.iter().zip(&ends) {
                let by_road = ends
                    .iter()
                    .map(|(state, rest)| times[*state as usize].saturating_add(*rest));
                let direct = self.along_one(*from, *to).map(|(ms, _)| ms);
                table.push(by_road.chain(direct).min().unwrap_or(super::NO_WAY));
            }
        }
        table
    }

    /// The quickest way with its line, by plain Dijkstra.
    #[must_use]
    pub fn plain_journey(&self, from: OnRoad, to: OnRoad) -> Option<Journey> {
        let (_, runs) = self.plain(from, to)?;
        Some(self.journey(from, to, runs))
    }

    fn plain(&self, from: OnRoad, to: OnRoad) -> Option<(u32, Vec<u32>)> {
        let ends = self.ends(to);
        let direct = self.along_one(from, to).map(|(ms, run)| (ms, vec![run]));
        let found = spread(self, &self.starts(from), &ends, |_| true);
        let by_road = found.map(|found| (found.ms, self.with_first(from, &found)));
        match (direct, by_road) {
            (Some(direct), Some(by_road)) => Some(if by_road.0 < direct.0 {
                by_road
            } else {
                direct
            }),
            (direct, by_road) => direct.or(by_road),
        }
    }

    fn with_first(&self, from: OnRoad, found: &Found) -> Vec<u32> {
        let states: Vec<u32> = found.states.clone();
        self.runs_from(from, &states, found.start)
    }

    /// The runs of a way through states, with the run that the place it begins at is on.
    pub(super) fn runs_from(&self, from: OnRoad, states: &[u32], left: u32) -> Vec<u32> {
        let first = self.standings(from).find(|(run, passed)| {
            let state = self.states.beginning(*run);
            let next = state
                .map(|state| self.states.next.of_one(state))
                .unwrap_or_default();
            self.runs[*run as usize].ms - passed == left
                && states.first().is_some_and(|state| next.contains(state))
        });
        let first = first.map(|(run, _)| run).into_iter();
        first
            .chain(states.iter().map(|state| self.states.run[*state as usize]))
            .collect()
    }

    /// A journey over these runs, its first and last in part.
    pub(super) fn journey(&self, from: OnRoad, to: OnRoad, runs: Vec<u32>) -> Journey {
        let last = runs.len().saturating_sub(1);
        let mut journey = Journey::default();
        let mut lines = Vec::with_capacity(runs.len());
        for (at, &run) in runs.iter().enumerate() {
            let whole = self.runs[run as usize].ms;
            let begin = if at == 0 { from.along(run) } else { 0 };
            let end = if at == last {
                to.along(run)
            } else {
                WHOLE_LINK
            };
            let passed = if at == 0 { from.passed(run, whole) } else { 0 };
            let until = if at == last {
                to.passed(run, whole)
            } else {
                whole
            };
            journey.ms = journey.ms.saturating_add(until.saturating_sub(passed));
            journey.mm += self.part_mm(run, begin, end);
            lines.push(clipped(&self.run_line(run), begin, end));
        }
        journey.line = joined(&lines);
        journey.runs = runs;
        journey
    }

    fn part_mm(&self, run: u32, begin: u32, end: u32) -> u64 {
        let length = u64::from(self.length_mm(link_of(run)));
        let part = u64::from(end.saturating_sub(begin));
        (length * part + u64::from(WHOLE_LINK) / 2) / u64::from(WHOLE_LINK)
    }

    /// The line of a run in the order of driving.
    #[must_use]
    pub fn run_line(&self, run: u32) -> Vec<LonLat> {
        let line = self.link(link_of(run)).map(|link| link.line.clone());
        let mut line = line.unwrap_or_default();
        if !run.is_multiple_of(2) {
            line.reverse();
        }
        line
    }

    /// The streets of these runs, in the order in which they are first driven.
    #[must_use]
    pub fn streets_of(&self, runs: &[u32]) -> Vec<StreetId> {
        let mut streets: Vec<StreetId> = Vec::new();
        for run in runs {
            let street = self
                .link(link_of(*run))
                .and_then(|link| link.street.clone());
            streets.extend(street.filter(|street| !streets.contains(street)));
        }
        streets
    }
}

impl OnRoad {
    /// How far along the run, in parts of the link's length.
    fn along(self, run: u32) -> u32 {
        let part = self.part.min(WHOLE_LINK);
        if run.is_multiple_of(2) {
            part
        } else {
            WHOLE_LINK - part
        }
    }
}
