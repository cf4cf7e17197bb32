//! What a door may ask, and what it gets.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use ts_rs::TS;

use super::{
    AsideRow, ChangeByHand, ClosureDetail, ComparisonView, Edit, FieldView, FigureTable,
    FindingView, GangDayDetail, JobDetail, ListRequest, PlannedWork, PreviewView, Properties,
    Sheet, SheetPatch, Stated, WhatIfView, Yard,
};

/// Which of the invented weeks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename_all = "snake_case")]
pub enum DemoWeek {
    /// 12 jobs, 2 gangs.
    Small,
    /// 64 jobs and more, 5 gangs.
    Full,
}

/// What a door may ask.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(tag = "ask", rename_all = "snake_case")]
#[ts(tag = "ask", rename_all = "snake_case")]
pub enum Request {
    /// The sheet as it stands.
    Sheet,
    /// Another request, answered with only what has changed of the sheet since an edition: `patched`
    /// where the desk still knows it, else as ever.
    Since {
        /// The edition that the door shows.
        edition: u32,
        /// What is asked.
        of: Box<Request>,
    },
    /// Open an invented week, planned.
    OpenDemo {
        /// Which.
        week: DemoWeek,
    },
    /// Open a programme folder or a programme file.
    Open {
        /// Its path.
        folder: String,
    },
    /// Begin a programme in a new file, for the week after today, and open it.
    Begin {
        /// Its path; `.gpkg` is put to it where it has another ending.
        path: String,
        /// Today, ISO.
        today: String,
    },
    /// One job in depth: its cross-section and every quantity followed back.
    Job {
        /// Its id.
        id: String,
    },
    /// How the public is led past one planned job, and what has to be told of it.
    Closure {
        /// The job.
        job: String,
    },
    /// Some gang-days in depth: their materials, what they carry, lift and feel.
    GangDays {
        /// `gang@date`; what is in no plan is left out of the answer.
        keys: Vec<String>,
    },
    /// What taking in a client's list would do; nothing is changed.
    Preview {
        /// The list.
        list: ListRequest,
    },
    /// Take in a client's list, as one edit; what was planned stays.
    TakeIn {
        /// The list, as it was previewed.
        list: ListRequest,
        /// Rows to leave out, from 0.
        skip: Vec<u32>,
        /// Whether jobs of the client that are gone from the list are deleted.
        delete_gone: bool,
    },
    /// Start adding the streets and the road network of a map extract that comes with the request; ask
    /// for `Progress` until it is done. `Stop` ends it, and nothing is changed then.
    ImportExtract {
        /// The file's name, for messages.
        name: String,
        /// Its bytes, in Base64 (RFC 4648, clause 4).
        base64: String,
    },
    /// Start adding the streets and the road network of a map extract that lies on this machine; ask
    /// for `Progress` until it is done. `Stop` ends it, and nothing is changed then.
    ReadExtract {
        /// The file's path.
        path: String,
    },
    /// Start making the week; ask for `Progress` until it is done.
    Plan {
        /// How long at most, seconds; 10 where absent.
        seconds: Option<f64>,
        /// How many iterations at most.
        iterations: Option<u32>,
        /// Same seed and iterations, same plan.
        seed: Option<u32>,
    },
    /// Start planning again from the plan on the desk: what is done or locked stays, the rest
    /// changes as little as its prices ask for.
    Replan {
        /// How long at most, seconds; 10 where absent.
        seconds: Option<f64>,
        /// How many iterations at most.
        iterations: Option<u32>,
        /// Same seed and iterations, same plan.
        seed: Option<u32>,
    },
    /// Say that jobs stay with their gang, on their day, at their times, or need not.
    Mark {
        /// Which jobs.
        jobs: Vec<String>,
        /// Whether they stay.
        locked: bool,
    },
    /// Record when a stage was done; a stage that is done stays when the rest is planned again.
    Record {
        /// The job.
        job: String,
        /// The stage: `dig`, `base`, `build`, `surround`, `surface` or `reopen`.
        stage: String,
        /// When it ended, local: `2027-03-01T10:35`; absent to take the record back.
        at: Option<String>,
    },
    /// Record as done, each when the plan has it end, every stage of some work that is not recorded yet,
    /// as one edit; what is recorded already keeps its time, and the plan stays where it is.
    RecordAsPlanned {
        /// Of which work.
        of: PlannedWork,
    },
    /// Record as done, each when its issue has it end, every stage not recorded yet of jobs that stand as issued in
    /// an earlier week, as one edit.
    RecordAsIssued {
        /// Which jobs; all that stand so where absent.
        jobs: Option<Vec<String>>,
    },
    /// Have jobs that stand as issued in an earlier week planned in this one like any other, as one edit.
    BringOver {
        /// Which jobs; all that stand so where absent.
        jobs: Option<Vec<String>>,
    },
    /// Freeze the plan under the next number.
    Issue {
        /// The date that it carries, ISO.
        on: String,
    },
    /// Hold two plans against one another.
    Compare {
        /// The number of an issue; 0 for the plan on the desk.
        one: u32,
        /// The same for the other.
        other: u32,
    },
    /// How far the planning is.
    Progress,
    /// Stop planning and keep the best so far.
    Stop,
    /// Save, to where it was opened or elsewhere.
    Save {
        /// The path of a new folder, or of a new file with `.gpkg` at its end; the one it was opened
        /// from where absent.
        folder: Option<String>,
    },
    /// What a change by hand would do; nothing is changed.
    WhatIf {
        /// The change.
        change: ChangeByHand,
    },
    /// Make a change by hand, whatever rules it breaks; the sheet then says so.
    Change {
        /// The change.
        change: ChangeByHand,
    },
    /// Take back the last change.
    Undo,
    /// Do it again.
    Redo,
    /// Change jobs by hand, as one edit.
    Edit {
        /// What to do.
        edit: Edit,
    },
    /// What is stated of some jobs, for a form.
    Stated {
        /// Their ids.
        jobs: Vec<String>,
    },
    /// Some jobs as a text to paste.
    Copy {
        /// Their ids.
        jobs: Vec<String>,
    },
    /// The properties that jobs have, for a form.
    Fields,
    /// Every figure that the programme rests on, with its source.
    Figures,
    /// What a row of one of the programme's files states.
    Row {
        /// The file.
        file: String,
        /// The key of a figure, the id of a gang, a tip or a street; absent for the file itself.
        row: Option<String>,
        /// Which is meant of a gang and a tip that have one id; the gang, if absent.
        #[serde(default)]
        #[ts(optional = nullable)]
        yard: Option<Yard>,
    },
    /// What reading had to refuse and a finding is about.
    Aside {
        /// The file.
        file: String,
        /// What the finding's place says after the file.
        place: String,
    },
    /// What undo and redo go to.
    History,
    /// The client page as one self-contained HTML text.
    ClientPage,
    /// The whole pack as one ZIP file: the client page, the calendar, order sheets and gang sheets.
    Pack,
    /// Attach a picture to a job, as one edit; what says where, when and with what it was taken is
    /// taken out of it.
    Attach {
        /// The job.
        job: String,
        /// What the picture is to be called.
        name: String,
        /// Its bytes, in Base64 (RFC 4648, clause 4): JPEG, PNG or WebP, at most 10 MB; empty where it
        /// has a path.
        #[serde(default)]
        base64: String,
        /// Where it lies on this machine.
        #[serde(default)]
        #[ts(optional = nullable)]
        path: Option<String>,
    },
    /// Take a picture off a job, as one edit.
    Detach {
        /// The job.
        job: String,
        /// The picture.
        name: String,
    },
    /// A picture of a job.
    Attachment {
        /// The job.
        job: String,
        /// The picture.
        name: String,
    },
    /// A table for another program.
    Export {
        /// Of what.
        what: TableSort,
        /// As what.
        format: TableFormat,
    },
    /// Keep something of the page's own with the programme: no edit, and nothing that has to be saved.
    Remember {
        /// What it is called.
        name: String,
        /// What it is; null to forget it.
        #[ts(type = "unknown")]
        value: Value,
    },
    /// What the page has kept with the programme.
    Remembered,
    /// What the page has kept with the program: its theme, what was opened last.
    Settings,
    /// Keep something of the page's own with the program, for whichever programme is opened next.
    KeepSetting {
        /// What it is called.
        name: String,
        /// What it is; null to forget it.
        #[ts(type = "unknown")]
        value: Value,
    },
    /// Whether programmes that were opened before are still there.
    There {
        /// Their paths.
        paths: Vec<String>,
    },
}

