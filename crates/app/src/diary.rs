//! The diary of a programme: plans as they were issued, and what was done on the spot.

use chrono::{NaiveDate, NaiveDateTime};
use gangday_model::{Change, ChangeKind, Finding, JobId, Plan, Stage, VisitStatus};
use serde::{Deserialize, Serialize};

use crate::opened::Opened;
use crate::view::{ChangeView, IssueView, RecordView};
use crate::{sheet, words};

/// A plan that was issued; it never changes again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Issue {
    /// Its number, from 1.
    pub number: u32,
    /// The date that it carries.
    pub on: NaiveDate,
    /// The plan.
    pub plan: Plan,
}

/// A stage that was done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Record {
    /// The job.
    pub job: JobId,
    /// The stage.
    pub stage: Stage,
    /// When it ended.
    pub at: NaiveDateTime,
    /// When the plan had it end when that was first written down.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due: Option<NaiveDateTime>,
}

/// What was issued and what was done.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Diary {
    /// Plans that were issued, by number.
    #[serde(default)]
    pub issues: Vec<Issue>,
    /// Stages that were done, in the order in which they were recorded.
    #[serde(default)]
    pub records: Vec<Record>,
}

impl Diary {
    /// Whether nothing is in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.issues.is_empty() && self.records.is_empty()
    }

    /// The plan that was issued under a number.
    #[must_use]
    pub fn issue(&self, number: u32) -> Option<&Issue> {
        self.issues.iter().find(|issue| issue.number == number)
    }

    /// Writes down a stage as done at a time, or takes that back; `due` is when the plan has it end.
    pub fn record(
        &mut self,
        (job, stage): (&JobId, Stage),
        at: Option<NaiveDateTime>,
        due: Option<NaiveDateTime>,
    ) {
        let own = |record: &Record| (&record.job, record.stage) == (job, stage);
        let before = self.records.iter().find(|record| own(record));
        // The plan has followed what was written down first.
        let due = before.map_or(due, |before| before.due);
        self.records.retain(|record| !own(record));
        self.records.extend(at.map(|at| Record {
            job: job.clone(),
            stage,
            at,
            due,
        }));
    }
}

/// The diary's file.
#[must_use]
pub fn write(diary: &Diary) -> Vec<u8> {
    serde_json::to_vec_pretty(diary).unwrap_or_default()
}

/// A diary from its file.
///
/// # Errors
/// A fault where the file is no diary; it says where.
pub fn read(bytes: &[u8]) -> Result<Diary, Box<Finding>> {
    serde_json::from_slice(bytes).map_err(|error| {
        Box::new(Finding::fault(
            "F-DIARY",
            format!("the diary of issues and records can't be read: {error}"),
            "put back the last diary.json that was whole; without it the programme opens, but its issues are not there",
        ))
    })
}

/// The issues as they are shown; the one that lies on the desk unchanged is marked.
#[must_use]
pub fn issues(diary: &Diary, opened: &Opened, plan: Option<&Plan>) -> Vec<IssueView> {
    let view = |issue: &Issue| IssueView {
        number: issue.number,
        on: issue.on.to_string(),
        summary: sheet::summary(opened, &issue.plan),
        current: plan.is_some_and(|plan| is_same(plan, &issue.plan)),
    };
    diary.issues.iter().map(view).collect()
}

/// Whether two plans send the same gangs to the same visits at the same times; what was done since,
/// or is locked, makes no other plan of it.
fn is_same(one: &Plan, other: &Plan) -> bool {
    let visits = |plan: &Plan| -> Vec<_> {
        let of_route = |route: &gangday_model::Route| {
            let (gang, date) = (route.gang.clone(), route.date);
            let visit = move |visit: &gangday_model::Visit| {
                let what = (visit.job.clone(), visit.stage);
                (gang.clone(), date, what, visit.start, visit.finish)
            };
            route.visits.iter().map(visit).collect::<Vec<_>>()
        };
        plan.routes.iter().flat_map(of_route).collect()
    };
    visits(one) == visits(other)
}

/// The records as they are shown.
#[must_use]
pub fn records(diary: &Diary) -> Vec<RecordView> {
    let view = |record: &Record| RecordView {
        job: record.job.to_string(),
        stage: words::stage_key(record.stage).to_owned(),
        date: record.at.date().to_string(),
        at: words::minutes_of(record.at, record.at.date()),
        late: record
            .due
            .map(|due| i32::try_from((record.at - due).num_minutes()).unwrap_or(i32::MAX)),
    };
    diary.records.iter().map(view).collect()
}

/// A change as it is shown.
#[must_use]
pub fn change(change: &Change) -> ChangeView {
    let kind = match change.kind {
        ChangeKind::Added => "added",
        ChangeKind::Dropped => "dropped",
        ChangeKind::Gang => "gang",
        ChangeKind::Day => "day",
        ChangeKind::Time => "time",
    };
    ChangeView {
        job: change.job.to_string(),
        kind: kind.to_owned(),
        text: change.text.clone(),
    }
}

/// The key of why a visit stays.
#[must_use]
pub const fn status_key(status: VisitStatus) -> &'static str {
    match status {
        VisitStatus::Done => "done",
        VisitStatus::Locked => "locked",
    }
}
