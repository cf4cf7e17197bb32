//! Clients' lists at the desk: looked at first, then taken in.

use super::{Acted, Inner, nothing_open};
use crate::taking_in::Taken;
use crate::view::{Answer, ListRequest, Refusal};

impl Inner {
    pub(super) fn preview(&mut self, list: &ListRequest) -> Result<Answer, Refusal> {
        let taken = self.read_list(list)?;
        Ok(Answer::Preview {
            preview: Box::new(taken.preview()),
        })
    }

    fn read_list(&mut self, list: &ListRequest) -> Result<Taken, Refusal> {
        let remembered = self
            .memory
            .mapping(&mut self.keeping, list.client.as_deref());
        Taken::read(self.table.opened()?, list, remembered)
    }

    pub(super) fn take_in(
        &mut self,
        list: &ListRequest,
        skip: &[u32],
        delete_gone: bool,
    ) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let taken = self.read_list(list)?;
        let state = self.table.state().ok_or_else(nothing_open)?;
        let (what, after, jobs) = taken.take(state, &list.name, skip, delete_gone)?;
        self.change(&what, after)?;
        self.memory
            .learn(&mut self.keeping, list.client.as_deref(), taken.mapping());
        self.table.is_no_demo();
        Ok(Acted::Edited(jobs))
    }
}
