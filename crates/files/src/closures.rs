//! Closures as GeoJSON, for any map that the street authority or the client uses.

use std::collections::{BTreeSet, HashMap};

use chrono::NaiveDateTime;
use gangday_model::{
    Arrangement, Clash, Closure, Diversion, JobId, LonLat, Notice, Programme, WayRound,
};
use serde_json::{Map, Value, json};

use crate::lay_out;
use crate::write::position;

/// What is known of closures beyond their ground and times; empty where it is not asked for.
#[derive(Clone, Copy, Debug, Default)]
pub struct ClosureDetails<'a> {
    /// How the public is led past.
    pub arrangements: &'a [Arrangement],
    /// The ways round.
    pub diversions: &'a [Diversion],
    /// What gets in what's way.
    pub clashes: &'a [Clash],
    /// What has to be told.
    pub notices: &'a [Notice],
    /// Who is to be named beside those whom the streets name: for the roads that a diversion follows.
    pub attributions: &'a [String],
}

/// The closures as a FeatureCollection of Polygons with their times, local, in ISO 8601.
///
/// A closure without a ring has no geometry (RFC 7946, clause 3.2), rather than a false one.
#[must_use]
pub fn write_closures(
    closures: &[Closure],
    details: &ClosureDetails<'_>,
    programme: &Programme,
) -> Vec<u8> {
    let named = details.attributions.iter().map(String::as_str);
    let details = Details::of(details);
    let names: HashMap<&str, Option<&str>> = programme
        .streets
        .iter()
        .map(|street| (street.id.as_str(), street.name.as_deref()))
        .collect();
    let features = closures
        .iter()
        .map(|closure| feature(closure, &details, &names))
        .collect();
    let mut members = Map::new();
    members.insert("type".to_owned(), json!("FeatureCollection"));
    let attributions: BTreeSet<&str> = programme
        .streets
        .iter()
        .filter_map(|street| street.extra.get("attribution")?.as_str())
        .chain(named)
        .collect();
    if !attributions.is_empty() {
        let all: Vec<&str> = attributions.into_iter().collect();
        members.insert("attribution".to_owned(), json!(all.join("; ")));
    }
    members.insert("features".to_owned(), Value::Array(features));
    lay_out::object(&members, &["features"])
}

/// Details by job.
struct Details<'a> {
    arrangements: HashMap<&'a JobId, &'a Arrangement>,
    diversions: HashMap<&'a JobId, &'a Diversion>,
    notices: HashMap<&'a JobId, &'a Notice>,
    clashes: HashMap<&'a JobId, Vec<(&'a JobId, &'a Clash)>>,
}

impl<'a> Details<'a> {
    fn of(details: &ClosureDetails<'a>) -> Self {
        let arrangements = details.arrangements.iter();
        let mut clashes: HashMap<&JobId, Vec<(&JobId, &Clash)>> = HashMap::new();
        for clash in details.clashes {
            let parties = [(&clash.job, &clash.other), (&clash.other, &clash.job)];
            for (job, with) in parties {
                clashes.entry(job).or_default().push((with, clash));
            }
        }
        Self {
            arrangements: arrangements.map(|one| (&one.job, one)).collect(),
            diversions: details
                .diversions
                .iter()
                .map(|one| (&one.job, one))
                .collect(),
            notices: details.notices.iter().map(|one| (&one.job, one)).collect(),
            clashes,
        }
    }

    /// The properties that they add to a closure; none where nothing is known.
    fn add(&self, job: &JobId, properties: &mut Map<String, Value>) {
        let mut put = |name: &str, value: Value| properties.insert(name.to_owned(), value);
        if let Some(one) = self.arrangements.get(job) {
            put("control", json!(one.control));
            put("on_foot", json!(one.on_foot));
            put("control_because", json!(one.because));
            put("rulings", json!(one.rulings));
            put("widths", to_centimetres(json!(one.widths)));
            put("coned_m", to_centimetres(json!(one.coned_m)));
            put("kit", json!(one.kit));
            put("section", to_centimetres(json!(one.section)));
            put("caution", json!(one.caution));
        }
        if let Some(diversion) = self.diversions.get(job) {
            put("diversion", round(diversion));
            put("cut_off", json!(diversion.cut_off));
            put("cut_off_addresses", json!(diversion.cut_off_addresses));
        }
        if let Some(notice) = self.notices.get(job) {
            put("notice", json!(notice));
        }
        if let Some(clashes) = self.clashes.get(job) {
            put(
                "clashes",
                clashes.iter().map(|(with, one)| clash(with, one)).collect(),
            );
        }
    }
}

fn round(diversion: &Diversion) -> Value {
    json!({
        "words": diversion.words,
        "two_way": diversion.two_way,
        "along": diversion.along.as_ref().map(way),
        "against": diversion.against.as_ref().map(way),
    })
}

fn way(way: &WayRound) -> Value {
    let line: Vec<Value> = way.line.iter().map(|place| position(*place)).collect();
    json!({
        "geometry": {"type": "LineString", "coordinates": line},
        "length_m": to_centimetres(json!(way.length_m)),
        "extra_m": to_centimetres(json!(way.extra_m)),
        "extra_s": to_centimetres(json!(way.extra_s)),
        "streets": way.streets,
    })
}

/// Every figure in a value to two decimals: lengths are no surer than that.
fn to_centimetres(value: Value) -> Value {
    match value {
        Value::Number(number) => match number.as_f64() {
            Some(figure) if !number.is_i64() && !number.is_u64() => {
                json!((figure * 100.0).round() / 100.0)
            }
            _ => Value::Number(number),
        },
        Value::Array(all) => all.into_iter().map(to_centimetres).collect(),
        Value::Object(all) => all
            .into_iter()
            .map(|(name, value)| (name, to_centimetres(value)))
            .collect(),
        other => other,
    }
}

fn clash(with: &JobId, clash: &Clash) -> Value {
    json!({
        "kind": clash.kind,
        "with": with,
        "from": local(clash.from),
        "until": local(clash.until),
        "weight": clash.weight,
        "text": clash.text,
        "remedy": clash.remedy,
    })
}

fn feature(closure: &Closure, details: &Details<'_>, names: &HashMap<&str, Option<&str>>) -> Value {
    let street = closure.street.as_ref().map(gangday_model::StreetId::as_str);
    let mut feature = json!({
        "type": "Feature",
        "properties": {
            "job": closure.job,
            "gang": closure.worked.map(|_| &closure.gang),
            "worked_from": closure.worked.map(|own| local(own.0)),
            "worked_until": closure.worked.map(|own| local(own.1)),
            "street": street,
            "street_name": street.and_then(|street| *names.get(street)?),
            "kind": closure.kind,
            "closes_road": closure.closes_road,
            "start": local(closure.start),
            "hold_from": local(closure.hold_from),
            "end": local(closure.end),
            "proposed": closure.proposed,
            "because": closure.because,
        },
        "geometry": polygon(&closure.footprint),
    });
    if let Some(properties) = feature["properties"].as_object_mut() {
        details.add(&closure.job, properties);
    }
    feature
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
