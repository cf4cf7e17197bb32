//! The desk: one programme open at a time, asked and told by a door.
//!
//! A request is answered whole or refused whole; a refused one leaves everything as it was.

mod hand;
mod keeping;
mod lists;
mod memory;
mod search;
mod table;

use std::io::Cursor;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use base64::Engine as _;
use gangday_model::Plan;
use gangday_store::{Step, is_programme_file, write_whole};

use crate::by_hand::ByHand;
use crate::changes::{State, between};
use crate::detail::job_detail;
use crate::opened::refused;
use crate::planning::PlanOptions;
use crate::prepared::Prepared;
use crate::view::{Answer, ChangeByHand, Edit, Refusal, Request};
use crate::{closures, demo, edits, extracts, fields, importing, pack, saving, words};

use keeping::{Found, Keeping};
use memory::Memory;
use search::Search;
use table::Table;

/// One programme open at a time; shared between threads.
#[derive(Default)]
pub struct Desk {
    inner: Mutex<Inner>,
}

/// The open programme and the search under way for it, behind one lock, so that no plan ever lands
/// on another programme than the one it was made for.
#[derive(Default)]
struct Inner {
    table: Table,
    keeping: Keeping,
    memory: Memory,
    search: Option<Search>,
    /// For changes by hand to the plan that was last asked about.
    by_hand: Option<Arc<ByHand>>,
}

impl Desk {
    /// Answers a request.
    ///
    /// # Errors
    /// A refusal says why; the programme is then as it was.
    pub fn ask(&self, request: Request) -> Result<Answer, Refusal> {
        match request {
            Request::Sheet => Ok(self.collected()?.sheet()),
            Request::OpenDemo { week } => self.open(|_| Ok(Found::apart(demo::open(week)))),
            Request::Open { folder } => self.open_folder(&folder),
            Request::Job { id } => self.collected()?.job(&id),
            Request::Import { name, text } => self.collected()?.import(&name, &text),
            Request::ImportExtract { name, base64 } => {
                self.collected()?.import_extract(&name, &base64)
            }
            Request::Plan {
                seconds,
                iterations,
                seed,
            } => self.plan(false, (seconds, iterations, seed)),
            Request::Replan {
                seconds,
                iterations,
                seed,
            } => self.plan(true, (seconds, iterations, seed)),
            Request::Mark { jobs, locked } => self.collected()?.mark(&jobs, locked),
            Request::Record { job, stage, at } => {
                self.collected()?.record(&job, &stage, at.as_deref())
            }
            Request::Issue { on } => self.collected()?.issue(&on),
            Request::Compare { one, other } => self.collected()?.compare(one, other),
            Request::Progress => Ok(self.collected()?.progress()),
            Request::Stop => self.stop(),
            Request::Save { folder } => self.collected()?.save(folder.map(PathBuf::from)),
            Request::WhatIf { change } => self.what_if(change),
            Request::Change { change } => self.change(change),
            Request::Undo => self.collected()?.walk(Step::Undo),
            Request::Redo => self.collected()?.walk(Step::Redo),
            Request::Preview { list } => self.collected()?.preview(&list),
            Request::TakeIn {
                list,
                skip,
                delete_gone,
            } => self.collected()?.take_in(&list, &skip, delete_gone),
            Request::Edit { edit } => self.collected()?.edit(&edit),
            Request::Stated { jobs } => self.collected()?.stated(&jobs),
            Request::Copy { jobs } => self.collected()?.copy(&jobs),
            Request::Fields => Ok(Answer::Fields {
                fields: fields::all(),
            }),
            Request::History => Ok(self.collected()?.history()),
            Request::ClientPage => self.client_page(),
        }
    }

    fn plan(
        &self,
        keep: bool,
        how: (Option<f64>, Option<u32>, Option<u32>),
    ) -> Result<Answer, Refusal> {
        let (seconds, iterations, seed) = how;
        let seed = seed.unwrap_or(1);
        self.collected()?.plan(
            keep,
            PlanOptions {
                seconds,
                iterations,
                seed,
                threads: 1,
            },
        )
    }

