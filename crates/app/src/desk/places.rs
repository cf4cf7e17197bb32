//! Opening, saving, and taking in what lies outside.

use std::path::{Path, PathBuf};

use gangday_model::Finding;
use gangday_store::{Along, is_programme_file, is_same_place};

use super::keeping::{self, Found, Keeping, Left};
use super::memory::CLIENT;
use super::{Acted, Desk, Inner};
use crate::attachments::{Gathered, KeptIn, Pictures, called, told_lost};
use crate::changes::State;
use crate::opened::{Opened, refused};
use crate::saving;
use crate::view::Refusal;

impl Desk {
    pub(super) fn open_folder(&self, folder: &str) -> Result<Acted, Refusal> {
        self.open(|own| {
            let found = keeping::open(Path::new(folder.trim()), own)?;
            let opened = &found.opened;
            if opened.prepared.programme.jobs.is_empty() && opened.has_faults() {
                let text = format!("{folder} holds no programme that can be opened.");
                return Err(Refusal::because(&text, &opened.findings()));
            }
            Ok(found)
        })
    }

    /// Opens what `find` finds; what was open before is let go only then, so that a refusal leaves
    /// it, unless it is the same file.
    pub(super) fn open(
        &self,
        find: impl FnOnce(&mut Keeping) -> Result<Found, Refusal>,
    ) -> Result<Acted, Refusal> {
        let mut inner = self.collected()?;
        inner.refuse_while_planning()?;
        let found = find(&mut inner.keeping)?;
        inner.finish_closures();
        inner.keeping = found.keeping;
        inner.table.open(found.opened, found.edits);
        inner.table.learn(found.history);
        inner.pictures = Pictures::default();
        inner.open_page();
        Ok(Acted::Changed)
    }
}

impl Inner {
    pub(super) fn save(&mut self, path: Option<PathBuf>) -> Result<Acted, Refusal> {
        let state = self.state_to_save()?;
        let path = path
            .or_else(|| state.opened.folder.clone())
            .ok_or_else(|| {
                Refusal::coded(
                    "D-PLACE",
                    "This programme has no folder yet; choose one to save it in.",
                )
            })?;
        if path.as_os_str().is_empty() {
            return Err(Refusal::coded(
                "D-PLACE",
                "Name a folder or a file to save the programme in.",
            ));
        }
        // One that was called without .gpkg and is away looks like no file at all.
        let own = self.keeping.file();
        let is_own = own.is_some_and(|own| own.is_called(&path));
        let lost = if is_own || is_programme_file(&path) {
            self.save_as_file(&state, &path)?
        } else {
            let all = self.pictures_for(&state, &path);
            let what = (&state.opened, state.plan.as_deref());
            let seen = self.keeping.seen(&path);
            let seen = saving::save(what, &path, &all.pictures, seen)?;
            let mut lost = self.leave_file();
            self.keeping = Keeping::InFolder(seen);
            lost.extend(told_lost(&state.opened, &all.lost));
            lost
        };
        self.table.also_found(&lost);
        self.table.saved_to(&path);
        Ok(Acted::Saved(path.display().to_string()))
    }

