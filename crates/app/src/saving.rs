//! Writing: every file whole or not at all.

use std::path::{Path, PathBuf};

use gangday_files::{JOBS, read_plan as plan_from, write_plan as plan_to};
use gangday_model::Plan;
use gangday_store::{Folder, write_whole};

use crate::diary;
use crate::opened::{BACKDROP, DIARY, Opened, PLAN, PREPARED, refused};
use crate::view::Refusal;

/// Writes a plan to a file.
///
/// # Errors
/// Where it can't be written; what was there before is then still there.
pub fn write_plan(path: &Path, plan: &Plan) -> Result<(), Refusal> {
    write_whole(path, &plan_to(plan)).map_err(|error| refused(&error))
}

/// The bytes of a file.
///
/// # Errors
/// Where it can't be read; the refusal names it.
pub fn read_file(path: &Path) -> Result<Vec<u8>, Refusal> {
    std::fs::read(path).map_err(|error| {
        let path = path.display();
        Refusal::plain(&format!(
            "{path} can't be read: {error}. Check the path and its permissions."
        ))
    })
}

/// Reads a plan from a file.
///
/// # Errors
/// Where it can't be read, or is no plan; the faults say why.
pub fn read_plan(path: &Path) -> Result<Plan, Refusal> {
    let bytes = read_file(path)?;
    plan_from(&bytes).map_err(|faults| {
        Refusal::because(
            &format!("{} is not a plan that Gangday can read.", path.display()),
            &faults,
        )
    })
}

/// Saves a programme with its plan into a folder, all files together; a plan that is no longer
/// there is taken out of it.
///
/// # Errors
/// Where another programme lies there, or it can't be written; what was there before is then still
/// there.
pub fn save(opened: &Opened, plan: Option<&Plan>, path: &Path) -> Result<(), Refusal> {
    if path.as_os_str().is_empty() {
        return Err(Refusal::plain("Name a folder to save the programme in."));
    }
    refuse_another(opened, path)?;
    let mut files = programme_files(opened);
    let roads = opened.prepared.kept_roads();
    files.extend(roads.map(|roads| (PREPARED, roads)));
    if !opened.diary.is_empty() {
        files.push((DIARY, diary::write(&opened.diary)));
    }
    let mut folder = Folder::create(path).map_err(|error| refused(&error))?;
    if let Some(plan) = plan {
        files.push((PLAN, plan_to(plan)));
        return folder.save(&files).map_err(|error| refused(&error));
    }
    let saved = folder.save(&files).and_then(|()| folder.remove(PLAN));
    saved.map_err(|error| refused(&error))
}

/// Saves a programme's jobs into the folder that it was opened from, and nothing else.
///
/// # Errors
/// Where it can't be written; what was there before is then still there.
pub fn save_jobs(opened: &Opened, path: &Path) -> Result<(), Refusal> {
    let mut folder = Folder::create(path).map_err(|error| refused(&error))?;
    folder
        .save(&[(JOBS, jobs_file(opened))])
        .map_err(|error| refused(&error))
}

/// The programme's files: word for word as they were read, but for what has been changed since.
pub(crate) fn programme_files(opened: &Opened) -> Vec<(&'static str, Vec<u8>)> {
    let mut files: Vec<(&'static str, Vec<u8>)> = opened.raw.to_vec();
    if !files.iter().any(|(name, _)| *name == JOBS) {
        files.push((JOBS, jobs_file(opened)));
    }
    if let Some(backdrop) = &opened.backdrop {
        files.push((BACKDROP, backdrop.as_bytes().to_vec()));
    }
    files
}

fn jobs_file(opened: &Opened) -> Vec<u8> {
    gangday_files::write_jobs(&opened.prepared.programme.jobs, &opened.kept.jobs)
}

/// Nobody means to write one programme over another.
fn refuse_another(opened: &Opened, path: &Path) -> Result<(), Refusal> {
    let real = |path: &Path| path.canonicalize().ok();
    let own = opened.folder.as_deref().and_then(real);
    if !path.join(JOBS).exists() || own.is_some_and(|own| real(path) == Some(own)) {
        return Ok(());
    }
    Err(Refusal::plain(&format!(
        "{} holds another programme already. Choose a new or an empty folder.",
        path.display()
    )))
}

/// Writes the client pack into a folder.
///
/// # Errors
/// Where it can't be written.
pub fn write_pack(opened: &Opened, plan: &Plan, out: &Path) -> Result<Vec<PathBuf>, Refusal> {
    Folder::create(out).map_err(|error| refused(&error))?;
    let path = out.join("works.html");
    let page = crate::pack::client_page(opened, plan);
    write_whole(&path, page.as_bytes()).map_err(|error| refused(&error))?;
    let dates = out.join("works.ics");
    write_calendar(opened, plan, &dates)?;
    Ok(vec![path, dates])
}

/// Writes the closures and deadlines of a plan as a calendar file.
///
/// # Errors
/// Where it can't be written; what was there before is then still there.
pub fn write_calendar(opened: &Opened, plan: &Plan, path: &Path) -> Result<(), Refusal> {
    let calendar = crate::calendar::calendar(opened, plan);
    write_whole(path, &calendar).map_err(|error| refused(&error))
}
