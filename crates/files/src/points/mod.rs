//! A foreign file of points as jobs: each point a job, by a small mapping.

mod cells;
mod guess;
mod mapping;
mod table;

use std::collections::{HashMap, HashSet};

use gangday_model::{Finding, Job};

pub use guess::guess_mapping;
pub use mapping::PointMapping;

use crate::area::Area;
use crate::codes::{self, JOB};
use crate::features::note_heights;
use crate::fields::Fields;
use crate::ids::Ids;
use crate::jobs::{self, NAMES, placed};
use crate::ledger::Ledger;
use crate::words::{NearNames, shorten};
use table::{ForeignPoint, Table};

/// What findings call a foreign file, whose own name only the caller knows.
const FILE: &str = "points";

/// What came of reading a foreign file of points.
#[derive(Clone, Debug, PartialEq)]
pub struct PointIntake {
    /// The points that make sound jobs.
    pub jobs: Vec<Job>,
    /// Every fault, warning and note, in the order of the file.
    pub findings: Vec<Finding>,
    /// How many points the file holds.
    pub points: usize,
}

/// Reads GeoJSON points, or CSV rows with columns of longitude and latitude, as jobs.
///
/// No id ever clashes. A point whose id, taken from the file, is that of a job in `existing` is a
/// fault and left out, so that reading the same file twice doubles nothing; an id made here from
/// the mapping's prefix passes over those that are taken. What the mapping does not use is kept in
/// the job's `extra`; a foreign property that has the name of a job's own becomes `original_` and
/// that name.
#[must_use]
pub fn read_points(bytes: &[u8], mapping: &PointMapping, existing: &[Job]) -> PointIntake {
    let mut ledger = Ledger::of(FILE);
    mapping.check(&mut ledger);
    let Table { points, columns } = table::read(bytes, mapping, &mut ledger);
    if !points.is_empty() {
        mapping.check_columns(&columns, &mut ledger);
    }
    let pairs = || points.iter().filter_map(|point| point.pair.as_ref().ok());
    note_heights(pairs().filter(|(_, height)| *height).count(), &mut ledger);
    let mut reading = Reading {
        mapping,
        area: Area::of(pairs().map(|(pair, _)| *pair)),
        taken: existing.iter().map(|job| job.id.as_str()).collect(),
        own: points
            .iter()
            .filter_map(|point| point.id(mapping))
            .map(|(id, _)| id)
            .collect(),
        ids: Ids::default(),
        names: NearNames::silent(NAMES),
        made: 0,
        renamed: HashMap::new(),
    };
    let count = points.len();
    let mut jobs = Vec::new();
    for (index, point) in points.into_iter().enumerate() {
        let line = point.line;
        let (job, findings) = reading.job(point, index);
        let placed = |found: Finding| match line {
            Some(line) => found.on_line(line, 1),
            None => found,
        };
        ledger.enter_all(index, findings.into_iter().map(placed).collect());
        jobs.extend(job);
    }
    reading.ids.note_numbers(JOB.number_id, &mut ledger);
    PointIntake {
        jobs,
        findings: ledger.close(),
        points: count,
    }
}

struct Reading<'a> {
    mapping: &'a PointMapping,
    area: Area,
    taken: HashSet<&'a str>,
    own: HashSet<String>,
    ids: Ids,
    names: NearNames,
    made: usize,
    renamed: HashMap<String, String>,
}

impl Reading<'_> {
    fn job(&mut self, point: ForeignPoint, index: usize) -> (Option<Job>, Vec<Finding>) {
        let stated = point.id(self.mapping);
        let label = stated
            .as_ref()
            .map_or_else(|| format!("point {}", index + 1), |(id, _)| shorten(id));
        let properties = self.mapping.properties(&point, &mut self.renamed);
        let mut fields = Fields::of(&properties, &JOB, label);
        if let Some((id, _)) = stated
            .as_ref()
            .filter(|(id, _)| self.taken.contains(id.as_str()))
        {
            let text = format!(
                "A job with the id {} is already in the programme.",
                shorten(id)
            );
            let remedy =
                "It was left out; remove the earlier job first, or map another column as id.";
            fields.fault(codes::JOB_THERE, "id", text, remedy);
        }
        let (id, number) = stated.unwrap_or_else(|| (self.make_id(), false));
        let id = self
            .ids
            .claim(Some(id), number, &mut fields)
            .unwrap_or_default();
        let pair = point.pair.map(|(pair, _)| pair);
        let at = placed(pair, &self.area, "geometry", &mut fields);
        let job = jobs::job(&mut fields, id, at, &mut self.names);
        (fields.sound().then_some(job), fields.close())
    }

    /// The next id of the prefix that neither the programme nor the file has.
    fn make_id(&mut self) -> String {
        loop {
            self.made += 1;
            let id = format!("{}{}", self.mapping.prefix, self.made);
            if !self.taken.contains(id.as_str()) && !self.own.contains(&id) {
                return id;
            }
        }
    }
}