    /// A file that is open takes every edit as it is made; another is written whole. What could not be
    /// kept along is told.
    fn save_as_file(&mut self, state: &State, path: &Path) -> Result<Vec<Finding>, Refusal> {
        let own = self.keeping.file();
        if let Some(own) = own.filter(|own| own.is_called(path)) {
            own.check().map_err(|error| refused(&error))?;
            self.finish_closures();
            return Ok(Vec::new());
        }
        let all = self.pictures_for(state, path);
        let mappings = self.keeping.mappings();
        let left = self.keeping.left();
        let left = left.filter(|left| is_same_place(&left.path, path));
        if left.is_some() {
            refuse_losing(&state.opened, path, &all.lost, mappings.is_none())?;
        }
        let over = left.and_then(|left| left.stamp);
        let remembered = mappings.unwrap_or_default().into_iter();
        let remembered = remembered.map(|(client, text)| [CLIENT.to_owned(), client, text]);
        let remembered: Vec<_> = remembered.collect();
        let own = self.keeping.file();
        let plan = state.plan.as_deref();
        let is_apart = own.is_none();
        let (edits, history) = match (self.table.edits(), own) {
            (Some(edits), _) => (edits, None),
            (None, Some(own)) => (Vec::new(), Some(&*own)),
            (None, None) => (self.table.reachable(), None),
        };
        let along = Along {
            edits: &edits,
            history,
            remembered: &remembered,
            over,
        };
        let file = saving::save_file((&state.opened, plan), path, &all.pictures, along)?;
        if is_apart {
            self.table.forget_unreachable();
        }
        self.finish_closures();
        self.keeping = Keeping::InFile(Box::new(file));
        self.closures_of.clone_from(&state.plan);
        Ok(told_lost(&state.opened, &all.lost).into_iter().collect())
    }

    /// Every picture that is not kept yet where the programme is going. What is kept beside a folder stays
    /// there; a file is written whole, with all that is to be in it.
    fn pictures_for(&self, state: &State, path: &Path) -> Gathered {
        let home = state.opened.folder.as_deref();
        let kept_in = match (&self.keeping, home) {
            (Keeping::InFile(file), _) => KeptIn::File(file),
            // They were taken along when it was left.
            (Keeping::Left(_), _) | (_, None) => KeptIn::Nowhere,
            (keeping, _) if keeping.seen(path).is_some() => KeptIn::Nowhere,
            (_, Some(home)) => KeptIn::Path(home),
        };
        let mut all = self.pictures.all(&state.opened, kept_in);
        let left = self.keeping.left().into_iter();
        all.lost.extend(left.flat_map(|left| left.lost.clone()));
        all
    }

    /// The edits that only the file held come along, as far as they can be read; what of them is lost, is
    /// said. The file may then be opened elsewhere.
    fn leave_file(&mut self) -> Vec<Finding> {
        self.finish_closures();
        let history = self.keeping.file().map(|file| file.history());
        let history = history.unwrap_or_default();
        self.keeping = Keeping::Apart;
        self.table.learn(history.edits);
        self.table.forget_unreachable();
        history.lost
    }

    /// Leaves a file that could not take an edit, with all that is to be saved again: its pictures and what
    /// it remembers come along too.
    pub(super) fn leave_file_whole(&mut self, state: &State) -> Vec<Finding> {
        let Some(home) = state.opened.folder.clone() else {
            return self.leave_file();
        };
        // Before it is noted how far the file is written.
        self.finish_closures();
        let all = self.pictures_for(state, Path::new(""));
        let mappings = self.keeping.mappings();
        self.memory
            .take_over(mappings.as_deref().unwrap_or_default());
        let stamp = match &self.keeping {
            Keeping::InFile(file) => file.stamp(),
            other => other.left().and_then(|left| left.stamp),
        };
        let lost = self.leave_file();
        for (name, bytes) in all.pictures {
            self.pictures.hold(name, bytes);
        }
        self.keeping = Keeping::Left(Box::new(Left {
            path: home,
            stamp,
            mappings,
            lost: all.lost,
        }));
        lost
    }
}

/// What can't be read of a file would be gone for good if another were written in its place.
fn refuse_losing(
    opened: &Opened,
    path: &Path,
    pictures: &[String],
    mappings: bool,
) -> Result<(), Refusal> {
    let mut lost = Vec::new();
    if !pictures.is_empty() {
        lost.push(format!("pictures ({})", called(opened, pictures)));
    }
    if mappings {
        lost.push("how clients' lists are laid out".to_owned());
    }
    if lost.is_empty() {
        return Ok(());
    }
    let (path, lost) = (path.display(), lost.join(" and "));
    let text = format!(
        "{path} holds what can't be read and would be lost with it: {lost}. Save under another name."
    );
    Err(Refusal::coded("F-LOST", &text))
}
