//! Everything that a door shows of one programme.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{
    BoardDay, ChangeView, ClashView, Column, DeadlinesView, DiversionView, IssueView, JobView,
    RecordView,
};

/// The whole programme, planned or not.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct Sheet {
    /// What the programme is called.
    pub name: String,
    /// Where it is saved, if it is.
    pub folder: Option<String>,
    /// Whether it is invented for the demo.
    pub demo: bool,
    /// Whether anything has changed since it was saved.
    pub unsaved: bool,
    /// The nation whose law and code apply.
    pub nation: String,
    /// Expected temperature, degrees Celsius.
    pub temperature_c: f64,
    /// The days of the week.
    pub days: Vec<BoardDay>,
    /// `[west, south, east, north]`.
    pub area: [f64; 4],
    /// How places were projected, how exactly, and how travel is reckoned.
    pub notes: Vec<String>,
    /// Who is to be named for the streets and the road network, in one line, if anybody is.
    pub attribution: Option<String>,
    /// The streets.
    pub streets: Vec<StreetView>,
    /// Water, green and the like, to draw under the streets: GeoJSON text, if there is any.
    pub backdrop: Option<String>,
    /// The gangs.
    pub gangs: Vec<GangView>,
    /// The tips.
    pub tips: Vec<TipView>,
    /// The jobs.
    pub jobs: Vec<JobView>,
    /// The plan, if there is one.
    pub plan: Option<PlanView>,
    /// The plans that were issued, the first one first.
    pub issues: Vec<IssueView>,
    /// What was recorded as done, the latest last.
    pub records: Vec<RecordView>,
    /// What is wrong or needs a look, the gravest first.
    pub findings: Vec<FindingView>,
    /// What the user always sees.
    pub cautions: Vec<CautionView>,
    /// What undo would take back.
    pub undo: Option<String>,
    /// What redo would do again.
    pub redo: Option<String>,
    /// Goes up by one with every change, so that a door knows whether it shows the latest.
    pub edition: u32,
}

/// A street.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct StreetView {
    /// Its id.
    pub id: String,
    /// Its name, if it has one.
    pub name: Option<String>,
    /// 0 to 4, if the authority gave it.
    pub road_type: Option<u32>,
    /// Carriageway width, m.
    pub width_m: Option<f64>,
    /// Whether traffic goes one way only, along the line.
    pub one_way: bool,
    /// Its lines.
    pub lines: Vec<Vec<[f64; 2]>>,
}

/// A gang.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct GangView {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Its mark beside its colour: A, B, C …
    pub mark: String,
    /// Its place in the list, from 0: which of the gang colours and patterns is its own.
    pub index: u32,
    /// Where it loads and returns to.
    pub depot: [f64; 2],
    /// How many people.
    pub people: u32,
    /// Tickets that somebody in it holds.
    pub tickets: Vec<String>,
    /// Shift starts.
    pub shift_from: u32,
    /// Shift ends.
    pub shift_to: u32,
}

/// A tip.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct TipView {
    /// Its id.
    pub id: String,
    /// What it is called.
    pub name: String,
    /// Where it is.
    pub at: [f64; 2],
}

/// The plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct PlanView {
    /// Every gang-day with work in it.
    pub columns: Vec<Column>,
    /// Jobs in no route.
    pub unplanned: Vec<UnplannedView>,
    /// Each planned job's closure.
    pub closures: Vec<ClosureView>,
    /// Works that get in one another's way.
    pub clashes: Vec<ClashView>,
    /// By when what has to be told of each planned job; how and why is told of one that is asked for.
    pub deadlines: Vec<DeadlinesView>,
    /// Materials of the week and of each day: `week`, `day:DATE`; those of a gang-day are asked for.
    pub orders: Vec<OrderView>,
    /// The cost by part, the total last.
    pub costs: Vec<CostLine>,
    /// What planning again changed.
    pub changes: Vec<ChangeView>,
    /// One line: `58 of 64 jobs in 23 gang-days`.
    pub summary: String,
    /// Whether the independent checker found no broken rule.
    pub verified: bool,
}

