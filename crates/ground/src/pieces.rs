//! Straight pieces of lines in an R-tree, each with what it is a piece of.

use gangday_model::PlanePoint;
use rstar::RTree;
use rstar::primitives::{GeomWithData, Line};

/// A straight piece, and its owner.
pub(crate) type Piece<T> = GeomWithData<Line<[f64; 2]>, T>;

/// The piece from one point to another.
pub(crate) fn piece<T>(owner: T, from: PlanePoint, to: PlanePoint) -> Piece<T> {
    let ends = [from, to].map(|end| [end.east_m(), end.north_m()]);
    Piece::new(Line::new(ends[0], ends[1]), owner)
}

/// Whose piece is nearest to a place within reach; of owners as near, the first.
pub(crate) fn nearest<T: Copy + Ord>(
    tree: &RTree<Piece<T>>,
    place: PlanePoint,
    reach_m: f64,
) -> Option<T> {
    nearest_among(tree, place, reach_m, |_| true)
}

/// The same of those owners that are wanted.
pub(crate) fn nearest_among<T: Copy + Ord>(
    tree: &RTree<Piece<T>>,
    place: PlanePoint,
    reach_m: f64,
    wanted: impl Fn(T) -> bool,
) -> Option<T> {
    let centre = [place.east_m(), place.north_m()];
    let near = tree.nearest_neighbor_iter_with_distance_2(centre);
    let near = near.take_while(|(_, squared)| squared.sqrt() <= reach_m);
    let mut nearest = near.filter(|(piece, _)| wanted(piece.data));
    let (first, least) = nearest.next()?;
    let tied = nearest.take_while(|(_, squared)| *squared <= least);
    Some(tied.map(|(piece, _)| piece.data).fold(first.data, Ord::min))
}
