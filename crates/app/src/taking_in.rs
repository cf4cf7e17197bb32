//! A client's list, looked at before it is taken in, and taken in again when the client sends it anew.

mod shown;

use std::collections::{HashMap, HashSet};

use base64::Engine as _;
use gangday_files::{
    List, PointIntake, PointMapping, guess_mapping, job_feature, read_list, read_points_beside,
};
use gangday_model::{Finding, Job, JobId, LonLat};
use gangday_store::Placed;
use serde_json::{Map, Value, json};
use sha2::{Digest as _, Sha256};

use crate::changes::{State, job_change, placed, with_jobs_watched};
use crate::edits::{plan_without, put_at, staying};
use crate::grid_lists::{by_degrees, in_metres};
use crate::importing::refuse_over_unreadable;
use crate::matching::{CLIENT, Neighbours, ReadRow, matched, of_another, spoken_of, spot};
use crate::opened::Opened;
use crate::row_places::with_places;
use crate::view::{Correction, ListRequest, Refusal};
use crate::watching::{Stopped, Watch};
use crate::words;

/// A list, read with a mapping and held against the programme.
pub struct Taken {
    list: Option<List>,
    mapping: PointMapping,
    remembered: bool,
    points: usize,
    rows: Vec<TakenRow>,
    gone: Vec<String>,
    findings: Vec<Finding>,
    digest: String,
}

/// A row that makes a sound job.
struct TakenRow {
    row: usize,
    job: Job,
    /// The job's place in the programme, if it is there already.
    there: Option<usize>,
    /// The feature after, and what differs.
    after: Value,
    changes: Vec<String>,
    near: Option<String>,
}

impl Taken {
    /// Reads a list; `remembered` is the client's mapping of an earlier one.
    ///
    /// # Errors
    /// The file can't be read at all or is not the one that was seen, or the mapping is not one.
    pub fn read(
        opened: &Opened,
        request: &ListRequest,
        remembered: Option<PointMapping>,
        watch: Watch<'_>,
    ) -> Result<Self, Refusal> {
        watch.begin(&format!("Reading {}", request.name))?;
        refuse_over_unreadable(opened)?;
        let name = &request.name;
        let bytes = bytes_of(request)?;
        let digest = as_seen(request, &bytes)?;
        watch.part(0.05, 1.0).begin("Taking its rows apart")?;
        let read = read_list(&bytes).map_err(|fault| {
            Refusal::because(&format!("{name} was not taken in."), &[fault.in_file(name)])
        })?;
        let list = read.map(|list| corrected(list, &request.corrections));
        let bytes = list.as_ref().map_or(bytes, List::to_csv);
        watch.part(0.15, 1.0).begin("Matching its columns")?;
        let stated = request.mapping.clone().map(mapping_of).transpose()?;
        let is_remembered = stated.is_none() && remembered.is_some();
        let mapping = stated
            .or(remembered)
            .unwrap_or_else(|| guess_mapping(&bytes));
        let (list, mapping) = match list {
            Some(list) => {
                let (list, mapping) = with_places(list, mapping, &request.places);
                (Some(list), mapping)
            }
            None => (None, mapping),
        };
        let bytes = list.as_ref().map_or(bytes, List::to_csv);
        let (bytes, by_degrees) = by_degrees(&bytes, list.as_ref(), &mapping);
        let places: Vec<LonLat> = opened
            .prepared
            .programme
            .jobs
            .iter()
            .map(|job| job.at)
            .collect();
        let ids = opened.job_ids();
        let intake = read_watched(&bytes, &by_degrees, (&ids, &places), watch.part(0.25, 0.6))?;
        let findings = above(list.as_ref())
            .into_iter()
            .chain(intake.findings)
            .map(|one| in_list(in_metres(one, &by_degrees), name))
            .collect();
        let mut taken = Self {
            mapping,
            remembered: is_remembered,
            points: intake.points,
            rows: Vec::new(),
            gone: Vec::new(),
            findings,
            list,
            digest,
        };
        let client = request
            .client
            .as_deref()
            .filter(|client| !client.trim().is_empty());
        let rows = intake.jobs.into_iter().zip(intake.rows).zip(intake.made);
        let rows = rows
            .map(|((job, row), made)| ReadRow { job, row, made })
            .collect();
        taken.hold(opened, (rows, &intake.stated), client, watch.part(0.6, 1.0))?;
        Ok(taken)
    }

