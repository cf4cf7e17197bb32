//! The desk: one programme open at a time, asked and told by a door.
//!
//! A request is answered whole or refused whole; a refused one leaves everything as it was.

mod beginning;
mod doing;
mod earlier;
mod editing;
mod hand;
mod keeping;
mod lists;
mod marks;
mod memory;
mod packs;
mod page;
mod pictures;
mod places;
mod planning;
mod reading;
mod search;
mod settings;
mod settling;
mod showing;
mod shown;
mod standing;
mod table;

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use base64::Engine as _;
use gangday_model::{JobId, Plan};
use gangday_store::{Step, write_whole};
use serde_json::{Map, Value};

use crate::attachments::Pictures;
use crate::by_hand::ByHand;
use crate::changes::{State, between};
use crate::detail::job_detail;
use crate::following::follow;
use crate::opened::refused;
use crate::public_view::closure_detail;
use crate::view::{Answer, Refusal, Request, TableFormat, TableSort};
use crate::{closures, demo, exporting, fields, gang_days, pack};

use keeping::{Found, Keeping};
use memory::Memory;
use reading::Reading;
use search::Search;
use settings::{Settings, there};
use settling::Settling;
use shown::Shown;
use table::Table;

/// One programme open at a time; shared between threads.
#[derive(Default)]
pub struct Desk {
    inner: Mutex<Inner>,
    settings: Settings,
}

/// The open programme and the search under way for it, behind one lock, so that no plan ever lands
/// on another programme than the one it was made for.
#[derive(Default)]
struct Inner {
    table: Table,
    keeping: Keeping,
    memory: Memory,
    search: Option<Search>,
    /// A search that was told to stop, until its best is kept.
    stopping: Option<Arc<doing::Doing>>,
    /// What is said of the last one that has ended.
    planned_words: String,
    /// A list that is being taken in, or a pack that is being written.
    doing: doing::Known,
    /// A map extract that is being read.
    reading: Option<Reading>,
    /// Pictures that are kept nowhere yet.
    pictures: Pictures,
    /// What the page keeps with the programme.
    page: Map<String, Value>,
    /// For changes by hand to the plan that was last asked about.
    by_hand: Option<Arc<ByHand>>,
    /// What the page was last told of the sheet.
    shown: Option<Shown>,
    /// What is being worked out of the programme as it lies there.
    settling: Option<Settling>,
    /// Held by whatever works it out.
    turn: Arc<Mutex<()>>,
    /// The plan whose closures the file was last given.
    closures_of: Option<Arc<Plan>>,
}

/// What was done, before its answer is put together.
enum Acted {
    /// It is answered already.
    Told(Box<Answer>),
    /// The sheet was asked for.
    Looked,
    /// Something was changed.
    Changed,
    /// It was saved, here.
    Saved(String),
    /// These jobs were changed or made.
    Edited(Vec<String>),
    /// Something was done of which there is more to say than that.
    Did {
        /// To these jobs.
        jobs: Vec<String>,
        /// What, as a sentence.
        told: String,
    },
}

fn told(answer: Result<Answer, Refusal>) -> Result<Acted, Refusal> {
    answer.map(|answer| Acted::Told(Box::new(answer)))
}

impl Desk {
    /// A desk that keeps the page's settings with whoever runs the program; any other keeps none.
    #[must_use]
    pub fn of_user() -> Self {
        Self {
            settings: Settings::of_user(),
            ..Self::default()
        }
    }

    /// Answers a request.
    ///
    /// # Errors
    /// A refusal says why; the programme is then as it was.
    pub fn ask(&self, request: Request) -> Result<Answer, Refusal> {
        match request {
            Request::Since { edition, of } => {
                let acted = self.act(*of)?;
                self.since(edition, acted)
            }
            other => {
                let acted = self.act(other)?;
                self.whole(acted)
            }
        }
    }

    /// Does what is asked and works out no answer, as where a door opens what it will be asked for.
    ///
    /// # Errors
    /// A refusal says why; the programme is then as it was.
    pub fn carry_out(&self, request: Request) -> Result<(), Refusal> {
        self.act(request).map(drop)
    }

