//! GeoJSON (RFC 7946): a collection's features one by one, so that a fault in one hides no other.

use gangday_model::Finding;
use geojson::{Geometry, GeometryValue, Position};
use serde::Deserialize;
use serde_json::{Map, Value};

use crate::codes::{self, NounCodes};
use crate::kept::{FileState, KeptFile};
use crate::ledger::Ledger;
use crate::tree;
use crate::words::{describe, shorten};

/// The features of a file, as values.
pub(crate) struct Collection {
    pub(crate) features: Vec<Value>,
    pub(crate) kept: KeptFile,
}

/// The features of a file; none, with the reason in the ledger, if it is no FeatureCollection.
pub(crate) fn collection(bytes: &[u8], ledger: &mut Ledger) -> Collection {
    let features = tree::parse(bytes, ledger).and_then(|value| {
        members(value)
            .map_err(|finding| ledger.enter(*finding))
            .ok()
    });
    match features {
        Some((features, members)) => {
            let kept = KeptFile {
                members,
                ..KeptFile::in_state(FileState::Read)
            };
            Collection { features, kept }
        }
        None => Collection {
            features: Vec::new(),
            kept: KeptFile::in_state(FileState::Unreadable),
        },
    }
}

type Members = (Vec<Value>, Map<String, Value>);

fn members(value: Value) -> Result<Members, Box<Finding>> {
    let wrong = |text: String| {
        let remedy = "Export it as a GeoJSON FeatureCollection (RFC 7946).";
        Err(Box::new(Finding::fault(codes::COLLECTION, text, remedy)))
    };
    let Value::Object(mut members) = value else {
        return wrong(format!(
            "The file is {}, not a FeatureCollection.",
            describe(&value)
        ));
    };
    let kind = members.shift_remove("type").unwrap_or_default();
    if kind != "FeatureCollection" {
        return wrong(format!(
            "The file's `type` is {}, not FeatureCollection.",
            describe(&kind)
        ));
    }
    // A box round the old positions would be wrong after the first edit.
    members.shift_remove("bbox");
    match members.shift_remove("features") {
        Some(Value::Array(features)) => Ok((features, members)),
        other => {
            let other = describe(&other.unwrap_or_default());
            wrong(format!("`features` is {other}, not a list."))
        }
    }
}

/// One feature, its parts told apart.
pub(crate) struct Feature<'a> {
    pub(crate) id: Option<String>,
    pub(crate) number_id: bool,
    pub(crate) properties: &'a Map<String, Value>,
    geometry: Option<&'a Value>,
    pub(crate) beside: Map<String, Value>,
    bounds: Option<&'a Value>,
}

static NO_PROPERTIES: std::sync::LazyLock<Map<String, Value>> = std::sync::LazyLock::new(Map::new);

/// The parts of a feature, or what it is instead of one.
pub(crate) fn feature(value: &Value) -> Result<Feature<'_>, Box<Finding>> {
    let wrong = |text: String| {
        let remedy = "Write an object with \"type\": \"Feature\", \"properties\" and \"geometry\".";
        Err(Box::new(Finding::fault(codes::FEATURE, text, remedy)))
    };
    let Some(members) = value.as_object() else {
        return wrong(format!(
            "{} stands where a Feature belongs.",
            describe(value)
        ));
    };
    if members.get("type").is_none_or(|kind| kind != "Feature") {
        let kind = describe(members.get("type").unwrap_or(&Value::Null));
        return wrong(format!("`type` is {kind}, not Feature."));
    }
    let properties = match members.get("properties") {
        None | Some(Value::Null) => &*NO_PROPERTIES,
        Some(Value::Object(properties)) => properties,
        Some(other) => {
            return wrong(format!(
                "`properties` is {}, not an object.",
                describe(other)
            ));
        }
    };
    let stated = stated_id(members.get("id"), properties.get("id"));
    let (id, number_id) = stated.map_or((None, false), |(id, number)| (Some(id), number));
    Ok(Feature {
        id,
        number_id,
        properties,
        geometry: members
            .get("geometry")
            .filter(|geometry| !geometry.is_null()),
        beside: beside(members),
        bounds: members.get("bbox"),
    })
}

/// The id that stands beside the properties, else that among them, as text, and whether it was written as a number.
pub(crate) fn stated_id(beside: Option<&Value>, among: Option<&Value>) -> Option<(String, bool)> {
    [beside, among].into_iter().flatten().find_map(id_text)
}

/// An id as text, and whether it was written as a number.
pub(crate) fn id_text(value: &Value) -> Option<(String, bool)> {
    match value {
        Value::String(text) if !text.trim().is_empty() => Some((text.clone(), false)),
        Value::Number(number) => Some((number.to_string(), true)),
        _ => None,
    }
}

fn beside(members: &Map<String, Value>) -> Map<String, Value> {
    let known = ["type", "id", "properties", "geometry", "bbox"];
    let unknown = members
        .iter()
        .filter(|(name, _)| !known.contains(&name.as_str()));
    unknown
        .map(|(name, value)| (name.clone(), value.clone()))
        .collect()
}

/// What to call a feature in a message: its id, or where it stands in the file, from 1.
pub(crate) fn label(id: Option<&str>, index: usize) -> String {
    id.map_or_else(|| format!("feature {}", index + 1), shorten)
}