    /// Holds the rows against the jobs that are there: by the id that a row states, and by place
    /// where it states none.
    fn hold(
        &mut self,
        opened: &Opened,
        (mut read, stated): (Vec<ReadRow>, &HashSet<String>),
        client: Option<&str>,
        watch: Watch<'_>,
    ) -> Result<(), Stopped> {
        let prepared = &opened.prepared;
        let there = Neighbours::of(&prepared.plane, &prepared.programme.jobs);
        let mut places: HashMap<(i64, i64), usize> = HashMap::new();
        let refused: HashSet<_> = opened.refused_jobs().into_iter().collect();
        let matches = matched((&mut read, stated), prepared, &there, client);
        let of = read.len();
        for (nth, (one, at)) in read.into_iter().zip(&matches).enumerate() {
            watch.row((nth, of), "Row", "held against the jobs that are there")?;
            let (ReadRow { mut job, row, made }, at) = (one, *at);
            if let Some(client) = client {
                job.extra.insert(CLIENT.to_owned(), json!(client));
            }
            prepared.name_street(&mut job);
            if refused.contains(&job.id) {
                self.refuse(at_fault_there(&job.id), row);
                continue;
            }
            if let Some(other) = of_another(prepared, at, client) {
                self.refuse(another_clients(&job.id, other), row);
                continue;
            }
            let near = match (at, there.nearest(job.at)) {
                (None, Some((index, metres))) => {
                    let other = &prepared.programme.jobs[index].id;
                    Some(format!("{other}, {metres:.1} m away"))
                }
                _ => places
                    .get(&spot(job.at))
                    .map(|row| format!("row {} of the list, the same place", row + 1)),
            };
            places.entry(spot(job.at)).or_insert(row);
            let unsaid = self.mapping.id.as_deref().filter(|_| made);
            let (after, changes) = self.merged(opened, &job, at, (row, unsaid));
            self.rows.push(TakenRow {
                row,
                job,
                there: at,
                after,
                changes,
                near,
            });
        }
        let mut met: HashSet<usize> = matches.into_iter().flatten().collect();
        // A job whose row is at fault is not gone from the list.
        met.extend(spoken_of(stated, prepared));
        self.gone = gone(opened, client, &met);
        Ok(())
    }

    /// A row that reading had nothing against is no job all the same.
    fn refuse(&mut self, fault: Finding, row: usize) {
        let column = self.mapping.id.as_deref().unwrap_or("id");
        let fault = fault.of(column).in_row(row);
        // GeoJSON has no rows that stand on lines.
        self.findings.push(match self.list {
            Some(_) => fault.on_line(number(row).saturating_add(2), 1),
            None => fault,
        });
    }

    /// The feature that a row makes; of a job that is there, only what the list says is changed, and
    /// `unsaid`, the column of ids, says nothing where the row has no id of its own.
    fn merged(
        &self,
        opened: &Opened,
        job: &Job,
        at: Option<usize>,
        (row, unsaid): (usize, Option<&str>),
    ) -> (Value, Vec<String>) {
        let Some(at) = at else {
            return (
                job_feature(job, &gangday_files::KeptFile::default()),
                Vec::new(),
            );
        };
        let old = &opened.prepared.programme.jobs[at];
        let mut after = job_feature(old, &opened.kept.jobs);
        let new = job_feature(job, &gangday_files::KeptFile::default());
        let mut changes = Vec::new();
        let properties = new["properties"].as_object().cloned().unwrap_or_default();
        for (name, value) in properties
            .into_iter()
            .filter(|(name, _)| unsaid != Some(name.as_str()) && self.says(name, row))
        {
            let before = after["properties"].get(&name).cloned().unwrap_or_default();
            // A cell of nothing in a column that is only kept says no more than none.
            if before != value && !(before.is_null() && value == "") {
                let [was, is] = [&before, &value].map(|value| said(&name, value));
                changes.push(format!("{name} {was} → {is}"));
                after["properties"][&name] = value;
            }
        }
        let plane = &opened.prepared.plane;
        let places = plane.to_plane(old.at).zip(plane.to_plane(job.at));
        let metres = places.map_or(f64::INFINITY, |(old, new)| old.distance_m(new));
        // A centimetre is what a list loses by rounding.
        if metres > 0.01 && (old.at.lon(), old.at.lat()) != (job.at.lon(), job.at.lat()) {
            changes.push(if metres.is_finite() {
                format!("moved by {metres:.1} m")
            } else {
                "moved".to_owned()
            });
            if let Some(feature) = after.as_object_mut() {
                put_at(feature, [job.at.lon(), job.at.lat()]);
            }
        }
        (after, changes)
    }

