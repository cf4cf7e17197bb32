//! How foreign columns become a job's properties.

use std::collections::{BTreeMap, HashSet};

use gangday_model::Finding;
use serde::{Deserialize, Serialize};
use serde_json::{Map, Value};

use super::cells;
use super::notes::Tally;
use super::table::ForeignPoint;
use crate::codes;
use crate::jobs::NAMES;
use crate::ledger::Ledger;
use crate::words::{nearest, shorten};

/// How the columns of a foreign file of points become jobs.
///
/// ```
/// use gangday_files::PointMapping;
/// let mapping: PointMapping = serde_json::from_str(r#"{
///   "id": "ref", "lon": "longitude", "lat": "latitude", "title": "name",
///   "columns": {"position": "surface"},
///   "words": {"position": {"grass": "verge", "paved": "footway"}},
///   "constants": {"work": "adjust", "clear_length_mm": 600, "clear_width_mm": 600}
/// }"#)?;
/// assert_eq!(mapping.constants["work"], "adjust");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct PointMapping {
    /// The column of ids; an id is made from `prefix` where there is none, or it is empty or repeated.
    pub id: Option<String>,
    /// What made ids start with, before a number from 1.
    pub prefix: String,
    /// The column of longitudes, degrees; not used for GeoJSON.
    pub lon: Option<String>,
    /// The column of latitudes, degrees; not used for GeoJSON.
    pub lat: Option<String>,
    /// The column of eastings of the British National Grid, metres, in place of longitudes.
    pub easting: Option<String>,
    /// The column of northings of the British National Grid, metres, in place of latitudes.
    pub northing: Option<String>,
    /// The column of what people call the point, kept as `title`.
    pub title: Option<String>,
    /// Columns by the job's property that they fill; the parts of `tickets` and `site_hours` in one
    /// cell are told apart by semicolons or commas.
    pub columns: BTreeMap<String, String>,
    /// By the job's property, what foreign words mean.
    pub words: BTreeMap<String, BTreeMap<String, String>>,
    /// Values by the job's property, for all points whose column says nothing.
    pub constants: Map<String, Value>,
    /// Columns that are not kept with the job either.
    pub left_out: Vec<String>,
}

impl Default for PointMapping {
    fn default() -> Self {
        Self {
            id: None,
            prefix: "P".to_owned(),
            lon: None,
            lat: None,
            easting: None,
            northing: None,
            title: None,
            columns: BTreeMap::new(),
            words: BTreeMap::new(),
            constants: Map::new(),
            left_out: Vec::new(),
        }
    }
}

impl PointMapping {
    /// Faults for properties that jobs do not have.
    pub(super) fn check(&self, ledger: &mut Ledger) {
        let stated = self
            .columns
            .keys()
            .chain(self.words.keys())
            .chain(self.constants.keys());
        for name in stated.filter(|name| !NAMES.contains(&name.as_str())) {
            let text = format!(
                "The mapping fills `{}`, which jobs do not have.",
                shorten(name)
            );
            let remedy = nearest(name, NAMES.iter().copied()).map_or_else(
                || "Name one of a job's properties.".to_owned(),
                |near| format!("Write `{near}` if that is meant."),
            );
            ledger.enter(Finding::fault(codes::MAPPING, text, remedy).of(shorten(name)));
        }
    }

    /// Faults for columns that the file does not have.
    pub(super) fn check_columns(&self, columns: &HashSet<String>, ledger: &mut Ledger) {
        let own = [&self.id, &self.title].into_iter().flatten();
        for name in own
            .chain(self.columns.values())
            .filter(|name| !columns.contains(*name))
        {
            ledger.enter(no_column(name, columns));
        }
    }

    /// The properties of the job that a point makes.
    pub(super) fn properties(&self, point: &ForeignPoint, tally: &mut Tally) -> Map<String, Value> {
        let mut properties = Map::new();
        for (ours, column) in self
            .columns
            .iter()
            .filter(|(ours, _)| NAMES.contains(&ours.as_str()))
        {
            let cell = point
                .properties
                .get(column)
                .and_then(|cell| self.meaning(ours, cell));
            properties.extend(cell.map(|value| (ours.clone(), value)));
        }
        for (name, value) in self
            .constants
            .iter()
            .filter(|(name, _)| NAMES.contains(&name.as_str()))
        {
            properties.entry(name.clone()).or_insert_with(|| {
                tally.assume(name);
                value.clone()
            });
        }
        // An adjustment has no sections, whatever stands in for the other jobs of the list.
        let is_adjusted = properties.get("work").is_some_and(|work| work == "adjust");
        let is_stated = self.columns.get("sections").is_some_and(|column| {
            let cell = point.properties.get(column);
            cell.is_some_and(|cell| self.meaning("sections", cell).is_some())
        });
        if is_adjusted && !is_stated && properties.contains_key("sections") {
            properties.insert("sections".to_owned(), 0.into());
        }
        let title = self
            .title
            .as_ref()
            .and_then(|column| point.properties.get(column));
        properties.extend(title.map(|title| ("title".to_owned(), title.clone())));
        for (name, value) in point.properties.iter().filter(|(name, _)| !self.uses(name)) {
            properties
                .entry(self.kept_name(name))
                .or_insert_with(|| value.clone());
        }
        properties
    }

    fn meaning(&self, ours: &str, cell: &Value) -> Option<Value> {
        let word = cell
            .as_str()
            .and_then(|text| self.words.get(ours)?.get(text.trim()));
        word.map(|word| Value::String(word.clone()))
            .or_else(|| cells::value(ours, cell))
    }

    /// Whether a column has become something else and need not be kept as well.
    pub(super) fn uses(&self, column: &str) -> bool {
        let is = |name: &Option<String>| name.as_deref() == Some(column);
        let filled = self
            .columns
            .iter()
            .any(|(ours, from)| from == column && NAMES.contains(&ours.as_str()));
        let place = [&self.lon, &self.lat, &self.easting, &self.northing];
        let left_out = self.left_out.iter().any(|name| name == column);
        place.into_iter().any(is) || is(&self.title) || filled || left_out
    }

    /// What a column that is not used is called in the job.
    pub(super) fn kept_name(&self, name: &str) -> String {
        if NAMES.contains(&name) || (name == "title" && self.title.is_some()) {
            format!("original_{name}")
        } else {
            name.to_owned()
        }
    }
}

/// A fault for a column that is not there.
pub(super) fn no_column(name: &str, columns: &HashSet<String>) -> Finding {
    let text = format!(
        "The mapping names the column `{}`, which the file does not have.",
        shorten(name)
    );
    let mut sorted: Vec<&str> = columns.iter().map(String::as_str).collect();
    sorted.sort_unstable();
    let remedy = nearest(name, sorted.iter().copied()).map_or_else(
        || {
            let some: Vec<String> = sorted.iter().take(20).map(|name| shorten(name)).collect();
            format!("Name one of its columns: {}.", some.join(", "))
        },
        |near| format!("Write `{near}` if that is meant."),
    );
    Finding::fault(codes::COLUMN, text, remedy).of(shorten(name))
}
