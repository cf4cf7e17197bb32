//! One supplier's order on paper: what the depot must have on which day, and for whom.

use crate::html::Html;
use crate::paper::{
    Head, SheetSection, borrowed, opened, write_cautions, write_sections, write_table,
};

/// What one supplier delivers for a planned week.
#[derive(Clone, Debug, Default)]
pub struct OrderSheet {
    /// The programme's name.
    pub programme: String,
    /// Which issue it is of, or that it is a draft.
    pub issue: String,
    /// The supplier, or that none is stated.
    pub supplier: String,
    /// The days that it is for, in words.
    pub days: String,
    /// Whether all of it is invented for a demonstration.
    pub invented: bool,
    /// What is delivered, by day.
    pub lines: Vec<OrderLine>,
    /// The same of all days together.
    pub sums: Vec<OrderSum>,
    /// The usual cross-sections of the chambers that it is for.
    pub sections: Vec<SheetSection>,
    /// What is always said.
    pub cautions: Vec<String>,
}

/// One material of one day.
#[derive(Clone, Debug, Default)]
pub struct OrderLine {
    /// The day that the depot must have it on.
    pub need_by: String,
    /// What it is.
    pub name: String,
    /// Net in place, with its unit.
    pub measured: String,
    /// With waste and rounded up, with its unit.
    pub ordered: String,
    /// Packs or loads.
    pub packs: String,
    /// What rounding up added.
    pub rounding: String,
    /// What the days before left over and this one uses.
    pub brought_forward: String,
    /// The last day to order it.
    pub order_by: String,
    /// From ordering to having it.
    pub lead: String,
    /// What it costs.
    pub price: String,
    /// The gang-days and jobs that it is for.
    pub used_by: String,
}

/// One material of all days.
#[derive(Clone, Debug, Default)]
pub struct OrderSum {
    /// What it is.
    pub name: String,
    /// Net in place, with its unit.
    pub measured: String,
    /// What is ordered, with its unit.
    pub ordered: String,
    /// What is over after the last day, where it keeps.
    pub left_over: String,
    /// What it costs.
    pub price: String,
}

/// Prints a supplier's order as one HTML file that needs no network and runs no script.
///
/// ```
/// use gangday_reports::{OrderSheet, order_sheet};
/// let sheet = OrderSheet { supplier: "Stone & Sand".into(), ..OrderSheet::default() };
/// assert!(order_sheet(&sheet).contains("Stone &amp; Sand"));
/// ```
#[must_use]
pub fn order_sheet(sheet: &OrderSheet) -> String {
    let title = format!("Order: {}, {}", sheet.supplier, sheet.days);
    let head = Head {
        title: &title,
        programme: &sheet.programme,
        issue: &sheet.issue,
        invented: sheet.invented,
    };
    let mut html = opened(&head, true);
    write_lines(&mut html, &sheet.lines);
    write_sums(&mut html, &sheet.sums);
    let title = "Usual chambers that it is for, in section";
    write_sections(&mut html, title, &sheet.sections);
    write_cautions(&mut html, &sheet.cautions);
    html.close().line();
    html.finish()
}

fn write_lines(html: &mut Html, lines: &[OrderLine]) {
    let row = |line: &OrderLine| {
        let line = line.clone();
        vec![
            line.need_by,
            line.name,
            line.measured,
            line.ordered,
            line.packs,
            line.rounding,
            line.brought_forward,
            line.order_by,
            line.lead,
            line.price,
            line.used_by,
        ]
    };
    let rows: Vec<Vec<String>> = lines.iter().map(row).collect();
    let rows: Vec<Vec<&str>> = rows.iter().map(|row| borrowed(row)).collect();
    let heads = [
        "At the depot by",
        "Material",
        "Measured",
        "Ordered",
        "Comes as",
        "Rounding adds",
        "Left over before, used",
        "Order by",
        "Lead time",
        "Price",
        "For",
    ];
    let title = "What the depot must have, by day";
    write_table(html, title, &heads, &rows);
}

fn write_sums(html: &mut Html, sums: &[OrderSum]) {
    let row = |sum: &OrderSum| {
        let sum = sum.clone();
        vec![
            sum.name,
            sum.measured,
            sum.ordered,
            sum.left_over,
            sum.price,
        ]
    };
    let rows: Vec<Vec<String>> = sums.iter().map(row).collect();
    let rows: Vec<Vec<&str>> = rows.iter().map(|row| borrowed(row)).collect();
    let heads = [
        "Material",
        "Measured",
        "Ordered",
        "Left over at the end",
        "Price",
    ];
    write_table(html, "All days together", &heads, &rows);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_look_like_markup_are_words_and_no_script_may_run() {
        let evil = || "</td><script>alert(1)</script>\"'<img src=x onerror=alert(2)>".to_owned();
        let sheet = OrderSheet {
            programme: evil(),
            issue: evil(),
            supplier: evil(),
            days: evil(),
            invented: true,
            lines: vec![OrderLine {
                need_by: evil(),
                name: evil(),
                measured: evil(),
                ordered: evil(),
                packs: evil(),
                rounding: evil(),
                brought_forward: evil(),
                order_by: evil(),
                lead: evil(),
                price: evil(),
                used_by: evil(),
            }],
            sums: vec![OrderSum {
                name: evil(),
                measured: evil(),
                ordered: evil(),
                left_over: evil(),
                price: evil(),
            }],
            sections: vec![SheetSection {
                title: evil(),
                svg: format!("<svg>{}</svg>", evil()),
                dimensions: vec![(evil(), evil())],
            }],
            cautions: vec![evil()],
        };
        let html = order_sheet(&sheet);
        for markup in ["<script", "<img src=x", "onerror=alert(2)>"] {
            assert!(!html.contains(markup), "{markup} in {html}");
        }
        assert!(html.contains("default-src ") && !html.contains("script-src"));
        // Twice in title and heading, the programme, the issue, all four again at the head of each page, 11 + 5 cells, the section's title once for
        // itself and three times a description, twice, and the caution.
        let told = html.matches("&lt;script&gt;alert(1)").count();
        assert_eq!(told, 4 + 1 + 1 + 4 + 16 + 7 + 1);
        assert!(html.contains("Invented for a demonstration"));
    }
}
