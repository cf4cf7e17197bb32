//! Opening, saving, and taking in what lies outside.

use std::path::{Path, PathBuf};

use gangday_model::Finding;
use gangday_store::is_programme_file;

use super::keeping::{self, Found, Keeping};
use super::{Acted, Desk, Inner};
use crate::attachments::Pictures;
use crate::changes::State;
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
                Refusal::plain("This programme has no folder yet; choose one to save it in.")
            })?;
        if is_programme_file(&path) {
            self.save_as_file(&state, &path)?;
        } else {
            let pictures = self.pictures_for(&state, &path);
            saving::save(&state.opened, state.plan.as_deref(), &path, &pictures)?;
            let lost = self.leave_file();
            self.table.also_found(&lost);
        }
        self.table.saved_to(&path);
        Ok(Acted::Saved(path.display().to_string()))
    }

    /// A file that is open takes every edit as it is made; another is written whole.
    pub(super) fn save_as_file(&mut self, state: &State, path: &Path) -> Result<(), Refusal> {
        let own = self.keeping.file();
        if own.as_ref().is_some_and(|own| own.is_at(path)) {
            self.finish_closures();
            return Ok(());
        }
        let pictures = self.pictures_for(state, path);
        let own = self.keeping.file();
        let plan = state.plan.as_deref();
        let is_apart = own.is_none();
        let (edits, history) = match (self.table.edits(), own) {
            (Some(edits), _) => (edits, None),
            (None, Some(own)) => (Vec::new(), Some(&*own)),
            (None, None) => (self.table.reachable(), None),
        };
        let file = saving::save_file((&state.opened, plan), path, &pictures, (&edits, history))?;
        if is_apart {
            self.table.forget_unreachable();
        }
        self.finish_closures();
        self.keeping = Keeping::InFile(Box::new(file));
        self.closures_of.clone_from(&state.plan);
        Ok(())
    }

    /// Every picture that is not kept yet where the programme is going.
    fn pictures_for(&self, state: &State, path: &Path) -> Vec<(String, Vec<u8>)> {
        let home = state.opened.folder.as_deref();
        let stays = home.is_some_and(|home| home == path);
        self.pictures.all(home.filter(|_| !stays))
    }

    /// The edits that only the file held come along, as far as they can be read; what of them is lost, is
    /// said. The file may then be opened elsewhere.
    pub(super) fn leave_file(&mut self) -> Vec<Finding> {
        self.finish_closures();
        let history = self.keeping.file().map(|file| file.history());
        let history = history.unwrap_or_default();
        self.keeping = Keeping::Apart;
        self.table.learn(history.edits);
        self.table.forget_unreachable();
        history.lost
    }
}