    /// Does what is asked; what the sheet is after it is told later.
    #[expect(clippy::too_many_lines, reason = "one arm for each request")]
    fn act(&self, request: Request) -> Result<Acted, Refusal> {
        match request {
            Request::Sheet => self.collected().map(|_| Acted::Looked),
            Request::Since { .. } => Err(Refusal::coded(
                "D-ASKED",
                "What has changed is asked for once.",
            )),
            Request::OpenDemo { week } => self.open(|_| Ok(Found::apart(demo::open(week)))),
            Request::Open { folder } => self.open_folder(&folder),
            Request::Begin { path, today } => self.begin(&path, &today),
            Request::Job { id } => told(self.collected()?.job(&id)),
            Request::Closure { job } => told(self.closure(&job)),
            Request::GangDays { keys } => told(self.gang_days(&keys)),
            Request::ImportExtract { name, base64 } => told(self.import_extract(&name, &base64)),
            Request::ReadExtract { path } => told(self.read_extract(path.trim())),
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
            Request::RecordAsPlanned { of } => self.collected()?.record_as_planned(&of),
            Request::RecordAsIssued { jobs } => self.collected()?.record_as_issued(jobs.as_deref()),
            Request::BringOver { jobs } => self.collected()?.bring_over(jobs.as_deref()),
            Request::Issue { on } => self.collected()?.issue(&on),
            Request::Compare { one, other } => told(self.collected()?.compare(one, other)),
            Request::Progress => told(Ok(self.collected()?.progress())),
            Request::Stop => self.stop(),
            Request::Save { folder } => self.collected()?.save(folder.map(PathBuf::from)),
            Request::WhatIf { change } => told(self.what_if(change)),
            Request::Change { change } => self.change(change),
            Request::Undo => self.collected()?.walk(Step::Undo),
            Request::Redo => self.collected()?.walk(Step::Redo),
            Request::Preview { list } => told(self.preview(&list)),
            Request::TakeIn {
                list,
                skip,
                delete_gone,
            } => self.take_in(&list, &skip, delete_gone),
            Request::Edit { edit } => self.collected()?.edit(&edit),
            Request::Stated { jobs } => told(self.collected()?.stated(&jobs)),
            Request::Copy { jobs } => told(self.collected()?.copy(&jobs)),
            Request::Fields => told(Ok(all_fields())),
            Request::Figures => told(self.collected()?.figures()),
            Request::Row { file, row, yard } => {
                told(self.collected()?.row(&file, row.as_deref(), yard))
            }
            Request::Aside { file, place } => told(self.collected()?.aside(&file, &place)),
            Request::History => told(Ok(self.collected()?.history())),
            Request::ClientPage => told(self.client_page()),
            Request::Pack => told(self.pack()),
            Request::Attach {
                job,
                name,
                base64,
                path,
            } => self.attach(&job, &name, &base64, path.as_deref()),
            Request::Detach { job, name } => self.collected()?.detach(&job, &name),
            Request::Attachment { job, name } => told(self.collected()?.attachment(&job, &name)),
            Request::Export { what, format } => told(self.export(what, format)),
            Request::Remember { name, value } => told(self.collected()?.remember(name, value)),
            Request::Remembered => told(Ok(self.collected()?.remembered())),
            Request::Settings => told(Ok(self.settings.told())),
            Request::KeepSetting { name, value } => told(self.settings.keep(name, value)),
            Request::There { paths } => told(Ok(there(&paths))),
        }
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

    /// Whether leaving would lose something: an invented week that was only looked at, and planned by the
    /// program, may be thrown away; one that anything was done to by hand may not.
    #[must_use]
    pub fn has_unsaved(&self) -> bool {
        let inner = self.lock();
        !inner.table.is_demo() && (inner.table.is_unsaved() || inner.is_planning())
    }

    /// Writes the client page to a file.
    ///
    /// # Errors
    /// Where there is no plan, or the file can't be written.
    pub fn save_client_page(&self, path: &Path) -> Result<(), Refusal> {
        let state = self.lock().planned()?;
        write_whole(path, page_of(&state).as_bytes()).map_err(|error| refused(&error))
    }

    /// Worked out with nothing locked.
    fn export(&self, what: TableSort, format: TableFormat) -> Result<Answer, Refusal> {
        let state = self.collected()?.table.state().cloned();
        let state = state.ok_or_else(nothing_open)?;
        let file = exporting::tables(&state.opened, state.plan.as_deref(), what, format)?;
        Ok(Answer::File {
            base64: base64::engine::general_purpose::STANDARD.encode(file.bytes),
            name: file.name,
            media: file.media.to_owned(),
        })
    }

    /// Writes a table to a file.
    ///
    /// # Errors
    /// Where nothing is open or planned, or the file can't be written.
    pub fn save_table(
        &self,
        path: &Path,
        what: TableSort,
        format: TableFormat,
    ) -> Result<(), Refusal> {
        let state = self.collected()?.table.state().cloned();
        let state = state.ok_or_else(nothing_open)?;
        exporting::write_tables(&state.opened, state.plan.as_deref(), (what, format), path)
    }

    /// Worked out with nothing locked.
    fn closure(&self, job: &str) -> Result<Answer, Refusal> {
        let state = self.collected()?.planned()?;
        let plan = state.plan.as_deref();
        let own = |plan| closure_detail(&state.opened.prepared, plan, &JobId::new(job));
        let detail = plan.and_then(own);
        let none = || Refusal::coded("D-NONE", &format!("The plan has no closure of {job}."));
        let detail = Box::new(detail.ok_or_else(none)?);
        Ok(Answer::Closure { detail })
    }

    /// Worked out with nothing locked.
    fn gang_days(&self, keys: &[String]) -> Result<Answer, Refusal> {
        let state = self.collected()?.planned()?;
        let plan = state.plan.as_deref();
        let details = plan.map(|plan| gang_days::details(&state.opened.prepared, plan, keys));
        let details = details.unwrap_or_default();
        Ok(Answer::GangDays { details })
    }

    fn client_page(&self) -> Result<Answer, Refusal> {
        let state = self.collected()?.planned()?;
        Ok(Answer::Page {
            name: "works.html".to_owned(),
            html: page_of(&state),
        })
    }

    /// The desk with the plan of a search that has ended on the table.
    fn collected(&self) -> Result<MutexGuard<'_, Inner>, Refusal> {
        let mut inner = self.lock();
        if let Some(search) = inner.search.take_if(|search| search.has_ended()) {
            let (prepared, outcome) = search.outcome()?;
            inner.keep(&prepared, outcome)?;
        }
        if let Some(reading) = inner.reading.take_if(|reading| reading.has_ended()) {
            let finished = reading.finish()?;
            inner.take_extract(finished)?;
        }
        Ok(inner)
    }

