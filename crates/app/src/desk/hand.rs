//! What a supervisor does to a plan by hand: lock, record, issue, compare.

use std::collections::HashSet;
use std::sync::Arc;

use chrono::{NaiveDate, NaiveDateTime};
use gangday_model::{JobId, Plan, Stage, Visit, VisitStatus};

use super::{Acted, Inner, nothing_open};
use crate::changes::State;
use crate::comparing::{Figures, Side};
use crate::diary::{Diary, Issue};
use crate::opened::Opened;
use crate::view::{Answer, PlannedWork, Refusal};
use crate::{as_planned, comparing, credible, recorded, words};

impl Inner {
    /// Locks the visits of jobs, or unlocks them; what is done stays done.
    pub(super) fn mark(&mut self, jobs: &[String], locked: bool) -> Result<Acted, Refusal> {
        let wanted: Vec<JobId> = jobs.iter().map(JobId::new).collect();
        let what = match (locked, wanted.as_slice()) {
            (true, [one]) => format!("lock {one}"),
            (false, [one]) => format!("unlock {one}"),
            (true, all) => format!("lock {}", words::count(all.len(), "job", "jobs")),
            (false, all) => format!("unlock {}", words::count(all.len(), "job", "jobs")),
        };
        let status = locked.then_some(VisitStatus::Locked);
        let set = |visit: &mut Visit| {
            let open = visit.status != Some(VisitStatus::Done);
            if open && wanted.contains(&visit.job) {
                visit.status = status;
            }
        };
        self.annotate(&what, set, |_| {}, |_, plan| plan)
    }

    /// Records a stage as done at a time, or takes the record back.
    pub(super) fn record(
        &mut self,
        job: &str,
        stage: &str,
        at: Option<&str>,
    ) -> Result<Acted, Refusal> {
        let job = JobId::new(job);
        let at = at.map(time_of).transpose()?;
        let stage: Stage = serde_json::from_value(stage.into())
            .map_err(|_| Refusal::coded("D-ASKED", &format!("{stage} is no stage of a job.")))?;
        let was_earlier = || at.is_none() && self.was_earlier(&job, stage);
        if at.is_some_and(|at| self.is_earlier(at)) || was_earlier() {
            return self.record_earlier((&job, stage), at);
        }
        let planned = self.planned()?;
        let before = planned.plan.unwrap_or_default();
        let mut visits = before.visits();
        let visit = visits.find(|visit| visit.job == job && visit.stage == stage);
        let none = || format!("{job} has no such stage in the plan; plan it first.");
        // What was done in an earlier week can only be taken back.
        let is_back = at.is_none() && planned.opened.diary.has(&job, stage);
        let due = match visit {
            None if !is_back => return Err(Refusal::coded("D-PLAN", &none())),
            visit => visit.map(|visit| visit.finish),
        };
        if let Some(at) = at {
            credible::refuse_unless_possible(&planned.opened, &before, (&job, stage), at)?;
        }
        let word = words::stage(stage).to_lowercase();
        let what = match at {
            Some(_) => format!("record {word} of {job} as done"),
            None => format!("take back that {word} of {job} was done"),
        };
        let status = at.map(|_| VisitStatus::Done);
        let set = |visit: &mut Visit| {
            if visit.job == job && visit.stage == stage {
                visit.status = status;
            }
        };
        let note = |diary: &mut Diary| diary.record((&job, stage), at, due);
        let carried_on =
            |opened: &Opened, plan: Plan| recorded::carried_on(opened, (&before, plan), &job);
        self.annotate(&what, set, note, carried_on)
    }

