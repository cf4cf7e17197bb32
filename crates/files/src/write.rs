//! The nouns back to the bytes of their files: stable, and nothing lost that was read.

use std::collections::BTreeMap;

use gangday_model::{
    Gang, Hours, Job, LonLat, Millimetres, Parameter, ParameterTable, Programme, Sizes, Street,
    Tip, Week,
};
use serde::Serialize;
use serde_json::{Map, Number, Value, json};

use crate::kept::{FileState, Kept, KeptFile};
use crate::lay_out;
use crate::parameters::{PLAIN, USUAL_LIST};
use crate::times::{day, pair};
use crate::{GANGS, JOBS, MATERIALS, METHOD, STREETS, WEEK};

/// Every file of a programme with its bytes, ready to be saved together.
///
/// A file that could not be read is not among them, because writing over it would destroy it; nor
/// is an optional file that was not there and has nothing to say.
#[must_use]
pub fn write_programme(programme: &Programme, kept: &Kept) -> Vec<(&'static str, Vec<u8>)> {
    let Programme {
        jobs,
        streets,
        gangs,
        tips,
        ..
    } = programme;
    let mut files = Vec::new();
    let mut put = |name, kept: &KeptFile, empty: bool, write: &dyn Fn(&KeptFile) -> Vec<u8>| {
        let idle = empty && kept.state == FileState::Absent;
        if kept.state != FileState::Unreadable && !idle {
            files.push((name, write(kept)));
        }
    };
    put(JOBS, &kept.jobs, false, &|kept| write_jobs(jobs, kept));
    put(STREETS, &kept.streets, streets.is_empty(), &|kept| {
        write_streets(streets, kept)
    });
    put(GANGS, &kept.gangs, false, &|kept| {
        write_gangs(gangs, tips, kept)
    });
    let (method, materials) = (&programme.method, &programme.materials);
    put(METHOD, &kept.method, method.is_empty(), &|kept| {
        write_parameters(method, kept)
    });
    put(MATERIALS, &kept.materials, materials.is_empty(), &|kept| {
        write_parameters(materials, kept)
    });
    put(WEEK, &kept.week, false, &|_| write_week(&programme.week));
    files
}

/// `jobs.geojson` of these jobs, with what was kept from reading it.
#[must_use]
pub fn write_jobs(jobs: &[Job], kept: &KeptFile) -> Vec<u8> {
    let features = jobs
        .iter()
        .map(|job| feature(job.id.as_str(), job_properties(job), point(job.at), kept));
    collection(features.collect(), kept)
}

/// One job as its feature, with what was kept from reading it.
#[must_use]
pub fn job_feature(job: &Job, kept: &KeptFile) -> Value {
    feature(job.id.as_str(), job_properties(job), point(job.at), kept)
}

/// `streets.geojson` of these streets, with what was kept from reading it.
#[must_use]
pub fn write_streets(streets: &[Street], kept: &KeptFile) -> Vec<u8> {
    let features = streets.iter().map(|street| {
        feature(
            street.id.as_str(),
            street_properties(street),
            lines(&street.lines),
            kept,
        )
    });
    collection(features.collect(), kept)
}

/// One row of `streets.geojson`.
pub(crate) fn street_row(street: &Street) -> Value {
    feature(
        street.id.as_str(),
        street_properties(street),
        lines(&street.lines),
        &KeptFile::default(),
    )
}

/// `gangs.json` of these gangs and tips, with what was kept from reading it.
#[must_use]
pub fn write_gangs(gangs: &[Gang], tips: &[Tip], kept: &KeptFile) -> Vec<u8> {
    let mut members = Map::new();
    let with_aside = |things: Vec<Value>, list: &str| {
        Value::Array(
            things
                .into_iter()
                .chain(kept.aside(list).iter().cloned())
                .collect(),
        )
    };
    members.insert(
        "gangs".to_owned(),
        with_aside(gangs.iter().map(gang).collect(), "gangs"),
    );
    members.insert(
        "tips".to_owned(),
        with_aside(tips.iter().map(tip).collect(), "tips"),
    );
    append(&mut members, &kept.members);
    lay_out::object(&members, &["gangs", "tips"])
}

