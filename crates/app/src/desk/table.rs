//! What lies on the desk, and what lay there before.

use std::path::Path;
use std::sync::Arc;

use gangday_model::Finding;
use gangday_store::{Change, PastEdit, READONLY, Step};
use serde_json::{Value, json};

use super::nothing_open;
use crate::changes::{State, apply};
use crate::opened::Opened;
use crate::view::{Refusal, Sheet};

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
    /// Whether a plan was issued that is kept nowhere yet.
    is_issued: bool,
    /// Whether it is an invented week, only looked at and planned by the program.
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
        self.is_issued = false;
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

    /// Takes over what was issued: no edit, and still something that has to be saved where it is kept nowhere.
    pub fn issued(&mut self, state: State, kept: bool) {
        self.edition += 1;
        self.is_issued |= !kept;
        if let Some(now) = &mut self.now {
            now.state = state;
        }
    }

    /// Whether it is an invented week, only looked at and planned by the program.
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
        let nowhere = || Refusal::coded("D-NOTHING", "There is no further change to go to.");
        let entry = self.entries(step).last().ok_or_else(nowhere)?;
        let now = self.state().ok_or_else(nothing_open)?;
        let change = match &entry.change {
            Some(change) => change.clone(),
            None => kept()?.ok_or_else(nowhere)?,
        };
        let mut state = match (&entry.ready, step) {
            (Some(ready), _) => ready.clone(),
            (None, Step::Undo) => apply(now, &change.reversed())?,
            (None, Step::Redo) => apply(now, &change)?,
        };
        // What was issued since stays.
        let diary = &now.opened.diary;
        if !Arc::ptr_eq(&state.opened.diary.issues, &diary.issues) {
            state.opened.diary = Arc::new(diary.at_the_time_of(&state.opened.diary));
        }
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

    /// Every edit in order, with whether it is undone; none where one is not known, as where only a programme
    /// file holds it.
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

    /// Takes over the edits that only the programme file held, in order, as far as they can be read.
    pub fn learn(&mut self, edits: Vec<PastEdit>) {
        let (past, future): (Vec<_>, Vec<_>) = edits.into_iter().partition(|edit| !edit.undone);
        let fill = |entries: &mut dyn Iterator<Item = &mut Entry>, edits: Vec<PastEdit>| {
            for (entry, edit) in entries.zip(edits) {
                entry.change = entry.change.take().or(edit.change);
            }
        };
        fill(&mut self.past.iter_mut(), past);
        fill(&mut self.future.iter_mut().rev(), future);
    }

    /// Those of the edits, in order, that a way of known ones leads to, with whether each is undone.
    pub fn reachable(&self) -> Vec<(Change, bool)> {
        let known = |entries: &[Entry]| -> Vec<Change> {
            let known = entries[beyond(entries)..].iter();
            known.filter_map(|entry| entry.change.clone()).collect()
        };
        let past = known(&self.past).into_iter();
        let future = known(&self.future).into_iter().rev();
        past.map(|change| (change, false))
            .chain(future.map(|change| (change, true)))
            .collect()
    }

    /// Forgets the edits that no way leads to any more, because one on the way there is not known.
    pub fn forget_unreachable(&mut self) {
        for entries in [&mut self.past, &mut self.future] {
            entries.drain(..beyond(entries));
        }
    }

    /// Notes what else was found of the programme, on whatever side of an edit.
    pub fn also_found(&mut self, more: &[Finding]) {
        if !more.is_empty() {
            self.states()
                .for_each(|state| state.opened.also_found(more.to_vec()));
            self.edition += 1;
        }
    }

    /// What lies there, and the states that are kept ready.
    fn states(&mut self) -> impl Iterator<Item = &mut State> {
        let now = self.now.iter_mut().map(|now| &mut now.state);
        let entries = self.past.iter_mut().chain(&mut self.future);
        now.chain(entries.filter_map(|entry| entry.ready.as_mut()))
    }

    /// Whether what lies there differs from what is saved.
    pub fn is_unsaved(&self) -> bool {
        let is_other = |now: &Stamped| now.stamp != self.saved || self.is_issued;
        self.now.as_ref().is_some_and(is_other)
    }

    /// Notes that what lies there is saved where it was opened.
    pub fn is_saved(&mut self) {
        self.saved = self.now.as_ref().map_or(self.saved, |now| now.stamp);
        self.is_issued = false;
    }

    /// Notes that what lies there is saved at this path; so are the states that undo goes to, as
    /// far as their path goes. That another place may only be read is no matter any more.
    pub fn saved_to(&mut self, path: &Path) {
        self.is_saved();
        for state in self.states() {
            state.opened.folder = Some(path.to_owned());
            Arc::make_mut(&mut state.opened.on_opening).retain(|one| one.code != READONLY);
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

/// How many entries lie beyond one that is not known, it among them.
fn beyond(entries: &[Entry]) -> usize {
    let unknown = entries.iter().rposition(|entry| entry.change.is_none());
    unknown.map_or(0, |at| at + 1)
}

/// Lets go of states that are far away.
fn trim(entries: &mut [Entry]) {
    let far = entries.len().saturating_sub(READY);
    entries[..far]
        .iter_mut()
        .for_each(|entry| entry.ready = None);
}
