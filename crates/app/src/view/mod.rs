//! What the doors show: plain numbers and words, made ready here so that no door does arithmetic.
//!
//! # Units
//! Times of day are minutes from midnight, local; dates are ISO 8601; places are `[lon, lat]` in
//! WGS84 degrees; every other number carries its unit in its name or beside it.

mod board;
mod detail;
mod diary;
mod edit;
mod job;
mod list;
mod patch;
mod public;
mod request;
mod sheet;
mod tables;
mod what_if;

pub use board::{BoardDay, Column, Layer, LayerKind, WaitLayer, WayView};
pub use detail::{
    CarriedView, DimensionView, GangDayDetail, GangDayView, JobDetail, QuantitiesView,
    QuantityView, SectionPartView, SectionView, ToolView, TracedView, VibrationView,
};
pub use diary::{
    ChangeView, ComparisonView, DifferenceView, IssueView, PlannedWork, RecordView, SideView,
};
pub use edit::{Aside, AsideRow, Edit, FieldView, Pin, Properties, Stated, Yard};
pub use job::{AttachmentView, Figure, JobView};
pub use list::{Correction, ForeignWord, ListRequest, PreviewRow, PreviewView, RowPlace};
pub use patch::{ListPatch, PutRow, SheetPatch};
pub use public::{
    ArrangementView, BandView, ClashView, ClosureDetail, DeadlineView, DeadlinesView,
    DiversionView, KitView, NoticeStepView, NoticeView, RulingView, WidthView,
};
pub use request::{Answer, DemoWeek, ProgressView, Refusal, Request, TableFormat, TableSort};
pub use sheet::{
    CautionView, ClosureView, CostLine, FindingView, GangView, MaterialView, OrderView, PlanView,
    Sheet, StreetView, TipView, UnplannedView,
};
pub use tables::{FigureRow, FigureTable};
pub use what_if::{
    Becomes, BrokenView, ChangeByHand, CostChange, TakesChange, TimesAlike, WhatIfView,
};
