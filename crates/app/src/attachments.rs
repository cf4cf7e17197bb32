//! Pictures of jobs: which a job names, and where their bytes are.
//!
//! A job names its pictures in the property `attachments`; that is an edit like any other. Their bytes
//! are kept beside the programme under what they are, and stay there, so that undo finds them again.

use std::collections::BTreeMap;
use std::path::Path;

use gangday_files::{LARGEST_PICTURE, Picture, read_picture};
use gangday_model::{Finding, Job};
use gangday_store::{
    LOST, ProgrammeFile, StoreError, attachment_name, attachment_of, attachments_of,
    is_attachment_name,
};
use serde_json::{Map, Value, json};

use crate::changes::State;
use crate::edits::{self, Edited};
use crate::opened::{Opened, refused};
use crate::view::{AttachmentView, Edit, Refusal};
use crate::words;

/// The property that names them.
const ATTACHMENTS: &str = "attachments";
/// The most that all pictures of a programme may be together, in bytes.
const LARGEST_IN_ALL: u64 = 200 * 1024 * 1024;
/// As long as a picture's name may be, in letters.
const LONGEST_NAME: usize = 120;

/// A picture as a job names it.
#[derive(Clone, Debug, PartialEq)]
struct Named {
    name: String,
    file: String,
    bytes: u64,
    taken_out: u64,
}

impl Named {
    fn read(value: &Value) -> Option<Self> {
        let text = |name: &str| value.get(name)?.as_str().map(str::to_owned);
        let number = |name: &str| value.get(name).and_then(Value::as_u64).unwrap_or(0);
        let (name, file) = (text("name")?, text("file")?);
        let is_sound = is_attachment_name(&file) && why_not(&name).is_none();
        is_sound.then(|| Self {
            name,
            file,
            bytes: number("bytes"),
            taken_out: number("taken_out"),
        })
    }

    fn written(&self) -> Value {
        json!({"name": self.name, "file": self.file, "bytes": self.bytes, "taken_out": self.taken_out})
    }

    fn media(&self) -> &'static str {
        match self.file.rsplit('.').next() {
            Some("png") => "image/png",
            Some("webp") => "image/webp",
            _ => "image/jpeg",
        }
    }
}

/// Those that a job names; what is not ours among them is passed over.
fn named(job: &Job) -> Vec<Named> {
    let list = job.extra.get(ATTACHMENTS).and_then(Value::as_array);
    list.into_iter().flatten().filter_map(Named::read).collect()
}

/// A job's pictures as they are shown.
#[must_use]
pub fn of_job(job: &Job) -> Vec<AttachmentView> {
    let view = |one: Named| AttachmentView {
        media: one.media().to_owned(),
        bytes: one.bytes as f64,
        said: said(&one),
        name: one.name,
    };
    named(job).into_iter().map(view).collect()
}

fn said(one: &Named) -> String {
    let size = match one.bytes {
        0..1024 => words::count(usize::try_from(one.bytes).unwrap_or(0), "byte", "bytes"),
        bytes => format!("{} kB", words::thousands(bytes.div_ceil(1024))),
    };
    match one.taken_out {
        0 => size,
        _ => format!("{size}; place, time and camera were taken out of it"),
    }
}

/// What is the matter with a name, if anything is: it is shown, and offered when it is saved.
fn why_not(name: &str) -> Option<&'static str> {
    const RESERVED: [&str; 6] = ["con", "prn", "aux", "nul", "com", "lpt"];
    let stem = name
        .split('.')
        .next()
        .unwrap_or_default()
        .trim()
        .to_lowercase();
    let base = stem.trim_end_matches(|digit: char| digit.is_ascii_digit());
    let digits = stem.len() - base.len();
    let is_device = RESERVED.contains(&base)
        && if matches!(base, "com" | "lpt") {
            digits == 1
        } else {
            digits == 0
        };
    let turns = |letter: char| matches!(letter, '\u{200E}' | '\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}');
    if name.trim().is_empty() || name.trim() != name {
        Some("it is empty, or begins or ends with a blank")
    } else if name.chars().count() > LONGEST_NAME {
        Some("it is longer than 120 letters")
    } else if name.contains(['/', '\\', ':', '*', '?', '"', '<', '>', '|']) {
        Some("it holds a letter that no file may have in its name")
    } else if name
        .chars()
        .any(|letter| letter.is_control() || turns(letter))
    {
        Some("it holds a letter that can't be seen")
    } else if name.starts_with('.') || name.ends_with('.') {
        Some("it begins or ends with a full stop")
    } else if is_device {
        Some("some systems take it for a device")
    } else {
        None
    }
}

