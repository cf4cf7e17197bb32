//! A foreign file of points as jobs: each point a job, by a small mapping.

mod cells;
mod guess;
mod mapping;
mod notes;
mod own;
mod table;

use std::collections::{HashMap, HashSet};

use gangday_model::{Finding, Job, JobId, LonLat};

pub use guess::guess_mapping;
pub use mapping::PointMapping;
pub use own::JOB_TABLE;
pub(crate) use table::{delimiter, is_json, rows};

use crate::area::Area;
use crate::codes::{self, JOB};
use crate::features::note_heights;
use crate::fields::Fields;
use crate::ids::Ids;
use crate::jobs::{self, NAMES, placed};
use crate::ledger::Ledger;
use crate::words::{NearNames, shorten};
use notes::Tally;
use table::ForeignPoint;

/// What findings call a foreign file, whose own name only the caller knows.
const FILE: &str = "points";

/// What came of reading a foreign file of points.
#[derive(Clone, Debug, PartialEq)]
pub struct PointIntake {
    /// The points that make sound jobs.
    pub jobs: Vec<Job>,
    /// Of each of them, which point of the file it is, from 0.
    pub rows: Vec<usize>,
    /// Of each of them, whether its id was made: the file states none for it, or an earlier point's.
    pub made: Vec<bool>,
    /// Every id that the file states, those of faulty points included.
    pub stated: HashSet<String>,
    /// Every fault, warning and note, in the order of the file; what is about a point says which row that is.
    pub findings: Vec<Finding>,
    /// How many points the file holds.
    pub points: usize,
}

/// Reads GeoJSON points, or CSV rows with columns of longitude and latitude, as jobs.
///
/// No id ever clashes. A point whose id, taken from the file, is that of a job in `existing` is a
/// fault and left out, so that reading the same file twice doubles nothing that has an id; where
/// the id is empty, or an earlier point of the file has it, one is made from the mapping's prefix,
/// which passes over those that are taken. A point exactly where a job is already is a warning. What the mapping does not use is kept in the job's `extra`; a foreign
/// property that has the name of a job's own becomes `original_` and that name. Each constant that
/// stood in and each column that was not used is a note.
///
/// Positions are judged among those of `existing`, except 0, 0, which stands for a job whose place
/// is not known.
#[must_use]
pub fn read_points(bytes: &[u8], mapping: &PointMapping, existing: &[Job]) -> PointIntake {
    read(
        bytes,
        mapping,
        (existing, Beside::default()),
        &mut |_, _| true,
    )
}

/// As [`read_points`], of a file that may be about jobs that are there already: a stated id may be
/// one of `spoken`, and a made one is none of them. Positions are judged among `places`. `goes_on` is told
/// before each point which one it is, from 0, and of how many; where it says no, the rest is not read.
#[must_use]
pub fn read_points_beside(
    bytes: &[u8],
    mapping: &PointMapping,
    spoken: &[JobId],
    places: &[LonLat],
    goes_on: &mut dyn FnMut(usize, usize) -> bool,
) -> PointIntake {
    let known = places.iter().filter(|at| is_known(**at));
    let beside = Beside {
        spoken: spoken.iter().map(JobId::as_str).collect(),
        places: known.map(|at| [at.lon(), at.lat()]).collect(),
    };
    read(bytes, mapping, (&[], beside), goes_on)
}

/// The jobs that a file may be about: their ids and their places.
#[derive(Default)]
struct Beside<'a> {
    spoken: HashSet<&'a str>,
    places: Vec<[f64; 2]>,
}

fn read(
    bytes: &[u8],
    mapping: &PointMapping,
    (existing, beside): (&[Job], Beside<'_>),
    goes_on: &mut dyn FnMut(usize, usize) -> bool,
) -> PointIntake {
    let mut ledger = Ledger::of(FILE);
    mapping.check(&mut ledger);
    let mut table = table::read(bytes, mapping, &mut ledger);
    if !table.points.is_empty() {
        mapping.check_columns(&table.columns, &mut ledger);
        notes::unused(&table, mapping, &mut ledger);
    }
    let points = std::mem::take(&mut table.points);
    let pairs = || points.iter().filter_map(|point| point.pair.as_ref().ok());
    let heights = pairs().filter(|(_, height)| *height).count();
    note_heights(heights, false, &mut ledger);
    let mut reading = Reading::of(mapping, &points, existing, beside);
    let count = points.len();
    let (mut jobs, mut rows, mut made) = (Vec::new(), Vec::new(), Vec::new());
    for (index, point) in points.into_iter().enumerate() {
        if !goes_on(index, count) {
            break;
        }
        let line = point.line;
        let pair = point.pair.as_ref().ok().map(|(pair, _)| *pair);
        let so_far = reading.made;
        let (job, findings) = reading.job(point, index);
        let placed = |found: Finding| match line {
            Some(line) => by_columns(found, pair, mapping)
                .in_row(index)
                .on_line(line, 1),
            None => found.in_row(index),
        };
        ledger.enter_all(index, findings.into_iter().map(placed).collect());
        rows.extend(job.as_ref().map(|_| index));
        made.extend(job.as_ref().map(|_| reading.made > so_far));
        jobs.extend(job);
    }
    reading.ids.note_numbers(JOB.number_id, &mut ledger);
    reading.tally.enter(mapping, count, &mut ledger);
    PointIntake {
        jobs,
        rows,
        made,
        stated: reading.own,
        findings: ledger.close(),
        points: count,
    }
}

/// Of a place that is swapped, which column takes which number: a table has no pairs in brackets.
fn by_columns(mut found: Finding, pair: Option<[f64; 2]>, mapping: &PointMapping) -> Finding {
    let columns = mapping.lon.as_deref().zip(mapping.lat.as_deref());
    if let (true, Some([x, y]), Some((lon, lat))) = (found.code == JOB.swap, pair, columns) {
        let [lon, lat] = [lon, lat].map(shorten);
        found.remedy = format!("Write {y} in `{lon}` and {x} in `{lat}`.");
    }
    found
}

struct Reading<'a> {
    mapping: &'a PointMapping,
    area: Area,
    taken: HashSet<&'a str>,
    /// Ids that a point may state and that none is given.
    spoken: HashSet<&'a str>,
    places: HashMap<Spot, &'a str>,
    own: HashSet<String>,
    met: HashSet<String>,
    ids: Ids,
    names: NearNames,
    made: usize,
    tally: Tally,
}