    /// What stands in the window's title bar.
    #[must_use]
    pub fn title(&self) -> String {
        let inner = self.lock();
        let Some(state) = inner.table.state() else {
            return "Gangday".to_owned();
        };
        let mark = if inner.table.is_unsaved() { "• " } else { "" };
        format!("{mark}{} — Gangday", state.opened.prepared.programme.name)
    }

    /// Whether leaving would lose something: an invented week that was only looked at and planned
    /// may be thrown away.
    #[must_use]
    pub fn has_unsaved(&self) -> bool {
        let inner = self.lock();
        !inner.table.is_demo() && (inner.table.is_unsaved() || inner.search.is_some())
    }

    /// Writes the client page to a file.
    ///
    /// # Errors
    /// Where there is no plan, or the file can't be written.
    pub fn save_client_page(&self, path: &Path) -> Result<(), Refusal> {
        let state = self.lock().planned()?;
        write_whole(path, page_of(&state).as_bytes()).map_err(|error| refused(&error))
    }

    fn open_folder(&self, folder: &str) -> Result<Answer, Refusal> {
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
    fn open(
        &self,
        find: impl FnOnce(&mut Keeping) -> Result<Found, Refusal>,
    ) -> Result<Answer, Refusal> {
        let mut inner = self.collected()?;
        inner.refuse_while_planning()?;
        let found = find(&mut inner.keeping)?;
        inner.keeping = found.keeping;
        inner.table.open(found.opened, found.edits);
        Ok(inner.sheet())
    }

    /// Stops the search and waits, with nothing locked, for its best.
    fn stop(&self) -> Result<Answer, Refusal> {
        let search = self.lock().search.take();
        if let Some(search) = search {
            search.stop();
            let (prepared, plan) = search.plan()?;
            self.lock().keep(&prepared, plan)?;
        }
        Ok(self.lock().sheet())
    }

    fn client_page(&self) -> Result<Answer, Refusal> {
        let state = self.collected()?.planned()?;
        Ok(Answer::Page {
            name: "works.html".to_owned(),
            html: page_of(&state),
        })
    }

    /// What a change by hand would do; worked out with nothing locked.
    fn what_if(&self, change: ChangeByHand) -> Result<Answer, Refusal> {
        let by_hand = self.collected()?.by_hand()?;
        let outcome = by_hand.try_change(change).map(Box::new)?;
        Ok(Answer::WhatIf { outcome })
    }

    /// Makes a change by hand to the plan that it was worked out for; any other stays as it is.
    fn change(&self, change: ChangeByHand) -> Result<Answer, Refusal> {
        let by_hand = self.collected()?.by_hand()?;
        let (words, plan) = by_hand.make(change)?;
        let mut inner = self.lock();
        inner.refuse_while_planning()?;
        let State { opened, plan: now } = inner.planned()?;
        if !now.is_some_and(|now| by_hand.is_for(&opened.prepared, &now)) {
            return Err(Refusal::plain("The plan has changed meanwhile; try again."));
        }
        let plan = Some(Arc::new(plan));
        inner.change(&words, State { opened, plan })?;
        Ok(inner.sheet())
    }

    /// The desk with the plan of a search that has ended on the table.
    fn collected(&self) -> Result<MutexGuard<'_, Inner>, Refusal> {
        let mut inner = self.lock();
        if let Some(search) = inner.search.take_if(|search| search.has_ended()) {
            let (prepared, plan) = search.plan()?;
            inner.keep(&prepared, plan)?;
        }
        Ok(inner)
    }

