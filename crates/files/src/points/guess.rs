//! A first mapping for a foreign file, which the user looks at before anything is imported.

use std::collections::{BTreeMap, HashSet};

use serde_json::{Map, Value, json};

use super::mapping::PointMapping;
use super::own::worked_out;
use super::table::{is_json, rows};
use crate::features::{collection, id_text};
use crate::jobs::NAMES;
use crate::ledger::Ledger;
use crate::tree;

const LON: &[&str] = &["lon", "lng", "long", "longitude", "x"];
const LAT: &[&str] = &["lat", "latitude", "y"];
const EASTINGS: &[&str] = &["easting", "eastings", "osgb_e", "e", "x"];
const NORTHINGS: &[&str] = &["northing", "northings", "osgb_n", "n", "y"];
const IDS: &[&str] = &[
    "id",
    "job_id",
    "job",
    "ref",
    "reference",
    "code",
    "uid",
    "uuid",
    "asset_id",
    "fid",
    "objectid",
];
const TITLES: &[&str] = &["title", "name", "label", "description", "address"];

/// Other headings under which lists of the trade have a job's properties, the usual ones first.
///
/// # Source
/// Common practice, no source: what a heading is taken for is shown, for the user to correct.
const ALSO: [(&str, &[&str]); 12] = [
    (
        "work",
        &[
            "job_type",
            "work_type",
            "works_type",
            "type_of_work",
            "type_of_works",
            "type_of_job",
            "work_required",
        ],
    ),
    (
        "position",
        &["position_in_street", "place_in_street", "lies_in"],
    ),
    (
        "sections",
        &["number_of_sections", "no_of_sections", "section_count"],
    ),
    (
        "clear_length_mm",
        &["clear_opening_length_mm", "opening_length_mm"],
    ),
    (
        "clear_width_mm",
        &["clear_opening_width_mm", "opening_width_mm"],
    ),
    (
        "load_class",
        &["loading_class", "cover_class", "class_of_cover"],
    ),
    (
        "closure",
        &["closure_type", "type_of_closure", "closure_needed"],
    ),
    (
        "earliest",
        &[
            "not_before",
            "earliest_date",
            "earliest_start",
            "start_after",
            "start_from",
            "not_earlier_than",
            "no_earlier_than",
            "available_from",
        ],
    ),
    (
        "latest",
        &[
            "not_after",
            "latest_date",
            "latest_finish",
            "complete_by",
            "completed_by",
            "completion_by",
            "finish_by",
            "finished_by",
            "not_later_than",
            "no_later_than",
            "required_by",
            "due_by",
            "due_date",
            "deadline",
        ],
    ),
    (
        "site_hours",
        &[
            "working_hours",
            "hours_of_work",
            "permitted_hours",
            "allowed_hours",
        ],
    ),
    (
        "tickets",
        &["tickets_needed", "tickets_required", "qualifications"],
    ),
    (
        "permit",
        &[
            "permit_no",
            "permit_number",
            "permit_ref",
            "permit_reference",
        ],
    ),
];

/// How many points a column of ids is judged by.
const JUDGED: usize = 10_000;

/// A mapping that fits the file's columns by their headings, for the user to correct.
///
/// A heading that is a job's own property, in any case and with spaces, hyphens or underscores,
/// fills that property; where no column has it, so does one that lists of the trade usually have for it.
/// A column serves as id if at least half of the points have an id of their
/// own in it. Of the table of jobs that is written for other programs, what is worked out is left
/// out. What no column tells is a plain constant: an adjustment in a footway, 600 x 600 mm
/// clear, priority 3; sections only where the work is assumed as well.
///
/// ```
/// use gangday_files::guess_mapping;
/// let list = b"Ref,lon,lat,Work,Clear length mm,Not before\n7,-1.55,53.80,replace,600,1/3/2027\n";
/// let mapping = guess_mapping(list);
/// assert_eq!(mapping.id.as_deref(), Some("Ref"));
/// assert_eq!(mapping.columns["earliest"], "Not before");
/// assert_eq!(mapping.columns["clear_length_mm"], "Clear length mm");
/// assert!(!mapping.constants.contains_key("work"));
/// ```
///
/// # Source
/// Common practice, no source: every constant is a default to look at, never a fact of the file.
#[must_use]
pub fn guess_mapping(bytes: &[u8]) -> PointMapping {
    let sample = if is_json(bytes) {
        json_sample(bytes)
    } else {
        csv_sample(bytes)
    };
    let mut columns: BTreeMap<String, String> = NAMES
        .iter()
        .filter_map(|name| Some(((*name).to_owned(), sample.named(&[name])?)))
        .collect();
    let is_jobs = !sample.is_csv
        && ["work", "position"]
            .iter()
            .all(|it| columns.contains_key(*it));
    for (name, also) in ALSO {
        if let Some(column) = sample.named(also).filter(|_| !columns.contains_key(name)) {
            columns.insert(name.to_owned(), column);
        }
    }
    let titles = if is_jobs { &TITLES[..1] } else { TITLES };
    let (mut lon, mut lat) = sample.pair(LON, LAT, |number| number.abs() <= 180.0);
    let mut on_grid = (None, None);
    if lon.is_none() {
        on_grid = sample.pair(EASTINGS, NORTHINGS, |_| true);
    }
    if lon.is_none() && on_grid.0.is_none() {
        lon = sample.named(LON).filter(|_| sample.is_csv);
        lat = sample.named(LAT).filter(|_| sample.is_csv);
    }
    PointMapping {
        id: sample.ids(),
        lon,
        lat,
        easting: on_grid.0,
        northing: on_grid.1,
        title: sample.named(titles),
        constants: constants(&columns),
        columns,
        left_out: worked_out(&sample.columns),
        ..PointMapping::default()
    }
}

