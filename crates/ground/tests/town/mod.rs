//! Small towns to drive in.
#![allow(dead_code, reason = "each test takes what it needs")]

use std::sync::Arc;

use gangday_ground::roads::{OnRoad, RoadGraph, Speeds};
use gangday_model::{Link, LinkClass, LonLat, Network, Passage};

/// A network that grows.
#[derive(Clone, Debug, Default)]
pub struct Town {
    pub network: Network,
}

impl Town {
    /// Junctions by metres east and north.
    pub fn new(junctions: &[(i32, i32)]) -> Self {
        let mut town = Self::default();
        for (east, north) in junctions {
            town.junction(*east, *north);
        }
        town
    }

    pub fn junction(&mut self, east: i32, north: i32) -> u32 {
        let per_degree = 111_320.0;
        let lat = 54.0 + f64::from(north) / per_degree;
        let lon = -3.6 + f64::from(east) / (per_degree * 54.0_f64.to_radians().cos());
        self.network.junctions.push(LonLat::new(lon, lat));
        self.network.junctions.len() as u32 - 1
    }

    /// A road for all, both ways.
    pub fn road(&mut self, from: u32, to: u32) -> u32 {
        let at = |end: u32| self.network.junctions[end as usize];
        self.network.links.push(Link {
            street: Some(format!("S{}", self.network.links.len()).as_str().into()),
            from,
            to,
            line: vec![at(from), at(to)],
            class: LinkClass::Residential,
            limit_kmh: None,
            along: Passage::Open,
            against: Passage::Open,
            on_foot: Passage::Open,
        });
        self.network.links.len() as u32 - 1
    }

    pub fn graph(&self) -> RoadGraph {
        RoadGraph::prepare(Arc::new(self.network.clone()), &Speeds::shipped())
    }
}

/// Half way along a link.
pub fn middle(link: u32) -> OnRoad {
    OnRoad {
        link,
        part: 500_000,
    }
}
