//! A programme as it was opened: prepared, with what its files hold beyond the nouns.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use gangday_files::{
    GANGS, Intake, JOBS, Kept, MATERIALS, METHOD, NETWORK, Parts, STREETS, WEEK, read_network,
    read_programme,
};
use gangday_model::{Finding, JobId, Plan};
use gangday_store::Home;
use serde_json::Value;

use crate::diary::{self, Diary};
use crate::prepared::Prepared;
use crate::view::Refusal;
use crate::words;

/// The saved plan in a programme folder.
pub const PLAN: &str = "plan.json";
/// The plan that was there and can't be read, once another was made.
pub const UNREAD_PLAN: &str = "plan-unread.json";
/// What was recorded as done.
pub const DIARY: &str = "diary.json";
/// Plans that were issued.
pub const ISSUES: &str = "issues.json";
/// What the page keeps with a programme.
pub const PAGE: &str = "page.json";
/// Water, green and the like, to draw under the streets.
pub const BACKDROP: &str = "backdrop.geojson";

/// A programme, opened.
#[derive(Clone, Debug)]
pub struct Opened {
    /// The programme and what is worked out from it.
    pub prepared: Arc<Prepared>,
    /// What its files hold beyond the nouns.
    pub kept: Arc<Kept>,
    /// What reading found.
    pub intake: Arc<Vec<Finding>>,
    /// What opening found beside reading, such as what a damaged file has lost: no edit mends it.
    pub on_opening: Arc<Vec<Finding>>,
    /// The plan that was saved with it where that can't be read: somebody may still put it right.
    pub unread_plan: Option<Arc<[u8]>>,
    /// What is kept of plans that couldn't be read, in whose place another was made.
    pub older_plans: Option<Arc<[u8]>>,
    /// Whether it is one of the invented weeks carried inside the program.
    pub demo: bool,
    /// Where it was opened from.
    pub folder: Option<PathBuf>,
    /// The backdrop's text, if there is one.
    pub backdrop: Option<Arc<str>>,
    /// The plan that was saved with it, if there is one.
    pub plan: Option<Arc<Plan>>,
    /// What was issued and what was done.
    pub diary: Arc<Diary>,
    /// What the page keeps with it, if anything.
    pub page: Option<Arc<[u8]>>,
    /// Its files as they were read, by name; those that nothing has changed are saved like this.
    pub raw: Arc<Vec<(&'static str, Vec<u8>)>>,
}

impl Opened {
    /// Opens a programme folder or a programme file.
    ///
    /// # Errors
    /// Where it or a file in it can't be read at all; faults inside the files are findings.
    pub fn from_path(path: &Path) -> Result<Self, Refusal> {
        let home = Home::open(path).map_err(|error| refused(&error))?;
        Ok(Self::from_home(path, &home))
    }

    /// Opens what was read at a path.
    #[must_use]
    pub fn from_home(path: &Path, home: &Home) -> Self {
        let mut opened = Self::of_kept_files(&home.name(), |name| home.get(name));
        opened.folder = Some(path.to_owned());
        opened
    }

    /// Opens what a programme file holds.
    #[must_use]
    pub fn from_files(path: &Path, files: &BTreeMap<String, Vec<u8>>) -> Self {
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        let mut opened = Self::of_kept_files(&name, |name| files.get(name).map(Vec::as_slice));
        opened.folder = Some(path.to_owned());
        opened
    }

    /// Everything that is kept of a programme, its plan and its diary with it.
    fn of_kept_files<'a>(name: &str, get: impl Fn(&str) -> Option<&'a [u8]>) -> Self {
        let mut opened = Self::of_files(name, &get);
        opened.older_plans = get(UNREAD_PLAN).map(Into::into);
        opened.take_plan(get(PLAN));
        opened.take_diary(get(DIARY), get(ISSUES));
        let plan = opened.plan.clone();
        opened.look_back(plan.as_deref());
        opened.page = get(PAGE).map(Into::into);
        opened
    }

