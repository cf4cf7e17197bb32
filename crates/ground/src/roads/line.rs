//! Cutting and joining lines in degrees.

use gangday_model::LonLat;

use super::journey::WHOLE_LINK;

/// The stretch of a line between two parts of its length; lengths of its pieces are taken with
/// degrees of longitude shortened to the latitude, which is near enough to draw by.
pub(super) fn clipped(line: &[LonLat], begin: u32, end: u32) -> Vec<LonLat> {
    if begin == 0 && end == WHOLE_LINK {
        return line.to_vec();
    }
    let pieces: Vec<f64> = line
        .windows(2)
        .map(|pair| length(pair[0], pair[1]))
        .collect();
    let total: f64 = pieces.iter().sum();
    let at = |part: u32| total * f64::from(part) / f64::from(WHOLE_LINK);
    let (from, until) = (at(begin), at(end.max(begin)));
    let mut cut = vec![point(line, &pieces, from)];
    let mut passed = 0.0;
    for (piece, corner) in pieces.iter().zip(&line[1..]) {
        passed += piece;
        if passed > from && passed < until {
            cut.push(*corner);
        }
    }
    cut.push(point(line, &pieces, until));
    cut
}

fn length(from: LonLat, to: LonLat) -> f64 {
    let middle = f64::midpoint(from.lat(), to.lat()).to_radians();
    let east = (to.lon() - from.lon()) * middle.cos();
    east.hypot(to.lat() - from.lat())
}

fn point(line: &[LonLat], pieces: &[f64], at: f64) -> LonLat {
    let mut left = at;
    for (piece, ends) in pieces.iter().zip(line.windows(2)) {
        if left <= *piece && *piece > 0.0 {
            return between(ends[0], ends[1], left / piece);
        }
        left -= piece;
    }
    line.last().copied().unwrap_or(LonLat::new(0.0, 0.0))
}

fn between(from: LonLat, to: LonLat, part: f64) -> LonLat {
    let mix = |a: f64, b: f64| a + (b - a) * part;
    LonLat::new(mix(from.lon(), to.lon()), mix(from.lat(), to.lat()))
}

/// Lines one after another, a place that follows itself counted once.
pub(super) fn joined(lines: &[Vec<LonLat>]) -> Vec<LonLat> {
    let mut line: Vec<LonLat> = lines.iter().flatten().copied().collect();
    line.dedup();
    line
}