    /// Whether the list itself states this property in this row, and no constant does.
    fn says(&self, name: &str, row: usize) -> bool {
        if !self.mapping.constants.contains_key(name) {
            return true;
        }
        let Some(column) = self.mapping.columns.get(name) else {
            return false;
        };
        let cell = self
            .list
            .as_ref()
            .and_then(|list| list.rows.get(row)?.get(list.column(column)?));
        cell.is_none_or(|cell| !cell.trim().is_empty())
    }

    /// How its columns become jobs.
    #[must_use]
    pub fn mapping(&self) -> &PointMapping {
        &self.mapping
    }

    /// The programme with the list taken in, the plan as it was, and the jobs that are new or
    /// changed; rows in `skip` are left out, and with `delete_gone` so is what is gone from the list.
    ///
    /// # Errors
    /// Nothing of it can be used, or changes anything.
    pub fn take(
        &self,
        state: &State,
        name: &str,
        (skip, delete_gone): (&[u32], bool),
        watch: Watch<'_>,
    ) -> Result<(String, State, Vec<String>), Refusal> {
        let skip: HashSet<u32> = skip.iter().copied().collect();
        let wanted = self
            .rows
            .iter()
            .filter(|row| !skip.contains(&number(row.row)) && row.status() != "same");
        let mut changes = Vec::new();
        let mut next = state.opened.prepared.programme.jobs.len();
        let (mut fresh, mut changed) = (0, 0);
        for row in wanted {
            let before = row.there.map(|at| placed(&state.opened, at));
            let index = row.there.unwrap_or(next);
            next += usize::from(before.is_none());
            fresh += usize::from(before.is_none());
            changed += usize::from(before.is_some());
            let id = row.id().to_owned();
            changes.push(job_change(
                before,
                Some(Placed {
                    id,
                    index,
                    feature: row.after.clone(),
                }),
            ));
        }
        let staying = staying(state);
        let gone = self.gone.iter().filter(|_| delete_gone);
        let gone: Vec<String> = gone
            .filter(|id| !staying.contains_key(id.as_str()))
            .cloned()
            .collect();
        let places = gone
            .iter()
            .filter_map(|id| state.opened.prepared.index_of(&id.as_str().into()));
        changes.extend(places.map(|at| job_change(Some(placed(&state.opened, at)), None)));
        if changes.is_empty() {
            return Err(Refusal::because(
                &format!("Nothing in {name} changes the programme."),
                &self.findings,
            ));
        }
        let jobs = changes
            .iter()
            .filter_map(|one| one.after.as_ref())
            .map(|placed| placed.id.clone())
            .collect();
        let opened = with_jobs_watched(&state.opened, &changes, watch)?;
        let what = format!(
            "take in {name}: {} new, {changed} changed, {}",
            words::count(fresh, "job", "jobs"),
            words::count(gone.len(), "deleted", "deleted"),
        );
        let plan = plan_without(state.plan.as_ref(), &gone);
        Ok((what, State { opened, plan }, jobs))
    }
}

impl TakenRow {
    /// The id of the job that it makes, or of the one that is there.
    fn id(&self) -> &str {
        self.after["id"].as_str().unwrap_or_default()
    }

    fn status(&self) -> &'static str {
        match (self.there, self.changes.is_empty()) {
            (None, _) => "new",
            (Some(_), true) => "same",
            (Some(_), false) => "changed",
        }
    }
}

/// Reads the rows as jobs beside those that are there.
fn read_watched(
    bytes: &[u8],
    mapping: &PointMapping,
    (ids, places): (&[JobId], &[LonLat]),
    watch: Watch<'_>,
) -> Result<PointIntake, Stopped> {
    let mut goes_on = Ok(());
    let mut look = |at, of| {
        goes_on = watch.row((at, of), "Row", "read");
        goes_on.is_ok()
    };
    let intake = read_points_beside(bytes, mapping, ids, places, &mut look);
    goes_on.map(|()| intake)
}

