//! Streets out of ways: what bears one name and hangs together, or one way where there is no name.
//!
//! A street is what a vehicle may use, and a named street for walkers, on which works are done as on
//! any other. Paths and pavements are in the network only.

use std::collections::{BTreeMap, HashMap};

use gangday_model::{LonLat, Street, StreetId};
use serde_json::{Map, json};

use super::ATTRIBUTION;
use super::gather::Way;
use super::limits::Limit;
use super::links::{Laid, Piece, place_of};
use super::nodes::Nodes;

/// The streets, and each way's place among them.
pub(super) struct Named {
    pub(super) streets: Vec<Street>,
    pub(super) of_way: Vec<Option<usize>>,
}

/// Finds the streets. A street is called after the least id of its ways, so that the same extract
/// always gives the same ids.
pub(super) fn streets(ways: &[Way], laid: &Laid, nodes: &Nodes) -> Named {
    let mut has_piece = vec![false; ways.len()];
    laid.pieces
        .iter()
        .for_each(|piece| has_piece[piece.way] = true);
    let is_street: Vec<bool> = ways
        .iter()
        .zip(has_piece)
        .map(|(way, has_piece)| has_piece && is_street(way))
        .collect();
    let mut groups = Groups::of(ways.len());
    let mut met: HashMap<(u32, &str), usize> = HashMap::new();
    for piece in &laid.pieces {
        let Some(name) = ways[piece.way]
            .name
            .as_deref()
            .filter(|_| is_street[piece.way])
        else {
            continue;
        };
        for node in &piece.nodes {
            let first = *met.entry((*node, name)).or_insert(piece.way);
            groups.join(first, piece.way);
        }
    }
    // Ways stand in the order of their ids, so the least place in a group is its least id.
    let mut members: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for way in (0..ways.len()).filter(|way| is_street[*way]) {
        members.entry(groups.least(way)).or_default().push(way);
    }
    let mut of_way = vec![None; ways.len()];
    for (street, group) in members.values().enumerate() {
        group.iter().for_each(|way| of_way[*way] = Some(street));
    }
    let mut pieces: Vec<Vec<&Piece>> = vec![Vec::new(); members.len()];
    for piece in &laid.pieces {
        if let Some(street) = of_way[piece.way] {
            pieces[street].push(piece);
        }
    }
    let streets = members
        .values()
        .zip(pieces)
        .map(|(group, pieces)| street(ways, group, &pieces, nodes))
        .collect();
    Named { streets, of_way }
}

fn is_street(way: &Way) -> bool {
    way.about.is_drivable() || (way.about.pedestrian && way.name.is_some())
}

fn street(ways: &[Way], group: &[usize], pieces: &[&Piece], nodes: &Nodes) -> Street {
    let of_group = || group.iter().map(|way| &ways[*way]);
    let one_way = |way: &Way| way.about.is_drivable() && !goes_both_ways(way);
    let place = |node: &u32| place_of(nodes, *node);
    let lines: Vec<Vec<LonLat>> = super::chains::chains(pieces, |way| one_way(&ways[way]))
        .iter()
        .map(|chain| chain.iter().filter_map(place).collect())
        .collect();
    let mut extra = Map::new();
    extra.insert("attribution".to_owned(), json!(ATTRIBUTION));
    Street {
        id: StreetId::new(format!("osm-w{}", ways[group[0]].id)),
        name: ways[group[0]].name.as_deref().map(ToOwned::to_owned),
        road_type: None,
        // The highest, because signs and guarding must do for it.
        speed_limit_mph: of_group()
            .filter_map(|way| way.about.limit.map(Limit::mph))
            .max()
            .filter(|mph| (5..=100).contains(mph)),
        // The narrowest, because what is left beside a work must do for it.
        width_m: of_group()
            .filter_map(|way| way.about.width_m)
            .min_by(f64::total_cmp),
        one_way: of_group().all(one_way),
        flow_per_3_min: None,
        traffic_sensitive: Vec::new(),
        restricted_until: None,
        lines,
        extra,
    }
}

fn goes_both_ways(way: &Way) -> bool {
    use gangday_model::Passage::Shut;
    way.about.along != Shut && way.about.against != Shut
}

/// Disjoint groups of ways.
struct Groups(Vec<usize>);

impl Groups {
    fn of(count: usize) -> Self {
        Self((0..count).collect())
    }

    /// The least member of a way's group.
    fn least(&mut self, way: usize) -> usize {
        let mut at = way;
        while self.0[at] != at {
            self.0[at] = self.0[self.0[at]];
            at = self.0[at];
        }
        at
    }

    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.least(one), self.least(other));
        self.0[one.max(other)] = one.min(other);
    }
}