    /// The programme of these files, each asked for by its name; no plan and no diary.
    pub fn of_files<'a>(name: &str, get: impl Fn(&str) -> Option<&'a [u8]>) -> Self {
        let parts = parts_of(&get);
        let roads = RoadFiles {
            network: get(NETWORK),
            prepared: get(PREPARED),
            before: None,
        };
        Self::on_roads(name, &parts, get(BACKDROP), roads)
    }

    /// The programme of these files where its streets, network and method are those of a programme
    /// that is prepared already: its roads are not made ready again.
    pub fn of_files_on_roads_of<'a>(
        before: &'a Prepared,
        get: impl Fn(&str) -> Option<&'a [u8]>,
    ) -> Self {
        let parts = parts_of(&get);
        let roads = RoadFiles {
            network: get(NETWORK),
            prepared: None,
            before: Some(before),
        };
        Self::on_roads(&before.programme.name, &parts, get(BACKDROP), roads)
    }

    /// Takes over what opening has found beside reading.
    pub fn also_found(&mut self, more: Vec<Finding>) {
        Arc::make_mut(&mut self.on_opening).splice(0..0, more);
    }

    /// Takes over what the files of the programme don't say: where it lies, its diary, what opening it found.
    pub(crate) fn carry_over(&mut self, before: &Self) {
        self.folder.clone_from(&before.folder);
        self.diary = Arc::clone(&before.diary);
        self.on_opening = Arc::clone(&before.on_opening);
        self.unread_plan.clone_from(&before.unread_plan);
        self.older_plans.clone_from(&before.older_plans);
    }

    /// Opens a programme from the bytes of its files; its week may name it, else `name` does.
    #[must_use]
    pub fn from_parts(name: &str, parts: &Parts<'_>, backdrop: Option<&[u8]>) -> Self {
        Self::on_roads(name, parts, backdrop, RoadFiles::default())
    }

    /// The same with the bytes of the road network that is kept with it. A damaged one is a
    /// finding, and the programme opens without it.
    #[must_use]
    pub fn on_roads(
        name: &str,
        parts: &Parts<'_>,
        backdrop: Option<&[u8]>,
        roads: RoadFiles<'_>,
    ) -> Self {
        let Intake {
            mut programme,
            mut findings,
            kept,
        } = read_programme(name, parts);
        if let Some(name) = programme.week.extra.get("name").and_then(Value::as_str) {
            programme.name = name.to_owned();
        }
        // A network that could not be read is read again, to be told of again.
        let known = roads
            .before
            .filter(|before| before.network.is_some() == roads.network.is_some());
        let prepared = if let Some(before) = known {
            before.with_programme(programme)
        } else {
            let network = match roads.network.map(read_network).transpose() {
                Ok(network) => network.map(Arc::new),
                Err(fault) => {
                    findings.push(*fault);
                    None
                }
            };
            Prepared::on_roads(programme, network, roads.prepared)
        };
        Self {
            prepared: Arc::new(prepared),
            kept: Arc::new(kept),
            intake: Arc::new(findings),
            on_opening: Arc::default(),
            unread_plan: None,
            older_plans: None,
            demo: false,
            folder: None,
            backdrop: backdrop.map(|bytes| String::from_utf8_lossy(bytes).into()),
            plan: None,
            diary: Arc::default(),
            page: None,
            raw: Arc::new(raw(parts, roads.network)),
        }
    }

    /// Every finding of reading and of working out.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        self.findings_with(false)
    }

    /// The same where there is a plan, or none.
    #[must_use]
    pub(crate) fn findings_with(&self, is_planned: bool) -> Vec<Finding> {
        let intake = self.intake.iter().filter(|one| !self.is_there_now(one));
        let all = self.found_on_opening(is_planned).chain(intake);
        all.chain(self.prepared.findings()).cloned().collect()
    }

    /// Whether a file that was missing when the programme was read has got what it lacked since.
    fn is_there_now(&self, finding: &Finding) -> bool {
        let programme = &self.prepared.programme;
        finding.code == "F-MISSING"
            && match finding.place.file.as_deref() {
                Some(JOBS) => !programme.jobs.is_empty(),
                Some(GANGS) => !programme.gangs.is_empty(),
                _ => false,
            }
    }

    /// Whether everything in it is invented for a demonstration: it is carried inside the program,
    /// or its week says so.
    #[must_use]
    pub fn is_invented(&self) -> bool {
        let extra = &self.prepared.programme.week.extra;
        self.demo || extra.get("invented").is_some_and(|flag| *flag == true)
    }

    /// Whether there is no job or no gang.
    #[must_use]
    pub fn is_nothing_to_plan(&self) -> bool {
        let programme = &self.prepared.programme;
        programme.jobs.is_empty() || programme.gangs.is_empty()
    }

    /// Every fault of reading and of working out.
    pub fn faults(&self) -> impl Iterator<Item = &Finding> {
        let read = self.on_opening.iter().chain(self.intake.iter());
        let all = read.chain(self.prepared.findings());
        all.filter(|finding| finding.is_fault())
    }

    /// Every id that a job has, the refused ones' included.
    #[must_use]
    pub fn job_ids(&self) -> Vec<JobId> {
        let sound = self.prepared.programme.jobs.iter();
        sound
            .map(|job| job.id.clone())
            .chain(self.refused_jobs())
            .collect()
    }

    /// The jobs that reading had to refuse, as their features call themselves.
    #[must_use]
    pub fn refused_jobs(&self) -> Vec<JobId> {
        let free = self.refused_names().filter(|name| !self.has_job(name));
        let mut ids: Vec<JobId> = free.map(JobId::new).collect();
        ids.sort();
        ids.dedup();
        ids
    }

    /// What findings call the jobs that reading had to refuse: their ids, where they have one, though a sound job may
    /// have it too.
    pub(crate) fn refused_names(&self) -> impl Iterator<Item = &str> {
        let all = self.kept.jobs.called.values().flatten();
        all.map(String::as_str)
    }

    /// Whether there is a sound job of this id.
    pub(crate) fn has_job(&self, id: &str) -> bool {
        self.prepared.index_of(&JobId::new(id)).is_some()
    }

    /// Whether reading or working out found a fault.
    #[must_use]
    pub fn has_faults(&self) -> bool {
        self.faults().next().is_some()
    }

    fn take_plan(&mut self, bytes: Option<&[u8]>) {
        match bytes.map(gangday_files::read_plan) {
            Some(Ok(plan)) => self.plan = Some(Arc::new(plan)),
            Some(Err(faults)) => {
                self.unread_plan = bytes.map(Into::into);
                let found = Arc::make_mut(&mut self.on_opening);
                found.extend(
                    faults
                        .into_iter()
                        .map(|fault| told_unread(fault.in_file(PLAN))),
                );
            }
            None => {}
        }
    }

    /// What stands in the plan's file and in that beside it, where this is the plan: what can't be read stays in its
    /// file until there is another, and then beside that, after what is there already.
    pub(crate) fn plan_files(&self, plan: Option<Vec<u8>>) -> (Option<Vec<u8>>, Option<Vec<u8>>) {
        let older = self.older_plans.as_deref().map(<[u8]>::to_vec);
        let unread = self.unread_plan.as_deref().map(<[u8]>::to_vec);
        match (plan, unread) {
            (None, unread) => (unread, older),
            (plan, None) => (plan, older),
            (plan, Some(unread)) => (plan, Some(after_older(older, unread))),
        }
    }

    /// What opening found beside reading; of a plan that can't be read only while there is no other.
    pub(crate) fn found_on_opening(&self, is_planned: bool) -> impl Iterator<Item = &Finding> {
        let is_of_plan = |one: &&Finding| one.place.file.as_deref() == Some(PLAN);
        let all = self.on_opening.iter();
        all.filter(move |one| !(is_planned && is_of_plan(one)))
    }

    fn take_diary(&mut self, records: Option<&[u8]>, issues: Option<&[u8]>) {
        let (diary, faults) = diary::read(records, issues);
        self.diary = Arc::new(diary);
        Arc::make_mut(&mut self.on_opening).extend(faults);
    }
}