/// A job that is in no route.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct UnplannedView {
    /// The job.
    pub job: String,
    /// Why, the tightest first.
    pub reasons: Vec<String>,
    /// Their codes, in the same order.
    pub codes: Vec<String>,
}

/// A closure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct ClosureView {
    /// The job.
    pub job: String,
    /// The route that works there first, `gang@date`; empty where nobody does in the week.
    pub route: String,
    /// The gang; empty where nobody works there in the week.
    pub gang: String,
    /// The day on which it is there first, an ISO date.
    pub date: String,
    /// `09:30–15:30`, `to Tue 15:30`, `to the week’s end`.
    pub hours: String,
    /// Id of the street, if known.
    pub street: Option<String>,
    /// Its name, if it has one.
    pub street_name: Option<String>,
    /// `none`, `footway`, `lane` or `road`.
    pub kind: String,
    /// Whether the kind was proposed by Gangday.
    pub proposed: bool,
    /// The rule that led to it.
    pub because: String,
    /// Signing goes out.
    pub from: u32,
    /// Work ends and the hold begins.
    pub hold_from: u32,
    /// Signing is away.
    pub to: u32,
    /// The ground taken, a closed ring.
    pub footprint: Vec<[f64; 2]>,
    /// `Lane closed 08:10–14:35`.
    pub words: String,
    /// The way round, where the road is closed.
    pub diversion: Option<DiversionView>,
}

/// The materials of one order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct OrderView {
    /// `week`, `day:DATE` or `route:GANG@DATE`.
    pub key: String,
    /// Its lines.
    pub materials: Vec<MaterialView>,
    /// What could be ordered in place of some of them; never added to them.
    pub alternatives: Vec<MaterialView>,
}

/// One material of one order.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct MaterialView {
    /// Key of the material.
    pub material: String,
    /// What it is called.
    pub name: String,
    /// Net in place, rounded as a foreman would write it.
    pub measured: String,
    /// With waste and whole packs.
    pub ordered: String,
    /// The unit of both.
    pub unit: String,
    /// `14 bags of 25 kg`, or empty.
    pub packs: String,
    /// What rounding up to packs added, with its unit, or empty.
    pub rounding: String,
    /// What an earlier day left over and this order uses, with its unit, or empty.
    pub brought_forward: String,
    /// What this order leaves over for a later day, with its unit, or empty.
    pub left_over: String,
    /// The last day to order on: `Fri 26 Feb`; empty for what is not bought.
    pub order_by: String,
    /// Who supplies it and in how many working days: `Quarry, 2 working days`; or empty.
    pub supplier: String,
    /// What it costs: `£120.00`, or empty where nobody has set a price.
    pub price: String,
    /// Formula, numbers and source.
    pub why: String,
    /// The exact measured and ordered values.
    pub exact: String,
}

/// One part of the cost.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct CostLine {
    /// What for.
    pub label: String,
    /// As money: `£1,240.50`.
    pub amount: String,
    /// The same, in pence.
    pub pence: f64,
}

/// Something wrong, or worth a look.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct FindingView {
    /// Stable code.
    pub code: String,
    /// `note`, `warning` or `fault`.
    pub severity: String,
    /// `jobs.geojson, J-014, sections`.
    pub place: String,
    /// The row of a list that it is about, from 0, under the headings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[ts(optional = nullable)]
    pub row: Option<u32>,
    /// The job it is about, if it is about one.
    pub job: Option<String>,
    /// What is the matter.
    pub text: String,
    /// What to do.
    pub remedy: String,
}

/// A caution that the user always sees.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema, TS)]
pub struct CautionView {
    /// Short heading.
    pub title: String,
    /// What to mind.
    pub text: String,
    /// Where it comes from.
    pub source: String,
}
