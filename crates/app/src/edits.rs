//! Edits by hand: each changes one or several jobs as a whole, or nothing.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use gangday_files::guess_mapping;
use gangday_model::{JobId, Plan, VisitStatus};
use gangday_store::{FeatureChange, Placed};
use serde_json::{Map, Value, json};

use crate::changes::{State, job_change, placed, with_jobs};
use crate::diary::Record;
use crate::opened::Opened;
use crate::view::{Edit, Pin, Properties, Refusal, Stated};
use crate::{crews, mending, standing, tables, words};

/// What came of an edit.
pub struct Edited {
    /// What it is called.
    pub what: String,
    /// The state after it.
    pub state: State,
    /// The jobs that it touched or made.
    pub jobs: Vec<String>,
}

/// Does an edit.
///
/// # Errors
/// Where a job is not there, or would be at fault; nothing is changed then.
pub fn edit(state: &State, edit: &Edit) -> Result<Edited, Refusal> {
    let opened = &state.opened;
    match edit {
        Edit::Set { jobs, properties } => set(state, jobs, properties),
        Edit::Move { pins } => moved(state, pins),
        Edit::Delete { jobs } => delete(state, jobs),
        Edit::Add { at, properties } => add(state, *at, properties),
        Edit::Rename { job, to } => rename(state, job, to),
        Edit::Paste { text, at } => {
            let features = pasted(opened, text, *at)?;
            let what = format!("paste {}", some(&ids(&features)));
            append(state, what, features)
        }
        Edit::Row {
            file,
            row,
            yard,
            members,
        } => {
            let (row, yard) = (row.as_deref(), *yard);
            tables::set(state, tables::Place { file, row, yard }, members)
        }
        Edit::AddYard { yard, at } => crews::add(state, *yard, *at),
        Edit::RemoveYard { yard, id } => crews::remove(state, *yard, id),
        Edit::Mend { aside, members, at } => mending::mend(state, aside, members, *at),
        Edit::TakeOut { aside } => mending::take_out(state, aside),
    }
}

/// What is stated of some jobs.
///
/// # Errors
/// Where one of them is not there.
pub fn stated(opened: &Opened, jobs: &[String]) -> Result<Vec<Stated>, Refusal> {
    let one = |id: &String| {
        let before = found(opened, id)?;
        let at = opened.prepared.programme.jobs[before.index].at;
        let properties = before.feature["properties"].as_object().cloned();
        Ok(Stated {
            id: id.clone(),
            at: [at.lon(), at.lat()],
            properties: properties.unwrap_or_default(),
        })
    };
    jobs.iter().map(one).collect()
}

/// Some jobs as a text to paste, here or elsewhere: GeoJSON, so that a GIS takes it too.
///
/// # Errors
/// Where one of them is not there.
pub fn copied(opened: &Opened, jobs: &[String]) -> Result<String, Refusal> {
    let features: Result<Vec<Value>, Refusal> = jobs
        .iter()
        .map(|id| found(opened, id).map(|placed| placed.feature))
        .collect();
    Ok(json!({"type": "FeatureCollection", "features": features?}).to_string())
}

fn found(opened: &Opened, id: &str) -> Result<Placed, Refusal> {
    let index = opened.prepared.index_of(&JobId::new(id));
    let index = index.ok_or_else(|| Refusal::coded("D-NONE", &format!("There is no job {id}.")))?;
    Ok(placed(opened, index))
}

/// Each job once, changed by `change`.
fn each(
    state: &State,
    what: String,
    jobs: &[String],
    mut change: impl FnMut(&mut Placed),
) -> Result<Edited, Refusal> {
    let mut seen = HashSet::new();
    let mut changes = Vec::new();
    for id in jobs.iter().filter(|id| seen.insert(id.as_str())) {
        let before = found(&state.opened, id)?;
        let mut after = before.clone();
        change(&mut after);
        changes.push(job_change(Some(before), Some(after)));
    }
    finish(state, what, &changes)
}

