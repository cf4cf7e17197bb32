//! The road graph: a network made ready to be driven on.

use std::collections::{HashMap, HashSet};
use std::sync::{Arc, OnceLock};

use gangday_model::{Link, LonLat, Network, Passage, StreetId};

use super::bans::Bans;
use super::component;
use super::runs::{Leaving, Run, link_of, measured};
use super::states::States;
use super::{Finger, Speeds};

/// A network made ready to be driven on: lengths and times in whole numbers, forbidden turns and
/// roads for destinations only worked into what may follow what.
///
/// Times are whole milliseconds and lengths whole millimetres, so that two ways of working out a
/// journey agree exactly or not at all. Numbers of links and junctions are those of the network.
#[derive(Clone, Debug)]
pub struct RoadGraph {
    pub(super) network: Arc<Network>,
    pub(super) lengths: Vec<u32>,
    pub(super) runs: Vec<Run>,
    pub(super) states: States,
    /// Whether one can come to each link from the main roads and go from it to them.
    pub(super) usable: Vec<bool>,
    /// A state of the main roads.
    pub(super) main: Option<u32>,
    /// The links of each street, found when first asked for.
    by_street: OnceLock<HashMap<StreetId, Vec<u32>>>,
}

impl RoadGraph {
    /// Makes a network ready.
    ///
    /// A link that can't be driven (a wrong junction, no line, a class for walkers, more than 64
    /// at one junction) is no part of it. A turn that names such a link says nothing.
    ///
    /// ```
    /// use std::sync::Arc;
    /// use gangday_ground::roads::{OnRoad, RoadGraph, Speeds};
    /// use gangday_model::{Link, LinkClass, LonLat, Network, Passage};
    /// // A primary road of 1 km at 55 km/h: 65.5 s from end to end.
    /// let ends = [LonLat::new(-3.6, 54.0), LonLat::new(-3.6, 54.008_985_4)];
    /// let road = Link {
    ///     street: None, from: 0, to: 1, line: ends.to_vec(), class: LinkClass::Primary,
    ///     limit_kmh: None, along: Passage::Open, against: Passage::Open, on_foot: Passage::Open,
    /// };
    /// let network = Network { junctions: ends.to_vec(), links: vec![road], ..Network::default() };
    /// let graph = RoadGraph::prepare(Arc::new(network), &Speeds::shipped());
    /// let (start, end) = (OnRoad { link: 0, part: 0 }, OnRoad { link: 0, part: 1_000_000 });
    /// assert_eq!(graph.plain_time_ms(start, end).map(|ms| ms / 100), Some(654));
    /// ```
    #[must_use]
    pub fn prepare(network: Arc<Network>, speeds: &Speeds) -> Self {
        let (lengths, runs) = measured(&network, speeds);
        Self::of_runs(network, lengths, runs)
    }

    /// The same roads with these links closed to everybody.
    pub(super) fn without(&self, shut: &HashSet<u32>) -> Self {
        let mut runs = self.runs.clone();
        for (number, run) in (0..).zip(&mut runs) {
            if shut.contains(&link_of(number)) {
                run.passage = Passage::Shut;
            }
        }
        Self::of_runs(Arc::clone(&self.network), self.lengths.clone(), runs)
    }

    fn of_runs(network: Arc<Network>, lengths: Vec<u32>, runs: Vec<Run>) -> Self {
        let leaving = Leaving::of(network.junctions.len(), &runs);
        let bans = Bans::of(&network, &runs, &leaving);
        let states = States::of(&runs, &leaving, &bans);
        let mut graph = Self {
            usable: vec![false; lengths.len()],
            network,
            lengths,
            runs,
            states,
            main: None,
            by_street: OnceLock::new(),
        };
        component::mark(&mut graph);
        graph
    }

    /// The network that it was made from.
    #[must_use]
    pub fn network(&self) -> &Network {
        &self.network
    }

    /// A link of the network.
    #[must_use]
    pub fn link(&self, link: u32) -> Option<&Link> {
        self.network.links.get(link as usize)
    }

    /// How long a link is; nothing for one that is not there.
    ///
    /// # Units
    /// Whole millimetres along the globe.
    #[must_use]
    pub fn length_mm(&self, link: u32) -> u32 {
        self.lengths.get(link as usize).copied().unwrap_or(0)
    }

    /// The runs: `2 x link` along its line, `2 x link + 1` against it.
    #[must_use]
    pub fn runs(&self) -> &[Run] {
        &self.runs
    }

    /// Whether vehicles can come to this link from the main roads and go from it to them; places
    /// are brought to no other.
    ///
    /// The main roads are the largest part of the open roads in which one can get from everywhere
    /// to everywhere.
    #[must_use]
    pub fn is_usable(&self, link: u32) -> bool {
        self.usable.get(link as usize).copied().unwrap_or(false)
    }

    /// Whether there are any roads to drive on.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.main.is_none()
    }

    /// The links of a street, in order of number.
    #[must_use]
    pub fn links_of(&self, street: &StreetId) -> &[u32] {
        let by_street = self.by_street.get_or_init(|| {
            let mut all: HashMap<StreetId, Vec<u32>> = HashMap::new();
            for (number, link) in (0..).zip(&self.network.links) {
                if let Some(street) = &link.street {
                    all.entry(street.clone()).or_default().push(number);
                }
            }
            all
        });
        by_street.get(street).map_or(&[], Vec::as_slice)
    }

    /// The links that meet at any of these junctions, in order of number.
    #[must_use]
    pub fn links_at(&self, junctions: &[u32]) -> Vec<u32> {
        if junctions.is_empty() {
            return Vec::new();
        }
        let links = (0..).zip(&self.network.links);
        let meets = |link: &Link| junctions.contains(&link.from) || junctions.contains(&link.to);
        let at_them = links.filter(|(_, link)| meets(link));
        at_them.map(|(number, _)| number).collect()
    }

    /// Where a junction is.
    #[must_use]
    pub fn junction(&self, junction: u32) -> Option<LonLat> {
        self.network.junctions.get(junction as usize).copied()
    }

    /// What a kept preparation is known by: another network, other speeds or another rule for
    /// turns give another one.
    #[must_use]
    pub fn checksum(&self) -> u64 {
        let mut finger = Finger::default();
        for run in &self.runs {
            finger
                .add(run.from)
                .add(run.to)
                .add(run.ms)
                .add(match run.passage {
                    Passage::Open => 0,
                    Passage::Destination => 1,
                    Passage::Shut => 2,
                });
        }
        for state in 0..self.states.len() as u32 {
            finger.add(self.states.run[state as usize]);
            let next = self.states.next.of_one(state);
            finger.add(next.len() as u32);
            for state in next {
                finger.add(*state);
            }
        }
        finger.value()
    }

    /// How many states there are: a vehicle about to drive a run, with what it remembers.
    #[must_use]
    pub fn states(&self) -> u32 {
        self.states.len() as u32
    }

    /// A state's run and the states that may follow it, for whoever holds the graph against
    /// another method. The states of one run come together, that of a beginning journey first.
    #[must_use]
    pub fn state(&self, state: u32) -> (u32, &[u32]) {
        (
            self.states.run[state as usize],
            self.states.next.of_one(state),
        )
    }

    /// What driving a state's run takes, ms.
    pub(super) fn ms_of(&self, state: u32) -> u32 {
        self.runs[self.states.run[state as usize] as usize].ms
    }

    pub(super) fn is_open(&self, state: u32) -> bool {
        self.runs[self.states.run[state as usize] as usize].passage == Passage::Open
    }
}
