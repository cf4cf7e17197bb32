//! What lies on the desk, and what lay there before.

use std::path::Path;
use std::sync::Arc;

use gangday_store::{Change, Step};
use serde_json::{Value, json};

use super::nothing_open;
use crate::changes::{State, apply};
use crate::opened::Opened;
use crate::view::{Refusal, Sheet};

/// The code of what is said of a programme whose place may not be written to.
const READ_ONLY: &str = "F-READONLY";

/// How many states before and after are kept ready; farther ones are worked out from the edits.
const READY: usize = 2;

/// The open programme with its history.
#[derive(Default)]
pub struct Table {
    now: Option<Stamped>,
    past: Vec<Entry>,
    future: Vec<Entry>,
    saved: u32,
    edition: u32,
    stamps: u32,
    /// Whether it is an invented week, only looked at and planned.
    demo: bool,
}

/// A state with a number that no other state has.
#[derive(Clone)]
struct Stamped {
    state: State,
    stamp: u32,
}

/// One edit, with the state on its other side.
struct Entry {
    what: String,
    /// What it does; none where only the programme file holds it.
    change: Option<Change>,
    stamp: u32,
    ready: Option<State>,
}

impl Table {
    /// Lays another programme on the desk, with the names of the edits that its file holds; the
    /// history of the one before goes with it.
    pub fn open(&mut self, opened: Opened, (past, future): (Vec<String>, Vec<String>)) {
        let plan = opened.plan.clone();
        self.demo = opened.demo;
        self.edition += 1;
        self.past = past.into_iter().map(|what| self.entry(what)).collect();
        self.future = future
            .into_iter()
            .rev()
            .map(|what| self.entry(what))
            .collect();
        let stamp = self.stamp();
        self.saved = stamp;
        let state = State { opened, plan };
        self.now = Some(Stamped { state, stamp });
    }

    fn stamp(&mut self) -> u32 {
        self.stamps += 1;
        self.stamps
    }

