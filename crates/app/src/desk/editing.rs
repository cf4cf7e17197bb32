//! Edits at the desk, and the way back and forth through them.

use gangday_store::Step;

use super::{Acted, Inner, nothing_open};
use crate::tables::Place;
use crate::view::{Answer, Edit, Refusal, Yard};
use crate::{edits, mending, tables};

impl Inner {
    pub(super) fn edit(&mut self, edit: &Edit) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let state = self.table.state().ok_or_else(nothing_open)?;
        let edited = edits::edit(state, edit)?;
        self.change(&edited.what, edited.state)?;
        self.table.is_no_demo();
        Ok(Acted::Edited(edited.jobs))
    }

    pub(super) fn stated(&self, jobs: &[String]) -> Result<Answer, Refusal> {
        let jobs = edits::stated(self.table.opened()?, jobs)?;
        Ok(Answer::Stated { jobs })
    }

    pub(super) fn copy(&self, jobs: &[String]) -> Result<Answer, Refusal> {
        let text = edits::copied(self.table.opened()?, jobs)?;
        Ok(Answer::Copied { text })
    }

    pub(super) fn figures(&self) -> Result<Answer, Refusal> {
        let tables = tables::figures(self.table.opened()?);
        Ok(Answer::Figures { tables })
    }

    pub(super) fn row(
        &self,
        file: &str,
        row: Option<&str>,
        yard: Option<Yard>,
    ) -> Result<Answer, Refusal> {
        let members = tables::stated(self.table.opened()?, Place { file, row, yard })?;
        Ok(Answer::Row { members })
    }

    pub(super) fn aside(&self, file: &str, place: &str) -> Result<Answer, Refusal> {
        let rows = mending::aside(self.table.opened()?, file, place);
        Ok(Answer::Aside { rows })
    }

    pub(super) fn history(&self) -> Answer {
        let (past, future) = self.table.names();
        Answer::History { past, future }
    }

    pub(super) fn walk(&mut self, step: Step) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let (change, mut state) = self.table.ahead(step, || self.keeping.next(step))?;
        state.opened.folder = self.table.opened()?.folder.clone();
        self.keeping.walk(step)?;
        let in_file = self.keeping.is_file();
        self.table.walk(step, (change, in_file), state);
        self.note_saved();
        Ok(Acted::Changed)
    }
}
