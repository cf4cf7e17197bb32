//! What becomes of jobs that stand as they were issued in an earlier week.

use std::sync::Arc;

use super::hand::refuse_lost;
use super::{Acted, Inner, nothing_open};
use crate::changes::State;
use crate::edits::some;
use crate::standing::{self, Chosen};
use crate::view::Refusal;
use crate::words;

impl Inner {
    /// Records as done, each when its issue has it end, every stage of jobs that stand, or of all that do.
    pub(super) fn record_as_issued(&mut self, jobs: Option<&[String]>) -> Result<Acted, Refusal> {
        let (mut state, chosen) = self.standing(jobs)?;
        let (chosen, records, refused) = standing::done_in_turn(&state.opened, chosen)?;
        if records.is_empty() {
            return Err(nothing_left());
        }
        let (jobs, many) = (some(&chosen.jobs()), records.len());
        chosen.let_go(&mut state.opened);
        let diary = Arc::make_mut(&mut state.opened.diary);
        diary.records.extend(records);
        let (are, each) = match many {
            1 => ("is", "when its issue has it end"),
            _ => ("are", "each when its issue has it end"),
        };
        let stages = words::count(many, "stage", "stages");
        let told = format!(
            "{stages} of {jobs} {are} recorded as done, {each}.{}{}",
            chosen.others_told(),
            out_of_turn(&refused)
        );
        self.standing_no_more(&format!("record {jobs} as done as issued"), state)?;
        let jobs = chosen.jobs();
        Ok(Acted::Did { jobs, told })
    }

    /// Has jobs that stand, or all that do, planned like any other.
    pub(super) fn bring_over(&mut self, jobs: Option<&[String]>) -> Result<Acted, Refusal> {
        let (mut state, chosen) = self.standing(jobs)?;
        chosen.let_go(&mut state.opened);
        let jobs = some(&chosen.jobs());
        let (are, they) = match chosen.entries.len() {
            1 => ("is", "it"),
            _ => ("are", "them"),
        };
        let told = format!(
            "{jobs} {are} brought over; plan the rest to plan {they} in this week.{}",
            chosen.others_told()
        );
        self.standing_no_more(&format!("bring {jobs} over"), state)?;
        let jobs = chosen.jobs();
        Ok(Acted::Did { jobs, told })
    }

    /// What lies on the desk, and those of some jobs that stand.
    fn standing(&self, jobs: Option<&[String]>) -> Result<(State, Chosen), Refusal> {
        self.refuse_while_planning()?;
        let state = self.table.state().ok_or_else(nothing_open)?.clone();
        refuse_lost(&state.opened.diary)?;
        let chosen = standing::chosen(&state, jobs)?;
        Ok((state, chosen))
    }

    fn standing_no_more(&mut self, what: &str, state: State) -> Result<(), Refusal> {
        self.change(what, state)?;
        self.table.is_no_demo();
        Ok(())
    }
}

/// What is said of jobs that are left standing because what was recorded of them doesn't go with their issue.
fn out_of_turn(jobs: &[String]) -> String {
    if jobs.is_empty() {
        return String::new();
    }
    let (stands, them) = match jobs.len() {
        1 => ("stands still: what was recorded of it does", "it"),
        _ => (
            "stand still: what was recorded of them does",
            "each of them",
        ),
    };
    format!(
        " {} {stands} not go with the issue; record {them} stage by stage.",
        some(jobs)
    )
}

/// Where more is left of the jobs than was issued.
fn nothing_left() -> Refusal {
    Refusal::coded(
        "D-NOTHING",
        "Nothing is left to record: every stage that was issued is recorded as done already. Bring over what is left \
         to plan it in this week.",
    )
}