/// The name with the ending of what the picture is.
fn with_ending(name: &str, picture: &Picture) -> String {
    let ending = name
        .rsplit_once('.')
        .map(|(_, ending)| ending.to_lowercase());
    let fits = match ending.as_deref() {
        Some("jpeg" | "jpe") => picture.ending == "jpg",
        Some(ending) => ending == picture.ending,
        None => false,
    };
    if fits {
        name.to_owned()
    } else {
        format!("{name}.{}", picture.ending)
    }
}

/// The bytes of a picture that lies on this machine.
///
/// # Errors
/// It can't be read, or is too large.
pub fn read_from(path: &str) -> Result<Vec<u8>, Refusal> {
    let path = Path::new(path);
    let most = LARGEST_PICTURE as u64;
    if std::fs::metadata(path).is_ok_and(|file| file.len() > most) {
        let text = format!("{} is larger than 10 MB; save it smaller.", path.display());
        return Err(Refusal::coded("F-LARGE", &text));
    }
    crate::saving::read_file(path)
}

/// A job with a picture more, as an edit, and the picture as it is to be kept.
///
/// # Errors
/// There is no such job, the name can't be one, or the bytes are no picture.
pub fn attached(
    state: &State,
    job: &str,
    name: &str,
    bytes: &[u8],
) -> Result<(Edited, String, Vec<u8>), Refusal> {
    let picture = read_picture(bytes)
        .map_err(|fault| Refusal::because(&format!("{name:?} was not attached."), &[*fault]))?;
    if let Some(why) = why_not(name) {
        let text = format!("{name:?} was not attached: {why}. Give the picture another name.");
        return Err(Refusal::coded("F-FILENAME", &text));
    }
    let name = with_ending(name, &picture);
    let mut all = of(&state.opened, job)?;
    if all.iter().any(|one| one.name == name) {
        let text =
            format!("{job} has a picture called {name} already; give this one another name.");
        return Err(Refusal::coded("D-NAMED", &text));
    }
    let file = attachment_name(&picture.bytes, picture.ending);
    all.push(Named {
        name: name.clone(),
        file: file.clone(),
        bytes: picture.bytes.len() as u64,
        taken_out: picture.taken_out as u64,
    });
    refuse_too_many(&state.opened, &all)?;
    let edited = set(state, job, &all, format!("attach {name} to {job}"))?;
    Ok((edited, file, picture.bytes))
}

fn refuse_too_many(opened: &Opened, more: &[Named]) -> Result<(), Refusal> {
    let jobs = opened.prepared.programme.jobs.iter();
    let all = jobs.flat_map(named).chain(more.iter().cloned());
    let sizes: BTreeMap<String, u64> = all.map(|one| (one.file, one.bytes)).collect();
    if sizes.values().sum::<u64>() <= LARGEST_IN_ALL {
        return Ok(());
    }
    Err(Refusal::coded(
        "F-LARGE",
        "The pictures of this programme would be more than 200 MB together; take some off first.",
    ))
}

/// A job without one of its pictures, as an edit.
///
/// # Errors
/// There is no such job or picture.
pub fn detached(state: &State, job: &str, name: &str) -> Result<Edited, Refusal> {
    let mut all = of(&state.opened, job)?;
    let before = all.len();
    all.retain(|one| one.name != name);
    if all.len() == before {
        return Err(missing(job, name));
    }
    set(state, job, &all, format!("take {name} off {job}"))
}

fn set(state: &State, job: &str, all: &[Named], what: String) -> Result<Edited, Refusal> {
    let list: Vec<Value> = all.iter().map(Named::written).collect();
    let value = if list.is_empty() {
        Value::Null
    } else {
        list.into()
    };
    let properties = Map::from_iter([(ATTACHMENTS.to_owned(), value)]);
    let jobs = vec![job.to_owned()];
    let mut edited = edits::edit(state, &Edit::Set { jobs, properties })?;
    edited.what = what;
    Ok(edited)
}

fn of(opened: &Opened, job: &str) -> Result<Vec<Named>, Refusal> {
    let prepared = &opened.prepared;
    let at = prepared.index_of(&job.into());
    let at = at.ok_or_else(|| Refusal::coded("D-NONE", &format!("There is no job {job}.")))?;
    Ok(named(&prepared.programme.jobs[at]))
}

fn missing(job: &str, name: &str) -> Refusal {
    Refusal::coded("D-NONE", &format!("{job} has no picture called {name}."))
}