/// A plan that can't be read, after those that are kept of before.
pub(crate) fn after_older(older: Option<Vec<u8>>, unread: Vec<u8>) -> Vec<u8> {
    match older {
        Some(older) => [older, b"\n".to_vec(), unread].concat(),
        None => unread,
    }
}

/// Why a plan can't be read, with what becomes of it.
fn told_unread(mut fault: Finding) -> Finding {
    fault.remedy = format!(
        "{} Or plan the week anew: what is there is then kept beside it, in {UNREAD_PLAN}.",
        fault.remedy
    );
    fault
}

/// The road network that is kept with a programme, and what was worked out of it for fast travel.
#[derive(Clone, Copy, Debug, Default)]
pub struct RoadFiles<'a> {
    /// The network.
    pub network: Option<&'a [u8]>,
    /// What was worked out; of another network or other speeds it isn't used but made anew.
    pub prepared: Option<&'a [u8]>,
    /// A programme of the same streets, network and method, whose roads are taken over.
    pub before: Option<&'a Prepared>,
}

/// The files of a programme that reading needs.
fn parts_of<'a>(get: &impl Fn(&str) -> Option<&'a [u8]>) -> Parts<'a> {
    Parts {
        jobs: get(JOBS),
        gangs: get(GANGS),
        streets: get(STREETS),
        method: get(METHOD),
        materials: get(MATERIALS),
        week: get(WEEK),
    }
}

