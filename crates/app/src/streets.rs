//! Which street each job is in.

use std::collections::HashMap;

use gangday_ground::{LineIndex, Plane, Polyline};
use gangday_model::{Job, LonLat, PlanePoint, Programme, Street, StreetId};

/// How far a job may lie from its street's line where it names none, in metres.
const REACH_M: f64 = 30.0;

/// The street of a job, as an index into the programme's: the one that it states, else the nearest
/// within 30 m.
#[must_use]
pub fn of_job(lines: &StreetLines, job: &Job, point: Option<PlanePoint>) -> Option<usize> {
    let stated = job.street.as_ref();
    let stated = stated.and_then(|id| lines.by_id.get(id).copied());
    let nearest = || Some(lines.index.snap(point?, REACH_M)?.street);
    stated.or_else(nearest)
}

/// A programme's streets by id and by place.
#[derive(Debug)]
pub struct StreetLines {
    /// All their lines.
    pub index: LineIndex,
    by_id: HashMap<StreetId, usize>,
}

impl StreetLines {
    /// Of all streets of a programme; a street by the order in which it stands there.
    #[must_use]
    pub fn of(programme: &Programme, plane: &Plane) -> Self {
        let streets = || programme.streets.iter();
        let lines = streets().map(|street| of_street(street, plane)).collect();
        let ids = streets().enumerate();
        Self {
            index: LineIndex::new(lines),
            by_id: ids.map(|(at, street)| (street.id.clone(), at)).collect(),
        }
    }
}

impl StreetLines {
    /// Whether there is a street of this id.
    #[must_use]
    pub fn knows(&self, id: &StreetId) -> bool {
        self.by_id.contains_key(id)
    }
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
