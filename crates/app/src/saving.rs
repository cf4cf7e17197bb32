//! Writing: every file whole or not at all.

use std::path::{Path, PathBuf};

use gangday_files::{JOBS, read_plan as plan_from, write_plan as plan_to};
use gangday_model::Plan;
use gangday_store::{
    Along, FILES, Folder, Home, ProgrammeFile, Seen, StoreError, is_programme_file,
    keep_attachments, rescue, write_whole,
};

use crate::attachments::{self, KeptIn, Pictures};
use crate::closures::{Public, closures_geojson, of_plan};
use crate::diary;
use crate::opened::{
    BACKDROP, DIARY, ISSUES, Opened, PAGE, PLAN, PREPARED, UNREAD_PLAN, after_older, refused,
};
use crate::refusal::views;
use crate::view::{FindingView, Refusal};
use crate::watching::Watch;

/// Writes a plan to a file.
///
/// # Errors
/// Where it can't be written; what was there before is then still there.
pub fn write_plan(path: &Path, plan: &Plan) -> Result<(), Refusal> {
    let failed = |error: StoreError| refused(&error);
    // A plan of a programme that can't be read is kept beside the new one, as the page does.
    let is_own = path.file_name().is_some_and(|name| name == PLAN);
    let there = std::fs::read(path).ok().filter(|_| is_own);
    if let Some(unread) = there.filter(|bytes| gangday_files::read_plan(bytes).is_err()) {
        let beside = path.with_file_name(UNREAD_PLAN);
        let kept = after_older(std::fs::read(&beside).ok(), unread);
        write_whole(&beside, &kept).map_err(failed)?;
    }
    write_whole(path, &plan_to(plan)).map_err(failed)
}