impl Feature<'_> {
    /// The feature's point as written, and whether it carries a height.
    pub(crate) fn point(&self, codes: &NounCodes) -> Result<([f64; 2], bool), Box<Finding>> {
        let value = self.geometry_of(&["Point"], codes)?;
        match &value {
            GeometryValue::Point { coordinates } => {
                let pair = flat(coordinates)
                    .ok_or_else(|| bad_geometry(codes, "The Point has no position.".to_owned()))?;
                Ok((pair, coordinates.len() > 2))
            }
            _ => Err(bad_geometry(
                codes,
                "The geometry is not a Point.".to_owned(),
            )),
        }
    }

    /// The members beside its properties; with them, where it is a point that says more than where it lies, its
    /// geometry as it is written and its bounds. They hold until it lies elsewhere.
    pub(crate) fn kept_beside(&self) -> Map<String, Value> {
        let mut kept = self.beside.clone();
        let geometry = self.geometry.and_then(Value::as_object);
        let numbers = |value: Option<&Value>| -> Vec<f64> {
            let all = value.and_then(Value::as_array).into_iter().flatten();
            all.filter_map(Value::as_f64).collect()
        };
        let position = numbers(geometry.and_then(|members| members.get("coordinates")));
        let own = self
            .bounds
            .filter(|own| holds(&numbers(Some(*own)), &position));
        // What is more than a height would hide the point from a GIS.
        let is_plain = geometry.is_some_and(|members| members.len() == 2);
        if is_plain && (position.len() == 3 || position.len() == 2 && own.is_some()) {
            kept.insert(
                "geometry".to_owned(),
                self.geometry.cloned().unwrap_or_default(),
            );
            kept.extend(own.map(|own| ("bbox".to_owned(), own.clone())));
        }
        kept
    }

    /// The feature's lines as written.
    pub(crate) fn lines(&self, codes: &NounCodes) -> Result<Vec<Vec<[f64; 2]>>, Box<Finding>> {
        let flatten = |line: &Vec<Position>| line.iter().filter_map(flat).collect();
        match self.geometry_of(&["LineString", "MultiLineString"], codes)? {
            GeometryValue::LineString { coordinates } => Ok(vec![flatten(&coordinates)]),
            GeometryValue::MultiLineString { coordinates } => {
                Ok(coordinates.iter().map(flatten).collect())
            }
            _ => Err(bad_geometry(
                codes,
                "The geometry is not a line.".to_owned(),
            )),
        }
    }

    fn geometry_of(
        &self,
        wanted: &[&str],
        codes: &NounCodes,
    ) -> Result<GeometryValue, Box<Finding>> {
        let noun = codes.noun;
        let wants = wanted.join(" or ");
        let Some(geometry) = self.geometry else {
            return Err(bad_geometry(
                codes,
                format!("The {noun} has no geometry; it must be a {wants}."),
            ));
        };
        let kind = geometry.get("type").unwrap_or(&Value::Null);
        if !kind.as_str().is_some_and(|kind| wanted.contains(&kind)) {
            let kind = kind.as_str().map_or_else(|| describe(kind), shorten);
            return Err(bad_geometry(
                codes,
                format!("The {noun}'s geometry is {kind}; it must be a {wants}."),
            ));
        }
        Geometry::deserialize(geometry)
            .map(|geometry| geometry.value)
            .map_err(|error| {
                bad_geometry(
                    codes,
                    format!(
                        "The {noun}'s {wants} can't be read: {}.",
                        shorten_reason(&error)
                    ),
                )
            })
    }
}

fn shorten_reason(error: &serde_json::Error) -> String {
    error.to_string().chars().take(160).collect()
}

fn bad_geometry(codes: &NounCodes, text: String) -> Box<Finding> {
    let remedy = "Draw it on the map again, or write its position in degrees, longitude first.";
    Box::new(Finding::fault(codes.geometry, text, remedy).of("geometry"))
}

fn flat(position: &Position) -> Option<[f64; 2]> {
    match position.as_slice() {
        [x, y, ..] => Some([*x, *y]),
        _ => None,
    }
}

/// Moves the features at these indices, in order, to what is kept word for word.
pub(crate) fn put_aside(features: Vec<Value>, indices: &[usize], kept: &mut KeptFile) {
    let mut wanted = indices.iter().peekable();
    for (index, feature) in features.into_iter().enumerate() {
        if wanted.next_if_eq(&&index).is_some() {
            let id = self::feature(&feature).ok().and_then(|feature| feature.id);
            kept.put_aside_called("features", label(id.as_deref(), index), feature);
        }
    }
}

/// Whether bounds hold a point: RFC 7946, clause 5, the lowest of each axis and then the highest.
fn holds(bounds: &[f64], point: &[f64]) -> bool {
    let (low, high) = bounds.split_at(bounds.len() / 2);
    let within = |axis: usize| low[axis] <= point[axis] && point[axis] <= high[axis];
    [4, 6].contains(&bounds.len()) && point.len() >= 2 && within(0) && within(1)
}

/// One note for all positions that carry heights.
pub(crate) fn note_heights(count: usize, are_kept: bool, ledger: &mut Ledger) {
    if count > 0 {
        let text = format!("{count} positions carry heights, which are not used.");
        let remedy = match are_kept {
            true => {
                "Nothing needs to be done: they are saved as they are, and go only where a pin is moved."
            }
            false => "Keep the list if the heights matter: they are not taken in.",
        };
        ledger.enter(Finding::note(codes::HEIGHT, text, remedy));
    }
}