/// `method.json` or `materials.json` of this table, with what was kept from reading it.
#[must_use]
pub fn write_parameters(table: &ParameterTable, kept: &KeptFile) -> Vec<u8> {
    let usual = kept.tables.values().chain(kept.set_aside.keys()).next();
    let usual = usual.map_or(USUAL_LIST, String::as_str);
    let mut lists: BTreeMap<&str, Vec<Value>> = BTreeMap::new();
    lists.entry(usual).or_default();
    for row in table.rows() {
        let list = kept.tables.get(&row.key).map_or(usual, String::as_str);
        lists.entry(list).or_default().push(parameter(row, true));
    }
    for (list, rows) in &kept.set_aside {
        lists.entry(list).or_default().extend(rows.iter().cloned());
    }
    if let Some(rows) = lists.get(PLAIN) {
        let mut out = Vec::new();
        lay_out::list(rows, &mut out);
        out.push(b'\n');
        return out;
    }
    let names: Vec<&str> = lists.keys().copied().collect();
    let rows = |list: &str| Value::Array(lists[list].clone());
    let mut members: Map<String, Value> = names
        .iter()
        .map(|list| ((*list).to_owned(), rows(list)))
        .collect();
    append(&mut members, &kept.members);
    lay_out::object(&members, &names)
}

/// `week.json` of this week.
#[must_use]
pub fn write_week(week: &Week) -> Vec<u8> {
    let mut members = Stated::default();
    members.put("nation", &week.nation);
    members.set("first_day", day(week.first_day));
    members.put("days", &week.days);
    members.set(
        "holidays",
        week.holidays.iter().map(|holiday| day(*holiday)).collect(),
    );
    members.set("temperature_c", number(week.temperature_c));
    members.some("today", week.today.map(day));
    members.some("plan_from", week.plan_from.map(day));
    if week.nights > 0 {
        members.put("nights", &week.nights);
    }
    if week.over_weekend {
        members.put("over_weekend", &week.over_weekend);
    }
    let rates = week
        .rates
        .iter()
        .map(|rate| (rate.key.clone(), parameter(rate, false)));
    members.set("rates", Value::Object(rates.collect()));
    lay_out::object(&members.with(&week.extra), &["rates"])
}

/// Members of an object in the order in which they are put.
#[derive(Default)]
struct Stated(Map<String, Value>);

impl Stated {
    fn set(&mut self, name: &str, value: Value) {
        self.0.insert(name.to_owned(), value);
    }

    fn some(&mut self, name: &str, value: Option<Value>) {
        if let Some(value) = value {
            self.set(name, value);
        }
    }

    fn put(&mut self, name: &str, value: &impl Serialize) {
        match serde_json::to_value(value) {
            Ok(Value::Null) | Err(_) => {}
            Ok(value) => self.set(name, value),
        }
    }

    /// A list, left out if it is empty.
    fn list(&mut self, name: &str, items: Vec<Value>) {
        self.some(name, (!items.is_empty()).then_some(Value::Array(items)));
    }

    fn with(mut self, extra: &Map<String, Value>) -> Map<String, Value> {
        append(&mut self.0, extra);
        self.0
    }
}

/// Adds what is not there yet: what is stated by a noun is never replaced by what was kept.
fn append(members: &mut Map<String, Value>, more: &Map<String, Value>) {
    for (name, value) in more {
        members.entry(name.clone()).or_insert_with(|| value.clone());
    }
}

fn collection(features: Vec<Value>, kept: &KeptFile) -> Vec<u8> {
    let mut members = Map::new();
    members.insert("type".to_owned(), json!("FeatureCollection"));
    append(&mut members, &kept.members);
    let aside = kept.aside("features").iter().cloned();
    members.insert(
        "features".to_owned(),
        features.into_iter().chain(aside).collect(),
    );
    lay_out::object(&members, &["features"])
}

fn feature(id: &str, properties: Map<String, Value>, geometry: Value, kept: &KeptFile) -> Value {
    let mut members = Map::new();
    let mut beside = kept.beside.get(id).cloned().unwrap_or_default();
    let stays = beside
        .get("geometry")
        .is_some_and(|own| is_there(own, &geometry));
    let geometry = match beside.shift_remove("geometry") {
        Some(own) if stays => own,
        Some(_) => {
            beside.shift_remove("bbox");
            geometry
        }
        None => geometry,
    };
    members.insert("type".to_owned(), json!("Feature"));
    members.insert("id".to_owned(), json!(id));
    members.insert("properties".to_owned(), Value::Object(properties));
    members.insert("geometry".to_owned(), geometry);
    append(&mut members, &beside);
    Value::Object(members)
}

/// Whether a point as it was written lies where another does.
fn is_there(own: &Value, other: &Value) -> bool {
    let pair = |point: &Value| {
        let at = |axis: usize| point["coordinates"][axis].as_f64().map(f64::to_bits);
        at(0).zip(at(1))
    };
    pair(own).is_some() && pair(own) == pair(other)
}

