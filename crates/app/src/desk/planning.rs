//! Planning at the desk: by the search, and by hand.

use std::sync::Arc;

use super::doing::idle;
use super::reading::Reading;
use super::search::{Begun, Outcome, Search};
use super::{Acted, Desk, Inner, nothing_open};
use crate::by_hand::ByHand;
use crate::changes::State;
use crate::planning::PlanOptions;
use crate::prepared::Prepared;
use crate::view::{Answer, ChangeByHand, ProgressView, Refusal};

impl Desk {
    pub(super) fn plan(
        &self,
        keep: bool,
        how: (Option<f64>, Option<u32>, Option<u32>),
    ) -> Result<Acted, Refusal> {
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

    /// Stops the search and waits, with nothing locked, for its best; stops the reading of an extract.
    pub(super) fn stop(&self) -> Result<Acted, Refusal> {
        if let Some(doing) = self.lock().doing.upgrade() {
            doing.stop();
        }
        let reading = self.lock().reading.take();
        if let Some(reading) = reading {
            reading.stop();
        }
        self.stop_search()?;
        Ok(Acted::Changed)
    }

    /// It counts as under way until its best is kept: nothing else gets in between.
    fn stop_search(&self) -> Result<(), Refusal> {
        let search = {
            let mut inner = self.lock();
            let search = inner.search.take();
            if let Some(search) = &search {
                inner.stopping = Some(search.stop());
            }
            search
        };
        let Some(search) = search else {
            return Ok(());
        };
        let found = search.outcome();
        let mut inner = self.lock();
        inner.stopping = None;
        let (prepared, outcome) = found?;
        inner.keep(&prepared, outcome)
    }

    /// What a change by hand would do; worked out with nothing locked.
    pub(super) fn what_if(&self, change: ChangeByHand) -> Result<Answer, Refusal> {
        let by_hand = self.collected()?.by_hand()?;
        let outcome = by_hand.try_change(change).map(Box::new)?;
        Ok(Answer::WhatIf { outcome })
    }

    /// Makes a change by hand to the plan that it was worked out for; any other stays as it is.
    pub(super) fn change(&self, change: ChangeByHand) -> Result<Acted, Refusal> {
        let by_hand = self.collected()?.by_hand()?;
        let (words, plan) = by_hand.make(change)?;
        let mut inner = self.lock();
        inner.refuse_while_planning()?;
        let State { opened, plan: now } = inner.planned()?;
        if !now.is_some_and(|now| by_hand.is_for(&opened.prepared, &now)) {
            return Err(Refusal::coded(
                "D-AGAIN",
                "The plan has changed meanwhile; try again.",
            ));
        }
        let plan = Some(Arc::new(plan));
        inner.change(&words, State { opened, plan })?;
        inner.table.is_no_demo();
        Ok(Acted::Changed)
    }
}

impl Inner {
    pub(super) fn plan(&mut self, keep: bool, options: PlanOptions) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let opened = self.table.opened()?.clone();
        if opened.is_nothing_to_plan() {
            return Err(Refusal::coded(
                "D-EMPTY",
                "There is nothing to plan: the programme needs at least one job and one gang.",
            ));
        }
        let stands = match keep {
            true => self.planned()?.plan,
            false => self.table.state().and_then(|state| state.plan.clone()),
        };
        let begun = Begun {
            opened,
            stands,
            keep,
        };
        let search = Search::begin(begun, options);
        let progress = search.progress();
        self.search = Some(search);
        self.planned_words.clear();
        Ok(Acted::Told(Box::new(Answer::Progress { progress })))
    }

    pub(super) fn progress(&self) -> Answer {
        let search = self.search.as_ref().map(Search::progress);
        let stopping = || self.stopping.as_ref().map(|doing| doing.progress());
        let search = search.or_else(stopping);
        let reading = self.reading.as_ref().map(Reading::progress);
        let ended = || ProgressView {
            words: self.planned_words.clone(),
            ..idle()
        };
        let doing = self.doing.upgrade().map(|doing| doing.progress());
        let progress = search.or(reading).or(doing).unwrap_or_else(ended);
        Answer::Progress { progress }
    }

    /// Whoever tries changes to the plan on the table; the one before is let go.
    pub(super) fn by_hand(&mut self) -> Result<Arc<ByHand>, Refusal> {
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

    /// Keeps what a search has found for the programme that it was made for; for any other it is let go.
    pub(super) fn keep(
        &mut self,
        prepared: &Arc<Prepared>,
        outcome: Outcome,
    ) -> Result<(), Refusal> {
        let Ok(opened) = self.table.opened() else {
            return Ok(());
        };
        if !Arc::ptr_eq(&opened.prepared, prepared) {
            return Ok(());
        }
        let opened = opened.clone();
        self.planned_words = outcome.words;
        let Some(plan) = outcome.plan.map(Arc::new) else {
            return Ok(());
        };
        let plan = Some(plan);
        self.keep_at_all_costs(State { opened, plan })
    }

    /// A plan that took long to find stays on the table even where the file can't take it: the
    /// programme is then as one that is saved by hand.
    pub(super) fn keep_at_all_costs(&mut self, mut planned: State) -> Result<(), Refusal> {
        const WHAT: &str = "plan the week";
        let Err(refusal) = self.change(WHAT, planned.clone()) else {
            return Ok(());
        };
        planned.opened.also_found(self.leave_file_whole(&planned));
        self.change(WHAT, planned)?;
        Err(Refusal {
            text: format!(
                "{} The plan is here, but it is not saved yet.",
                refusal.text
            ),
            ..refusal
        })
    }
}