impl<'a> Reading<'a> {
    fn of(
        mapping: &'a PointMapping,
        points: &[ForeignPoint],
        existing: &'a [Job],
        beside: Beside<'a>,
    ) -> Self {
        let there = || existing.iter().filter(|job| is_known(job.at));
        let there_pairs = there().map(|job| [job.at.lon(), job.at.lat()]);
        let there_pairs: Vec<_> = there_pairs.chain(beside.places).collect();
        let pairs = points.iter().filter_map(|point| point.pair.as_ref().ok());
        let stated = points.iter().filter_map(|point| point.id(mapping));
        Self {
            mapping,
            area: Area::joined(&there_pairs, pairs.map(|(pair, _)| *pair)),
            taken: existing.iter().map(|job| job.id.as_str()).collect(),
            spoken: beside.spoken,
            places: there().map(|job| (spot(job.at), job.id.as_str())).collect(),
            own: stated.map(|(id, _)| id).collect(),
            met: HashSet::new(),
            ids: Ids::default(),
            names: NearNames::silent(NAMES),
            made: 0,
            tally: Tally::default(),
        }
    }

    fn job(&mut self, point: ForeignPoint, index: usize) -> (Option<Job>, Vec<Finding>) {
        let stated = point.id(self.mapping);
        let there = stated
            .as_ref()
            .is_some_and(|(id, _)| self.taken.contains(id.as_str()));
        let fresh = stated
            .as_ref()
            .filter(|(id, _)| there || self.met.insert(id.clone()));
        let label = fresh.map_or_else(|| format!("point {}", index + 1), |(id, _)| shorten(id));
        let properties = self.mapping.properties(&point, &mut self.tally);
        let mut fields = Fields::of(&properties, &JOB, label);
        let id = match fresh.cloned() {
            Some((id, _)) if there => {
                fault_there(&id, &mut fields);
                id
            }
            Some((id, number)) => self.claim(id, number, &mut fields),
            None => {
                let made = self.make_id();
                let stated = stated.as_ref().map(|(id, _)| id.as_str());
                self.tally.make(stated, &made);
                self.claim(made, false, &mut fields)
            }
        };
        let pair = point.pair.map(|(pair, _)| pair);
        let at = placed(pair, &self.area, "geometry", &mut fields);
        if fields.sound() {
            self.note_neighbour(at, &mut fields);
        }
        let job = jobs::job(&mut fields, id, at, &mut self.names);
        (fields.sound().then_some(job), fields.close())
    }

    fn claim(&mut self, id: String, number: bool, fields: &mut Fields<'_>) -> String {
        self.ids.claim(Some(id), number, fields).unwrap_or_default()
    }

    /// A warning where a job of the programme is exactly here.
    fn note_neighbour(&self, at: LonLat, fields: &mut Fields<'_>) {
        if let Some(neighbour) = self.places.get(&spot(at)) {
            let text = format!(
                "The point is exactly where the job {} already is.",
                shorten(neighbour)
            );
            let remedy = "Remove one of the two if they are the same chamber.";
            fields.warn(codes::JOB_SAME_PLACE, "geometry", text, remedy);
        }
    }

    /// The next id of the prefix that neither the programme nor the file has.
    fn make_id(&mut self) -> String {
        loop {
            self.made += 1;
            let id = format!("{}{}", self.mapping.prefix, self.made);
            let in_programme = [&self.taken, &self.spoken]
                .iter()
                .any(|ids| ids.contains(id.as_str()));
            if !in_programme && !self.own.contains(&id) {
                return id;
            }
        }
    }
}

fn fault_there(id: &str, fields: &mut Fields<'_>) {
    let text = format!(
        "A job with the id {} is already in the programme.",
        shorten(id)
    );
    let remedy = "It was left out; remove the earlier job first, or map another column as id.";
    fields.fault(codes::JOB_THERE, "id", text, remedy);
}

/// A place to about a centimetre, finer than any chamber.
type Spot = (i64, i64);

fn spot(at: LonLat) -> Spot {
    let fine = |degrees: f64| (degrees * 1e7).round() as i64;
    (fine(at.lon()), fine(at.lat()))
}

fn is_known(at: LonLat) -> bool {
    at.lon() != 0.0 || at.lat() != 0.0
}
