//! A whole programme from the bytes of its files, every fault at once.

use gangday_model::{Finding, ParameterTable, Programme};

use crate::area::Area;
use crate::codes;
use crate::kept::{Kept, KeptFile};
use crate::{gangs, jobs, parameters, streets, week};

/// The bytes of a programme's files, as far as they are there.
#[derive(Clone, Copy, Debug, Default)]
pub struct Parts<'a> {
    /// `jobs.geojson`; without it the programme has no jobs yet.
    pub jobs: Option<&'a [u8]>,
    /// `gangs.json`; without it nothing can be planned yet.
    pub gangs: Option<&'a [u8]>,
    /// `streets.geojson`.
    pub streets: Option<&'a [u8]>,
    /// `method.json`.
    pub method: Option<&'a [u8]>,
    /// `materials.json`.
    pub materials: Option<&'a [u8]>,
    /// `week.json`.
    pub week: Option<&'a [u8]>,
}

/// What came of reading a programme.
#[derive(Clone, Debug, PartialEq)]
pub struct Intake {
    /// Everything sound.
    pub programme: Programme,
    /// Every fault, warning and note: by file (jobs, streets, gangs, method, materials, week), in a
    /// file by feature, in a feature by property.
    pub findings: Vec<Finding>,
    /// What is no noun but must survive saving.
    pub kept: Kept,
}

impl Intake {
    /// Whether anything in the files can't be used as it is.
    #[must_use]
    pub fn has_faults(&self) -> bool {
        self.findings.iter().any(Finding::is_fault)
    }
}

/// Reads a programme: what is sound can be planned, whatever is wrong beside it.
///
/// A job, street, gang or row with a fault is left out of the programme, reported, and kept word
/// for word for saving. Time and memory grow linearly with the number of features.
///
/// ```
/// use gangday_files::{Parts, read_programme};
/// let jobs = br#"{"type": "FeatureCollection", "features": [
///   {"type": "Feature", "id": "J1", "geometry": {"type": "Point", "coordinates": [-1.55, 53.80]},
///    "properties": {"work": "new", "position": "fotway", "clear_length_mm": 0.6,
///                   "clear_width_mm": 600, "sections": 6}}]}"#;
/// let intake = read_programme("Hill Street", &Parts { jobs: Some(jobs), ..Parts::default() });
/// let remedies: Vec<&str> = intake.findings.iter().map(|found| found.remedy.as_str()).collect();
/// assert!(remedies.contains(&"Write `footway` if that is meant."));
/// assert!(remedies.contains(&"It looks like metres: 0.6 m is 600 mm."));
/// ```
#[must_use]
pub fn read_programme(name: &str, parts: &Parts<'_>) -> Intake {
    let mut findings = Vec::new();
    let jobs = parts.jobs.map(jobs::read).unwrap_or_else(|| {
        let remedy = "Import a list of jobs, or put jobs.geojson into the programme folder.";
        findings.push(missing(crate::JOBS, "jobs", remedy));
        jobs::JobsRead::none()
    });
    let streets = parts.streets.map(streets::read);
    findings.extend(jobs.findings);
    if let Some(streets) = streets
        .as_ref()
        .filter(|read| read.kept.state == crate::FileState::Read)
    {
        findings.extend(jobs::unknown_streets(&jobs.jobs, &streets.streets));
    }
    let (streets, street_kept, found) =
        streets.map(streets::StreetsRead::apart).unwrap_or_default();
    findings.extend(found);
    let gangs = parts
        .gangs
        .map(|bytes| gangs::read(bytes, &jobs.area))
        .unwrap_or_else(|| {
            let remedy =
                "Put gangs.json into the programme folder; until then nothing can be planned.";
            findings.push(missing(crate::GANGS, "gangs", remedy));
            gangs::GangsRead::default()
        });
    findings.extend(gangs.findings);
    let (method, method_kept) = table(parts.method, crate::METHOD, &mut findings);
    let (materials, materials_kept) = table(parts.materials, crate::MATERIALS, &mut findings);
    let week = week::read(parts.week, &jobs.jobs);
    findings.extend(week.findings);
    Intake {
        programme: Programme {
            name: name.to_owned(),
            jobs: jobs.jobs,
            streets,
            gangs: gangs.gangs,
            tips: gangs.tips,
            method,
            materials,
            week: week.week,
        },
        findings,
        kept: Kept {
            jobs: jobs.kept,
            streets: street_kept,
            gangs: gangs.kept,
            method: method_kept,
            materials: materials_kept,
            week: week.kept,
        },
    }
}

fn table(
    bytes: Option<&[u8]>,
    file: &'static str,
    findings: &mut Vec<Finding>,
) -> (ParameterTable, KeptFile) {
    let read = bytes
        .map(|bytes| parameters::read(bytes, file))
        .unwrap_or_default();
    findings.extend(read.findings);
    (read.table, read.kept)
}

/// A warning and no fault: an empty folder is how a new programme starts.
fn missing(file: &str, what: &str, remedy: &str) -> Finding {
    let text = format!("There is no {file}: the programme has no {what} yet.");
    Finding::warning(codes::MISSING, text, remedy).in_file(file)
}

impl jobs::JobsRead {
    fn none() -> Self {
        Self {
            jobs: Vec::new(),
            area: Area::of(std::iter::empty()),
            kept: KeptFile::default(),
            findings: Vec::new(),
        }
    }
}
