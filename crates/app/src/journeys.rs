//! The times between all places of a problem, as the search asks for them.

use std::collections::BTreeSet;
use std::sync::Arc;

use gangday_ground::Straight;
use gangday_ground::roads::{NO_WAY, OnRoad, Stops, journey_time};
use gangday_model::{PlanePoint, Seconds};
use gangday_planner::{Journeys, Travel as Times};

use crate::travel::Travel;

/// Up to so many times are handed over as a table; beyond that the search asks one by one.
const TABLE_TIMES: usize = 9_000_000;

/// The travel of every sort of vehicle: the usual one's first, the others in order of their factor.
pub struct Vehicles {
    /// The factor of each.
    factors: Vec<u32>,
    /// The times of each.
    pub times: Vec<Times>,
}

impl Vehicles {
    /// The times between nodes at these points for every factor that occurs.
    #[must_use]
    pub fn of(travel: &Travel, points: &[PlanePoint], factors: &BTreeSet<u32>) -> Self {
        let factors: Vec<u32> = factors.iter().copied().collect();
        let places = travel
            .roads
            .is_some()
            .then(|| Arc::new(Places::of(travel, points)));
        let table = places.as_ref().filter(|places| {
            let times = places.points.len().saturating_mul(places.points.len());
            times.saturating_mul(factors.len()) <= TABLE_TIMES
        });
        let table = table.map(|places| places.stops.table());
        let times = factors.iter().map(|factor| match &places {
            Some(places) => by_road(places, travel.straight, *factor, table.as_deref()),
            None => straight(points, travel.straight.slower(*factor)),
        });
        Self {
            times: times.collect(),
            factors,
        }
    }

    /// Which of them a factor is.
    #[must_use]
    pub fn of_factor(&self, factor: u32) -> u32 {
        let at = self.factors.iter().position(|known| *known == factor);
        at.and_then(|at| u32::try_from(at).ok()).unwrap_or(0)
    }
}

fn straight(points: &[PlanePoint], way: Straight) -> Times {
    Times::Plane {
        places: points
            .iter()
            .map(|point| gangday_ground::decimetres(*point))
            .collect(),
        seconds_per_1000_km: way.seconds_per_1000_km(),
    }
}

fn by_road(places: &Arc<Places>, straight: Straight, factor: u32, table: Option<&[u32]>) -> Times {
    let asked = Asked {
        places: Arc::clone(places),
        straight: straight.slower(factor),
        factor,
    };
    match table {
        Some(table) => asked.all(table),
        None => Times::Asked(Arc::new(asked)),
    }
}

/// The times of one factor, asked one by one however few there are.
#[cfg(test)]
pub fn asked(travel: &Travel, points: &[PlanePoint], factor: u32) -> Times {
    let places = Arc::new(Places::of(travel, points));
    by_road(&places, travel.straight, factor, None)
}

/// Where each node is, on the plane and on the roads.
#[derive(Debug)]
struct Places {
    points: Vec<PlanePoint>,
    /// Each node's stop, if a road reaches it.
    stop: Vec<Option<usize>>,
    stops: Stops,
}

impl Places {
    fn of(travel: &Travel, points: &[PlanePoint]) -> Self {
        let at = |point: &PlanePoint| travel.roads.as_ref().and_then(|roads| roads.at(*point));
        let on: Vec<Option<OnRoad>> = points.iter().map(at).collect();
        let mut known: Vec<OnRoad> = on.iter().flatten().copied().collect();
        known.sort_unstable();
        known.dedup();
        let stop = on
            .iter()
            .map(|on| on.and_then(|on| known.binary_search(&on).ok()));
        let stops = travel
            .roads
            .as_ref()
            .map(|roads| Stops::of(&roads.graph, &roads.hierarchy, &known));
        Self {
            points: points.to_vec(),
            stop: stop.collect(),
            stops: stops.unwrap_or_default(),
        }
    }
}

/// One sort of vehicle.
#[derive(Debug)]
struct Asked {
    places: Arc<Places>,
    straight: Straight,
    factor: u32,
}

impl Asked {
    fn time(&self, from: usize, to: usize, by_road: impl Fn(usize, usize) -> u32) -> u32 {
        let stops = self.places.stop[from].zip(self.places.stop[to]);
        let ms = stops
            .map(|(from, to)| by_road(from, to))
            .filter(|ms| *ms != NO_WAY);
        let time = ms.map_or_else(
            || {
                self.straight
                    .time(self.places.points[from], self.places.points[to])
            },
            |ms| journey_time(ms, self.factor),
        );
        whole(time)
    }

    fn all(&self, table: &[u32]) -> Times {
        let (nodes, width) = (self.places.points.len(), self.places.stops.len());
        let mut seconds = Vec::with_capacity(nodes * nodes);
        for from in 0..nodes {
            let look_up = |from: usize, to: usize| table[from * width + to];
            seconds.extend((0..nodes).map(|to| self.time(from, to, look_up)));
        }
        Times::Matrix {
            nodes: u32::try_from(nodes).unwrap_or(u32::MAX),
            seconds,
        }
    }
}

impl Journeys for Asked {
    fn seconds(&self, from: u32, to: u32) -> u32 {
        self.time(from as usize, to as usize, |from, to| {
            self.places.stops.ms(from, to)
        })
    }
}

fn whole(time: Seconds) -> u32 {
    u32::try_from(time.seconds()).unwrap_or(u32::MAX)
}
