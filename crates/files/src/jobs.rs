//! Jobs, from the features of `jobs.geojson` or from the mapped properties of a foreign point.

use std::collections::HashSet;

use gangday_model::{
    ClosureKind, Finding, Job, JobId, LoadClass, LonLat, Position, Street, StreetId, Work,
    date_in_words,
};

use crate::area::{self, Area, Verdict};
use crate::codes::{self, JOB};
use crate::features::{self, Feature};
use crate::fields::Fields;
use crate::ids::Ids;
use crate::kept::KeptFile;
use crate::ledger::Ledger;
use crate::sizes;
use crate::words::NearNames;

/// What a property of a job takes.
#[derive(Clone, Copy, Debug)]
pub enum JobFieldKind {
    /// One of these words.
    Choice(fn() -> Vec<&'static str>),
    /// Whole millimetres.
    Millimetres,
    /// A whole number.
    Count,
    /// True or false.
    Flag,
    /// A date.
    Date,
    /// Free text.
    Text,
    /// A list of texts.
    Texts,
    /// A list of hours of the day.
    Hours,
}

fn words<T>(choices: &[(&'static str, T)]) -> Vec<&'static str> {
    choices.iter().map(|(word, _)| *word).collect()
}

/// A job's properties with what each takes.
pub const JOB_FIELDS: [(&str, JobFieldKind); 26] = [
    ("work", JobFieldKind::Choice(|| words(WORKS))),
    ("position", JobFieldKind::Choice(|| words(POSITIONS))),
    ("clear_length_mm", JobFieldKind::Millimetres),
    ("clear_width_mm", JobFieldKind::Millimetres),
    ("sections", JobFieldKind::Count),
    ("section_depth_mm", JobFieldKind::Millimetres),
    ("wall_mm", JobFieldKind::Millimetres),
    ("base_mm", JobFieldKind::Millimetres),
    ("embed_mm", JobFieldKind::Millimetres),
    ("ironwork_depth_mm", JobFieldKind::Millimetres),
    ("ironwork_length_mm", JobFieldKind::Millimetres),
    ("ironwork_width_mm", JobFieldKind::Millimetres),
    ("bedding_mm", JobFieldKind::Millimetres),
    ("margin_mm", JobFieldKind::Millimetres),
    ("load_class", JobFieldKind::Choice(|| words(LOAD_CLASSES))),
    ("ground", JobFieldKind::Text),
    ("street", JobFieldKind::Text),
    ("closure", JobFieldKind::Choice(|| words(CLOSURES))),
    ("earliest", JobFieldKind::Date),
    ("latest", JobFieldKind::Date),
    ("site_hours", JobFieldKind::Hours),
    ("tickets", JobFieldKind::Texts),
    ("priority", JobFieldKind::Count),
    ("permit", JobFieldKind::Text),
    ("nights", JobFieldKind::Count),
    ("over_weekend", JobFieldKind::Flag),
];

/// The names of a job's properties.
pub(crate) const NAMES: &[&str] = &{
    let mut names = [""; JOB_FIELDS.len()];
    let mut at = 0;
    while at < names.len() {
        names[at] = JOB_FIELDS[at].0;
        at += 1;
    }
    names
};

pub(crate) const WORKS: &[(&str, Work)] = &[
    ("new", Work::New),
    ("replace", Work::Replace),
    ("adjust", Work::Adjust),
];

pub(crate) const POSITIONS: &[(&str, Position)] = &[
    ("verge", Position::Verge),
    ("footway", Position::Footway),
    ("cycle_track", Position::CycleTrack),
    ("carriageway", Position::Carriageway),
];

pub(crate) const CLOSURES: &[(&str, ClosureKind)] = &[
    ("none", ClosureKind::None),
    ("footway", ClosureKind::Footway),
    ("lane", ClosureKind::Lane),
    ("road", ClosureKind::Road),
];

pub(crate) const LOAD_CLASSES: &[(&str, LoadClass)] = &[
    ("A15", LoadClass::A15),
    ("B125", LoadClass::B125),
    ("C250", LoadClass::C250),
    ("D400", LoadClass::D400),
    ("E600", LoadClass::E600),
    ("F900", LoadClass::F900),
];

/// The jobs of a file, with the area they lie in.
pub(crate) struct JobsRead {
    pub(crate) jobs: Vec<Job>,
    pub(crate) area: Area,
    pub(crate) kept: KeptFile,
    pub(crate) findings: Vec<Finding>,
}

/// Reads `jobs.geojson`.
pub(crate) fn read(bytes: &[u8]) -> JobsRead {
    let mut ledger = Ledger::of(crate::JOBS);
    let features::Collection { features, mut kept } = features::collection(bytes, &mut ledger);
    let parsed: Vec<_> = features.iter().map(features::feature).collect();
    let points: Vec<_> = parsed
        .iter()
        .map(|feature| feature.as_ref().ok().map(|feature| feature.point(&JOB)))
        .collect();
    let pairs = || {
        points
            .iter()
            .filter_map(|point| point.as_ref()?.as_ref().ok())
    };
    let area = Area::of(pairs().map(|(pair, _)| *pair));
    let heights = pairs().filter(|(_, height)| *height).count();
    features::note_heights(heights, true, &mut ledger);

    let (mut ids, mut names) = (Ids::default(), NearNames::to(NAMES));
    let mut jobs = Vec::new();
    let mut aside = Vec::new();
    for (index, (feature, point)) in parsed.into_iter().zip(points).enumerate() {
        let (job, findings) = match (feature, point) {
            (Ok(feature), Some(point)) => {
                let place = point.map(|(pair, _)| pair);
                read_feature(
                    &feature, index, place, &area, &mut ids, &mut names, &mut kept,
                )
            }
            (Err(finding), _) => (None, vec![finding.at(features::label(None, index))]),
            (Ok(_), None) => (None, Vec::new()),
        };
        ledger.enter_all(index, findings);
        match job {
            Some(job) => jobs.push(job),
            None => aside.push(index),
        }
    }
    ids.note_numbers(JOB.number_id, &mut ledger);
    features::put_aside(features, &aside, &mut kept);
    JobsRead {
        jobs,
        area,
        kept,
        findings: ledger.close(),
    }
}

fn read_feature(
    feature: &Feature<'_>,
    index: usize,
    pair: Result<[f64; 2], Box<Finding>>,
    area: &Area,
    ids: &mut Ids,
    names: &mut NearNames,
    kept: &mut KeptFile,
) -> (Option<Job>, Vec<Finding>) {
    let label = features::label(feature.id.as_deref(), index);
    let mut fields = Fields::of(feature.properties, &JOB, label);
    let id = ids.claim(feature.id.clone(), feature.number_id, &mut fields);
    let at = placed(pair, area, "geometry", &mut fields);
    let job = job(&mut fields, id.unwrap_or_default(), at, names);
    if !fields.sound() {
        return (None, fields.close());
    }
    let beside = feature.kept_beside();
    if !beside.is_empty() {
        kept.beside.insert(job.id.as_str().to_owned(), beside);
    }
    (Some(job), fields.close())
}

/// Reads single jobs that are changed or added by hand, judged by where the others are.
pub struct JobReader {
    area: Area,
    streets: HashSet<StreetId>,
}

/// A job with the members that stand beside its properties.
pub type JobWithMembers = (Job, serde_json::Map<String, serde_json::Value>);

impl JobReader {
    /// A reader for jobs among these, in these streets.
    #[must_use]
    pub fn among(jobs: &[Job], streets: &[Street]) -> Self {
        Self {
            area: Area::of(jobs.iter().map(|job| [job.at.lon(), job.at.lat()])),
            streets: streets.iter().map(|street| street.id.clone()).collect(),
        }
    }

    /// The job that a feature states, with what somebody should know of it.
    ///
    /// # Errors
    /// Every fault at once; whether its id is taken is for the caller to say.
    pub fn read(
        &self,
        feature: &serde_json::Value,
    ) -> Result<(JobWithMembers, Vec<Finding>), Vec<Finding>> {
        let named = |finding: Finding| finding.in_file(crate::JOBS);
        let parsed = features::feature(feature).map_err(|fault| vec![named(*fault)])?;
        let place = parsed.point(&JOB).map(|(pair, _)| pair);
        let (mut ids, mut names) = (Ids::default(), NearNames::to(NAMES));
        let mut kept = KeptFile::default();
        let (job, findings) = read_feature(
            &parsed, 0, place, &self.area, &mut ids, &mut names, &mut kept,
        );
        let mut findings: Vec<Finding> = findings.into_iter().map(named).collect();
        let Some(job) = job else {
            return Err(findings);
        };
        let stray = job
            .street
            .as_ref()
            .filter(|street| !self.streets.is_empty() && !self.streets.contains(*street));
        findings.extend(stray.map(|street| unknown_street(&job, street)));
        let beside = parsed.kept_beside();
        Ok(((job, beside), findings))
    }
}

/// The place that a pair means, with a fault recorded if it can't be right.
pub(crate) fn placed(
    pair: Result<[f64; 2], Box<Finding>>,
    area: &Area,
    property: &str,
    fields: &mut Fields<'_>,
) -> LonLat {
    let pair = match pair {
        Ok(pair) => pair,
        Err(finding) => {
            fields.enter(*finding);
            return LonLat::new(0.0, 0.0);
        }
    };
    let verdict = area.judge(pair);
    if let Some(finding) = area::finding(verdict, pair, fields.codes()) {
        fields.enter(finding.of(property));
    }
    match verdict {
        Verdict::Fine(place) => place,
        _ => LonLat::new(0.0, 0.0),
    }
}

/// A job from its properties; usable only if the fields are sound afterwards.
pub(crate) fn job(fields: &mut Fields<'_>, id: String, at: LonLat, names: &mut NearNames) -> Job {
    fields.need("work", "State new, replace or adjust.");
    fields.need(
        "position",
        "State verge, footway, cycle_track or carriageway.",
    );
    let work = fields.choice("work", WORKS).unwrap_or_default();
    let position = fields.choice("position", POSITIONS).unwrap_or_default();
    Job {
        sizes: sizes::sizes(fields, work),
        load_class: fields.choice("load_class", LOAD_CLASSES),
        ground: fields.text("ground"),
        street: fields.text("street").map(StreetId::new),
        closure: fields.choice("closure", CLOSURES),
        earliest: fields.date("earliest"),
        latest: dates_in_order(fields),
        site_hours: fields.hours_list("site_hours"),
        tickets: fields.texts("tickets"),
        priority: priority(fields),
        permit: fields.text("permit"),
        nights: crate::week::nights(fields),
        over_weekend: fields.flag("over_weekend"),
        extra: fields.rest(names),
        ..Job::new(JobId::new(id), at, work, position)
    }
}

fn dates_in_order(fields: &mut Fields<'_>) -> Option<chrono::NaiveDate> {
    let latest = fields.date("latest")?;
    let earliest = fields
        .get("earliest")
        .and_then(|value| crate::times::date(value).ok());
    if let Some(earliest) = earliest.filter(|earliest| latest < *earliest) {
        let [until, from] = [latest, earliest].map(date_in_words);
        let text = format!("`latest` is {until}, before `earliest` on {from}.");
        fields.fault(
            codes::JOB_ORDER,
            "latest",
            text,
            "Correct one of the two dates.",
        );
    }
    Some(latest)
}

fn priority(fields: &mut Fields<'_>) -> u8 {
    let Some(value) = fields.get("priority") else {
        return 3;
    };
    let stated = value
        .as_f64()
        .filter(|number| [1.0, 2.0, 3.0, 4.0, 5.0].contains(number));
    if stated.is_none() {
        let text = format!(
            "`priority` is {}; it goes from 1 (must) to 5.",
            crate::words::describe(value)
        );
        fields.fault(
            codes::JOB_PRIORITY,
            "priority",
            text,
            "Write a whole number from 1 to 5 without quotes.",
        );
    }
    stated.map_or(3, |number| number as u8)
}

/// Warnings for jobs that name a street which is not there, by the order of the jobs.
pub(crate) fn unknown_streets(jobs: &[Job], streets: &[Street]) -> Vec<Finding> {
    let known: HashSet<&StreetId> = streets.iter().map(|street| &street.id).collect();
    let stray = jobs.iter().filter_map(|job| {
        let street = job
            .street
            .as_ref()
            .filter(|street| !known.contains(street))?;
        Some((job, street))
    });
    stray
        .map(|(job, street)| unknown_street(job, street))
        .collect()
}

fn unknown_street(job: &Job, street: &StreetId) -> Finding {
    let name = crate::words::shorten(street.as_str());
    let text = format!("`street` is {name}, which is not among the sound streets.");
    let remedy = "Correct it, or add the street; meanwhile the nearest street counts.";
    Finding::warning(codes::JOB_STREET, text, remedy)
        .in_file(crate::JOBS)
        .at(crate::words::shorten(job.id.as_str()))
        .of("street")
}
