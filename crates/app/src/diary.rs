//! The diary of a programme: plans as they were issued, and what was done on the spot.

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{NaiveDate, NaiveDateTime};
use gangday_model::{Change, ChangeKind, Finding, GangId, JobId, Plan, Stage, VisitStatus};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use crate::comparing::Figures;
use crate::opened::{DIARY, ISSUES, Opened};
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
    /// What it came to by the programme that it was issued of; none of issues of earlier versions.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub figures: Option<Figures>,
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

/// A job, or what is left of one, that stands as it was issued on a day before the week on the desk.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Standing {
    /// The job.
    pub job: JobId,
    /// The gang that it was issued to.
    pub gang: GangId,
    /// The last day on which its issue has it.
    pub date: NaiveDate,
    /// What its issue calls it, where it was renamed since.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub issued_as: Option<JobId>,
}

/// What was issued and what was done.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Diary {
    /// Plans that were issued, by number. They have a file of their own, which no step of the history touches;
    /// every diary of one programme shares them.
    #[serde(skip)]
    pub issues: Arc<Vec<Issue>>,
    /// Issues that an earlier version wrote into the diary's file, where steps of its history still find them.
    #[serde(default, rename = "issues")]
    pub older: Vec<Issue>,
    /// Stages that were done, in the order in which they were recorded.
    #[serde(default)]
    pub records: Vec<Record>,
    /// Jobs that stand as they were issued while the week has moved on; one whose day is in the week, or after it,
    /// counts for nothing.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub standing: Vec<Standing>,
    /// Whether what is there can't be read: what it holds is not known, so nothing is written over it.
    #[serde(skip)]
    pub lost: bool,
}

/// The file of the issues.
#[derive(Default, Deserialize)]
struct Issued {
    #[serde(default)]
    issues: Vec<Issue>,
}

impl Diary {
    /// The number that the next issue has: none is used twice.
    #[must_use]
    pub fn next_number(&self) -> u32 {
        let numbers = self.issues.iter().map(|issue| issue.number);
        numbers.max().map_or(1, |last| last.saturating_add(1))
    }

    /// What was recorded at another time of this programme, with every issue of now: no step back or forth
    /// takes one away.
    #[must_use]
    pub fn at_the_time_of(&self, other: &Self) -> Self {
        let mut then = Self {
            issues: Arc::clone(&self.issues),
            lost: self.lost,
            ..other.clone()
        };
        then.take_over_older();
        then
    }

    /// Takes over the issues of an earlier version whose numbers are free.
    fn take_over_older(&mut self) {
        let is_free = |issue: &&Issue| self.issues.iter().all(|own| own.number != issue.number);
        let free: Vec<Issue> = self.older.iter().filter(is_free).cloned().collect();
        if !free.is_empty() {
            let issues = Arc::make_mut(&mut self.issues);
            issues.extend(free);
            issues.sort_by_key(|issue| issue.number);
        }
    }

    /// The plan that was issued under a number.
    #[must_use]
    pub fn issue(&self, number: u32) -> Option<&Issue> {
        self.issues.iter().find(|issue| issue.number == number)
    }

