//! What was done of a job before the week on the desk began, and is recorded only now.

use std::collections::HashSet;
use std::sync::Arc;

use chrono::NaiveDateTime;
use gangday_model::{JobId, Plan, Reason, Stage, Unplanned, Visit};

use super::hand::refuse_lost;
use super::{Acted, Inner, nothing_open};
use crate::by_hand::{Whole, timed_anew, timed_in_part};
use crate::changes::State;
use crate::following::{BEGUN, no_bound, since};
use crate::opened::Opened;
use crate::view::Refusal;
use crate::{credible, edits, over, words};

impl Inner {
    /// Whether a time is before the week on the desk.
    pub(super) fn is_earlier(&self, at: NaiveDateTime) -> bool {
        let week = self
            .table
            .opened()
            .map(|opened| &opened.prepared.programme.week);
        week.is_ok_and(|week| at.date() < week.first_day)
    }

    /// Whether a stage is written down as done before the week on the desk.
    pub(super) fn was_earlier(&self, job: &JobId, stage: Stage) -> bool {
        let opened = self.table.opened();
        let records = opened.map(|opened| opened.diary.records.as_slice());
        let mut own = records.unwrap_or_default().iter();
        own.any(|record| (&record.job, record.stage) == (job, stage) && self.is_earlier(record.at))
    }

    /// Records a stage as done in an earlier week, whether its job is in this week's plan or not, or takes that back;
    /// what is left of the job has to be planned again.
    pub(super) fn record_earlier(
        &mut self,
        (job, stage): (&JobId, Stage),
        at: Option<NaiveDateTime>,
    ) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let State { mut opened, plan } = self.table.state().ok_or_else(nothing_open)?.clone();
        if let Some(at) = at {
            refuse_unless_there(&opened, (job, stage))?;
            credible::refuse_out_of_turn(&opened.diary.records, (job, stage), at)?;
        }
        if let Some(visit) = plan.as_deref().and_then(|plan| fixed(plan, job)) {
            return Err(in_this_week(visit));
        }
        refuse_lost(&opened.diary)?;
        let before = Arc::clone(&opened.prepared);
        Arc::make_mut(&mut opened.diary).record((job, stage), at, None);
        opened.look_back(plan.as_deref());
        let plan = plan.map(|plan| {
            let before = Whole {
                prepared: &before,
                plan: &plan,
            };
            Arc::new(without(before, &opened, job))
        });
        let word = words::stage(stage).to_lowercase();
        let what = match at {
            Some(_) => format!("record {word} of {job} as done in an earlier week"),
            None => format!("take back that {word} of {job} was done"),
        };
        self.change(&what, State { opened, plan })?;
        self.table.is_no_demo();
        Ok(Acted::Changed)
    }
}

fn refuse_unless_there(opened: &Opened, (job, stage): (&JobId, Stage)) -> Result<(), Refusal> {
    let prepared = &opened.prepared;
    let at = prepared.index_of(job);
    let at = at.ok_or_else(|| Refusal::coded("D-NONE", &format!("There is no job {job}.")))?;
    let work = prepared.works[at].as_deref();
    let mut stages = work.iter().flat_map(|work| &work.stages);
    if stages.any(|own| own.stage == stage) || opened.diary.has(job, stage) {
        return Ok(());
    }
    let stage = words::stage(stage).to_lowercase();
    Err(Refusal::coded(
        "D-NONE",
        &format!("{job} has no stage {stage} left to be done."),
    ))
}

/// A visit of a job that is done or locked in a plan, if any is.
fn fixed<'a>(plan: &'a Plan, job: &JobId) -> Option<&'a Visit> {
    let mut visits = plan.visits();
    visits.find(|visit| visit.job == *job && visit.status.is_some())
}

fn in_this_week(visit: &Visit) -> Refusal {
    Refusal::coded(
        "D-STAYS",
        &format!(
            "Something of {} is done or locked on {}, in this week's plan. Take that back or unlock it first.",
            visit.job,
            words::day(visit.start.date())
        ),
    )
}

/// The plan without a job, which is told to be done, or has to be planned again.
fn without(before: Whole<'_>, opened: &Opened, job: &JobId) -> Plan {
    let mut next = edits::without(before.plan, &[job.to_string()]);
    let reason = over::reasons(opened, Some(&next)).remove(job);
    let reason: Reason = reason.unwrap_or_else(|| match opened.prepared.is_begun(job) {
        true => since(BEGUN),
        false => since("All of it is still to be done"),
    });
    next.unplanned.push(Unplanned {
        job: job.clone(),
        reasons: vec![reason.clone()],
    });
    next.unplanned.sort_by(|one, other| one.job.cmp(&other.job));
    next.bound = next.bound.as_ref().map(no_bound);
    let prepared = &*opened.prepared;
    let after = Whole {
        prepared,
        plan: &next,
    };
    let in_part = timed_in_part(before, after, &HashSet::from([job]), &reason);
    in_part.unwrap_or_else(|| timed_anew(prepared, &next, &reason))
}
