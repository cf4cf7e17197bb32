//! A gang's day on paper: where it goes when, what it takes along, and the chambers that it builds.

use crate::html::Html;
use crate::paper::{
    Head, SheetSection, borrowed, opened, write_cautions, write_sections, write_table,
};

/// One gang-day.
#[derive(Clone, Debug, Default)]
pub struct GangSheet {
    /// The programme's name.
    pub programme: String,
    /// Which issue it is of, or that it is a draft.
    pub issue: String,
    /// The gang's name and its people.
    pub gang: String,
    /// The day, in words.
    pub day: String,
    /// Whether all of it is invented for a demonstration.
    pub invented: bool,
    /// What is done, in order.
    pub visits: Vec<SheetVisit>,
    /// What is ordered and loaded for it.
    pub order: Vec<SheetLine>,
    /// A cross-section of each chamber.
    pub sections: Vec<SheetSection>,
    /// What is always said.
    pub cautions: Vec<String>,
}

/// One stage of one job.
#[derive(Clone, Debug, Default)]
pub struct SheetVisit {
    /// `08:10 to 09:35`.
    pub time: String,
    /// The job.
    pub job: String,
    /// The stage.
    pub stage: String,
    /// What is waited for after it, and until when.
    pub then: String,
}

/// One line of the order.
#[derive(Clone, Debug, Default)]
pub struct SheetLine {
    /// What it is.
    pub name: String,
    /// How much, with its unit.
    pub ordered: String,
    /// Packs or loads.
    pub packs: String,
    /// What rounding up added.
    pub rounding: String,
    /// The last day to order it.
    pub order_by: String,
}

/// Prints a gang-day as one HTML file that needs no network and runs no script.
///
/// ```
/// use gangday_reports::{GangSheet, gang_sheet};
/// let sheet = GangSheet { gang: "Gang <Oak>".into(), ..GangSheet::default() };
/// assert!(gang_sheet(&sheet).contains("Gang &lt;Oak&gt;"));
/// ```
#[must_use]
pub fn gang_sheet(sheet: &GangSheet) -> String {
    let title = format!("{}, {}", sheet.gang, sheet.day);
    let head = Head {
        title: &title,
        programme: &sheet.programme,
        issue: &sheet.issue,
        invented: sheet.invented,
    };
    let mut html = opened(&head, false);
    write_visits(&mut html, &sheet.visits);
    write_order(&mut html, &sheet.order);
    write_sections(&mut html, "The chambers, in section", &sheet.sections);
    write_cautions(&mut html, &sheet.cautions);
    html.close().line();
    html.finish()
}

fn write_visits(html: &mut Html, visits: &[SheetVisit]) {
    let row = |visit: &'_ SheetVisit| -> Vec<String> {
        let SheetVisit {
            time,
            job,
            stage,
            then,
        } = visit.clone();
        vec![time, job, stage, then]
    };
    let rows: Vec<Vec<String>> = visits.iter().map(row).collect();
    let rows: Vec<Vec<&str>> = rows.iter().map(|row| borrowed(row)).collect();
    write_table(html, "The day", &["Time", "Job", "Stage", "Then"], &rows);
}

fn write_order(html: &mut Html, lines: &[SheetLine]) {
    let row = |line: &SheetLine| {
        let line = line.clone();
        vec![
            line.name,
            line.ordered,
            line.packs,
            line.rounding,
            line.order_by,
        ]
    };
    let rows: Vec<Vec<String>> = lines.iter().map(row).collect();
    let rows: Vec<Vec<&str>> = rows.iter().map(|row| borrowed(row)).collect();
    let heads = [
        "Material",
        "Ordered",
        "Comes as",
        "Rounding adds",
        "Order by",
    ];
    write_table(html, "Order for this day", &heads, &rows);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_look_like_markup_are_words_and_no_script_may_run() {
        let evil = "<script>alert(1)</script>\"'";
        let sheet = GangSheet {
            programme: evil.to_owned(),
            issue: evil.to_owned(),
            gang: evil.to_owned(),
            visits: vec![SheetVisit {
                job: evil.to_owned(),
                ..SheetVisit::default()
            }],
            order: vec![SheetLine {
                name: evil.to_owned(),
                ..SheetLine::default()
            }],
            sections: vec![SheetSection {
                title: evil.to_owned(),
                svg: format!("<svg>{evil}</svg>"),
                dimensions: vec![(evil.to_owned(), "1".to_owned())],
            }],
            cautions: vec![evil.to_owned()],
            ..GangSheet::default()
        };
        let html = gang_sheet(&sheet);
        assert!(!html.contains("<script"), "{html}");
        assert!(html.contains("default-src ") && !html.contains("script-src"));
        assert_eq!(html.matches("&lt;script&gt;alert(1)").count(), 11 + 4);
        assert!(html.contains("data:image/svg+xml;base64,PHN2Zz4"));
    }
}