/// What a table is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename_all = "snake_case")]
pub enum TableSort {
    /// The jobs, planned or not.
    Jobs,
    /// The visits of the plan.
    Visits,
    /// What is ordered, by week, day and gang-day.
    Orders,
    /// The closures.
    Closures,
    /// All of them, each on a sheet of its own.
    All,
}

/// What a table is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(rename_all = "snake_case")]
#[ts(rename_all = "snake_case")]
pub enum TableFormat {
    /// Comma-separated values (RFC 4180).
    Csv,
    /// A workbook (ECMA-376).
    Xlsx,
}

/// How far the planning is, the reading of a map extract or a list, or the writing of a pack.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ProgressView {
    /// Whether it is still at it.
    pub running: bool,
    /// Whether it is no week that is planned: stopped, nothing is kept of it.
    pub reading: bool,
    /// What is under way, as a heading; empty where nothing is.
    pub title: String,
    /// 0 to 1.
    pub fraction: f64,
    /// What it is doing, with the best so far.
    pub words: String,
    /// Best total cost so far at a few moments, pence, for the picture of a plan getting better.
    pub trace: Vec<f64>,
    /// Jobs planned so far.
    pub planned: u32,
    /// Jobs in all.
    pub of: u32,
}

/// What a door gets.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
#[serde(tag = "is", rename_all = "snake_case")]
#[ts(tag = "is", rename_all = "snake_case")]
pub enum Answer {
    /// The sheet; none where no programme is open.
    Sheet {
        /// The sheet.
        sheet: Option<Box<Sheet>>,
    },
    /// How far the planning is.
    Progress {
        /// It.
        progress: ProgressView,
    },
    /// The programme is saved; the sheet as it stands after.
    Saved {
        /// Where.
        folder: String,
        /// The sheet.
        sheet: Box<Sheet>,
    },
    /// An edit is done.
    Edited {
        /// The sheet after it.
        sheet: Box<Sheet>,
        /// The jobs that it touched or made.
        jobs: Vec<String>,
        /// What it did, as a sentence; absent where its name says it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[ts(optional)]
        told: Option<String>,
    },
    /// What has changed of the sheet.
    Patched {
        /// It.
        patch: Box<SheetPatch>,
        /// The jobs that an edit touched or made.
        jobs: Vec<String>,
        /// What it did, as a sentence; absent where its name says it.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        #[ts(optional)]
        told: Option<String>,
    },
    /// What taking in a list would do.
    Preview {
        /// It.
        preview: Box<PreviewView>,
    },
    /// What reading had to refuse.
    Aside {
        /// Each of them.
        rows: Vec<AsideRow>,
    },
    /// What is stated of some jobs.
    Stated {
        /// In the order asked for.
        jobs: Vec<Stated>,
    },
    /// Some jobs as a text to paste.
    Copied {
        /// GeoJSON.
        text: String,
    },
    /// The properties that jobs have.
    Fields {
        /// In the order of a form.
        fields: Vec<FieldView>,
    },
    /// Every figure.
    Figures {
        /// Table by table.
        tables: Vec<FigureTable>,
    },
    /// What a row states.
    Row {
        /// Member by member.
        #[ts(type = "Record<string, unknown>")]
        members: Properties,
    },
    /// What undo and redo go to.
    History {
        /// What is done, the oldest first.
        past: Vec<String>,
        /// What is undone, what redo does next first.
        future: Vec<String>,
    },
    /// A job in depth.
    Job {
        /// It.
        detail: Box<JobDetail>,
    },
    /// A closure in depth.
    Closure {
        /// It.
        detail: Box<ClosureDetail>,
    },
    /// Gang-days in depth.
    GangDays {
        /// In the order asked for.
        details: Vec<GangDayDetail>,
    },
    /// Two plans, side by side.
    Comparison {
        /// Them.
        comparison: Box<ComparisonView>,
    },
    /// What a change by hand would do.
    WhatIf {
        /// It.
        outcome: Box<WhatIfView>,
    },
    /// A file to save or show.
    File {
        /// A name for it.
        name: String,
        /// Its media type.
        media: String,
        /// Its bytes, in Base64 (RFC 4648, clause 4).
        base64: String,
    },
    /// What the page has kept with the programme.
    Remembered {
        /// By name.
        #[ts(type = "Record<string, unknown>")]
        values: Properties,
    },
    /// What the page has kept with the program.
    Settings {
        /// By name.
        #[ts(type = "Record<string, unknown>")]
        values: Properties,
    },
    /// Whether programmes are still there.
    There {
        /// In the order asked for.
        there: Vec<bool>,
    },
    /// A page to save or show.
    Page {
        /// A file name for it.
        name: String,
        /// The whole page.
        html: String,
    },
}

/// Why a request was refused; the programme is as it was.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Refusal {
    /// One line.
    pub text: String,
    /// Every fault.
    pub findings: Vec<FindingView>,
}