    fn lock(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Inner {
    fn sheet(&self) -> Answer {
        Answer::Sheet {
            sheet: self.table.sheet().map(Box::new),
        }
    }

    fn job(&self, id: &str) -> Result<Answer, Refusal> {
        let state = self.table.state().ok_or_else(nothing_open)?;
        let detail = job_detail(&state.opened, state.plan.as_deref(), id)?;
        Ok(Answer::Job {
            detail: Box::new(detail),
        })
    }

    fn import(&mut self, name: &str, text: &str) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        let (opened, added) = importing::into(self.table.opened()?, name, text.as_bytes())?;
        let what = format!("import {} from {name}", words::count(added, "job", "jobs"));
        self.change(&what, State { opened, plan: None })?;
        self.table.is_no_demo();
        Ok(self.sheet())
    }

    fn import_extract(&mut self, name: &str, base64: &str) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        let bytes = base64::engine::general_purpose::STANDARD.decode(base64);
        let bytes = bytes.map_err(|_| Refusal::plain(&format!("{name} did not arrive whole.")))?;
        let opened = self.table.opened()?;
        let (opened, _) = extracts::into(opened, name, &mut Cursor::new(bytes))?;
        let what = format!("import the streets of {name}");
        self.change(&what, State { opened, plan: None })?;
        self.table.is_no_demo();
        Ok(self.sheet())
    }

    /// Puts another state in the place of the one on the table, as one edit: in the file first,
    /// where there is one, so that nothing is shown that is not kept.
    fn change(&mut self, what: &str, after: State) -> Result<(), Refusal> {
        let before = self.table.state().ok_or_else(nothing_open)?;
        let change = between(what, before, &after);
        self.keeping.commit(&change, &after)?;
        self.table.change(change, after);
        self.note_saved();
        Ok(())
    }

    fn note_saved(&mut self) {
        if self.keeping.is_file() {
            self.table.is_saved();
        }
    }