/// Constants for what no column tells.
fn constants(columns: &BTreeMap<String, String>) -> Map<String, Value> {
    let stated = [
        ("work", json!("adjust")),
        ("position", json!("footway")),
        ("clear_length_mm", json!(600)),
        ("clear_width_mm", json!(600)),
        ("sections", json!(0)),
        ("priority", json!(3)),
    ];
    // No sections is right for an adjustment only, which a column of work need not say.
    let told = |name: &str| {
        columns.contains_key(name) || (name == "sections" && columns.contains_key("work"))
    };
    stated
        .into_iter()
        .filter(|(name, _)| !told(name))
        .map(|(name, value)| (name.to_owned(), value))
        .collect()
}

/// A heading without case, with one underscore for whatever stands between its words.
fn heading(column: &str) -> String {
    let words: Vec<String> = column
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join("_")
}

#[derive(Default)]
struct Sample {
    is_csv: bool,
    columns: Vec<String>,
    rows: Vec<Map<String, Value>>,
}

impl Sample {
    /// The column called by the first of these names that any column has; exactly, if one is.
    fn named(&self, wanted: &[&str]) -> Option<String> {
        let called = |name: &&str| {
            let exact = self.columns.iter().find(|column| column == name);
            exact.or_else(|| self.columns.iter().find(|column| heading(column) == *name))
        };
        wanted.iter().find_map(called).cloned()
    }

    /// The column of which one word is one of these names, as `OS Easting` has it.
    fn with_word(&self, wanted: &[&str]) -> Option<String> {
        let long = wanted.iter().filter(|name| name.len() > 3);
        let has =
            |column: &&String, name: &str| heading(column).split('_').any(|word| word == name);
        long.filter_map(|name| self.columns.iter().find(|column| has(column, name)))
            .next()
            .cloned()
    }

    /// Two columns of places that are called by these names and whose numbers can be what they say.
    fn pair(
        &self,
        first: &[&str],
        second: &[&str],
        fits: fn(f64) -> bool,
    ) -> (Option<String>, Option<String>) {
        let of = |names: &[&str]| self.named(names).or_else(|| self.with_word(names));
        let found = of(first).zip(of(second)).filter(|(first, second)| {
            let numbers = self
                .rows
                .iter()
                .flat_map(|row| [row.get(first), row.get(second)]);
            let mut numbers = numbers
                .flatten()
                .filter_map(|cell| cell.as_str()?.parse().ok());
            numbers.all(fits)
        });
        found.filter(|_| self.is_csv).unzip()
    }

    /// The column that tells the most points apart, if that is at least half of them.
    fn ids(&self) -> Option<String> {
        let candidates = IDS.iter().filter_map(|name| self.named(&[name]));
        let counted = candidates.map(|column| (self.told_apart(&column), column));
        let most = counted.rev().max_by_key(|(count, _)| *count);
        most.filter(|(count, _)| *count > 0 && count * 2 >= self.rows.len())
            .map(|(_, column)| column)
    }

    fn told_apart(&self, column: &str) -> usize {
        let ids = self
            .rows
            .iter()
            .filter_map(|row| row.get(column).and_then(id_text));
        ids.map(|(id, _)| id).collect::<HashSet<_>>().len()
    }
}

fn json_sample(bytes: &[u8]) -> Sample {
    let features = collection(bytes, &mut Ledger::of(super::FILE)).features;
    let mut sample = Sample::default();
    let mut met = HashSet::new();
    for feature in features.iter().take(JUDGED) {
        let mut row = feature
            .get("properties")
            .and_then(Value::as_object)
            .cloned()
            .unwrap_or_default();
        if let Some(id) = feature.get("id").filter(|id| id_text(id).is_some()) {
            row.insert("id".to_owned(), id.clone());
        }
        let fresh: Vec<String> = row
            .keys()
            .filter(|name| !met.contains(*name))
            .cloned()
            .collect();
        met.extend(fresh.iter().cloned());
        sample.columns.extend(fresh);
        sample.rows.push(row);
    }
    sample
}

fn csv_sample(bytes: &[u8]) -> Sample {
    let text = tree::text_of(bytes).unwrap_or_default();
    let (mut reader, columns) = rows(text);
    let records = reader.records().take(JUDGED).filter_map(Result::ok);
    let row = |record: csv::StringRecord| {
        let cells = columns.iter().zip(record.iter());
        cells
            .map(|(name, cell)| (name.clone(), json!(cell)))
            .collect()
    };
    Sample {
        is_csv: true,
        rows: records.map(row).collect(),
        columns: columns.clone(),
    }
}