fn finish(state: &State, what: String, changes: &[FeatureChange]) -> Result<Edited, Refusal> {
    if changes.is_empty() {
        return Err(Refusal::coded("D-SELECT", "No job is chosen."));
    }
    let opened = with_jobs(&state.opened, changes)?;
    let touched = changes
        .iter()
        .filter_map(|one| one.after.as_ref().or(one.before.as_ref()));
    Ok(Edited {
        what,
        jobs: touched.map(|placed| placed.id.clone()).collect(),
        state: State {
            opened,
            plan: state.plan.clone(),
        },
    })
}

fn set(state: &State, jobs: &[String], new: &Properties) -> Result<Edited, Refusal> {
    if new.contains_key("id") {
        return Err(Refusal::coded(
            "D-ID",
            "Give a job another id by renaming it.",
        ));
    }
    let names: Vec<&str> = new.keys().map(String::as_str).collect();
    let what = format!("set {} of {}", names.join(", "), some(jobs));
    let prepared = &state.opened.prepared;
    // A street may be named as people do.
    let street = |job: &str| {
        let name = new.get("street")?.as_str()?;
        let at = prepared.index_of(&job.into());
        let at = at.map(|at| prepared.programme.jobs[at].at);
        let called = prepared.street_called(name, at)?;
        Some(json!(called.as_str()))
    };
    each(state, what, jobs, |after| {
        let street = street(&after.id);
        let Some(properties) = after.feature["properties"].as_object_mut() else {
            return;
        };
        for (name, value) in new {
            if value.is_null() {
                properties.shift_remove(name);
            } else {
                let called = street.as_ref().filter(|_| name == "street");
                properties.insert(name.clone(), called.unwrap_or(value).clone());
            }
        }
    })
}

fn moved(state: &State, pins: &[Pin]) -> Result<Edited, Refusal> {
    let jobs: Vec<String> = pins.iter().map(|pin| pin.id.clone()).collect();
    let what = format!("move {}", some(&jobs));
    each(state, what, &jobs, |after| {
        let pin = pins.iter().rev().find(|pin| pin.id == after.id);
        if let Some((pin, feature)) = pin.zip(after.feature.as_object_mut()) {
            put_at(feature, pin.at);
        }
    })
}

/// Has a feature lie elsewhere; what was said of its place before holds no more.
pub(crate) fn put_at(feature: &mut Map<String, Value>, at: [f64; 2]) {
    feature.insert("geometry".to_owned(), point(at));
    feature.shift_remove("bbox");
}

fn point(at: [f64; 2]) -> Value {
    json!({"type": "Point", "coordinates": at})
}

/// The jobs of the plan that are done in part or in all, or locked where they are.
pub fn staying(state: &State) -> HashMap<&str, VisitStatus> {
    let visits = state.plan.iter().flat_map(|plan| plan.visits());
    let staying = visits.filter_map(|visit| Some((visit.job.as_str(), visit.status?)));
    let mut all = HashMap::new();
    for (job, status) in staying {
        if status == VisitStatus::Done || !all.contains_key(job) {
            all.insert(job, status);
        }
    }
    all
}

/// What is done, or locked, is not deleted in passing.
fn refuse_that_stays(state: &State, jobs: &[String]) -> Result<(), Refusal> {
    let staying = staying(state);
    let mut jobs = jobs.iter();
    let first = jobs.find_map(|job| Some((job, *staying.get(job.as_str())?)));
    let why = match first {
        None => return Ok(()),
        Some((job, VisitStatus::Locked)) => format!("{job} is locked; unlock it first."),
        Some((job, VisitStatus::Done)) => {
            format!("Work of {job} was recorded as done; take that back first.")
        }
    };
    Err(Refusal::coded(
        "D-STAYS",
        &format!("Nothing was deleted: {why}"),
    ))
}

