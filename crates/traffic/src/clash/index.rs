//! Clashes by index in time and space, so that no closure is held against all others.

use std::borrow::Borrow;
use std::collections::{BTreeMap, HashMap};

use gangday_model::{ClashKind, PlanePoint};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::party::{ClashLimits, Party, clash_between};

/// Two parties by index, the smaller first, and how they clash.
pub type Pair = (usize, usize, ClashKind);

/// A closure's ground and time as a box: east, north, seconds.
type Stand = GeomWithData<Rectangle<[f64; 3]>, usize>;

/// Every clash, by index in the list, in order.
///
/// Closures on one street or road are swept in order of time, and each is held only against those
/// that stand when it begins. Ways round are held only against closures whose box of ground and time
/// they pass through, found in an R-tree. So the work grows as closures and clashes do, and not as
/// the square of the closures.
#[must_use]
pub fn find_clashes<P: Borrow<Party>>(parties: &[P], limits: &ClashLimits) -> Vec<Pair> {
    let parties: Vec<&Party> = parties.iter().map(Borrow::borrow).collect();
    let parties = parties.as_slice();
    let mut pairs: BTreeMap<(usize, usize), ClashKind> = BTreeMap::new();
    let mut hold = |a: usize, b: usize| {
        let pair = (a.min(b), a.max(b));
        if a != b && !pairs.contains_key(&pair) {
            let kind = clash_between(parties[pair.0], parties[pair.1], limits);
            pairs.extend(kind.map(|kind| (pair, kind)));
        }
    };
    for group in groups(parties) {
        sweep(parties, group, &mut hold);
    }
    along_ways(parties, &mut hold);
    pairs
        .into_iter()
        .map(|((a, b), kind)| (a, b, kind))
        .collect()
}

/// Closures of carriageway by street, and by road.
fn groups(parties: &[&Party]) -> impl Iterator<Item = Vec<usize>> {
    let mut groups: HashMap<(bool, u32), Vec<usize>> = HashMap::new();
    for (at, party) in parties.iter().enumerate() {
        if party.takes_carriageway {
            let street = party.along.map(|along| (true, along.street));
            let road = party.road.map(|road| (false, road));
            for key in [street, road].into_iter().flatten() {
                groups.entry(key).or_default().push(at);
            }
        }
    }
    groups.into_values()
}

/// Holds each against those that still stand when it begins.
fn sweep(parties: &[&Party], mut group: Vec<usize>, hold: &mut impl FnMut(usize, usize)) {
    group.sort_unstable_by_key(|at| parties[*at].from);
    let mut standing: Vec<usize> = Vec::new();
    for at in group {
        standing.retain(|other| parties[*other].until > parties[at].from);
        for other in &standing {
            hold(*other, at);
        }
        standing.push(at);
    }
}

fn along_ways(parties: &[&Party], hold: &mut impl FnMut(usize, usize)) {
    let stands = parties.iter().enumerate();
    let tree = RTree::bulk_load(stands.filter_map(|(at, party)| stand(at, party)).collect());
    for (at, party) in parties.iter().enumerate() {
        for stretch in party.ways.iter().flat_map(|way| way.windows(2)) {
            let passed = bounds(stretch, party);
            for stand in tree.locate_in_envelope_intersecting(passed) {
                hold(at, stand.data);
            }
        }
    }
}

fn stand(at: usize, party: &Party) -> Option<Stand> {
    let ground = party.ground.as_ref().filter(|_| party.takes_carriageway)?;
    let bounds = bounds(ground.points(), party);
    Some(Stand::new(Rectangle::from_aabb(bounds), at))
}

fn bounds(points: &[PlanePoint], party: &Party) -> AABB<[f64; 3]> {
    let places: Vec<[f64; 3]> = points
        .iter()
        .flat_map(|at| {
            [party.from, party.until].map(|time| [at.east_m(), at.north_m(), time as f64])
        })
        .collect();
    AABB::from_points(places.iter())
}
