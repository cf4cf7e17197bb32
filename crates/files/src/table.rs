//! Tables for other programs: CSV and XLSX, in which no text is ever taken for a formula.
//!
//! # Source
//! CSV: RFC 4180. XLSX: ECMA-376, parts 1 and 2. What spreadsheets take for a formula: OWASP, "CSV
//! Injection"; the full-width signs besides, which some of them read as the plain ones.

use std::io::{Cursor, Write as _};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

/// One value of a table.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// Text, whatever it looks like.
    Text(String),
    /// A number.
    Number(f64),
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        if text.is_empty() {
            Self::Empty
        } else {
            Self::Text(text.to_owned())
        }
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::from(text.as_str())
    }
}

impl From<f64> for Cell {
    fn from(number: f64) -> Self {
        if number.is_finite() {
            Self::Number(number)
        } else {
            Self::Empty
        }
    }
}

impl From<u32> for Cell {
    fn from(number: u32) -> Self {
        Self::Number(f64::from(number))
    }
}

impl<T: Into<Self>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Empty, Into::into)
    }
}

/// A table with a name, headings and rows.
#[derive(Clone, Debug, PartialEq)]
pub struct Table {
    /// What it is called; the name of its sheet.
    pub name: String,
    /// What stands over its columns.
    pub headings: Vec<&'static str>,
    /// Its rows, each as long as the headings.
    pub rows: Vec<Vec<Cell>>,
}

/// What a spreadsheet takes for the beginning of a formula, the full-width signs included.
const FORMULA: [char; 10] = ['=', '+', '-', '@', '\t', '\r', '＝', '＋', '－', '＠'];
/// As much as a cell of a spreadsheet holds.
const LONGEST: usize = 32_767;

/// The text with an apostrophe before it where a spreadsheet would take it for a formula.
fn inert(text: &str) -> String {
    let first = text.trim_start_matches([' ', '\n', '\u{A0}', '\u{3000}', '\u{FEFF}']);
    let is_formula = first.starts_with(FORMULA) || text.starts_with(FORMULA);
    let kept = text.chars().take(LONGEST - 1);
    is_formula.then_some('\'').into_iter().chain(kept).collect()
}

/// The marks by which a spreadsheet may part cells and rows, whatever a file means by them.
const PARTING: [char; 4] = [';', '\t', '\n', '\r'];

/// The text as it may stand in CSV: an apostrophe also before what a spreadsheet would take for a
/// formula if it parted cells by another mark than the comma, for quotes in the middle of a cell
/// are no quotes to it.
fn inert_wherever_parted(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find(PARTING) {
        // Each of those marks is one byte.
        let (before, after) = rest.split_at(at + 1);
        out += before;
        let first = after.trim_start_matches([' ', '"', '\u{A0}', '\u{3000}', '\u{FEFF}']);
        if first.starts_with(FORMULA) {
            out.push('\'');
        }
        rest = after;
    }
    inert(&(out + rest))
}

/// A table as CSV, in UTF-8 with the mark by which spreadsheets know it. Every text is in quotes, so
/// that a semicolon or a tab in it is less easily taken for the end of its cell.
#[must_use]
pub fn write_csv(table: &Table) -> Vec<u8> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .quote_style(csv::QuoteStyle::NonNumeric)
        .from_writer("\u{FEFF}".as_bytes().to_vec());
    // Nothing fails that is written to memory.
    let _ = writer.write_record(&table.headings);
    for row in &table.rows {
        let cells = row.iter().map(|cell| match cell {
            Cell::Empty => String::new(),
            Cell::Text(text) => inert_wherever_parted(text),
            Cell::Number(number) => number.to_string(),
        });
        let _ = writer.write_record(cells);
    }
    writer.into_inner().unwrap_or_default()
}

/// Tables as a workbook, a sheet for each; the same tables give the same bytes.
#[must_use]
pub fn write_xlsx(tables: &[Table]) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let how = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default());
    let mut add = |name: &str, text: &str| {
        // Nothing fails that is written to memory.
        let begun = zip.start_file(name, how);
        let _ = begun.map(|()| zip.write_all(text.as_bytes()));
    };
    let count = 1..=tables.len();
    let each = |text: &dyn Fn(usize) -> String| count.clone().map(text).collect::<String>();
    add(
        "[Content_Types].xml",
        &format!(
            "{HEAD}<Types xmlns=\"{PACKAGE}/content-types\"><Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/><Default Extension=\"xml\" ContentType=\"application/xml\"/><Override PartName=\"/xl/workbook.xml\" ContentType=\"{SHEETS}.sheet.main+xml\"/>{}</Types>",
            each(&|at| format!(
                "<Override PartName=\"/xl/worksheets/sheet{at}.xml\" ContentType=\"{SHEETS}.worksheet+xml\"/>"
            )),
        ),
    );
    add(
        "_rels/.rels",
        &format!(
            "{HEAD}<Relationships xmlns=\"{PACKAGE}/relationships\"><Relationship Id=\"rId1\" Type=\"{OFFICE}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
        ),
    );
    add(
        "xl/workbook.xml",
        &format!(
            "{HEAD}<workbook xmlns=\"{MAIN}\" xmlns:r=\"{OFFICE}\"><sheets>{}</sheets></workbook>",
            each(&|at| format!(
                "<sheet name=\"{}\" sheetId=\"{at}\" r:id=\"rId{at}\"/>",
                escaped(&tables[at - 1].name)
            )),
        ),
    );
    add(
        "xl/_rels/workbook.xml.rels",
        &format!(
            "{HEAD}<Relationships xmlns=\"{PACKAGE}/relationships\">{}</Relationships>",
            each(&|at| format!(
                "<Relationship Id=\"rId{at}\" Type=\"{OFFICE}/worksheet\" Target=\"worksheets/sheet{at}.xml\"/>"
            )),
        ),
    );
    for (at, table) in (1..).zip(tables) {
        add(&format!("xl/worksheets/sheet{at}.xml"), &sheet(table));
    }
    zip.finish().map(Cursor::into_inner).unwrap_or_default()
}

const HEAD: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n";
const PACKAGE: &str = "http://schemas.openxmlformats.org/package/2006";
const OFFICE: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
const MAIN: &str = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const SHEETS: &str = "application/vnd.openxmlformats-officedocument.spreadsheetml";

fn sheet(table: &Table) -> String {
    let mut out = format!("{HEAD}<worksheet xmlns=\"{MAIN}\"><sheetData>");
    let headings: Vec<Cell> = table.headings.iter().map(|one| Cell::from(*one)).collect();
    for row in std::iter::once(&headings).chain(&table.rows) {
        out += "<row>";
        for cell in row {
            match cell {
                Cell::Empty => out += "<c/>",
                Cell::Number(number) => out += &format!("<c><v>{number}</v></c>"),
                Cell::Text(text) => {
                    let text = escaped(&inert(text));
                    out += &format!(
                        "<c t=\"inlineStr\"><is><t xml:space=\"preserve\">{text}</t></is></c>"
                    );
                }
            }
        }
        out += "</row>";
    }
    out += "</sheetData></worksheet>";
    out
}

/// Text in XML; what XML can't hold is left out.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        match letter {
            '&' => out += "&amp;",
            '<' => out += "&lt;",
            '>' => out += "&gt;",
            '"' => out += "&quot;",
            '\r' => out += "&#13;",
            '\n' | '\t' => out.push(letter),
            '\u{0}'..='\u{1F}' | '\u{FFFE}' | '\u{FFFF}' => {}
            _ => out.push(letter),
        }
    }
    out
}