fn delete(state: &State, jobs: &[String]) -> Result<Edited, Refusal> {
    refuse_that_stays(state, jobs)?;
    let mut seen = HashSet::new();
    let unique = jobs.iter().filter(|id| seen.insert(id.as_str()));
    let changes: Result<Vec<_>, Refusal> = unique
        .map(|id| Ok(job_change(Some(found(&state.opened, id)?), None)))
        .collect();
    let mut edited = finish(state, format!("delete {}", some(jobs)), &changes?)?;
    edited.state.plan = plan_without(state.plan.as_ref(), jobs);
    Ok(edited)
}

/// A plan, if there is one, without some jobs.
pub fn plan_without(plan: Option<&Arc<Plan>>, jobs: &[String]) -> Option<Arc<Plan>> {
    let plan = plan?;
    Some(if jobs.is_empty() {
        Arc::clone(plan)
    } else {
        Arc::new(without(plan, jobs))
    })
}

/// A plan without some jobs; what it leaves standing is as it was.
pub fn without(plan: &Plan, jobs: &[String]) -> Plan {
    let gone: HashSet<&str> = jobs.iter().map(String::as_str).collect();
    let stays = |job: &JobId| !gone.contains(job.as_str());
    let mut plan = plan.clone();
    for route in &mut plan.routes {
        route.visits.retain(|visit| stays(&visit.job));
    }
    plan.routes.retain(|route| !route.visits.is_empty());
    plan.unplanned.retain(|one| stays(&one.job));
    plan.unfinished.retain(|one| stays(&one.job));
    plan
}

fn rename(state: &State, job: &str, to: &str) -> Result<Edited, Refusal> {
    let to = to.trim();
    if to.is_empty() {
        return Err(Refusal::coded("D-ID", "A job's id can't be empty."));
    }
    let what = format!("rename {job} to {to}");
    let mut edited = each(state, what, &[job.to_owned()], |after| {
        to.clone_into(&mut after.id);
        after.feature["id"] = json!(to);
    })?;
    edited.state.plan = state
        .plan
        .as_deref()
        .map(|plan| Arc::new(with_id(plan, job, to)));
    // What was done of it is its own under any name.
    let is_own = |record: &Record| record.job.as_str() == job;
    if edited.state.opened.diary.records.iter().any(is_own) {
        let diary = Arc::make_mut(&mut edited.state.opened.diary);
        let own = diary.records.iter_mut().filter(|record| is_own(record));
        own.for_each(|record| record.job = JobId::new(to));
    }
    standing::rename(&mut edited.state.opened, job, to);
    Ok(edited)
}

fn with_id(plan: &Plan, from: &str, to: &str) -> Plan {
    let mut plan = plan.clone();
    let visits = plan
        .routes
        .iter_mut()
        .flat_map(|route| &mut route.visits)
        .map(|visit| &mut visit.job);
    let left = plan.unplanned.iter_mut().chain(&mut plan.unfinished);
    let unplanned = left.map(|one| &mut one.job);
    for job in visits.chain(unplanned).filter(|job| job.as_str() == from) {
        *job = JobId::new(to);
    }
    plan
}

fn add(state: &State, at: [f64; 2], stated: &Properties) -> Result<Edited, Refusal> {
    let mut properties = stated.clone();
    let id = properties.shift_remove("id").and_then(|id| match id {
        Value::String(id) if !id.trim().is_empty() => Some(id.trim().to_owned()),
        Value::Number(id) => Some(id.to_string()),
        _ => None,
    });
    let id = id.unwrap_or_else(|| free(&taken(&state.opened), "N1"));
    // The same to start from as for a list that tells nothing but places.
    for (name, value) in guess_mapping(b"lon,lat\n").constants {
        // No sections is right for an adjustment only.
        if name != "sections" || !stated.contains_key("work") {
            properties.entry(name).or_insert(value);
        }
    }
    let feature =
        json!({"type": "Feature", "id": id, "properties": properties, "geometry": point(at)});
    append(state, format!("add {id}"), vec![feature])
}

