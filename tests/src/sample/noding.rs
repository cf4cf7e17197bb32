//! Makes streets share their junctions: where two meet, both have a point with the same numbers.

use std::collections::HashMap;

use super::curve::{crossing, nearest};
use super::plane::Point;
use super::street::Street;

/// A new point this close to one that is there is that one.
const SAME: f64 = 7.0;

/// The nearest place on these streets within `reach`, made a point of its line.
#[must_use]
pub fn join(streets: &mut [Street], place: Point, reach: f64) -> Option<Point> {
    let (street, (segment, foot, _)) = streets
        .iter()
        .enumerate()
        .map(|(n, street)| (n, nearest(&street.line, place)))
        .filter(|(_, (_, _, distance))| *distance <= reach)
        .min_by(|a, b| a.1.2.total_cmp(&b.1.2))?;
    Some(insert(&mut streets[street].line, segment, foot))
}

/// Puts a point into a segment unless one of its ends is near enough to serve.
fn insert(line: &mut Vec<Point>, segment: usize, foot: Point) -> Point {
    for end in [line[segment], line[segment + 1]] {
        if end.to(foot) < SAME {
            return end;
        }
    }
    line.insert(segment + 1, foot);
    foot
}

/// Gives every crossing of two streets a point in both, then drops points that crowd a junction.
pub fn node(streets: &mut [Street]) {
    for a in 0..streets.len() {
        for b in a + 1..streets.len() {
            if near(&streets[a].line, &streets[b].line) {
                let (head, tail) = streets.split_at_mut(b);
                cross(&mut head[a].line, &mut tail[0].line);
            }
        }
    }
    thin(streets);
}

fn bounds(line: &[Point]) -> [f64; 4] {
    line.iter()
        .fold([f64::MAX, f64::MAX, f64::MIN, f64::MIN], |b, p| {
            [b[0].min(p.x), b[1].min(p.y), b[2].max(p.x), b[3].max(p.y)]
        })
}

fn near(a: &[Point], b: &[Point]) -> bool {
    let (a, b) = (bounds(a), bounds(b));
    a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3]
}

fn cross(a: &mut Vec<Point>, b: &mut Vec<Point>) {
    let mut n = 0;
    while n + 1 < a.len() {
        let found = (0..b.len() - 1).find_map(|m| {
            let place = crossing([a[n], a[n + 1]], [b[m], b[m + 1]])?;
            let shared = [a[n], a[n + 1]]
                .iter()
                .any(|end| b.contains(end) && end.to(place) < SAME);
            (!shared).then_some((m, place))
        });
        if let Some((m, place)) = found {
            let node = nearby([a[n], a[n + 1]], place)
                .or_else(|| nearby([b[m], b[m + 1]], place))
                .unwrap_or(place);
            for (line, at) in [(&mut *a, n), (&mut *b, m)] {
                if line[at] != node && line[at + 1] != node {
                    line.insert(at + 1, node);
                }
            }
        } else {
            n += 1;
        }
    }
}

/// An end that is near enough to serve as the junction.
fn nearby(ends: [Point; 2], place: Point) -> Option<Point> {
    ends.into_iter().find(|end| end.to(place) < SAME)
}

/// A key by which equal points are found.
#[must_use]
pub fn key(place: Point) -> (u64, u64) {
    (place.x.to_bits(), place.y.to_bits())
}

/// How many streets use each point.
#[must_use]
pub fn uses(streets: &[Street]) -> HashMap<(u64, u64), u32> {
    let mut uses = HashMap::new();
    for place in streets.iter().flat_map(|street| &street.line) {
        *uses.entry(key(*place)).or_insert(0) += 1;
    }
    uses
}

fn thin(streets: &mut [Street]) {
    let uses = uses(streets);
    let shared = |place: &Point| uses[&key(*place)] > 1;
    for street in streets {
        let line = std::mem::take(&mut street.line);
        let last = line.len() - 1;
        let crowds = |n: usize| {
            [n.wrapping_sub(1), n + 1]
                .iter()
                .filter_map(|m| line.get(*m))
                .any(|other| {
                    let firm = shared(other) || *other == line[0] || *other == line[last];
                    firm && other.to(line[n]) < SAME
                })
        };
        street.line = (0..line.len())
            .filter(|n| *n == 0 || *n == last || shared(&line[*n]) || !crowds(*n))
            .map(|n| line[n])
            .collect();
    }
}

#[cfg(test)]
mod tests {
    use super::super::plane::at;
    use super::super::street::Kind;
    use super::*;

    fn street(line: &[Point]) -> Street {
        Street::new("", Kind::Town, line.to_vec())
    }

    #[test]
    fn a_crossing_is_shared_to_the_last_bit() {
        let mut streets = vec![
            street(&[at(0.0, 0.0), at(100.0, 0.0)]),
            street(&[at(31.3, -40.0), at(37.7, 60.0)]),
        ];
        node(&mut streets);
        assert_eq!((streets[0].line.len(), streets[1].line.len()), (3, 3));
        assert_eq!(streets[0].line[1], streets[1].line[1]);
    }

    #[test]
    fn an_end_joins_the_nearest_street_within_reach() {
        let mut streets = vec![street(&[at(0.0, 0.0), at(100.0, 0.0)])];
        assert_eq!(
            join(&mut streets, at(50.0, 20.0), 30.0),
            Some(at(50.0, 0.0))
        );
        assert_eq!(streets[0].line.len(), 3);
        assert_eq!(join(&mut streets, at(50.0, 50.0), 30.0), None);
    }
}
