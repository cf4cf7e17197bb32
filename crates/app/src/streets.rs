//! Which street each job is in.

use std::collections::HashMap;

use gangday_ground::{LineIndex, Plane, Polyline};
use gangday_model::{LonLat, PlanePoint, Programme, Street};

/// How far a job may lie from its street's line where it names none, in metres.
const REACH_M: f64 = 30.0;

/// The street of each job, as an index into the programme's: the one that it states, else the
/// nearest within 30 m.
#[must_use]
pub fn of_jobs(
    programme: &Programme,
    plane: &Plane,
    points: &[Option<PlanePoint>],
) -> Vec<Option<usize>> {
    let by_id: HashMap<_, _> = programme
        .streets
        .iter()
        .enumerate()
        .map(|(at, street)| (&street.id, at))
        .collect();
    let index = lines(programme, plane);
    let nearest = |point: &Option<PlanePoint>| {
        point
            .and_then(|point| index.snap(point, REACH_M))
            .map(|snap| snap.street)
    };
    let jobs = programme.jobs.iter().zip(points);
    jobs.map(|(job, point)| {
        let stated = job.street.as_ref().and_then(|id| by_id.get(id).copied());
        stated.or_else(|| nearest(point))
    })
    .collect()
}

/// All street lines, indexed.
#[must_use]
pub fn lines(programme: &Programme, plane: &Plane) -> LineIndex {
    LineIndex::new(
        programme
            .streets
            .iter()
            .map(|street| of_street(street, plane))
            .collect(),
    )
}

fn of_street(street: &Street, plane: &Plane) -> Vec<Polyline> {
    street
        .lines
        .iter()
        .filter_map(|line| on_plane(line, plane))
        .collect()
}

fn on_plane(line: &[LonLat], plane: &Plane) -> Option<Polyline> {
    let points: Option<Vec<PlanePoint>> = line.iter().map(|place| plane.to_plane(*place)).collect();
    Polyline::new(points?)
}
