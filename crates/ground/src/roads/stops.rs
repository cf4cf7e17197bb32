//! Many stops and the times between all of them.

use super::climb::{Climb, Label};
use super::hierarchy::{Hierarchy, meeting};
use super::{OnRoad, RoadGraph};

/// Nothing leads there.
pub const NO_WAY: u32 = u32::MAX;

/// Stops, each with what a journey from it and a journey to it needs, so that the time between any
/// two is a look-up: some tens of numbers for each stop in place of a table of all pairs, which for
/// 10,000 stops would hold 400 MB.
///
/// # Source
/// I. Abraham, D. Delling, A. Goldberg, R. Werneck, "A Hub-Based Labeling Algorithm for Shortest
/// Paths in Road Networks", SEA 2011 (from memory).
#[derive(Clone, Debug, Default)]
pub struct Stops {
    stops: Vec<Stop>,
}

#[derive(Clone, Debug)]
struct Stop {
    link: u32,
    /// The time from the link's beginning, and from its end for the other way; `NO_WAY` where it is
    /// not driven that way.
    standing: [u32; 2],
    out: Label,
    into: Label,
}

impl Stops {
    /// Stops on the roads.
    #[must_use]
    pub fn of(graph: &RoadGraph, hierarchy: &Hierarchy, places: &[OnRoad]) -> Self {
        let mut climb = Climb::new(hierarchy.order.len());
        let stop = |place: &OnRoad| {
            let mut standing = [NO_WAY; 2];
            for (run, passed) in graph.standings(*place) {
                standing[(run % 2) as usize] = passed;
            }
            let mut label =
                |seeds: &[(u32, u32)], out| climb.label(hierarchy, &hierarchy.seeds(seeds), out);
            Stop {
                link: place.link,
                standing,
                out: label(&graph.starts(*place), true),
                into: label(&graph.ends(*place), false),
            }
        };
        Self {
            stops: places.iter().map(stop).collect(),
        }
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.stops.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.stops.is_empty()
    }

    /// How many numbers are kept, for showing.
    #[must_use]
    pub fn kept(&self) -> usize {
        self.stops
            .iter()
            .map(|stop| (stop.out.len() + stop.into.len()) * 2 + 3)
            .sum()
    }

    /// How long from one stop to another; [`NO_WAY`] where there is none.
    ///
    /// # Units
    /// Whole milliseconds.
    #[must_use]
    pub fn ms(&self, from: usize, to: usize) -> u32 {
        let (from, to) = (&self.stops[from], &self.stops[to]);
        let by_road = meeting(&from.out, &to.into).map_or(NO_WAY, |(ms, _)| ms);
        by_road.min(along(from, to))
    }

    /// The times between all, row by row from each to each.
    ///
    /// # Units
    /// Whole milliseconds; [`NO_WAY`] where there is none.
    #[must_use]
    pub fn table(&self) -> Vec<u32> {
        let buckets = Buckets::of(&self.stops);
        let count = self.stops.len();
        let mut table = vec![NO_WAY; count * count];
        for (row, from) in table.chunks_exact_mut(count.max(1)).zip(&self.stops) {
            for &(rank, ms) in &from.out {
                for &(to, rest) in buckets.at(rank) {
                    let known = &mut row[to as usize];
                    *known = (*known).min(ms.saturating_add(rest));
                }
            }
            for (known, to) in row
                .iter_mut()
                .zip(&self.stops)
                .filter(|(_, to)| to.link == from.link)
            {
                *known = (*known).min(along(from, to));
            }
        }
        table
    }
}

/// Along the one link that both are on.
fn along(from: &Stop, to: &Stop) -> u32 {
    if from.link != to.link {
        return NO_WAY;
    }
    let ways = from.standing.iter().zip(&to.standing);
    let driven = ways.filter(|(a, b)| **a != NO_WAY && **b != NO_WAY);
    driven
        .filter_map(|(a, b)| b.checked_sub(*a))
        .min()
        .unwrap_or(NO_WAY)
}

/// What comes down to each stop, by the rank that it comes from.
struct Buckets {
    first: Vec<u32>,
    entries: Vec<(u32, u32)>,
}

impl Buckets {
    fn of(stops: &[Stop]) -> Self {
        let labels = || {
            (0_u32..)
                .zip(stops)
                .flat_map(|(to, stop)| stop.into.iter().map(move |entry| (to, entry)))
        };
        let top = labels()
            .map(|(_, (rank, _))| *rank as usize + 1)
            .max()
            .unwrap_or(0);
        let mut first = vec![0_u32; top + 1];
        for (_, (rank, _)) in labels() {
            first[*rank as usize + 1] += 1;
        }
        for at in 0..top {
            first[at + 1] += first[at];
        }
        let mut next = first.clone();
        let mut entries = vec![(0, 0); first[top] as usize];
        for (to, (rank, ms)) in labels() {
            let place = &mut next[*rank as usize];
            entries[*place as usize] = (to, *ms);
            *place += 1;
        }
        Self { first, entries }
    }

    fn at(&self, rank: u32) -> &[(u32, u32)] {
        let at = rank as usize;
        match self.first.get(at + 1) {
            Some(end) => &self.entries[self.first[at] as usize..*end as usize],
            None => &[],
        }
    }
}
