//! Runs: links as they are driven, one way each, with their length and time.

use gangday_model::{Link, LonLat, Network, Passage};
use geo::{Geodesic, Length, LineString};

use super::Speeds;

/// No more links are joined at one junction; real ones join five or six at most, and what a hostile
/// file piles up beyond that would cost room by its square.
const MOST_AT_JUNCTION: u32 = 64;

/// A link driven one way: number `2 x link` along its line, `2 x link + 1` against it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// The junction where it begins.
    pub from: u32,
    /// The junction where it ends.
    pub to: u32,
    /// How long it takes, ms.
    pub ms: u32,
    /// Who may drive it; `Shut` where nobody may.
    pub passage: Passage,
}

impl Run {
    pub(super) fn is_driven(&self) -> bool {
        self.passage != Passage::Shut
    }
}

/// The link of a run.
#[must_use]
pub const fn link_of(run: u32) -> u32 {
    run / 2
}

/// The same link driven the other way.
#[must_use]
pub const fn back_of(run: u32) -> u32 {
    run ^ 1
}

/// A link's length along the globe.
///
/// # Units
/// Whole millimetres.
#[must_use]
pub fn length_mm(line: &[LonLat]) -> u32 {
    let line: LineString = line.iter().map(|at| (at.lon(), at.lat())).collect();
    (Geodesic.length(&line) * 1e3).round().clamp(0.0, 1e9) as u32
}

/// Length over speed: at least one millisecond, so that no way is free.
///
/// # Units
/// mm and m/h in, whole ms out, the nearest.
#[must_use]
pub fn time_ms(length_mm: u32, metres_an_hour: u32) -> u32 {
    let speed = u64::from(metres_an_hour.max(1_000));
    let ms = (u64::from(length_mm) * 3_600 + speed / 2) / speed;
    u32::try_from(ms).unwrap_or(u32::MAX).max(1)
}

/// Every link's length, and every run.
pub(super) fn measured(network: &Network, speeds: &Speeds) -> (Vec<u32>, Vec<Run>) {
    let mut joined = vec![0_u32; network.junctions.len()];
    let lengths: Vec<u32> = network
        .links
        .iter()
        .map(|link| length_mm(&link.line))
        .collect();
    let mut runs = Vec::with_capacity(network.links.len() * 2);
    for (link, length) in network.links.iter().zip(&lengths) {
        let speed = speeds
            .metres_an_hour(link)
            .filter(|_| joins(link, &mut joined));
        let ms = time_ms(*length, speed.unwrap_or(0));
        let passage = |passage| speed.map_or(Passage::Shut, |_| passage);
        let (from, to) = (link.from, link.to);
        runs.push(Run {
            from,
            to,
            ms,
            passage: passage(link.along),
        });
        runs.push(Run {
            from: to,
            to: from,
            ms,
            passage: passage(link.against),
        });
    }
    (lengths, runs)
}

/// Whether a link for vehicles is whole, and there is room for it at both its junctions.
fn joins(link: &Link, joined: &mut [u32]) -> bool {
    if link.line.len() < 2 || (link.along, link.against) == (Passage::Shut, Passage::Shut) {
        return false;
    }
    let ends = [link.from as usize, link.to as usize];
    if ends.iter().any(|end| {
        joined
            .get(*end)
            .is_none_or(|count| *count >= MOST_AT_JUNCTION)
    }) {
        return false;
    }
    ends.iter().for_each(|end| joined[*end] += 1);
    true
}

/// The driven runs that leave each junction.
pub(super) struct Leaving {
    first: Vec<u32>,
    runs: Vec<u32>,
}

impl Leaving {
    pub(super) fn of(junctions: usize, all: &[Run]) -> Self {
        let mut first = vec![0; junctions + 1];
        let driven = || (0_u32..).zip(all).filter(|(_, run)| run.is_driven());
        for (_, run) in driven() {
            first[run.from as usize + 1] += 1;
        }
        for at in 0..junctions {
            first[at + 1] += first[at];
        }
        let mut next = first.clone();
        let mut runs = vec![0; first[junctions] as usize];
        for (number, run) in driven() {
            let place = &mut next[run.from as usize];
            runs[*place as usize] = number;
            *place += 1;
        }
        Self { first, runs }
    }

    /// The driven runs that leave this junction, in order of number.
    pub(super) fn from(&self, junction: u32) -> &[u32] {
        let at = junction as usize;
        &self.runs[self.first[at] as usize..self.first[at + 1] as usize]
    }
}
