//! How gangs get about: by road where there are roads, else by the straight line.

use std::collections::HashMap;
use std::hash::Hash;
use std::sync::{Arc, Mutex, PoisonError};

use gangday_ground::roads::{
    Doors, Hierarchy, OnRoad, REACH_M, RoadGraph, RoadIndex, Speeds, Travelled, journey_time,
    network_of_streets, shipped_roads,
};
use gangday_ground::{Plane, Straight, shipped_travel};
use gangday_model::{
    Finding, LonLat, Network, ParameterTable, PlanePoint, Programme, Seconds, Street, StreetId,
};
use gangday_traffic::{Rounds, StreetNames};

use crate::words;

/// Where figures of travel are stated.
const METHOD: &str = gangday_files::METHOD;

/// How gangs get about in one programme.
#[derive(Debug)]
pub struct Travel {
    /// Where there is no road.
    pub straight: Straight,
    /// By sort of way and hour.
    pub speeds: Speeds,
    /// The roads, if there are any to drive on.
    pub roads: Option<Roads>,
    /// What the streets are called.
    pub names: StreetNames,
    /// What is wrong with the figures that it is reckoned by.
    pub faults: Vec<Finding>,
    plane: Plane,
    spots: Spots,
}

/// Where a place lies on the plane, and on which road, if one reaches it; none where it is off the plane.
type Spot = Option<(PlanePoint, Option<OnRoad>)>;

/// Spots of places that were looked up before, by the bits of longitude and latitude: every journey begins or ends where
/// another does.
type Spots = Known<[u64; 2], Spot>;

/// A road network, ready.
#[derive(Debug)]
pub struct Roads {
    /// The graph.
    pub graph: RoadGraph,
    /// Which road a place is at.
    pub index: RoadIndex,
    /// The fast method.
    pub hierarchy: Arc<Hierarchy>,
    /// Which road each address is on.
    pub doors: Doors,
    /// What closing stretches of them was found to do.
    pub rounds: Rounds,
    reach_m: f64,
    /// Journeys that the fast method has worked out: most gang-days drive what was driven before.
    fast: Journeys,
    /// Those of the plain method.
    plain: Journeys,
}

/// Journeys that were worked out before, in ms; none where no road leads.
type Journeys = Known<(OnRoad, OnRoad), Option<u32>>;

/// What was worked out before.
#[derive(Debug)]
struct Known<K, V>(Mutex<HashMap<K, V>>);

/// More are not kept than some 50 MB hold.
const MOST_KNOWN: usize = 1_000_000;

impl<K, V> Default for Known<K, V> {
    fn default() -> Self {
        Self(Mutex::default())
    }
}

impl<K: Eq + Hash, V: Copy> Known<K, V> {
    fn or(&self, key: K, find: impl FnOnce() -> V) -> V {
        let lock = || self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let known = lock().get(&key).copied();
        known.unwrap_or_else(|| {
            let found = find();
            let mut all = lock();
            if all.len() >= MOST_KNOWN {
                all.clear();
            }
            all.insert(key, found);
            found
        })
    }
}

/// A drive from one place to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Drive {
    /// The way it takes, both places included.
    pub line: Vec<LonLat>,
    /// How far it is.
    pub metres: f64,
    /// How it was reckoned.
    pub by: Travelled,
}

impl Travel {
    /// The ways of a programme: over the network that is given, else over its own streets.
    ///
    /// `kept` is a preparation that was saved with the programme; one of another network or other
    /// speeds is not used.
    pub fn of(
        programme: &Programme,
        network: Option<Arc<Network>>,
        plane: &Plane,
        kept: Option<&[u8]>,
    ) -> Self {
        let mut faults = Vec::new();
        let figures = shipped_travel()
            .overlaid(&shipped_roads())
            .overlaid(&programme.method);
        let straight = Straight::from_table(&figures).unwrap_or_else(|fault| {
            faults.push(fault.in_file(METHOD));
            Straight::shipped()
        });
        let speeds = Speeds::from_table(&figures).unwrap_or_else(|wrong| {
            faults.extend(wrong.into_iter().map(|fault| fault.in_file(METHOD)));
            Speeds::shipped()
        });
        let network =
            network.unwrap_or_else(|| Arc::new(network_of_streets(&programme.streets, plane)));
        let graph = RoadGraph::prepare(network, &speeds);
        let roads = (!graph.is_empty())
            .then(|| Roads::of(graph, (programme, plane), kept, reach(&figures)));
        Self {
            straight,
            speeds,
            roads,
            names: StreetNames::of(&programme.streets),
            faults,
            plane: plane.clone(),
            spots: Spots::default(),
        }
    }

    /// Whether it was worked out on this plane.
    #[must_use]
    pub fn is_on(&self, plane: &Plane) -> bool {
        self.plane == *plane
    }

    /// How long it takes from place to place, by the fast method; a whole day where a place is off
    /// the plane.
    ///
    /// # Units
    /// `factor` in parts of [`ONE`](gangday_ground::roads::ONE).
    #[must_use]
    pub fn time(&self, factor: u32, from: LonLat, to: LonLat) -> Seconds {
        self.timed(factor, from, to, Roads::fast_ms)
    }

    /// The same by plain Dijkstra, which shares with the fast method nothing but the graph and the
    /// rule of rounding: for whoever checks.
    #[must_use]
    pub fn time_plainly(&self, factor: u32, from: LonLat, to: LonLat) -> Seconds {
        self.timed(factor, from, to, Roads::plain_ms)
    }

