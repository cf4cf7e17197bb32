//! Other people's lists of points become jobs of a programme.

use std::path::Path;
use std::sync::Arc;

use gangday_files::{
    FileState, JOBS, List, PointMapping, guess_mapping, is_xlsx, read_list, read_points,
};
use gangday_model::{Finding, Job, JobId, LonLat, Position, Work};
use gangday_store::Home;
use schemars::JsonSchema;
use serde::Serialize;

use crate::grid_lists::{by_degrees, in_metres};
use crate::opened::{Opened, refused};
use crate::refusal::views;
use crate::view::{FindingView, Refusal};
use crate::{saving, words};

/// What an import did.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct ImportReport {
    /// Whether every feature of the list became a job.
    pub sound: bool,
    /// One line.
    pub summary: String,
    /// How many jobs were added.
    pub added: usize,
    /// What was wrong with the others.
    pub findings: Vec<FindingView>,
}

/// The mapping of a file: the one that is stated, else the one that its headings suggest.
///
/// # Errors
/// Where a file can't be read, or the stated mapping is not one.
pub fn mapping_for(file: &Path, mapping: Option<&Path>) -> Result<PointMapping, Refusal> {
    let Some(mapping) = mapping else {
        return Ok(guess_mapping(&as_points(&saving::read_file(file)?)?));
    };
    serde_json::from_slice(&saving::read_file(mapping)?).map_err(|error| {
        let path = mapping.display();
        Refusal::coded("F-KIND", &format!(
            "{path} is not a mapping: {error}. Start from the mapping that is guessed for the list."
        ))
    })
}

/// Brings the points of a file into a programme folder as jobs.
///
/// # Errors
/// Where nothing of it can be used, or a file can't be read or written; the folder is then as it
/// was.
pub fn import_into(
    file: &Path,
    into: &Path,
    mapping: &PointMapping,
) -> Result<ImportReport, Refusal> {
    if !into.exists() {
        Home::create(into).map_err(|error| refused(&error))?;
    }
    let opened = Opened::from_path(into)?;
    let name = file
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let (added, findings) = add(&opened, &name, &saving::read_file(file)?, mapping)?;
    let count = added.prepared.programme.jobs.len() - opened.prepared.programme.jobs.len();
    saving::save_jobs(&added, into)?;
    Ok(ImportReport {
        sound: !findings.iter().any(Finding::is_fault),
        summary: format!("{} added from {name}", words::count(count, "job", "jobs")),
        added: count,
        findings: views(&findings),
    })
}

fn add(
    opened: &Opened,
    name: &str,
    bytes: &[u8],
    mapping: &PointMapping,
) -> Result<(Opened, Vec<Finding>), Refusal> {
    refuse_over_unreadable(opened)?;
    let list = list_of(bytes)?;
    let is_book = is_xlsx(bytes);
    let (bytes, mapping) = match &list {
        Some(list) if is_book => by_degrees(&list.to_csv(), Some(list), mapping),
        list => by_degrees(bytes, list.as_ref(), mapping),
    };
    let read = read_points(&bytes, &mapping, &there(opened));
    let findings: Vec<Finding> = read
        .findings
        .into_iter()
        .map(|finding| in_metres(finding, &mapping))
        .map(|finding| match is_book {
            true => finding.line_of_row(),
            false => finding,
        })
        // They name the list and not the reader's own word for it.
        .map(|finding| finding.in_file(name))
        .collect();
    if read.jobs.is_empty() {
        let text = format!("Nothing in {name} can become a job.");
        return Err(Refusal::because(&text, &findings));
    }
    let mut jobs = opened.prepared.programme.jobs.clone();
    jobs.extend(read.jobs.into_iter().map(|mut job| {
        opened.prepared.name_street(&mut job);
        job
    }));
    let prepared = Arc::new(opened.prepared.with_jobs(jobs));
    let raw = opened.raw.iter().filter(|(file, _)| *file != JOBS);
    let raw = Arc::new(raw.cloned().collect());
    Ok((
        Opened {
            prepared,
            plan: None,
            raw,
            ..opened.clone()
        },
        findings,
    ))
}

/// A list in rows, where it is a workbook, or where columns of it may have to be worked out.
fn list_of(bytes: &[u8]) -> Result<Option<List>, Refusal> {
    match read_list(bytes) {
        Ok(list) => Ok(list),
        Err(fault) if is_xlsx(bytes) || fault.code == "F-LIST-BIG" => {
            Err(Refusal::because("The list was not taken in.", &[*fault]))
        }
        // What is wrong with a CSV file is said by the reader of points, row by row.
        Err(_) => Ok(None),
    }
}

/// A workbook as the CSV that it would be; any other file as it is.
fn as_points(bytes: &[u8]) -> Result<Vec<u8>, Refusal> {
    let list = list_of(bytes)?.filter(|_| is_xlsx(bytes));
    Ok(list.map_or_else(|| bytes.to_vec(), |list| list.to_csv()))
}

/// A file of jobs that can't be read must not be written over.
pub fn refuse_over_unreadable(opened: &Opened) -> Result<(), Refusal> {
    if opened.kept.jobs.state == FileState::Unreadable {
        let text = "The programme's own jobs can't be read; mend them before adding others.";
        return Err(Refusal::because(text, &opened.findings()));
    }
    Ok(())
}

/// The jobs whose ids are taken: the sound ones, and those that reading had to refuse.
fn there(opened: &Opened) -> Vec<Job> {
    let refused = opened.refused_jobs().into_iter();
    let taken = |id: JobId| Job::new(id, LonLat::new(0.0, 0.0), Work::New, Position::Verge);
    let sound = opened.prepared.programme.jobs.iter().cloned();
    sound.chain(refused.map(taken)).collect()
}
