//! How the desk answers with the sheet: whole, or by what has changed of it.

use std::sync::Arc;
use std::time::Duration;

use super::settling::{Ended, Settled, Settling};
use super::shown::Shown;
use super::{Acted, Desk, Inner, nothing_open};
use crate::saving;
use crate::view::{Answer, Refusal, Sheet, SheetPatch};

/// How long an edit of a week of few jobs waits for what takes long; most often it is there by then.
const PATIENCE: Duration = Duration::from_millis(40);
/// Up to so many jobs the file gets its closures after each edit; beyond, when the plan has changed,
/// and when it is saved or let go.
const FEW_JOBS: usize = 500;

impl Desk {
    /// The answer with the whole sheet, everything worked out.
    pub(super) fn whole(&self, acted: Acted) -> Result<Answer, Refusal> {
        if let Acted::Told(answer) = acted {
            return Ok(*answer);
        }
        let sheet = self.whole_sheet()?;
        match acted {
            Acted::Saved(folder) => {
                let sheet = sheet.ok_or_else(nothing_open)?;
                Ok(Answer::Saved { folder, sheet })
            }
            Acted::Edited(jobs) => {
                let sheet = sheet.ok_or_else(nothing_open)?;
                let told = None;
                Ok(Answer::Edited { sheet, jobs, told })
            }
            Acted::Did { jobs, told } => {
                let (sheet, told) = (sheet.ok_or_else(nothing_open)?, Some(told));
                Ok(Answer::Edited { sheet, jobs, told })
            }
            Acted::Told(_) | Acted::Looked | Acted::Changed => Ok(Answer::Sheet { sheet }),
        }
    }

    fn whole_sheet(&self) -> Result<Option<Box<Sheet>>, Refusal> {
        loop {
            let Some(settling) = self.lock().settling() else {
                return Ok(None);
            };
            let ended = settling.wait(None);
            let mut inner = self.lock();
            if let Some((settled, _)) = inner.settled(&settling) {
                return Ok(Some(Box::new(settled.sheet)));
            }
            if ended == Ended::Failed && settling.is_of_latest(&inner) {
                return Err(Refusal::coded(
                    "D-FAULT",
                    "Working the sheet out ended in a fault of the program; the programme is as it is.",
                ));
            }
        }
    }

    /// The answer with what has changed since this edition, where the desk still knows it.
    pub(super) fn since(&self, edition: u32, acted: Acted) -> Result<Answer, Refusal> {
        if matches!(acted, Acted::Told(_)) {
            return self.whole(acted);
        }
        let quick = self.lock().quick(edition);
        let Some((mut patch, settling)) = quick else {
            return self.whole(acted);
        };
        if let Some(settling) = settling {
            let patience = match acted {
                Acted::Looked => None,
                _ if self.lock().is_small() => Some(PATIENCE),
                _ => Some(Duration::ZERO),
            };
            settling.wait(patience);
            if let Some((_, more)) = self.lock().settled(&settling) {
                patch.then(more);
            }
        }
        let (jobs, told) = match acted {
            Acted::Edited(jobs) => (jobs, None),
            Acted::Did { jobs, told } => (jobs, Some(told)),
            _ => Default::default(),
        };
        let patch = Box::new(patch);
        Ok(Answer::Patched { patch, jobs, told })
    }
}

impl Settling {
    /// Whether nothing was changed since it began.
    fn is_of_latest(&self, inner: &Inner) -> bool {
        self.edition() == inner.table.edition()
    }
}

impl Inner {
    /// What is worked out, or will be, of the programme as it lies there.
    fn settling(&mut self) -> Option<Settling> {
        let state = self.table.state()?.clone();
        let edition = self.table.edition();
        if let Some(settling) = self.settling.take_if(|one| !one.is_of(edition)) {
            settling.let_go();
        }
        let begin = || {
            let turn = Arc::clone(&self.turn);
            Settling::begin(state, edition, self.keeping.is_file(), turn)
        };
        Some(self.settling.get_or_insert_with(begin).clone())
    }

    /// What has changed at once since this edition, and what is still to come.
    fn quick(&mut self, edition: u32) -> Option<(SheetPatch, Option<Settling>)> {
        let state = self.table.state()?.clone();
        let mut shown = self.shown.take_if(|shown| shown.edition == edition)?;
        let patch = shown.quick(&state, &self.table)?;
        let is_settled = shown.settled;
        self.shown = Some(shown);
        let settling = if is_settled { None } else { self.settling() };
        Some((patch, settling))
    }

    /// Takes what was worked out, unless something was changed meanwhile, with what it changes of
    /// what was shown.
    fn settled(&mut self, settling: &Settling) -> Option<(Settled, SheetPatch)> {
        if !settling.is_of_latest(self) {
            return None;
        }
        let mut settled = settling.take()?;
        self.settling = None;
        self.give_closures(settled.closures.take());
        let edition = self.table.edition();
        let before = self.shown.take_if(|shown| shown.edition == edition);
        if before.as_ref().is_some_and(|shown| !shown.settled) {
            self.table.tick();
        }
        self.table.fill(&mut settled.sheet);
        settled.marks.fill(self.table.of_desk());
        let before = before.map_or_else(Default::default, |shown| shown.marks);
        let patch = settled.marks.since(&before, &mut settled.sheet, edition);
        self.shown = Some(Shown {
            edition: self.table.edition(),
            state: self.table.state()?.clone(),
            marks: settled.marks.clone(),
            settled: true,
        });
        Some((settled, patch))
    }

    /// Whether what takes long takes no longer than somebody waits for.
    fn is_small(&self) -> bool {
        let state = self.table.state();
        state.is_none_or(|state| state.opened.prepared.programme.jobs.len() <= FEW_JOBS)
    }

    fn give_closures(&mut self, closures: Option<Vec<u8>>) {
        let few = self.is_small();
        let Some(state) = self.table.state() else {
            return;
        };
        let same = match (&self.closures_of, &state.plan) {
            (Some(before), Some(now)) => Arc::ptr_eq(before, now),
            (None, None) => true,
            _ => false,
        };
        if (few || !same) && closures.is_some() == state.plan.is_some() {
            self.closures_of.clone_from(&state.plan);
            self.keeping.put_closures(|| closures);
        }
    }

    /// Gives the file what is due there, before it is let go.
    pub(super) fn finish_closures(&mut self) {
        let Some(state) = self.table.state() else {
            return;
        };
        let closures = || saving::closures_of(&state.opened, state.plan.as_deref());
        self.keeping.put_closures(closures);
    }
}