fn job_properties(job: &Job) -> Map<String, Value> {
    let mut properties = Stated::default();
    properties.put("work", &job.work);
    properties.put("position", &job.position);
    sizes(&mut properties, &job.sizes);
    properties.put("load_class", &job.load_class);
    properties.put("ground", &job.ground);
    properties.put("street", &job.street);
    properties.put("closure", &job.closure);
    properties.some("earliest", job.earliest.map(day));
    properties.some("latest", job.latest.map(day));
    properties.list("site_hours", all_hours(&job.site_hours));
    properties.list("tickets", texts(&job.tickets));
    properties.put("priority", &job.priority);
    properties.put("permit", &job.permit);
    properties.put("nights", &job.nights);
    properties.put("over_weekend", &job.over_weekend);
    properties.with(&job.extra)
}

fn sizes(properties: &mut Stated, sizes: &Sizes) {
    let mm = |size: Option<Millimetres>| size.map(|size| json!(size.mm()));
    properties.some("clear_length_mm", mm(sizes.clear_length));
    properties.some("clear_width_mm", mm(sizes.clear_width));
    properties.put("sections", &sizes.sections);
    properties.some("section_depth_mm", mm(sizes.section_depth));
    properties.some("wall_mm", mm(sizes.wall));
    properties.some("base_mm", mm(sizes.base));
    properties.some("embed_mm", mm(sizes.embed));
    properties.some("ironwork_depth_mm", mm(sizes.ironwork_depth));
    properties.some("ironwork_length_mm", mm(sizes.ironwork_length));
    properties.some("ironwork_width_mm", mm(sizes.ironwork_width));
    properties.some("bedding_mm", mm(sizes.bedding));
    properties.some("margin_mm", mm(sizes.margin));
}

fn street_properties(street: &Street) -> Map<String, Value> {
    let mut properties = Stated::default();
    properties.put("name", &street.name);
    properties.put("road_type", &street.road_type);
    properties.put("speed_limit_mph", &street.speed_limit_mph);
    properties.some("width_m", street.width_m.map(number));
    properties.put("one_way", &street.one_way);
    properties.some("flow_per_3_min", street.flow_per_3_min.map(number));
    properties.list("traffic_sensitive", all_hours(&street.traffic_sensitive));
    properties.some("restricted_until", street.restricted_until.map(day));
    properties.with(&street.extra)
}

fn gang(gang: &Gang) -> Value {
    let mut members = Stated::default();
    members.put("id", &gang.id);
    members.put("name", &gang.name);
    members.set("depot", position(gang.depot));
    members.put("people", &gang.people);
    members.list("tickets", texts(&gang.tickets));
    members.some(
        "payload_kg",
        gang.payload.map(|payload| number(payload.kg())),
    );
    members.some("volume_m3", gang.volume_m3.map(number));
    members.set("shift", pair(gang.shift));
    members.set(
        "overtime_min",
        number(gang.overtime.seconds() as f64 / 60.0),
    );
    let days = |days: &Vec<chrono::NaiveDate>| days.iter().map(|date| day(*date)).collect();
    members.some("days", gang.days.as_ref().map(days));
    Value::Object(members.with(&gang.extra))
}

fn tip(tip: &Tip) -> Value {
    let mut members = Stated::default();
    members.put("id", &tip.id);
    members.put("name", &tip.name);
    members.set("at", position(tip.at));
    Value::Object(members.with(&tip.extra))
}

fn parameter(row: &Parameter, with_key: bool) -> Value {
    let mut members = Stated::default();
    if with_key {
        members.put("key", &row.key);
    }
    members.set("value", number(row.value));
    members.put("unit", &row.unit);
    members.put("source", &row.source);
    members.put("date", &row.date);
    Value::Object(members.with(&row.extra))
}

fn all_hours(hours: &[Hours]) -> Vec<Value> {
    hours.iter().map(|hours| pair(*hours)).collect()
}

fn texts(texts: &[String]) -> Vec<Value> {
    texts.iter().map(|text| json!(text)).collect()
}

/// A number as people write it: 450 and not 450.0.
fn number(value: f64) -> Value {
    let whole =
        value.fract() == 0.0 && value.abs() < 1e15 && !(value == 0.0 && value.is_sign_negative());
    if whole {
        json!(value as i64)
    } else {
        Number::from_f64(value).map_or(Value::Null, Value::Number)
    }
}

/// A place as a position of RFC 7946: longitude, then latitude.
pub(crate) fn position(place: LonLat) -> Value {
    json!([place.lon(), place.lat()])
}

fn point(at: LonLat) -> Value {
    json!({"type": "Point", "coordinates": position(at)})
}

fn lines(lines: &[Vec<LonLat>]) -> Value {
    let all: Vec<Value> = lines
        .iter()
        .map(|line| line.iter().map(|place| position(*place)).collect())
        .collect();
    match <[Value; 1]>::try_from(all) {
        Ok([line]) => json!({"type": "LineString", "coordinates": line}),
        Err(all) => json!({"type": "MultiLineString", "coordinates": all}),
    }
}
