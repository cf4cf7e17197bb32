//! Which road each address is on.

use std::collections::HashMap;
use std::sync::OnceLock;

use gangday_model::{Address, PlanePoint, StreetId};

use super::{OnRoad, RoadGraph, RoadIndex};
use crate::Plane;

/// How far from its own street an address may lie: a house stands back from it.
///
/// # Units
/// Metres, straight.
///
/// # Source
/// Common practice, no source.
const OWN_M: f64 = 200.0;
/// The same for the nearest road, where no road near bears the street's name.
const ANY_M: f64 = 100.0;

/// The addresses of a network by the link that each is on, found when first asked for.
///
/// An address is on the nearest link of the street that it names, else on the nearest link; one far
/// from any road is on none.
#[derive(Debug, Default)]
pub struct Doors {
    /// What each street is called.
    names: HashMap<StreetId, String>,
    found: OnceLock<HashMap<u32, Vec<(u32, u32)>>>,
}

impl Doors {
    /// The addresses of a network whose streets are called so.
    #[must_use]
    pub fn of(names: impl Iterator<Item = (StreetId, String)>) -> Self {
        Self {
            names: names.collect(),
            found: OnceLock::new(),
        }
    }

    /// The addresses on a link, each with how far along the link it is in parts of
    /// [`WHOLE_LINK`](super::WHOLE_LINK), and its number among the network's.
    #[must_use]
    pub fn on(
        &self,
        link: u32,
        (graph, index): (&RoadGraph, &RoadIndex),
        plane: &Plane,
    ) -> &[(u32, u32)] {
        let found = self.found.get_or_init(|| self.find(graph, index, plane));
        found.get(&link).map_or(&[], Vec::as_slice)
    }

    fn find(
        &self,
        graph: &RoadGraph,
        index: &RoadIndex,
        plane: &Plane,
    ) -> HashMap<u32, Vec<(u32, u32)>> {
        let links = graph.network().links.iter();
        let named: Vec<Option<&str>> = links
            .map(|link| Some(self.names.get(link.street.as_ref()?)?.as_str()))
            .collect();
        let mut found: HashMap<u32, Vec<(u32, u32)>> = HashMap::new();
        for (number, address) in (0..).zip(&graph.network().addresses) {
            let at = plane.to_plane(address.at);
            if let Some(on) = at.and_then(|at| road_of(address, at, index, &named)) {
                found.entry(on.link).or_default().push((on.part, number));
            }
        }
        found
    }
}

fn road_of(
    address: &Address,
    at: PlanePoint,
    index: &RoadIndex,
    named: &[Option<&str>],
) -> Option<OnRoad> {
    let own = address.street.as_deref().and_then(|street| {
        let is_own = |link: u32| named.get(link as usize) == Some(&Some(street));
        index.snap_among(at, OWN_M, is_own)
    });
    let any = || index.snap(at, ANY_M);
    own.or_else(any).map(|found| found.on)
}
