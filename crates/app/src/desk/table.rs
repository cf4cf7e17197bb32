//! What lies on the desk, and what lay there before.

use std::path::Path;
use std::sync::Arc;

use gangday_model::Plan;

use super::nothing_open;
use crate::history::History;
use crate::opened::Opened;
use crate::view::{Refusal, Sheet};

/// A programme and its plan; cheap to copy.
#[derive(Clone)]
pub struct State {
    /// The programme.
    pub opened: Opened,
    /// Its plan.
    pub plan: Option<Arc<Plan>>,
}

/// The open programme with its history.
#[derive(Default)]
pub struct Table {
    now: Option<Stamped>,
    history: History<Stamped>,
    saved: u32,
    edition: u32,
    /// Whether it is an invented week, only looked at and planned.
    demo: bool,
}

/// A state with a number that no other state has.
#[derive(Clone)]
struct Stamped {
    state: State,
    stamp: u32,
}

impl Table {
    /// Lays another programme on the desk; the history of the one before goes with it.
    pub fn open(&mut self, opened: Opened) {
        let plan = opened.plan.clone();
        self.demo = opened.demo;
        self.edition += 1;
        self.saved = self.edition;
        self.now = Some(Stamped {
            state: State { opened, plan },
            stamp: self.edition,
        });
        self.history = History::default();
    }

    /// What lies there.
    pub fn state(&self) -> Option<&State> {
        self.now.as_ref().map(|now| &now.state)
    }

    /// The programme that lies there.
    pub fn opened(&self) -> Result<&Opened, Refusal> {
        self.state()
            .map(|state| &state.opened)
            .ok_or_else(nothing_open)
    }

    /// Replaces what lies there, by a change that can be taken back.
    pub fn change(&mut self, what: &str, state: State) {
        self.edition += 1;
        let after = Stamped {
            state,
            stamp: self.edition,
        };
        if let Some(before) = self.now.replace(after) {
            self.history.record(what, before);
        }
    }

    /// Whether it is an invented week, only looked at and planned.
    pub fn is_demo(&self) -> bool {
        self.demo
    }

    /// Notes that the user has brought something of their own into it.
    pub fn is_no_demo(&mut self) {
        self.demo = false;
    }

    /// Takes back the last change; says whether there was one.
    pub fn undo(&mut self) -> bool {
        self.step(History::undo)
    }

    /// Does it again; says whether there was one.
    pub fn redo(&mut self) -> bool {
        self.step(History::redo)
    }

    fn step(
        &mut self,
        step: fn(&mut History<Stamped>, Stamped) -> Result<Stamped, Stamped>,
    ) -> bool {
        let Some(now) = self.now.take() else {
            return false;
        };
        let stepped = step(&mut self.history, now);
        let moved = stepped.is_ok();
        self.now = Some(stepped.unwrap_or_else(|now| now));
        self.edition += u32::from(moved);
        moved
    }

    /// Whether what lies there differs from what is saved.
    pub fn is_unsaved(&self) -> bool {
        self.now.as_ref().is_some_and(|now| now.stamp != self.saved)
    }

    /// Notes that what lies there is saved in this folder; so are the states that undo goes to,
    /// as far as their folder goes.
    pub fn saved_to(&mut self, folder: &Path) {
        if let Some(now) = &mut self.now {
            self.saved = now.stamp;
            now.state.opened.folder = Some(folder.to_owned());
        }
        self.history
            .each(|one| one.state.opened.folder = Some(folder.to_owned()));
        self.demo = false;
    }

    /// The sheet of what lies there.
    pub fn sheet(&self) -> Option<Sheet> {
        let state = self.state()?;
        let mut sheet = crate::sheet::sheet(&state.opened, state.plan.as_deref());
        sheet.demo = state.opened.is_invented();
        sheet.unsaved = self.is_unsaved();
        sheet.undo = self.history.undoes().map(ToOwned::to_owned);
        sheet.redo = self.history.redoes().map(ToOwned::to_owned);
        sheet.edition = self.edition;
        Some(sheet)
    }
}
