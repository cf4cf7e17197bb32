//! What is near a place.

use gangday_model::PlanePoint;
use rstar::primitives::GeomWithData;
use rstar::{PointDistance, RTree};

type Entry = GeomWithData<[f64; 2], usize>;

/// A place near another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Near {
    /// Its place in the list that the index was made from.
    pub index: usize,
    /// How far it is, straight, m.
    pub distance_m: f64,
}

/// Places in an R-tree, so that the nearest of 100,000 is found without looking at all.
///
/// Places at the same distance come in the order of the list, so that an answer never depends on
/// how the tree happened to be built. A place that is not a number is never near anything.
#[derive(Clone, Debug)]
pub struct PlaceIndex {
    tree: RTree<Entry>,
}

impl PlaceIndex {
    /// An index of these places, loaded in one go.
    pub fn new(places: impl IntoIterator<Item = PlanePoint>) -> Self {
        let entries = places
            .into_iter()
            .map(coordinates)
            .enumerate()
            .filter(|(_, at)| at.iter().all(|metres| metres.is_finite()))
            .map(|(index, at)| Entry::new(at, index))
            .collect();
        Self {
            tree: RTree::bulk_load(entries),
        }
    }

    /// How many places it holds.
    #[must_use]
    pub fn len(&self) -> usize {
        self.tree.size()
    }

    /// Whether it holds none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// The `count` nearest places, nearest first.
    #[must_use]
    pub fn nearest(&self, to: PlanePoint, count: usize) -> Vec<Near> {
        let mut found: Vec<(f64, usize)> = Vec::with_capacity(count.min(self.len()));
        for (entry, squared) in self
            .tree
            .nearest_neighbor_iter_with_distance_2(coordinates(to))
        {
            let tied = found.last().is_some_and(|(last, _)| squared <= *last);
            if found.len() >= count && !tied {
                break;
            }
            found.push((squared, entry.data));
        }
        in_order(found).take(count).collect()
    }

    /// Every place within this distance, nearest first.
    #[must_use]
    pub fn within(&self, of: PlanePoint, metres: f64) -> Vec<Near> {
        let centre = coordinates(of);
        let found = self.tree.locate_within_distance(centre, metres * metres);
        in_order(
            found
                .map(|entry| (entry.distance_2(&centre), entry.data))
                .collect(),
        )
        .collect()
    }
}

fn coordinates(at: PlanePoint) -> [f64; 2] {
    [at.east_m(), at.north_m()]
}

fn in_order(mut found: Vec<(f64, usize)>) -> impl Iterator<Item = Near> {
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    found.into_iter().map(|(squared, index)| Near {
        index,
        distance_m: squared.sqrt(),
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn at(east: f64, north: f64) -> PlanePoint {
        PlanePoint::from_metres(east, north)
    }

    fn indices(found: &[Near]) -> Vec<usize> {
        found.iter().map(|near| near.index).collect()
    }

    fn squared(a: PlanePoint, b: PlanePoint) -> f64 {
        (a.east_m() - b.east_m()).powi(2) + (a.north_m() - b.north_m()).powi(2)
    }

    #[test]
    fn equal_distances_come_in_the_order_of_the_list() {
        let square = [at(1.0, 1.0), at(-1.0, 1.0), at(-1.0, -1.0), at(1.0, -1.0)];
        let index = PlaceIndex::new(square);
        assert_eq!(indices(&index.nearest(at(0.0, 0.0), 2)), [0, 1]);
        assert_eq!(indices(&index.within(at(0.0, 0.0), 1.5)), [0, 1, 2, 3]);
    }

    #[test]
    fn a_place_that_is_no_number_is_left_out() {
        let index = PlaceIndex::new([at(f64::NAN, 0.0), at(3.0, 4.0)]);
        assert_eq!(
            index.nearest(at(0.0, 0.0), 5),
            [Near {
                index: 1,
                distance_m: 5.0
            }]
        );
    }

    #[test]
    fn none_are_near_where_none_are_asked_for() {
        assert!(
            PlaceIndex::new([at(0.0, 0.0)])
                .nearest(at(0.0, 0.0), 0)
                .is_empty()
        );
        assert!(PlaceIndex::new([]).nearest(at(0.0, 0.0), 3).is_empty());
    }

    proptest! {
        /// The oracle looks at every place, by squares, which are exact for these places.
        #[test]
        fn the_nearest_are_those_of_a_look_at_every_place(
            places in prop::collection::vec((-20i32..20, -20i32..20), 1..60),
            count in 1usize..12,
            metres in 0.0f64..30.0,
        ) {
            let places: Vec<_> =
                places.iter().map(|(e, n)| at(f64::from(*e), f64::from(*n))).collect();
            let from = at(0.5, 0.25);
            let mut all: Vec<(f64, usize)> =
                places.iter().enumerate().map(|(i, p)| (squared(*p, from), i)).collect();
            all.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            let index = PlaceIndex::new(places);
            let nearest: Vec<_> = all.iter().take(count).map(|(_, i)| *i).collect();
            prop_assert_eq!(indices(&index.nearest(from, count)), nearest);
            let within: Vec<_> =
                all.iter().filter(|(d, _)| *d <= metres * metres).map(|(_, i)| *i).collect();
            prop_assert_eq!(indices(&index.within(from, metres)), within);
        }
    }
}