/// What is said of rows above the headings.
fn above(list: Option<&List>) -> Option<Finding> {
    let above = list.map(|list| list.above).filter(|above| *above > 0)?;
    let rows = words::count(above, "row", "rows");
    let text = format!(
        "The headings stand under {rows}, which are left out; lines are counted from the headings on."
    );
    let remedy = "Where these are no headings, put them in the first row of the list.";
    Some(Finding::note("J-ABOVE", text, remedy))
}

/// A row whose id is that of a job which reading had to leave out.
fn at_fault_there(id: &JobId) -> Finding {
    let text = format!("{id} is in the programme, at fault; mend it there first.");
    Finding::fault("J-THERE", text, "Mend or remove the job.").at(id.as_str())
}

/// A row whose id is that of a job out of another client's list.
fn another_clients(id: &JobId, client: &str) -> Finding {
    let text = format!("{id} is a job of {client}, which a list of somebody else does not change.");
    let remedy = format!(
        "Give the row another id, here in its cell, or take the list in as one of {client}, if it is theirs."
    );
    Finding::fault("J-OTHERS", text, remedy).at(id.as_str())
}

/// Jobs of this client that no row of the list is about.
fn gone(opened: &Opened, client: Option<&str>, met: &HashSet<usize>) -> Vec<String> {
    let Some(client) = client else {
        return Vec::new();
    };
    let jobs = opened.prepared.programme.jobs.iter().enumerate();
    let own = jobs.filter(|(at, job)| {
        !met.contains(at) && job.extra.get(CLIENT).is_some_and(|of| of == client)
    });
    own.map(|(_, job)| job.id.to_string()).collect()
}

/// The most that a list may be, as many bytes as the page may send.
const LARGEST: u64 = 256 * 1024 * 1024;

fn bytes_of(request: &ListRequest) -> Result<Vec<u8>, Refusal> {
    if let Some(path) = request.path.as_deref().map(std::path::Path::new) {
        if std::fs::metadata(path).is_ok_and(|file| file.len() > LARGEST) {
            let text = format!("{} is larger than 256 MB.", path.display());
            return Err(Refusal::coded("F-LARGE", &text));
        }
        return crate::saving::read_file(path);
    }
    let bytes = base64::engine::general_purpose::STANDARD.decode(&request.base64);
    let cut = || format!("{} did not arrive whole.", request.name);
    bytes.map_err(|_| Refusal::coded("F-CUT", &cut()))
}

/// The digest of a list's bytes, where they are those that were seen: rows that are left out and cells
/// that are corrected are told by their numbers, which mean others in another file.
fn as_seen(request: &ListRequest, bytes: &[u8]) -> Result<String, Refusal> {
    let digest = Sha256::digest(bytes);
    let digest: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    if request.seen.as_ref().is_some_and(|seen| *seen != digest) {
        let name = &request.name;
        let text = format!("{name} has changed since it was looked at; look at it again.");
        return Err(Refusal::coded("D-AGAIN", &text));
    }
    Ok(digest)
}

fn corrected(mut list: List, corrections: &[Correction]) -> List {
    for correction in corrections {
        let Some(column) = list.column(&correction.column) else {
            continue;
        };
        if let Some(cell) = list
            .rows
            .get_mut(correction.row as usize)
            .and_then(|row| row.get_mut(column))
        {
            cell.clone_from(&correction.value);
        }
    }
    list
}

fn mapping_of(stated: Map<String, Value>) -> Result<PointMapping, Refusal> {
    serde_json::from_value(Value::Object(stated))
        .map_err(|error| Refusal::coded("D-ASKED", &format!("The mapping is not one: {error}.")))
}

fn object(mapping: &PointMapping) -> Map<String, Value> {
    match serde_json::to_value(mapping) {
        Ok(Value::Object(members)) => members,
        _ => Map::new(),
    }
}

/// What a property states, in words.
fn said(name: &str, value: &Value) -> String {
    match value {
        Value::Null => "nothing".to_owned(),
        Value::String(text) => {
            let day = ["earliest", "latest"].contains(&name).then(|| text.parse());
            day.and_then(Result::ok)
                .map_or_else(|| text.clone(), words::day_of_year)
        }
        other => other.to_string(),
    }
}

/// Lines are counted as a list shows its rows: a cell of several lines, as workbooks have them, is one row.
fn in_list(finding: Finding, name: &str) -> Finding {
    finding.line_of_row().in_file(name)
}

fn number(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}
