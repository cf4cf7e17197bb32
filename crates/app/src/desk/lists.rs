//! Clients' lists at the desk: looked at first, then taken in.

use std::sync::Arc;

use gangday_files::PointMapping;

use super::doing::Doing;
use super::{Acted, Desk, Inner, nothing_open};
use crate::changes::State;
use crate::edits::staying;
use crate::taking_in::Taken;
use crate::view::{Answer, ListRequest, PreviewView, Refusal};
use crate::watching::{Stopped, Watch};

/// What taking a list in comes to: what it is called, the state after it, the jobs that are new or changed.
type TakenIn = (Taken, (String, State, Vec<String>));

/// A list that is begun: what is done, the programme that it is for, how one of this client was matched before.
type Begun = (Arc<Doing>, State, Option<PointMapping>);

impl Desk {
    /// What a list would do, worked out with nothing locked and nothing changed: others may see how far it
    /// is, and stop it.
    pub(super) fn preview(&self, list: &ListRequest) -> Result<Answer, Refusal> {
        let (doing, state, remembered) = self.begin_list("Looking at the list", list)?;
        let look = |watch: Watch<'_>| -> Result<PreviewView, Refusal> {
            let taken = Taken::read(&state.opened, list, remembered, watch.part(0.0, 0.95))?;
            watch.part(0.95, 1.0).begin("Showing what it would do")?;
            Ok(taken.preview(&list.also))
        };
        let mut preview = Box::new(doing.watched(look)?);
        if doing.is_stopped() {
            return Err(Stopped.into());
        }
        let staying = staying(&state);
        let gone = preview.gone.iter();
        preview.staying = gone
            .filter(|id| staying.contains_key(id.as_str()))
            .cloned()
            .collect();
        Ok(Answer::Preview { preview })
    }

    fn begin_list(&self, title: &str, list: &ListRequest) -> Result<Begun, Refusal> {
        let mut inner = self.collected()?;
        inner.refuse_while_planning()?;
        let state = inner.table.state().cloned().ok_or_else(nothing_open)?;
        let remembered = inner.remembered_mapping(list);
        let doing = Doing::begin_whole(title, &format!("Reading {}", list.name));
        inner.doing = Arc::downgrade(&doing);
        Ok((doing, state, remembered))
    }

    /// Takes a list in, with nothing locked: others may see how far it is, and stop it.
    pub(super) fn take_in(
        &self,
        list: &ListRequest,
        skip: &[u32],
        delete_gone: bool,
    ) -> Result<Acted, Refusal> {
        let (doing, state, remembered) = self.begin_list("Taking the list in", list)?;
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
    fn remembered_mapping(&mut self, list: &ListRequest) -> Option<PointMapping> {
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
        Err(Refusal::coded(
            "D-AGAIN",
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
