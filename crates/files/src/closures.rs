//! Closures as GeoJSON, for any map that the street authority or the client uses.

use std::collections::{BTreeSet, HashMap};

use chrono::NaiveDateTime;
use gangday_model::{Closure, LonLat, Programme};
use serde_json::{Map, Value, json};

use crate::lay_out;
use crate::write::position;

/// The closures as a FeatureCollection of Polygons with their times, local, in ISO 8601.
///
/// A closure without a ring has no geometry (RFC 7946, clause 3.2), rather than a false one.
#[must_use]
pub fn write_closures(closures: &[Closure], programme: &Programme) -> Vec<u8> {
    let names: HashMap<&str, Option<&str>> = programme
        .streets
        .iter()
        .map(|street| (street.id.as_str(), street.name.as_deref()))
        .collect();
    let features = closures
        .iter()
        .map(|closure| feature(closure, &names))
        .collect();
    let mut members = Map::new();
    members.insert("type".to_owned(), json!("FeatureCollection"));
    let attributions: BTreeSet<&str> = programme
        .streets
        .iter()
        .filter_map(|street| street.extra.get("attribution")?.as_str())
        .collect();
    if !attributions.is_empty() {
        let all: Vec<&str> = attributions.into_iter().collect();
        members.insert("attribution".to_owned(), json!(all.join("; ")));
    }
    members.insert("features".to_owned(), Value::Array(features));
    lay_out::object(&members, &["features"])
}

fn feature(closure: &Closure, names: &HashMap<&str, Option<&str>>) -> Value {
    let street = closure.street.as_ref().map(gangday_model::StreetId::as_str);
    json!({
        "type": "Feature",
        "properties": {
            "job": closure.job,
            "gang": closure.gang,
            "street": street,
            "street_name": street.and_then(|street| *names.get(street)?),
            "kind": closure.kind,
            "start": local(closure.start),
            "hold_from": local(closure.hold_from),
            "end": local(closure.end),
            "proposed": closure.proposed,
            "because": closure.because,
        },
        "geometry": polygon(&closure.footprint),
    })
}

fn local(time: NaiveDateTime) -> String {
    time.format("%Y-%m-%dT%H:%M:%S").to_string()
}

fn polygon(ring: &[LonLat]) -> Value {
    if ring.len() < 4 {
        return Value::Null;
    }
    let ring: Vec<Value> = ring.iter().map(|place| position(*place)).collect();
    json!({"type": "Polygon", "coordinates": [ring]})
}