    fn entry(&mut self, what: String) -> Entry {
        Entry {
            what,
            change: None,
            stamp: self.stamp(),
            ready: None,
        }
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

    /// Replaces what lies there, by an edit that can be taken back; what it does is remembered only where no
    /// file holds it, for a plan before and after is large.
    pub fn change(&mut self, change: Change, state: State, in_file: bool) {
        self.edition += 1;
        let stamp = self.stamp();
        if let Some(before) = self.now.replace(Stamped { state, stamp }) {
            self.past.push(Entry {
                what: change.what.clone(),
                change: Some(change).filter(|_| !in_file),
                stamp: before.stamp,
                ready: Some(before.state),
            });
            self.future.clear();
            trim(&mut self.past);
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

    /// The state that a step leads to, and the edit as it was done; `kept` gives the edit where
    /// only the programme file holds it. Nothing is changed yet.
    pub fn ahead(
        &self,
        step: Step,
        kept: impl FnOnce() -> Result<Option<Change>, Refusal>,
    ) -> Result<(Change, State), Refusal> {
        let nowhere = || Refusal::plain("There is no further change to go to.");
        let entry = self.entries(step).last().ok_or_else(nowhere)?;
        let now = self.state().ok_or_else(nothing_open)?;
        let change = match &entry.change {
            Some(change) => change.clone(),
            None => kept()?.ok_or_else(nowhere)?,
        };
        let state = match (&entry.ready, step) {
            (Some(ready), _) => ready.clone(),
            (None, Step::Undo) => apply(now, &change.reversed())?,
            (None, Step::Redo) => apply(now, &change)?,
        };
        Ok((change, state))
    }

    fn entries(&self, step: Step) -> &[Entry] {
        match step {
            Step::Undo => &self.past,
            Step::Redo => &self.future,
        }
    }

    /// Takes the step that [`ahead`](Self::ahead) has found.
    pub fn walk(&mut self, step: Step, (change, in_file): (Change, bool), state: State) {
        let (from, to) = match step {
            Step::Undo => (&mut self.past, &mut self.future),
            Step::Redo => (&mut self.future, &mut self.past),
        };
        let (Some(entry), Some(now)) = (from.pop(), self.now.take()) else {
            return;
        };
        to.push(Entry {
            what: entry.what,
            change: Some(change).filter(|_| !in_file),
            stamp: now.stamp,
            ready: Some(now.state),
        });
        trim(to);
        self.now = Some(Stamped {
            state,
            stamp: entry.stamp,
        });
        self.edition += 1;
    }

    /// What undo goes to and what redo goes to, the oldest first.
    pub fn names(&self) -> (Vec<String>, Vec<String>) {
        let name = |entry: &Entry| entry.what.clone();
        (
            self.past.iter().map(name).collect(),
            self.future.iter().rev().map(name).collect(),
        )
    }

    /// Every edit in order, with whether it is undone; none where only a programme file holds one.
    pub fn edits(&self) -> Option<Vec<(Change, bool)>> {
        let past = self
            .past
            .iter()
            .map(|entry| Some((entry.change.clone()?, false)));
        let future = self
            .future
            .iter()
            .rev()
            .map(|entry| Some((entry.change.clone()?, true)));
        past.chain(future).collect()
    }

    /// Takes over the edits that only the programme file held, in order.
    pub fn learn(&mut self, edits: Vec<(Change, bool)>) {
        let (past, future): (Vec<_>, Vec<_>) = edits.into_iter().partition(|(_, undone)| !undone);
        let fill = |entries: &mut dyn Iterator<Item = &mut Entry>, edits: Vec<(Change, bool)>| {
            for (entry, (change, _)) in entries.zip(edits) {
                entry.change.get_or_insert(change);
            }
        };
        fill(&mut self.past.iter_mut(), past);
        fill(&mut self.future.iter_mut().rev(), future);
    }

    /// Whether what lies there differs from what is saved.
    pub fn is_unsaved(&self) -> bool {
        self.now.as_ref().is_some_and(|now| now.stamp != self.saved)
    }

    /// Notes that what lies there is saved where it was opened.
    pub fn is_saved(&mut self) {
        self.saved = self.now.as_ref().map_or(self.saved, |now| now.stamp);
    }

    /// Notes that what lies there is saved at this path; so are the states that undo goes to, as
    /// far as their path goes. That another place may only be read is no matter any more.
    pub fn saved_to(&mut self, path: &Path) {
        self.is_saved();
        let now = self.now.iter_mut().map(|now| &mut now.state);
        let entries = self.past.iter_mut().chain(&mut self.future);
        let ready = entries.filter_map(|entry| entry.ready.as_mut());
        for state in now.chain(ready) {
            state.opened.folder = Some(path.to_owned());
            Arc::make_mut(&mut state.opened.intake).retain(|one| one.code != READ_ONLY);
        }
        self.demo = false;
        self.edition += 1;
    }

    /// What only the desk knows of the sheet of what lies there.
    pub fn fill(&self, sheet: &mut Sheet) {
        let name = |entries: &[Entry]| entries.last().map(|entry| entry.what.clone());
        sheet.demo = self.is_invented();
        sheet.unsaved = self.is_unsaved();
        sheet.undo = name(&self.past);
        sheet.redo = name(&self.future);
        sheet.edition = self.edition;
    }

    /// The same as members of the sheet, with where it is saved.
    pub fn of_desk(&self) -> Vec<(&'static str, Value)> {
        let name = |entries: &[Entry]| json!(entries.last().map(|entry| &entry.what));
        let folder = self.state().and_then(|state| state.opened.folder.as_ref());
        vec![
            ("demo", self.is_invented().into()),
            ("unsaved", self.is_unsaved().into()),
            ("undo", name(&self.past)),
            ("redo", name(&self.future)),
            (
                "folder",
                json!(folder.map(|path| path.display().to_string())),
            ),
        ]
    }

    fn is_invented(&self) -> bool {
        self.state().is_some_and(|state| state.opened.is_invented())
    }

    /// The number of what a door may know of it.
    pub fn edition(&self) -> u32 {
        self.edition
    }

    /// Notes that a door will know more of it.
    pub fn tick(&mut self) {
        self.edition += 1;
    }
}

/// Lets go of states that are far away.
fn trim(entries: &mut [Entry]) {
    let far = entries.len().saturating_sub(READY);
    entries[..far]
        .iter_mut()
        .for_each(|entry| entry.ready = None);
}
