//! Clients' lists at the desk: looked at first, then taken in.

use std::sync::Arc;

use super::doing::Doing;
use super::{Acted, Desk, Inner, nothing_open};
use crate::changes::State;
use crate::edits::staying;
use crate::taking_in::Taken;
use crate::view::{Answer, ListRequest, Refusal};
use crate::watching::{Stopped, Watch};

/// What taking a list in comes to: what it is called, the state after it, the jobs that are new or changed.
type TakenIn = (Taken, (String, State, Vec<String>));

impl Desk {
    /// Takes a list in, with nothing locked: others may see how far it is, and stop it.
    pub(super) fn take_in(
        &self,
        list: &ListRequest,
        skip: &[u32],
        delete_gone: bool,
    ) -> Result<Acted, Refusal> {
        let (doing, state, remembered) = {
            let mut inner = self.collected()?;
            inner.refuse_while_planning()?;
            let state = inner.table.state().cloned().ok_or_else(nothing_open)?;
            let remembered = inner.remembered_mapping(list);
            let doing = Doing::begin_whole("Taking the list in", &format!("Reading {}", list.name));
            inner.doing = Arc::downgrade(&doing);
            (doing, state, remembered)
        };
        let work = |watch: Watch<'_>| -> Result<TakenIn, Refusal> {
            let taken = Taken::read(&state.opened, list, remembered, watch.part(0.0, 0.4))?;
            let how = (skip, delete_gone);
            let after = taken.take(&state, &list.name, how, watch.part(0.4, 0.95))?;
            watch
                .part(0.95, 1.0)
                .begin("Putting it into the programme")?;
            Ok((taken, after))
        };
        let (taken, (what, after, jobs)) = doing.watched(work)?;
        let mut inner = self.lock();
        // From here on it is done whole, and no longer stopped.
        if doing.is_stopped() {
            return Err(Stopped.into());
        }
        drop(doing);
        inner.refuse_unless_as(&state)?;
        inner.change(&what, after)?;
        inner.learn(list, &taken);
        Ok(Acted::Edited(jobs))
    }
}

impl Inner {
    pub(super) fn preview(&mut self, list: &ListRequest) -> Result<Answer, Refusal> {
        let remembered = self.remembered_mapping(list);
        let taken = Taken::read(self.table.opened()?, list, remembered, Watch::NOBODY)?;
        let state = self.table.state().ok_or_else(nothing_open)?;
        let mut preview = Box::new(taken.preview(&list.also));
        let staying = staying(state);
        let gone = preview.gone.iter();
        preview.staying = gone
            .filter(|id| staying.contains_key(id.as_str()))
            .cloned()
            .collect();
        Ok(Answer::Preview { preview })
    }

    fn remembered_mapping(&mut self, list: &ListRequest) -> Option<gangday_files::PointMapping> {
        let client = list.client.as_deref();
        self.memory.mapping(&mut self.keeping, client)
    }

    /// What was worked out for another state than the one on the table is of no use.
    fn refuse_unless_as(&self, state: &State) -> Result<(), Refusal> {
        let now = self.table.state().ok_or_else(nothing_open)?;
        let same_plan = match (&now.plan, &state.plan) {
            (Some(now), Some(then)) => Arc::ptr_eq(now, then),
            (now, then) => now.is_none() && then.is_none(),
        };
        if same_plan && Arc::ptr_eq(&now.opened.prepared, &state.opened.prepared) {
            return Ok(());
        }
        Err(Refusal::plain(
            "The programme has changed meanwhile; try again.",
        ))
    }

    fn learn(&mut self, list: &ListRequest, taken: &Taken) {
        let client = list.client.as_deref();
        self.memory
            .learn(&mut self.keeping, client, taken.mapping());
        self.table.is_no_demo();
    }
}
