//! Changes by hand: what one would do before it is made, and the plan once it is.
//!
//! Setting the board up takes as long as posing the whole problem; each answer then only touches the
//! gang-days concerned. The board lives on a thread of its own, so that it can keep what it worked out
//! and no lock is held meanwhile.

mod again;
mod asked;
mod board;
mod made;
mod part;
mod rules;
mod takes;
mod told;

use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::spawn;

use gangday_model::Plan;

use crate::prepared::Prepared;
use crate::view::{ChangeByHand, Refusal, WhatIfView};

pub use again::timed_anew;
use board::Board;
pub use made::key;
pub use part::{Whole, timed_in_part};

/// A plan with a change made, and the change in words.
pub type Made = (String, Plan);

/// One question, and where its answer goes.
enum Question {
    Try(ChangeByHand, Sender<Result<WhatIfView, Refusal>>),
    Make(ChangeByHand, Sender<Result<Made, Refusal>>),
}

/// A plan that changes by hand can be tried on; ends with its last owner.
pub struct ByHand {
    prepared: Arc<Prepared>,
    plan: Arc<Plan>,
    questions: Mutex<Sender<Question>>,
}

impl ByHand {
    /// Begins to set the board up.
    #[must_use]
    pub fn begin(prepared: &Arc<Prepared>, plan: &Arc<Plan>) -> Self {
        let (questions, asked) = channel();
        let own = (Arc::clone(prepared), Arc::clone(plan));
        spawn(move || answer(&own.0, &own.1, &asked));
        Self {
            prepared: Arc::clone(prepared),
            plan: Arc::clone(plan),
            questions: Mutex::new(questions),
        }
    }

    /// Whether it is for this very plan.
    #[must_use]
    pub fn is_for(&self, prepared: &Arc<Prepared>, plan: &Arc<Plan>) -> bool {
        Arc::ptr_eq(&self.prepared, prepared) && Arc::ptr_eq(&self.plan, plan)
    }

    /// What a change would do.
    ///
    /// # Errors
    /// Where it names what is not there, or changes nothing.
    pub fn try_change(&self, change: ChangeByHand) -> Result<WhatIfView, Refusal> {
        self.ask(|answer| Question::Try(change, answer))
    }

    /// The plan with a change made.
    ///
    /// # Errors
    /// Where it names what is not there, changes nothing, or can only be tried.
    pub fn make(&self, change: ChangeByHand) -> Result<Made, Refusal> {
        self.ask(|answer| Question::Make(change, answer))
    }

    fn ask<T>(
        &self,
        question: impl FnOnce(Sender<Result<T, Refusal>>) -> Question,
    ) -> Result<T, Refusal> {
        let (answer, answered) = channel();
        let questions = || {
            self.questions
                .lock()
                .unwrap_or_else(PoisonError::into_inner)
        };
        let sent = questions().send(question(answer)).ok();
        let answered = sent.and_then(|()| answered.recv().ok());
        answered.unwrap_or_else(|| {
            Err(Refusal::coded(
                "D-FAULT",
                "Trying the change ended in a fault of the program; the plan is as it was.",
            ))
        })
    }
}

/// Answers until nobody can ask any more. Whoever no longer waits for an answer misses nothing.
fn answer(prepared: &Prepared, plan: &Plan, asked: &Receiver<Question>) {
    let board = Board::of(prepared, plan);
    let what_if = board.what_if();
    while let Ok(question) = asked.recv() {
        match question {
            Question::Try(change, answer) => {
                let _ = answer.send(board.try_change(&what_if, &change));
            }
            Question::Make(change, answer) => {
                let _ = answer.send(board.make(&what_if, &change));
            }
        }
    }
}

#[cfg(test)]
mod tests;
