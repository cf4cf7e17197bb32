//! The street that each job lies in, with its line on the plane.

use std::collections::HashMap;
use std::sync::Arc;

use gangday_ground::{LineIndex, Plane, Polyline, Snap};
use gangday_model::{Job, PlanePoint, Street, StreetId};

/// All streets, found by id and by place.
pub(crate) struct Streets<'a> {
    streets: &'a [Street],
    lines: Arc<StreetLines>,
    reach_m: f64,
}

/// The lines of all streets on the plane, by the order in which the streets stand in the programme.
#[derive(Debug)]
pub(crate) struct StreetLines {
    by_id: HashMap<StreetId, usize>,
    index: LineIndex,
}

impl StreetLines {
    pub(crate) fn of(streets: &[Street], plane: &Plane) -> Self {
        let ids = streets.iter().enumerate();
        let lines = streets.iter().map(|street| on_plane(street, plane));
        Self {
            by_id: ids.map(|(at, street)| (street.id.clone(), at)).collect(),
            index: LineIndex::new(lines.collect()),
        }
    }
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
        Self::on(streets, Arc::new(StreetLines::of(streets, plane)), reach_m)
    }

    /// Streets whose lines are known.
    pub(crate) const fn on(streets: &'a [Street], lines: Arc<StreetLines>, reach_m: f64) -> Self {
        Self {
            streets,
            lines,
            reach_m,
        }
    }

    /// Whether the programme has the street that a job names, if it names one.
    pub(crate) fn knows(&self, job: &Job) -> bool {
        job.street
            .as_ref()
            .is_none_or(|id| self.lines.by_id.contains_key(id))
    }

    /// The street that the job names, else the nearest within reach.
    pub(crate) fn of(&'a self, job: &Job, at: Option<PlanePoint>) -> Option<InStreet<'a>> {
        let stated = job
            .street
            .as_ref()
            .and_then(|id| self.lines.by_id.get(id).copied());
        let index = &self.lines.index;
        let snap = at.and_then(|at| match stated {
            Some(street) => index.snap_to_street(street, at),
            None => index.snap(at, self.reach_m),
        });
        let street = stated.or(snap.map(|snap| snap.street))?;
        let near = snap.filter(|snap| snap.station.distance_m <= self.reach_m);
        let line = near.and_then(|snap| Some((index.line(snap.street, snap.part)?, snap)));
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
