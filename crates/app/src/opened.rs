//! A programme as it was opened: prepared, with what its files hold beyond the nouns.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use gangday_files::{
    GANGS, Intake, JOBS, Kept, MATERIALS, METHOD, Parts, STREETS, WEEK, read_programme,
};
use gangday_model::{Finding, Plan};
use gangday_store::Folder;
use serde_json::Value;

use crate::prepared::Prepared;
use crate::view::Refusal;

/// The saved plan in a programme folder.
pub const PLAN: &str = "plan.json";
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
    /// Whether it is one of the invented weeks carried inside the program.
    pub demo: bool,
    /// Where it was opened from.
    pub folder: Option<PathBuf>,
    /// The backdrop's text, if there is one.
    pub backdrop: Option<Arc<str>>,
    /// The plan that was saved with it, if there is one.
    pub plan: Option<Arc<Plan>>,
}

impl Opened {
    /// Opens a programme folder.
    ///
    /// # Errors
    /// Where the folder or a file in it can't be read at all; faults inside the files are findings.
    pub fn from_folder(path: &Path) -> Result<Self, Refusal> {
        let folder = Folder::open(path).map_err(|error| refused(&error))?;
        let parts = Parts {
            jobs: folder.get(JOBS),
            gangs: folder.get(GANGS),
            streets: folder.get(STREETS),
            method: folder.get(METHOD),
            materials: folder.get(MATERIALS),
            week: folder.get(WEEK),
        };
        let mut opened = Self::from_parts(&folder.name(), &parts, folder.get(BACKDROP));
        opened.folder = Some(path.to_owned());
        opened.take_plan(folder.get(PLAN));
        Ok(opened)
    }

    /// Opens a programme from the bytes of its files; its week may name it, else `name` does.
    #[must_use]
    pub fn from_parts(name: &str, parts: &Parts<'_>, backdrop: Option<&[u8]>) -> Self {
        let Intake {
            mut programme,
            findings,
            kept,
        } = read_programme(name, parts);
        if let Some(name) = programme.week.extra.get("name").and_then(Value::as_str) {
            programme.name = name.to_owned();
        }
        Self {
            prepared: Arc::new(Prepared::new(programme)),
            kept: Arc::new(kept),
            intake: Arc::new(findings),
            demo: false,
            folder: None,
            backdrop: backdrop.map(|bytes| String::from_utf8_lossy(bytes).into()),
            plan: None,
        }
    }

    /// Every finding of reading and of working out.
    #[must_use]
    pub fn findings(&self) -> Vec<Finding> {
        self.intake
            .iter()
            .chain(&self.prepared.findings)
            .cloned()
            .collect()
    }

    /// Whether everything in it is invented for a demonstration: it is carried inside the program,
    /// or its week says so.
    #[must_use]
    pub fn is_invented(&self) -> bool {
        let extra = &self.prepared.programme.week.extra;
        self.demo || extra.get("invented").is_some_and(|flag| *flag == true)
    }

    /// Whether reading or working out found a fault.
    #[must_use]
    pub fn has_faults(&self) -> bool {
        self.intake
            .iter()
            .chain(&self.prepared.findings)
            .any(Finding::is_fault)
    }

    fn take_plan(&mut self, bytes: Option<&[u8]>) {
        match bytes.map(gangday_files::read_plan) {
            Some(Ok(plan)) => self.plan = Some(Arc::new(plan)),
            Some(Err(faults)) => {
                let intake = Arc::make_mut(&mut self.intake);
                intake.extend(faults.into_iter().map(|fault| fault.in_file(PLAN)));
            }
            None => {}
        }
    }
}

/// A refusal in the store's own words, which name the file and say what to do.
#[must_use]
pub fn refused(error: &gangday_store::StoreError) -> Refusal {
    Refusal::plain(&format!("{error} {}", sentence(error.remedy())))
}

/// The same words as a sentence of their own.
fn sentence(words: &str) -> String {
    let mut letters = words.chars();
    let first = letters.next().map(char::to_uppercase);
    let stop = if words.ends_with('.') { "" } else { "." };
    first
        .into_iter()
        .flatten()
        .chain(letters)
        .collect::<String>()
        + stop
}
