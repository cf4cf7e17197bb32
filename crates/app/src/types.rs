//! The views as TypeScript, so that the window and Rust can't drift apart.

use ts_rs::{Config, TS};

use crate::view;

macro_rules! declarations {
    ($($name:ident),+ $(,)?) => {
        vec![$(<view::$name as TS>::decl(&Config::default())),+]
    };
}

/// The text of the one generated TypeScript file.
#[must_use]
pub fn typescript() -> String {
    let all = declarations![
        BoardDay,
        Column,
        LayerKind,
        Layer,
        WaitLayer,
        WayView,
        Figure,
        AttachmentView,
        JobView,
        StreetView,
        GangView,
        TipView,
        UnplannedView,
        RulingView,
        WidthView,
        KitView,
        BandView,
        ArrangementView,
        DiversionView,
        ClashView,
        NoticeStepView,
        NoticeView,
        ClosureDetail,
        DeadlineView,
        DeadlinesView,
        ClosureView,
        MaterialView,
        OrderView,
        CostLine,
        ChangeView,
        IssueView,
        RecordView,
        DifferenceView,
        SideView,
        ComparisonView,
        PlanView,
    ];
    let all = [all, of_the_rest()].concat();
    let head = "// Made from Rust by `cargo xtask types`; don't edit.\n".to_owned();
    all.iter()
        .fold(head, |text, one| format!("{text}\nexport {one}\n"))
}

/// Jobs in depth, and what is asked and answered.
fn of_the_rest() -> Vec<String> {
    declarations![
        TracedView,
        QuantityView,
        QuantitiesView,
        SectionPartView,
        DimensionView,
        SectionView,
        JobDetail,
        CarriedView,
        ToolView,
        VibrationView,
        GangDayView,
        GangDayDetail,
        FindingView,
        CautionView,
        Sheet,
        PutRow,
        ListPatch,
        SheetPatch,
        PlannedWork,
        ChangeByHand,
        BrokenView,
        CostChange,
        TimesAlike,
        Becomes,
        TakesChange,
        WhatIfView,
        DemoWeek,
        Pin,
        Yard,
        Correction,
        ListRequest,
        Aside,
        AsideRow,
        RowPlace,
        ForeignWord,
        PreviewRow,
        PreviewView,
        Edit,
        Stated,
        FieldView,
        FigureRow,
        FigureTable,
        TableSort,
        TableFormat,
        Request,
        ProgressView,
        Answer,
        Refusal,
    ]
}