    fn timed(
        &self,
        factor: u32,
        from: LonLat,
        to: LonLat,
        by_road: impl Fn(&Roads, OnRoad, OnRoad) -> Option<u32>,
    ) -> Seconds {
        let Some(((from, starts), (to, ends))) = self.spot(from).zip(self.spot(to)) else {
            return Seconds::from_minutes(24 * 60);
        };
        let ms = self
            .roads
            .as_ref()
            .and_then(|roads| by_road(roads, starts?, ends?));
        ms.map_or_else(
            || self.straight.slower(factor).time(from, to),
            |ms| journey_time(ms, factor),
        )
    }

    fn spot(&self, place: LonLat) -> Spot {
        let bits = [place.lon(), place.lat()].map(f64::to_bits);
        self.spots.or(bits, || {
            let at = self.plane.to_plane(place)?;
            let on = self.roads.as_ref().and_then(|roads| roads.at(at));
            Some((at, on))
        })
    }

    /// The way from place to place, for showing.
    #[must_use]
    pub fn drive(&self, from: LonLat, to: LonLat) -> Drive {
        let ends = self.spot(from).zip(self.spot(to));
        let journey = self.roads.as_ref().zip(ends).and_then(|(roads, ends)| {
            let ((_, starts), (_, ends)) = ends;
            roads.hierarchy.journey(&roads.graph, starts?, ends?)
        });
        let Some(journey) = journey else {
            return Drive {
                line: vec![from, to],
                metres: ends.map_or(0.0, |((from, _), (to, _))| self.straight.metres(from, to)),
                by: Travelled::Straight,
            };
        };
        let mut line = vec![from];
        line.extend(journey.line);
        line.push(to);
        line.dedup();
        Drive {
            line,
            metres: journey.mm as f64 / 1e3,
            by: Travelled::Road,
        }
    }

    /// How far a place is beyond the reach of any road; nothing where a road reaches it.
    #[must_use]
    pub fn off_road(&self, place: PlanePoint) -> bool {
        self.roads
            .as_ref()
            .is_some_and(|roads| roads.at(place).is_none())
    }

    /// How travel is reckoned, for the user.
    #[must_use]
    pub fn describe(&self) -> String {
        let Some(roads) = &self.roads else {
            return format!(
                "{} There are no roads to drive on.",
                self.straight.describe()
            );
        };
        let links = words::count(roads.graph.network().links.len(), "link", "links");
        let of = match &roads.graph.network().source {
            Some(source) => format!("{} ({})", source.file, source.attribution),
            None => "the programme's own streets".to_owned(),
        };
        format!(
            "Travel is the quickest way by road over {links} of {of}, at a usual speed for each \
             sort of road or its limit if that is lower, up to the next whole minute. Where a \
             place is more than {} m from any road: {}",
            roads.reach_m,
            self.straight.describe(),
        )
    }
}

impl Roads {
    fn of(
        graph: RoadGraph,
        (programme, plane): (&Programme, &Plane),
        kept: Option<&[u8]>,
        reach_m: f64,
    ) -> Self {
        Self {
            index: RoadIndex::new(&graph, plane),
            hierarchy: prepared(&graph, kept),
            doors: Doors::of(names(&programme.streets)),
            rounds: Rounds::default(),
            graph,
            reach_m,
            fast: Journeys::default(),
            plain: Journeys::default(),
        }
    }

    /// Where on the roads a place is; nothing where none reaches it.
    #[must_use]
    pub fn at(&self, place: PlanePoint) -> Option<OnRoad> {
        self.index.snap(place, self.reach_m).map(|snap| snap.on)
    }

    fn fast_ms(&self, from: OnRoad, to: OnRoad) -> Option<u32> {
        let find = || self.hierarchy.time_ms(&self.graph, from, to);
        self.fast.or((from, to), find)
    }

    fn plain_ms(&self, from: OnRoad, to: OnRoad) -> Option<u32> {
        let find = || self.graph.plain_time_ms(from, to);
        self.plain.or((from, to), find)
    }
}

/// What the streets that have a name are called.
fn names(streets: &[Street]) -> impl Iterator<Item = (StreetId, String)> + '_ {
    let named = |street: &Street| Some((street.id.clone(), street.name.clone()?));
    streets.iter().filter_map(named)
}

/// How far from a road a place may be; the shipped figure where the stated one can't be used.
fn reach(figures: &ParameterTable) -> f64 {
    let stated = figures.value("travel.road_reach_m");
    stated
        .filter(|metres| (0.0..=10_000.0).contains(metres))
        .unwrap_or(REACH_M)
}

/// The fast method's preparation: the one made last if it is of this very graph, else the one that
/// was kept, else a new one. An edit makes the programme anew, and seldom changes its roads.
fn prepared(graph: &RoadGraph, kept: Option<&[u8]>) -> Arc<Hierarchy> {
    static LAST: Mutex<Option<Arc<Hierarchy>>> = Mutex::new(None);
    let lock = || LAST.lock().unwrap_or_else(PoisonError::into_inner);
    let last = lock().clone().filter(|last| last.is_made_from(graph));
    if let Some(last) = last {
        return last;
    }
    let kept = kept.and_then(|bytes| Hierarchy::from_bytes(bytes, graph));
    let made = Arc::new(kept.unwrap_or_else(|| Hierarchy::of(graph)));
    *lock() = Some(Arc::clone(&made));
    made
}
