//! Which street each job is in.

use std::collections::HashMap;

use gangday_ground::{LineIndex, Plane, Polyline};
use gangday_model::{Job, LonLat, PlanePoint, Programme, Street, StreetId};

use crate::prepared::Prepared;

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
    by_name: HashMap<String, Vec<usize>>,
}

impl StreetLines {
    /// Of all streets of a programme; a street by the order in which it stands there.
    #[must_use]
    pub fn of(programme: &Programme, plane: &Plane) -> Self {
        let streets = || programme.streets.iter();
        let lines = streets().map(|street| of_street(street, plane)).collect();
        let ids = streets().enumerate();
        let mut by_name: HashMap<String, Vec<usize>> = HashMap::new();
        for (at, name) in streets().map(|street| street.name.as_deref()).enumerate() {
            let name = name.filter(|name| !name.trim().is_empty());
            if let Some(name) = name {
                by_name.entry(plain(name)).or_default().push(at);
            }
        }
        Self {
            by_name,
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

    /// The streets that are called by a name, in any case; of several, in the order of the programme.
    fn called(&self, name: &str) -> &[usize] {
        self.by_name.get(&plain(name)).map_or(&[], Vec::as_slice)
    }
}

impl Prepared {
    /// The street that people mean by a name: none where that is a street's id already, or no street is called
    /// so; of several that are, the one that is nearest to a place.
    #[must_use]
    pub fn street_called(&self, name: &str, at: Option<LonLat>) -> Option<&StreetId> {
        let lines = &self.lines;
        let point = at.and_then(|at| self.plane.to_plane(at));
        let away = |street: usize| {
            let snap = point.and_then(|point| lines.index.snap_to_street(street, point));
            snap.map_or(f64::INFINITY, |snap| snap.station.distance_m)
        };
        let called = lines.called(name).iter().copied();
        let nearest = called.min_by(|one, other| away(*one).total_cmp(&away(*other)))?;
        let is_id = lines.knows(&StreetId::new(name));
        (!is_id).then(|| &self.programme.streets[nearest].id)
    }

    /// Gives a job of a list, which names its street as people do, that street's id.
    pub fn name_street(&self, job: &mut Job) {
        let stated = job.street.as_ref();
        let called = stated.and_then(|stated| self.street_called(stated.as_str(), Some(job.at)));
        job.street = called.cloned().or_else(|| job.street.take());
    }
}

/// A name without case, and with one space between its words.
fn plain(name: &str) -> String {
    let words: Vec<String> = name.split_whitespace().map(str::to_lowercase).collect();
    words.join(" ")
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