    /// Whether a stage is written down as done.
    #[must_use]
    pub fn has(&self, job: &JobId, stage: Stage) -> bool {
        let mut records = self.records.iter();
        records.any(|record| (&record.job, record.stage) == (job, stage))
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

/// The diary's file; none where nothing stands in it.
#[must_use]
pub fn write(diary: &Diary) -> Option<Vec<u8>> {
    let is_empty = diary.older.is_empty() && diary.records.is_empty() && diary.standing.is_empty();
    (!is_empty).then(|| serde_json::to_vec_pretty(diary).unwrap_or_default())
}

/// The file of the issues; none where nothing was issued.
#[must_use]
pub fn write_issues(diary: &Diary) -> Option<Vec<u8>> {
    let issued = BTreeMap::from([("issues", &*diary.issues)]);
    (!diary.issues.is_empty()).then(|| serde_json::to_vec_pretty(&issued).unwrap_or_default())
}

/// Whether the file of the issues lacks one that the diary's own file still has.
#[must_use]
pub fn is_issues_due(diary: &Diary, issues: Option<&[u8]>) -> bool {
    // Read again only where there is one of an earlier version at all.
    !diary.older.is_empty() && read(None, issues).0.issues.len() < diary.issues.len()
}

/// A diary from its file and the file of its issues.
///
/// What can't be read is told, and is not in it.
#[must_use]
pub fn read(records: Option<&[u8]>, issues: Option<&[u8]>) -> (Diary, Vec<Finding>) {
    let mut faults = Vec::new();
    let mut diary: Diary = records
        .and_then(|bytes| of_json(bytes, DIARY, &mut faults))
        .unwrap_or_default();
    let issued: Issued = issues
        .and_then(|bytes| of_json(bytes, ISSUES, &mut faults))
        .unwrap_or_default();
    diary.issues = Arc::new(issued.issues);
    diary.take_over_older();
    diary.lost = !faults.is_empty();
    (diary, faults)
}

fn of_json<T: DeserializeOwned>(bytes: &[u8], file: &str, faults: &mut Vec<Finding>) -> Option<T> {
    let fault = |error| {
        Finding::fault(
            "F-DIARY",
            format!("the diary of issues and records can't be read: {error}"),
            format!("put back the last {file} that was whole; without it the programme opens, but its issues are not there"),
        )
        .in_file(file)
    };
    let read = serde_json::from_slice(bytes);
    read.map_err(|error| faults.push(fault(error))).ok()
}

/// The issues as they are shown; the one that lies on the desk unchanged is marked.
#[must_use]
pub fn issues(diary: &Diary, opened: &Opened, plan: Option<&Plan>) -> Vec<IssueView> {
    let jobs = |issue: &Issue| {
        let frozen = issue.figures.as_ref().map(|figures| figures.jobs);
        frozen.unwrap_or_else(|| sheet::how_many_jobs(opened))
    };
    let view = |issue: &Issue| IssueView {
        number: issue.number,
        on: issue.on.to_string(),
        summary: sheet::summary(jobs(issue), &issue.plan),
        current: plan.is_some_and(|plan| is_same(plan, &issue.plan)),
    };
    diary.issues.iter().map(view).collect()
}

/// What a sheet says of the plan that it is of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// `Issue 1, Thu 25 Feb 2027`, or that it is a draft.
    pub words: String,
    /// The date that its issue carries; none of a draft.
    pub on: Option<NaiveDate>,
}

/// The number of the issue that a plan is, if it is one; the last where it is several.
#[must_use]
pub fn number(diary: &Diary, plan: &Plan) -> Option<u32> {
    own(diary, plan).map(|issue| issue.number)
}

fn own<'a>(diary: &'a Diary, plan: &Plan) -> Option<&'a Issue> {
    let issues = diary.issues.iter();
    let own = issues.filter(|issue| is_same(plan, &issue.plan));
    own.max_by_key(|issue| issue.number)
}

/// Which issue a plan is, if it is one; else that it is a draft, and since which issue it has changed.
#[must_use]
pub fn label(diary: &Diary, plan: &Plan) -> Label {
    let last = diary.issues.iter().max_by_key(|issue| issue.number);
    match (own(diary, plan), last) {
        (Some(own), Some(last)) => {
            let (number, day) = (own.number, words::day_of_year(own.on));
            let words = match last.number {
                later if later > number => {
                    format!("Issue {number}, {day}, since replaced by issue {later}")
                }
                _ => format!("Issue {number}, {day}"),
            };
            let on = Some(own.on);
            Label { words, on }
        }
        (_, Some(last)) => Label {
            words: format!("Draft, changed since issue {}", last.number),
            on: None,
        },
        (_, None) => Label {
            words: "Draft".to_owned(),
            on: None,
        },
    }
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
