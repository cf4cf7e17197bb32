//! The road network that closures are driven round on: the programme's own streets.

use std::sync::{Arc, OnceLock};

use gangday_ground::Plane;
use gangday_ground::roads::{RoadGraph, RoadIndex, Speeds, network_of_streets};
use gangday_model::Street;
use gangday_traffic::Roads;

/// Made ready when it is first asked for.
#[derive(Debug, Default)]
pub struct StreetRoads(OnceLock<(RoadGraph, RoadIndex)>);

impl StreetRoads {
    /// The roads of these streets.
    pub fn ready(&self, streets: &[Street], plane: &Plane) -> Roads<'_> {
        let (graph, index) = self.0.get_or_init(|| {
            let network = network_of_streets(streets, plane);
            let graph = RoadGraph::prepare(Arc::new(network), &Speeds::shipped());
            let index = RoadIndex::new(&graph, plane);
            (graph, index)
        });
        Roads { graph, index }
    }
}
