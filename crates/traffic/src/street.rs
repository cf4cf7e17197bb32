//! The street that each job lies in, with its line on the plane.

use std::collections::HashMap;

use gangday_ground::{LineIndex, Plane, Polyline, Snap};
use gangday_model::{Job, PlanePoint, Street, StreetId};

/// All streets, found by id and by place.
pub(crate) struct Streets<'a> {
    streets: &'a [Street],
    by_id: HashMap<&'a StreetId, usize>,
    lines: LineIndex,
    reach_m: f64,
}

/// How a job lies in its street.
#[derive(Clone, Copy)]
pub(crate) struct InStreet<'a> {
    pub street: &'a Street,
    /// The line that it lies by, unless that is out of reach.
    pub line: Option<(&'a Polyline, Snap)>,
    /// How far the line is, m, where there is one.
    pub distance_m: Option<f64>,
}

impl<'a> Streets<'a> {
    pub(crate) fn new(streets: &'a [Street], plane: &Plane, reach_m: f64) -> Self {
        let by_id = streets
            .iter()
            .enumerate()
            .map(|(at, street)| (&street.id, at))
            .collect();
        let lines = streets
            .iter()
            .map(|street| on_plane(street, plane))
            .collect();
        Self {
            streets,
            by_id,
            lines: LineIndex::new(lines),
            reach_m,
        }
    }

    /// Whether the programme has the street that a job names, if it names one.
    pub(crate) fn knows(&self, job: &Job) -> bool {
        job.street
            .as_ref()
            .is_none_or(|id| self.by_id.contains_key(id))
    }

    /// The street that the job names, else the nearest within reach.
    pub(crate) fn of(&'a self, job: &Job, at: Option<PlanePoint>) -> Option<InStreet<'a>> {
        let stated = job
            .street
            .as_ref()
            .and_then(|id| self.by_id.get(id).copied());
        let snap = at.and_then(|at| match stated {
            Some(street) => self.lines.snap_to_street(street, at),
            None => self.lines.snap(at, self.reach_m),
        });
        let street = stated.or(snap.map(|snap| snap.street))?;
        let near = snap.filter(|snap| snap.station.distance_m <= self.reach_m);
        let line = near.and_then(|snap| Some((self.lines.line(snap.street, snap.part)?, snap)));
        let distance_m = snap.map(|snap| snap.station.distance_m);
        Some(InStreet {
            street: &self.streets[street],
            line,
            distance_m,
        })
    }
}

fn on_plane(street: &Street, plane: &Plane) -> Vec<Polyline> {
    let lines = street.lines.iter().map(|line| {
        let points: Option<Vec<_>> = line.iter().map(|place| plane.to_plane(*place)).collect();
        points.and_then(Polyline::new)
    });
    lines.flatten().collect()
}