/// The bytes of the files that are there.
fn raw(parts: &Parts<'_>, network: Option<&[u8]>) -> Vec<(&'static str, Vec<u8>)> {
    let all = [
        (JOBS, parts.jobs),
        (GANGS, parts.gangs),
        (STREETS, parts.streets),
        (METHOD, parts.method),
        (MATERIALS, parts.materials),
        (WEEK, parts.week),
        (NETWORK, network),
    ];
    let there = |(name, bytes): (&'static str, Option<&[u8]>)| Some((name, bytes?.to_vec()));
    all.into_iter().filter_map(there).collect()
}

/// The file of what was worked out of the network.
pub const PREPARED: &str = "network.prepared";

/// A refusal in the store's own words, which name the file and say what to do.
#[must_use]
pub fn refused(error: &gangday_store::StoreError) -> Refusal {
    let text = format!("{error} {}", words::sentence(error.remedy()));
    Refusal::because(&text, &[error.into()])
}

#[cfg(test)]
mod tests {
    use std::io::{Error, ErrorKind};

    use gangday_store::StoreError;

    use super::*;

    /// Every error of a file, with its code.
    fn all() -> [(StoreError, &'static str); 15] {
        let path = || PathBuf::from("week.gpkg");
        let of =
            |error: fn(PathBuf, Error) -> StoreError| error(path(), Error::from(ErrorKind::Other));
        let (what, why) = ("a page is not whole".to_owned(), "it is a text".to_owned());
        [
            (StoreError::NoFolder(path()), "F-FOLDER"),
            (StoreError::NoFile(path()), "F-FOLDER"),
            (StoreError::NotAFolder(path()), "F-FOLDER"),
            (
                of(|path, cause| StoreError::Unreadable { path, cause }),
                "F-OPEN",
            ),
            (of(|path, cause| StoreError::Full { path, cause }), "F-FULL"),
            (
                of(|path, cause| StoreError::ReadOnly { path, cause }),
                "F-READONLY",
            ),
            (
                of(|path, cause| StoreError::Unwritable { path, cause }),
                "F-SAVE",
            ),
            (StoreError::Name("a/b".to_owned()), "F-FILENAME"),
            (
                StoreError::NotAProgramme { path: path(), why },
                "F-NOPROGRAMME",
            ),
            (
                StoreError::Newer {
                    path: path(),
                    version: 9,
                    known: 5,
                },
                "F-NEWER",
            ),
            (StoreError::InUse(path()), "F-INUSE"),
            (StoreError::Moved(path()), "F-MOVED"),
            (StoreError::Changed(path()), "F-CHANGED"),
            (StoreError::Damaged { path: path(), what }, "F-DAMAGED"),
            (
                of(|path, cause| StoreError::Leftover { path, cause }),
                "F-LEFTOVER",
            ),
        ]
    }

    #[test]
    fn every_error_of_a_file_has_its_code_and_its_remedy() {
        for (error, code) in all() {
            let refusal = refused(&error);
            let codes: Vec<&str> = refusal
                .findings
                .iter()
                .map(|one| one.code.as_str())
                .collect();
            assert_eq!(codes, [code], "{error}");
            // The line says it all by itself, for those who show nothing else of it.
            let told = &refusal.findings[0];
            assert!(refusal.text.starts_with(&told.text), "{}", refusal.text);
            assert!(
                refusal.text.len() > told.text.len() + 10,
                "{}",
                refusal.text
            );
            assert!(crate::codes::index().contains(code));
        }
    }
}
