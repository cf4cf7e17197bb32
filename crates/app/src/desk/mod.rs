//! The desk: one programme open at a time, asked and told by a door.
//!
//! A request is answered whole or refused whole; a refused one leaves everything as it was.

mod search;
mod table;

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use gangday_store::write_whole;

use crate::opened::{Opened, refused};
use crate::planning::PlanOptions;
use crate::view::{Answer, DemoWeek, ProgressView, Refusal, Request};
use crate::{demo, importing, pack, saving, words};

use search::Search;
use table::{State, Table};

/// One programme open at a time; shared between threads.
#[derive(Default)]
pub struct Desk {
    table: Mutex<Table>,
    search: Mutex<Option<Search>>,
}

impl Desk {
    /// Answers a request.
    ///
    /// # Errors
    /// A refusal says why; the programme is then as it was.
    pub fn ask(&self, request: Request) -> Result<Answer, Refusal> {
        self.collect()?;
        match request {
            Request::Sheet => Ok(self.sheet()),
            Request::OpenDemo { week } => self.open_demo(week),
            Request::Open { folder } => self.open(&folder),
            Request::Import { name, text } => self.import(&name, &text),
            Request::Plan {
                seconds,
                iterations,
                seed,
            } => self.plan(PlanOptions {
                seconds,
                iterations,
                seed: seed.unwrap_or(1),
            }),
            Request::Progress => Ok(Answer::Progress {
                progress: self.progress(),
            }),
            Request::Stop => self.stop(),
            Request::Save { folder } => self.save(folder.map(PathBuf::from)),
            Request::Undo => self.walk(Table::undo),
            Request::Redo => self.walk(Table::redo),
            Request::ClientPage => self.client_page(),
        }
    }

    /// What stands in the window's title bar.
    #[must_use]
    pub fn title(&self) -> String {
        let table = self.table();
        let Some(state) = table.state() else {
            return "Gangday".to_owned();
        };
        let mark = if table.is_unsaved() { "• " } else { "" };
        format!("{mark}{} — Gangday", state.opened.prepared.programme.name)
    }

    /// Whether leaving would lose something: an invented week may be thrown away.
    #[must_use]
    pub fn has_unsaved(&self) -> bool {
        let table = self.table();
        table.is_unsaved() && table.state().is_some_and(|state| !state.opened.demo)
    }

    /// Writes the client page to a file.
    ///
    /// # Errors
    /// Where there is no plan, or the file can't be written.
    pub fn save_client_page(&self, path: &Path) -> Result<(), Refusal> {
        let (opened, plan) = self.planned()?;
        let page = pack::client_page(&opened, &plan);
        write_whole(path, page.as_bytes()).map_err(|error| refused(&error))
    }

    fn sheet(&self) -> Answer {
        Answer::Sheet {
            sheet: self.table().sheet().map(Box::new),
        }
    }

    fn open_demo(&self, week: DemoWeek) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        let opened = demo::open(week);
        self.table().open(opened);
        Ok(self.sheet())
    }

    fn open(&self, folder: &str) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        let opened = Opened::from_folder(Path::new(folder.trim()))?;
        if opened.prepared.programme.jobs.is_empty() && opened.has_faults() {
            let text = format!("{folder} holds no programme that can be opened.");
            return Err(Refusal::because(&text, &opened.findings()));
        }
        self.table().open(opened);
        Ok(self.sheet())
    }

    fn import(&self, name: &str, text: &str) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        let mut table = self.table();
        let (opened, added) = importing::into(table.opened()?, name, text.as_bytes())?;
        let what = format!("import {} from {name}", words::count(added, "job", "jobs"));
        table.change(&what, State { opened, plan: None });
        drop(table);
        Ok(self.sheet())
    }

    fn plan(&self, options: PlanOptions) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        let prepared = Arc::clone(&self.table().opened()?.prepared);
        if prepared.programme.jobs.is_empty() || prepared.programme.gangs.is_empty() {
            return Err(Refusal::plain(
                "There is nothing to plan: the programme needs at least one job and one gang.",
            ));
        }
        let search = Search::begin(prepared, options);
        let progress = search.progress();
        *self.search() = Some(search);
        Ok(Answer::Progress { progress })
    }

    fn progress(&self) -> ProgressView {
        self.search()
            .as_ref()
            .map_or_else(search::idle, Search::progress)
    }

    /// Stops the search and waits for its best, which comes within one iteration.
    fn stop(&self) -> Result<Answer, Refusal> {
        if let Some(search) = self.search().take() {
            search.stop();
            self.keep(search)?;
        }
        Ok(self.sheet())
    }

    fn save(&self, folder: Option<PathBuf>) -> Result<Answer, Refusal> {
        let mut table = self.table();
        let state = table.state().ok_or_else(nothing_open)?;
        let folder = folder
            .or_else(|| state.opened.folder.clone())
            .ok_or_else(|| {
                Refusal::plain("This programme has no folder yet; choose one to save it in.")
            })?;
        saving::save(&state.opened, state.plan.as_deref(), &folder)?;
        table.saved_to(&folder);
        let sheet = table.sheet().map(Box::new).ok_or_else(nothing_open)?;
        Ok(Answer::Saved {
            folder: folder.display().to_string(),
            sheet,
        })
    }

    fn walk(&self, step: fn(&mut Table) -> bool) -> Result<Answer, Refusal> {
        self.refuse_while_planning()?;
        if step(&mut self.table()) {
            return Ok(self.sheet());
        }
        Err(Refusal::plain("There is no further change to go to."))
    }

    fn client_page(&self) -> Result<Answer, Refusal> {
        let (opened, plan) = self.planned()?;
        let html = pack::client_page(&opened, &plan);
        Ok(Answer::Page {
            name: "works.html".to_owned(),
            html,
        })
    }

    fn planned(&self) -> Result<(Opened, Arc<gangday_model::Plan>), Refusal> {
        let table = self.table();
        let state = table.state().ok_or_else(nothing_open)?;
        let plan = state
            .plan
            .clone()
            .ok_or_else(|| Refusal::plain("There is no plan yet; plan the week first."))?;
        Ok((state.opened.clone(), plan))
    }

    /// Puts the plan of a search that has ended on the table.
    fn collect(&self) -> Result<(), Refusal> {
        let ended = self.search().take_if(|search| search.has_ended());
        ended.map_or(Ok(()), |search| self.keep(search))
    }

    fn keep(&self, search: Search) -> Result<(), Refusal> {
        let plan = search.plan()?;
        let mut table = self.table();
        let opened = table.opened()?.clone();
        table.change(
            "plan the week",
            State {
                opened,
                plan: Some(Arc::new(plan)),
            },
        );
        Ok(())
    }

    fn refuse_while_planning(&self) -> Result<(), Refusal> {
        if self.search().is_some() {
            return Err(Refusal::plain(
                "The week is being planned; stop that first.",
            ));
        }
        Ok(())
    }

    fn table(&self) -> MutexGuard<'_, Table> {
        self.table.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn search(&self) -> MutexGuard<'_, Option<Search>> {
        self.search.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn nothing_open() -> Refusal {
    Refusal::plain("No programme is open; open one, or the demo week, first.")
}

#[cfg(test)]
mod tests;