fn append(state: &State, what: String, features: Vec<Value>) -> Result<Edited, Refusal> {
    let first = state.opened.prepared.programme.jobs.len();
    let fresh = |(index, feature): (usize, Value)| Placed {
        id: feature["id"].as_str().unwrap_or_default().to_owned(),
        index,
        feature,
    };
    let changes: Vec<FeatureChange> = (first..)
        .zip(features)
        .map(|one| job_change(None, Some(fresh(one))))
        .collect();
    finish(state, what, &changes)
}

fn ids(features: &[Value]) -> Vec<String> {
    features
        .iter()
        .filter_map(|feature| feature["id"].as_str().map(str::to_owned))
        .collect()
}

/// The features of a text with ids that are free, about the place where they are to be.
fn pasted(opened: &Opened, text: &str, at: Option<[f64; 2]>) -> Result<Vec<Value>, Refusal> {
    let value: Value = serde_json::from_str(text).unwrap_or_default();
    let features = match (&value["features"], &value["type"]) {
        (Value::Array(features), _) => features.clone(),
        (_, kind) if *kind == "Feature" => vec![value.clone()],
        _ => Vec::new(),
    };
    let mut features: Vec<Map<String, Value>> = features
        .into_iter()
        .filter_map(|one| one.as_object().cloned())
        .collect();
    if features.is_empty() {
        return Err(Refusal::coded("F-KIND", "What was copied holds no jobs."));
    }
    let mut taken = taken(opened);
    for feature in &mut features {
        let wanted = match feature.get("id") {
            Some(Value::String(id)) if !id.trim().is_empty() => id.clone(),
            _ => "N1".to_owned(),
        };
        let id = if taken.contains(&wanted) {
            free(&taken, &wanted)
        } else {
            wanted
        };
        taken.insert(id.clone());
        feature.insert("id".to_owned(), json!(id));
    }
    if let Some(at) = at {
        about(&mut features, at);
    }
    Ok(features.into_iter().map(Value::Object).collect())
}

/// Moves features, all by as much, so that the middle of the box round them is at a place.
fn about(features: &mut [Map<String, Value>], at: [f64; 2]) {
    let place = |feature: &Map<String, Value>| {
        let pair = feature.get("geometry")?.get("coordinates")?.as_array()?;
        Some([pair.first()?.as_f64()?, pair.get(1)?.as_f64()?])
    };
    let places: Vec<[f64; 2]> = features.iter().filter_map(&place).collect();
    let middle = |axis: usize| {
        let all = || places.iter().map(|place| place[axis]);
        f64::midpoint(
            all().fold(f64::INFINITY, f64::min),
            all().fold(f64::NEG_INFINITY, f64::max),
        )
    };
    let shift = [at[0] - middle(0), at[1] - middle(1)];
    for feature in features {
        if let Some([lon, lat]) = place(feature) {
            put_at(feature, [lon + shift[0], lat + shift[1]]);
        }
    }
}

fn taken(opened: &Opened) -> HashSet<String> {
    let sound = opened
        .prepared
        .programme
        .jobs
        .iter()
        .map(|job| job.id.to_string());
    let refused = opened.refused_jobs();
    sound
        .chain(refused.iter().map(ToString::to_string))
        .collect()
}

/// The first free id after this one: the number at its end goes up, or one is put there.
fn free(taken: &HashSet<String>, like: &str) -> String {
    let stem = like.trim_end_matches(|end: char| end.is_ascii_digit());
    let digits = &like[stem.len()..];
    let (stem, from) = match digits.parse::<u64>() {
        Ok(number) if !stem.is_empty() || !digits.is_empty() => (stem.to_owned(), number),
        _ => (format!("{like}-"), 1),
    };
    let width = digits.len();
    let mut tried = (from..).map(|number| format!("{stem}{number:0width$}"));
    tried.find(|id| !taken.contains(id)).unwrap_or_default()
}

/// `J001`, or `3 jobs`.
pub fn some(jobs: &[String]) -> String {
    match jobs {
        [one] => one.clone(),
        many => words::count(many.len(), "job", "jobs"),
    }
}