/// The name that a job's picture is kept under, and what it is.
///
/// # Errors
/// There is no such job or picture.
pub fn kept_as(opened: &Opened, job: &str, name: &str) -> Result<(String, &'static str), Refusal> {
    let one = of(opened, job)?.into_iter().find(|one| one.name == name);
    let one = one.ok_or_else(|| missing(job, name))?;
    let media = one.media();
    Ok((one.file, media))
}

/// Pictures that are kept nowhere yet.
#[derive(Default)]
pub struct Pictures {
    fresh: BTreeMap<String, Vec<u8>>,
}

impl Pictures {
    /// Holds one until it is kept.
    pub fn hold(&mut self, name: String, bytes: Vec<u8>) {
        self.fresh.insert(name, bytes);
    }

    /// One of them, or of those that are kept with the programme where it lies.
    ///
    /// # Errors
    /// It is not there.
    pub fn get(&self, name: &str, home: Option<&Path>) -> Result<Vec<u8>, Refusal> {
        match (self.fresh.get(name), home) {
            (Some(bytes), _) => Ok(bytes.clone()),
            (None, Some(home)) => attachment_of(home, name).map_err(|error| refused(&error)),
            (None, None) => Err(Refusal::coded(
                "D-NONE",
                "The picture is not there any more.",
            )),
        }
    }

    /// All of them, and those that are kept with the programme, to be kept elsewhere.
    #[must_use]
    pub fn all(&self, opened: &Opened, home: KeptIn<'_>) -> Gathered {
        let fresh = self.fresh.iter();
        let mut all = Gathered {
            pictures: fresh
                .map(|(name, bytes)| (name.clone(), bytes.clone()))
                .collect(),
            lost: Vec::new(),
        };
        // Where nobody can say which there are, those that the jobs name are looked for.
        let names = home.names().unwrap_or_else(|_| all_named(opened));
        for name in names {
            if self.fresh.contains_key(&name) {
                continue;
            }
            match home.read(&name) {
                Some(bytes) => all.pictures.push((name, bytes)),
                None => all.lost.push(name),
            }
        }
        all
    }
}

/// Where the pictures of a programme are kept.
#[derive(Clone, Copy)]
pub enum KeptIn<'a> {
    /// Nowhere, or where they stay.
    Nowhere,
    /// At a path: in a folder, or in a file that is not claimed here.
    Path(&'a Path),
    /// In the file that is open, wherever it lies by now.
    File(&'a ProgrammeFile),
}

impl KeptIn<'_> {
    fn names(self) -> Result<Vec<String>, StoreError> {
        match self {
            Self::Nowhere => Ok(Vec::new()),
            Self::Path(home) => attachments_of(home),
            Self::File(file) => file.attachment_names(),
        }
    }

    fn read(self, name: &str) -> Option<Vec<u8>> {
        match self {
            Self::Nowhere => None,
            Self::Path(home) => attachment_of(home, name).ok(),
            Self::File(file) => file.attachment(name).ok().flatten(),
        }
    }
}

/// Pictures to be kept elsewhere, each with the name that it is kept under.
pub struct Gathered {
    /// Those that can be read.
    pub pictures: Vec<(String, Vec<u8>)>,
    /// What the others are kept under.
    pub lost: Vec<String>,
}

fn all_named(opened: &Opened) -> Vec<String> {
    let jobs = opened.prepared.programme.jobs.iter();
    let mut names: Vec<String> = jobs.flat_map(named).map(|one| one.file).collect();
    names.sort();
    names.dedup();
    names
}

/// Pictures, by what they are kept under, as their jobs call them: `hole.png of J001`.
#[must_use]
pub fn called(opened: &Opened, kept_as: &[String]) -> String {
    let jobs = opened.prepared.programme.jobs.iter();
    let all = jobs.flat_map(|job| named(job).into_iter().map(move |one| (job, one)));
    let all: Vec<(&Job, Named)> = all.collect();
    let call = |file: &String| {
        let own = all.iter().filter(|(_, one)| one.file == *file);
        let own: Vec<String> = own
            .map(|(job, one)| format!("{} of {}", one.name, job.id))
            .collect();
        match own.is_empty() {
            true => "one that no job has any more".to_owned(),
            false => own.join(" and "),
        }
    };
    kept_as.iter().map(call).collect::<Vec<_>>().join(", ")
}

/// What is told where pictures could not be kept along.
#[must_use]
pub fn told_lost(opened: &Opened, lost: &[String]) -> Option<Finding> {
    let which = match lost.len() {
        0 => return None,
        1 => "A picture that can't be read was",
        _ => "Pictures that can't be read were",
    };
    let text = format!("{which} not kept along: {}.", called(opened, lost));
    let remedy = "Attach again what is needed, or save once more when it can be read.";
    Some(Finding::warning(LOST, text, remedy))
}