    /// Records as done, each when the plan has it end, every stage of some work that is not recorded yet. Nothing
    /// is timed anew: the plan has it all there already.
    pub(super) fn record_as_planned(&mut self, work: &PlannedWork) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let planned = self.planned()?;
        let plan = planned.plan.as_deref().cloned().unwrap_or_default();
        let found = as_planned::of(&planned.opened, &plan, work)?;
        let records = found.records.iter();
        let done: HashSet<(&JobId, Stage)> =
            records.map(|record| (&record.job, record.stage)).collect();
        let set = |visit: &mut Visit| {
            if done.contains(&(&visit.job, visit.stage)) {
                visit.status = Some(VisitStatus::Done);
            }
        };
        let note = |diary: &mut Diary| diary.records.extend(found.records.iter().cloned());
        self.annotate(&found.what, set, note, |_, plan| plan)?;
        let (jobs, told) = (found.jobs(), found.told());
        Ok(Acted::Did { jobs, told })
    }

    /// Freezes the plan under the next number, for good: no step back or forth takes an issue away.
    pub(super) fn issue(&mut self, on: &str) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let on: NaiveDate = on.parse().map_err(|_| {
            Refusal::coded("D-ASKED", &format!("{on} is no date such as 2027-02-25."))
        })?;
        let state = self.planned()?;
        let broken = crate::reports::broken_rules(&state.opened, &plan_of(&state));
        if !broken.is_empty() {
            let text = "The plan breaks rules, so it can't be issued. Put them right first.";
            return Err(Refusal::because(text, &broken));
        }
        let State { mut opened, plan } = state;
        refuse_lost(&opened.diary)?;
        let number = opened.diary.next_number();
        let plan_as_issued = plan.as_deref().cloned().unwrap_or_default();
        let figures = Figures::of(&opened, &plan_as_issued);
        let diary = Arc::make_mut(&mut opened.diary);
        Arc::make_mut(&mut diary.issues).push(Issue {
            number,
            on,
            figures: Some(figures),
            plan: plan_as_issued,
        });
        // No step of the history: it would take back what others hold in their hands.
        let kept = self.keeping.put_issues(&opened.diary)?;
        self.table.issued(State { opened, plan }, kept);
        self.table.is_no_demo();
        Ok(Acted::Changed)
    }

    /// Two plans, each by the number of its issue, or 0 for what is on the desk.
    pub(super) fn compare(&self, one: u32, other: u32) -> Result<Answer, Refusal> {
        let state = self.table.state().ok_or_else(nothing_open)?;
        let (left, right) = (side(state, one)?, side(state, other)?);
        let comparison = comparing::compare(&state.opened, &left, &right);
        Ok(Answer::Comparison {
            comparison: Box::new(comparison),
        })
    }

    /// Changes every visit and the diary, and what comes of that, as one change that can be taken back.
    fn annotate(
        &mut self,
        what: &str,
        set: impl Fn(&mut Visit),
        note: impl FnOnce(&mut Diary),
        then: impl FnOnce(&Opened, Plan) -> Plan,
    ) -> Result<Acted, Refusal> {
        self.refuse_while_planning()?;
        let State { mut opened, .. } = self.planned()?;
        let mut plan = plan_of(&self.planned()?);
        let routes = plan.routes.iter_mut();
        routes.flat_map(|route| &mut route.visits).for_each(set);
        let mut noted = Diary::clone(&opened.diary);
        note(&mut noted);
        if noted.records != opened.diary.records {
            refuse_lost(&noted)?;
            opened.diary = Arc::new(noted);
        }
        let plan = Some(Arc::new(then(&opened, plan)));
        self.change(what, State { opened, plan })?;
        self.table.is_no_demo();
        Ok(Acted::Changed)
    }
}

/// What is written down would be written over a diary that somebody may still put back.
pub(super) fn refuse_lost(diary: &Diary) -> Result<(), Refusal> {
    if diary.lost {
        return Err(Refusal::coded(
            "F-DIARY",
            "The diary of this programme can't be read, so which plans were issued is not known. Put back the \
             last diary.json and issues.json that were whole.",
        ));
    }
    Ok(())
}

fn plan_of(state: &State) -> Plan {
    state.plan.as_deref().cloned().unwrap_or_default()
}

fn side(state: &State, number: u32) -> Result<Side<'_>, Refusal> {
    if number == 0 {
        let nothing = || {
            Refusal::coded(
                "D-PLAN",
                "There is no plan on the desk yet; plan the week first.",
            )
        };
        return Ok(Side {
            name: "On the desk".to_owned(),
            plan: state.plan.as_deref().ok_or_else(nothing)?,
            figures: None,
        });
    }
    let issue = state.opened.diary.issue(number);
    let issue = issue.ok_or_else(|| {
        Refusal::coded(
            "D-NONE",
            &format!("No plan was issued under number {number}."),
        )
    })?;
    Ok(Side {
        name: format!("Issue {number}, {}", words::day(issue.on)),
        plan: &issue.plan,
        figures: issue.figures.as_ref(),
    })
}

/// `2027-03-01T10:35`.
fn time_of(text: &str) -> Result<NaiveDateTime, Refusal> {
    NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M").map_err(|_| {
        Refusal::coded(
            "D-ASKED",
            &format!("{text} is no date and time such as 2027-03-01T10:35."),
        )
    })
}