    fn edit(&mut self, edit: &Edit) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        let state = self.table.state().ok_or_else(nothing_open)?;
        let edited = edits::edit(state, edit)?;
        self.change(&edited.what, edited.state)?;
        self.table.is_no_demo();
        let sheet = self.table.sheet().map(Box::new).ok_or_else(nothing_open)?;
        Ok(Answer::Edited {
            sheet,
            jobs: edited.jobs,
        })
    }

    fn stated(&self, jobs: &[String]) -> Result<Answer, Refusal> {
        let jobs = edits::stated(self.table.opened()?, jobs)?;
        Ok(Answer::Stated { jobs })
    }

    fn copy(&self, jobs: &[String]) -> Result<Answer, Refusal> {
        let text = edits::copied(self.table.opened()?, jobs)?;
        Ok(Answer::Copied { text })
    }

    fn history(&self) -> Answer {
        let (past, future) = self.table.names();
        Answer::History { past, future }
    }

    fn plan(&mut self, keep: bool, options: PlanOptions) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        let opened = self.table.opened()?.clone();
        if opened.is_nothing_to_plan() {
            return Err(Refusal::plain(
                "There is nothing to plan: the programme needs at least one job and one gang.",
            ));
        }
        let keep = if keep { self.planned()?.plan } else { None };
        let search = Search::begin(opened, options, keep);
        let progress = search.progress();
        self.search = Some(search);
        Ok(Answer::Progress { progress })
    }

    fn progress(&self) -> Answer {
        let progress = self
            .search
            .as_ref()
            .map_or_else(search::idle, Search::progress);
        Answer::Progress { progress }
    }

    fn save(&mut self, path: Option<PathBuf>) -> Result<Answer, Refusal> {
        let state = self.table.state().ok_or_else(nothing_open)?.clone();
        let path = path
            .or_else(|| state.opened.folder.clone())
            .ok_or_else(|| {
                Refusal::plain("This programme has no folder yet; choose one to save it in.")
            })?;
        if is_programme_file(&path) {
            self.save_as_file(&state, &path)?;
        } else {
            saving::save(&state.opened, state.plan.as_deref(), &path)?;
            self.leave_file()?;
        }
        self.table.saved_to(&path);
        let sheet = self.table.sheet().map(Box::new).ok_or_else(nothing_open)?;
        Ok(Answer::Saved {
            folder: path.display().to_string(),
            sheet,
        })
    }

    /// A file that is open takes every edit as it is made; another is written whole.
    fn save_as_file(&mut self, state: &State, path: &Path) -> Result<(), Refusal> {
        let own = self.keeping.file();
        if own.as_ref().is_some_and(|own| own.is_at(path)) {
            return Ok(());
        }
        let plan = state.plan.as_deref();
        let edits = self.table.edits();
        let (edits, history) = match (edits, own) {
            (Some(edits), _) => (edits, None),
            (None, own) => (Vec::new(), own.map(|own| &*own)),
        };
        let file = saving::save_file(&state.opened, plan, path, &edits, history)?;
        self.keeping = Keeping::InFile(Box::new(file));
        Ok(())
    }

    /// The edits that only the file held come along; it may then be opened elsewhere.
    fn leave_file(&mut self) -> Result<(), Refusal> {
        if let Some(file) = self.keeping.file() {
            let edits = file.history().map_err(|error| refused(&error))?;
            self.table.learn(edits);
        }
        self.keeping = Keeping::Apart;
        Ok(())
    }

    fn walk(&mut self, step: Step) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        let (change, mut state) = self.table.ahead(step, || self.keeping.next(step))?;
        state.opened.folder = self.table.opened()?.folder.clone();
        self.keeping.walk(step, &state)?;
        self.table.walk(step, change, state);
        self.note_saved();
        Ok(self.sheet())
    }

    /// Whoever tries changes to the plan on the table; the one before is let go.
    fn by_hand(&mut self) -> Result<Arc<ByHand>, Refusal> {
        self.refuse_while_planning()?;
        let State { opened, plan } = self.planned()?;
        let plan = plan.ok_or_else(nothing_open)?;
        let prepared = &opened.prepared;
        let known = self.by_hand.take();
        let known = known.filter(|known| known.is_for(prepared, &plan));
        let known = known.unwrap_or_else(|| Arc::new(ByHand::begin(prepared, &plan)));
        self.by_hand = Some(Arc::clone(&known));
        Ok(known)
    }

    fn planned(&self) -> Result<State, Refusal> {
        let state = self.table.state().ok_or_else(nothing_open)?;
        if state.plan.is_none() {
            return Err(Refusal::plain("There is no plan yet; plan the week first."));
        }
        Ok(state.clone())
    }

    /// Keeps a plan for the programme that it was made for; for any other it is let go.
    fn keep(&mut self, prepared: &Arc<Prepared>, plan: Plan) -> Result<(), Refusal> {
        let Ok(opened) = self.table.opened() else {
            return Ok(());
        };
        if Arc::ptr_eq(&opened.prepared, prepared) {
            let opened = opened.clone();
            let plan = Some(Arc::new(plan));
            return self.keep_at_all_costs(State { opened, plan });
        }
        Ok(())
    }

    /// A plan that took long to find stays on the table even where the file can't take it: the
    /// programme is then as one that is saved by hand.
    fn keep_at_all_costs(&mut self, planned: State) -> Result<(), Refusal> {
        const WHAT: &str = "plan the week";
        let Err(refusal) = self.change(WHAT, planned.clone()) else {
            return Ok(());
        };
        self.leave_file().ok();
        self.keeping = Keeping::Apart;
        self.change(WHAT, planned)?;
        Err(Refusal {
            text: format!(
                "{} The plan is here, but it is not saved yet.",
                refusal.text
            ),
            ..refusal
        })
    }

    fn refuse_while_planning(&self) -> Result<(), Refusal> {
        if self.search.is_some() {
            return Err(Refusal::plain(
                "The week is being planned; stop that first.",
            ));
        }
        Ok(())
    }
}

fn page_of(state: &State) -> String {
    let plan = state.plan.as_deref().cloned().unwrap_or_default();
    let public = closures::of_plan(&state.opened.prepared, &plan);
    pack::client_page(&state.opened, &plan, &public)
}

fn nothing_open() -> Refusal {
    Refusal::plain("No programme is open; open one, or the demo week, first.")
}

#[cfg(test)]
mod edit_tests;
#[cfg(test)]
mod list_tests;
#[cfg(test)]
mod tests;

#[cfg(test)]
mod hand_tests;