/// The bytes of a file.
///
/// # Errors
/// Where it can't be read; the refusal names it.
pub fn read_file(path: &Path) -> Result<Vec<u8>, Refusal> {
    std::fs::read(path).map_err(|error| {
        let path = path.display();
        Refusal::coded(
            "F-READ",
            &format!("{path} can't be read: {error}. Check the path and its permissions."),
        )
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

/// Saves a programme with its plan into a folder, all files together; those of its own that are no longer
/// there, such as a plan or figures that were taken back, are taken out of it.
///
/// `seen` is what was seen of that folder, where the programme is of it; gives what is to be seen there from now on.
///
/// # Errors
/// Where another programme lies there, another program has written to it, or it can't be written; what was
/// there before is then still there.
pub fn save(
    (opened, plan): (&Opened, Option<&Plan>),
    path: &Path,
    pictures: &[(String, Vec<u8>)],
    seen: Option<&Seen>,
) -> Result<Seen, Refusal> {
    if seen.is_none() && holds_any(path) {
        return Err(holds_another(path));
    }
    let failed = |error: StoreError| refused(&error);
    let files = all_files(opened, plan);
    let mut folder = Folder::create(path).map_err(failed)?;
    // Before the pictures; and once more when nobody else can write.
    seen.map_or(Ok(()), Seen::check).map_err(failed)?;
    // Pictures first: a job never names one that is not kept.
    keep_attachments(path, as_slices(pictures)).map_err(failed)?;
    // What can't be read may still be put right by somebody.
    let stay: &[&str] = match opened.diary.lost {
        true => &[DIARY, ISSUES],
        false => &[],
    };
    folder.save_whole(&files, stay, seen).map_err(failed)?;
    Ok(folder.seen())
}

/// Saves a programme with its plan and what goes along with it as one file, and claims it.
///
/// # Errors
/// Where there is a file already, unless it is the one that may be written over, or it can't be written; what
/// was there before is then still there.
pub fn save_file(
    (opened, plan): (&Opened, Option<&Plan>),
    path: &Path,
    pictures: &[(String, Vec<u8>)],
    along: Along<'_>,
) -> Result<ProgrammeFile, Refusal> {
    // Which one may be written over is looked at once nobody else can write there.
    if path.exists() && along.over.is_none() {
        return Err(holds_another(path));
    }
    let mut files = all_files(opened, plan);
    files.extend(closures_of(opened, plan).map(|closures| (CLOSURES, closures)));
    let names = in_attachments(pictures);
    files.extend(
        names
            .iter()
            .zip(pictures)
            .map(|(name, (_, bytes))| (name.as_str(), bytes.clone())),
    );
    ProgrammeFile::create_with(path, &files, along).map_err(|error| refused(&error))
}

fn as_slices(pictures: &[(String, Vec<u8>)]) -> impl Iterator<Item = (&str, &[u8])> {
    let pictures = pictures.iter();
    pictures.map(|(name, bytes)| (name.as_str(), bytes.as_slice()))
}

/// What pictures are called among the files of a new programme file.
fn in_attachments(pictures: &[(String, Vec<u8>)]) -> Vec<String> {
    let pictures = pictures.iter();
    pictures
        .map(|(name, _)| format!("attachments/{name}"))
        .collect()
}

fn all_files<'a>(opened: &Opened, plan: Option<&Plan>) -> Vec<(&'a str, Vec<u8>)> {
    let mut files = programme_files(opened);
    let roads = opened.prepared.kept_roads();
    files.extend(roads.map(|roads| (PREPARED, roads)));
    let (plan, older) = opened.plan_files(plan.map(plan_to));
    files.extend(plan.map(|plan| (PLAN, plan)));
    files.extend(older.map(|older| (UNREAD_PLAN, older)));
    files.extend(diary::write(&opened.diary).map(|diary| (DIARY, diary)));
    files.extend(diary::write_issues(&opened.diary).map(|issues| (ISSUES, issues)));
    files.extend(opened.page.as_deref().map(|page| (PAGE, page.to_vec())));
    files
}

/// The layer of closures in a programme file, which is worked out from the plan.
pub const CLOSURES: &str = "closures.geojson";

/// The closures of a plan, if there is one.
#[must_use]
pub fn closures_of(opened: &Opened, plan: Option<&Plan>) -> Option<Vec<u8>> {
    let public = of_plan(&opened.prepared, plan?);
    Some(closures_geojson(opened, &public).into_bytes())
}

/// Saves a programme's jobs to where it was opened from, and nothing else.
///
/// # Errors
/// Where it can't be written; what was there before is then still there.
pub fn save_jobs(opened: &Opened, path: &Path) -> Result<(), Refusal> {
    let saved = Home::create(path).and_then(|mut home| home.save(&[(JOBS, jobs_file(opened))]));
    saved.map_err(|error| refused(&error))
}

/// Makes one programme file of a folder, or a folder of a programme file, each of its files word for
/// word; what a damaged file has lost is in the findings.
///
/// # Errors
/// Where there is no programme, another one lies at the other end, or it can't be written.
pub fn convert(from: &Path, to: &Path) -> Result<Vec<FindingView>, Refusal> {
    if is_programme_file(from) == is_programme_file(to) {
        let text = "A folder becomes one file, and a file a folder: name one of each, the file with .gpkg at its end.";
        return Err(Refusal::coded("F-KIND", text));
    }
    if is_programme_file(to) && to.exists() || holds_any(to) {
        return Err(holds_another(to));
    }
    let failed = |error: StoreError| refused(&error);
    let mut source = from.to_owned();
    let (home, mut lost) = match Home::open(from) {
        Err(StoreError::Damaged { .. }) => {
            let rescued = rescue(from).map_err(failed)?;
            let path = rescued.file.path().to_owned();
            drop(rescued.file);
            let home = Home::open(&path).map_err(failed)?;
            source = path;
            (home, rescued.lost)
        }
        other => (other.map_err(failed)?, Vec::new()),
    };
    let get = |name: &'static str| Some((name, home.get(name)?.to_vec()));
    let mut files: Vec<(&str, Vec<u8>)> = FILES.into_iter().filter_map(get).collect();
    let opened = Opened::from_path(&source)?;
    let all = Pictures::default().all(&opened, KeptIn::Path(&source));
    lost.extend(attachments::told_lost(&opened, &all.lost));
    let pictures = all.pictures;
    let names = in_attachments(&pictures);
    if is_programme_file(to) {
        let pictures = names.iter().zip(&pictures);
        files.extend(pictures.map(|(name, (_, bytes))| (name.as_str(), bytes.clone())));
        files.extend(closures_of(&opened, opened.plan.as_deref()).map(|bytes| (CLOSURES, bytes)));
        ProgrammeFile::create(to, &files, &[], None).map_err(failed)?;
    } else {
        let mut folder = Folder::create(to).map_err(failed)?;
        keep_attachments(to, as_slices(&pictures)).map_err(failed)?;
        folder.save(&files).map_err(failed)?;
    }
    Ok(views(&lost))
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

/// One of the programme's files, if it is there.
pub(crate) fn bytes_of(opened: &Opened, name: &str) -> Option<Vec<u8>> {
    let files = programme_files(opened);
    let file = files.into_iter().find(|(own, _)| *own == name);
    file.map(|(_, bytes)| bytes)
}

fn jobs_file(opened: &Opened) -> Vec<u8> {
    gangday_files::write_jobs(&opened.prepared.programme.jobs, &opened.kept.jobs)
}

/// Whether a folder holds any file of a programme: what is somebody's is neither overwritten nor read as ours.
fn holds_any(folder: &Path) -> bool {
    FILES.into_iter().any(|name| folder.join(name).exists())
}

fn holds_another(path: &Path) -> Refusal {
    let path_in_words = path.display();
    Refusal::coded(
        "F-THERE",
        &if is_programme_file(path) {
            format!("{path_in_words} is there already. Choose another name.")
        } else {
            format!(
                "{path_in_words} holds another programme already. Choose a new or an empty folder."
            )
        },
    )
}

/// Writes the client page and calendar, a sheet for each gang-day and an order sheet for each supplier
/// into a folder.
///
/// # Errors
/// Where it can't be written.
pub fn write_pack(
    opened: &Opened,
    plan: &Plan,
    public: &Public,
    out: &Path,
) -> Result<Vec<PathBuf>, Refusal> {
    Folder::create(out).map_err(|error| refused(&error))?;
    let mut written = Vec::new();
    let mut put = |name: &str, bytes: &[u8]| {
        let path = out.join(name);
        write_whole(&path, bytes).map_err(|error| refused(&error))?;
        written.push(path);
        Ok(())
    };
    crate::packing::each_file(opened, plan, public, Watch::NOBODY, &mut put)?;
    Ok(written)
}

/// Writes the closures and deadlines of a plan as a calendar file.
///
/// # Errors
/// Where it can't be written; what was there before is then still there.
pub fn write_calendar(opened: &Opened, public: &Public, path: &Path) -> Result<(), Refusal> {
    let calendar = crate::calendar::calendar(opened, public);
    write_whole(path, &calendar).map_err(|error| refused(&error))
}