    fn lock(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Inner {
    fn job(&self, id: &str) -> Result<Answer, Refusal> {
        let state = self.table.state().ok_or_else(nothing_open)?;
        let detail = job_detail(&state.opened, state.plan.as_deref(), id)?;
        Ok(Answer::Job {
            detail: Box::new(detail),
        })
    }

    /// Puts another state in the place of the one on the table, as one edit: in the file first,
    /// where there is one, so that nothing is shown that is not kept. The plan follows what it is for.
    fn change(&mut self, what: &str, mut after: State) -> Result<(), Refusal> {
        let before = self.table.state().ok_or_else(nothing_open)?;
        // It may have been saved elsewhere since the other state was begun.
        after.opened.folder.clone_from(&before.opened.folder);
        let after = follow(before, after);
        let change = between(what, before, &after);
        self.keeping.commit(&change)?;
        self.table.change(change, after, self.keeping.is_file());
        self.note_saved();
        Ok(())
    }

    fn note_saved(&mut self) {
        if self.keeping.is_file() {
            self.table.is_saved();
        }
    }

    fn planned(&self) -> Result<State, Refusal> {
        let state = self.table.state().ok_or_else(nothing_open)?;
        if state.plan.is_none() {
            return Err(Refusal::coded(
                "D-PLAN",
                "There is no plan yet; plan the week first.",
            ));
        }
        Ok(state.clone())
    }

    fn is_planning(&self) -> bool {
        self.search.is_some() || self.stopping.is_some()
    }

    fn refuse_while_planning(&self) -> Result<(), Refusal> {
        if self.is_planning() {
            return Err(Refusal::coded(
                "D-BUSY",
                "The week is being planned; stop that first.",
            ));
        }
        if let Some(doing) = self.doing.upgrade() {
            let title = doing.progress().title;
            let text = format!("{title} is not over yet; wait, or stop that first.");
            return Err(Refusal::coded("D-BUSY", &text));
        }
        if self.reading.is_some() {
            return Err(Refusal::coded(
                "D-BUSY",
                "A map extract is being read; stop that first.",
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

fn all_fields() -> Answer {
    Answer::Fields {
        fields: fields::all(),
    }
}

fn nothing_open() -> Refusal {
    Refusal::coded(
        "D-OPEN",
        "No programme is open; open one, or the demo week, first.",
    )
}

#[cfg(test)]
mod as_planned_tests;
#[cfg(test)]
mod begun_tests;
#[cfg(test)]
mod beside_tests;
#[cfg(test)]
mod better_tests;
#[cfg(test)]
mod doing_tests;
#[cfg(test)]
mod edit_tests;
#[cfg(test)]
mod folder_tests;
#[cfg(test)]
mod following_tests;
#[cfg(test)]
mod issue_tests;
#[cfg(test)]
mod kept_tests;
#[cfg(test)]
mod killed_tests;
#[cfg(test)]
mod left_out_tests;
#[cfg(test)]
mod list_long_tests;
#[cfg(test)]
mod list_match_tests;
#[cfg(test)]
mod list_shape_tests;
#[cfg(test)]
mod list_tests;
#[cfg(test)]
mod lost_tests;
#[cfg(test)]
mod mending_tests;
#[cfg(test)]
mod onward_tests;
#[cfg(test)]
mod own_tests;
#[cfg(test)]
mod read_only_tests;
#[cfg(test)]
mod refused_tests;
#[cfg(test)]
mod replaced_tests;
#[cfg(test)]
mod since_tests;
#[cfg(test)]
mod standing_kept_tests;
#[cfg(test)]
mod standing_tests;
#[cfg(test)]
mod table_tests;
#[cfg(test)]
mod tests;

#[cfg(test)]
mod from_day_tests;
#[cfg(test)]
#[cfg(unix)]
mod full_disk_tests;
#[cfg(test)]
mod hand_tests;
