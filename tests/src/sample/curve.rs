//! Lines through points: smooth ones, places along them, places near them.

use super::plane::{Point, at};

/// Usual distance between the points of a street's line, in metres.
pub const STEP: f64 = 18.0;

/// The length of a line, in metres.
#[must_use]
pub fn length(line: &[Point]) -> f64 {
    line.windows(2).map(|pair| pair[0].to(pair[1])).sum()
}

/// The place at this many metres along a line, and the unit step there.
#[must_use]
pub fn along(line: &[Point], metres: f64) -> (Point, Point) {
    let mut left = metres;
    for pair in line.windows(2) {
        let span = pair[0].to(pair[1]);
        if left <= span && span > 0.0 {
            return (
                pair[0].toward(pair[1], left / span),
                (pair[1] - pair[0]).unit(),
            );
        }
        left -= span;
    }
    match line {
        [.., before, last] => (*last, (*last - *before).unit()),
        _ => (line.first().copied().unwrap_or_default(), at(1.0, 0.0)),
    }
}

/// The line again with points about `STEP` apart, both ends kept.
#[must_use]
pub fn even(line: &[Point]) -> Vec<Point> {
    let total = length(line);
    let spans = (total / STEP).round().max(1.0);
    let (mut points, mut gone, mut next) = (vec![line[0]], 0.0, 1.0);
    for pair in line.windows(2) {
        let span = pair[0].to(pair[1]);
        while next < spans && total * next / spans <= gone + span {
            points.push(pair[0].toward(pair[1], (total * next / spans - gone) / span));
            next += 1.0;
        }
        gone += span;
    }
    points.push(line[line.len() - 1]);
    points
}

/// A smooth line through all the points (a centripetal Catmull-Rom spline), evenly spaced.
#[must_use]
pub fn smooth(through: &[Point]) -> Vec<Point> {
    let (first, last) = (through[0], through[through.len() - 1]);
    let closed = through.len() > 3 && first == last;
    let before = if closed {
        through[through.len() - 2]
    } else {
        first * 2.0 - through[1]
    };
    let after = if closed {
        through[1]
    } else {
        last * 2.0 - through[through.len() - 2]
    };
    let mut knots = vec![before];
    knots.extend_from_slice(through);
    knots.push(after);
    let mut dense = vec![first];
    for four in knots.windows(4) {
        for n in 1..=16 {
            dense.push(spline(four, f64::from(n) / 16.0));
        }
        if let Some(end) = dense.last_mut() {
            *end = four[2];
        }
    }
    even(&dense)
}

/// One place of the centripetal spline between the two middle knots of four.
fn spline(knots: &[Point], part: f64) -> Point {
    let gap = |a: Point, b: Point| a.to(b).sqrt().max(1e-6);
    let t1 = gap(knots[0], knots[1]);
    let t2 = t1 + gap(knots[1], knots[2]);
    let t3 = t2 + gap(knots[2], knots[3]);
    let t = t1 + (t2 - t1) * part;
    let a1 = knots[0].toward(knots[1], t / t1);
    let a2 = knots[1].toward(knots[2], (t - t1) / (t2 - t1));
    let a3 = knots[2].toward(knots[3], (t - t2) / (t3 - t2));
    let b1 = a1.toward(a2, t / t2);
    let b2 = a2.toward(a3, (t - t1) / (t3 - t1));
    b1.toward(b2, (t - t1) / (t2 - t1))
}

/// The place of a line nearest to `place`: its segment, the place, and the distance.
#[must_use]
pub fn nearest(line: &[Point], place: Point) -> (usize, Point, f64) {
    let mut best = (0, line[0], f64::INFINITY);
    for (n, pair) in line.windows(2).enumerate() {
        let run = pair[1] - pair[0];
        let square = run.dot(run).max(1e-12);
        let part = ((place - pair[0]).dot(run) / square).clamp(0.0, 1.0);
        let foot = pair[0].toward(pair[1], part);
        let distance = foot.to(place);
        if distance < best.2 {
            best = (n, foot, distance);
        }
    }
    best
}

/// Where two segments cross, both ends counted.
#[must_use]
pub fn crossing(a: [Point; 2], b: [Point; 2]) -> Option<Point> {
    let (run_a, run_b, gap) = (a[1] - a[0], b[1] - b[0], b[0] - a[0]);
    let across = run_a.left().dot(run_b);
    if across.abs() < 1e-9 {
        return None;
    }
    let part_a = gap.left().dot(run_b) / across;
    let part_b = gap.left().dot(run_a) / across;
    let inside = |part: f64| (0.0..=1.0).contains(&part);
    (inside(part_a) && inside(part_b)).then(|| a[0].toward(a[1], part_a))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_smooth_line_passes_its_points_and_keeps_its_ends() {
        let through = [at(0.0, 0.0), at(100.0, 40.0), at(220.0, -20.0)];
        let line = smooth(&through);
        assert_eq!((line[0], line[line.len() - 1]), (through[0], through[2]));
        assert!(nearest(&line, through[1]).2 < 2.0);
        assert!(line.windows(2).all(|pair| pair[0].to(pair[1]) < 1.3 * STEP));
    }

    #[test]
    fn crossings_are_found_and_misses_are_not() {
        let flat = [at(0.0, 0.0), at(10.0, 0.0)];
        assert_eq!(
            crossing(flat, [at(4.0, -5.0), at(4.0, 5.0)]),
            Some(at(4.0, 0.0))
        );
        assert_eq!(crossing(flat, [at(14.0, -5.0), at(14.0, 5.0)]), None);
        assert_eq!(crossing(flat, [at(0.0, 1.0), at(10.0, 1.0)]), None);
    }
}
