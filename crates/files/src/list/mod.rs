//! A client's list as columns and rows of text, whatever it came in: CSV, or a sheet of an
//! XLSX workbook. Nothing in it is ever worked out: a formula is the value that was saved with it,
//! and a text that looks like one is a text.

mod headings;
mod unpack;
mod xlsx;

use gangday_model::Finding;

use crate::codes;
use crate::points::{delimiter, is_json, rows};
use crate::tree;
use crate::words::thousands;

/// The longest text that a cell may hold: what a spreadsheet itself allows.
const LONGEST: usize = crate::fields::LONGEST_TEXT;
/// More rows or columns than a list of works ever has.
const MOST_ROWS: usize = 1_000_000;
const MOST_COLUMNS: usize = 1_000;
/// More cells than a list of works ever has, counting those with nothing in them that lie between
/// the first column and the last.
const MOST_CELLS: usize = 5_000_000;

/// More bytes than the headings of a list come to when every row repeats them, as jobs do that keep
/// what their columns say.
const MOST_NAMES: usize = 512 << 20;

/// A list: the names of its columns, and its rows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct List {
    /// The names of the columns, as the first row has them.
    pub columns: Vec<String>,
    /// The rows under it, each as long as `columns`.
    pub rows: Vec<Vec<String>>,
    /// How many rows above the headings were left out.
    pub above: usize,
}

/// Whether these are the bytes of an XLSX workbook: a ZIP archive.
#[must_use]
pub fn is_xlsx(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PK\x03\x04")
}

/// The bytes of the longest text of JSON, as it is written (RFC 8259, clause 7), known without keeping any.
fn longest_text(bytes: &[u8]) -> usize {
    let (mut longest, mut begun, mut escaped) = (0, None, false);
    for (at, byte) in bytes.iter().enumerate() {
        match (begun, byte) {
            (Some(_), _) if escaped => escaped = false,
            (Some(_), b'\\') => escaped = true,
            (Some(from), b'"') => {
                longest = longest.max(at - from - 1);
                begun = None;
            }
            (None, b'"') => begun = Some(at),
            _ => {}
        }
    }
    longest
}

/// Reads a list; none where it is GeoJSON, which has no rows.
///
/// # Errors
/// The file can't be read, unfolds to more than a list ever holds, or has a cell that is too long.
pub fn read_list(bytes: &[u8]) -> Result<Option<List>, Box<Finding>> {
    if is_json(bytes) {
        // An escaped sign takes up to six bytes.
        return match longest_text(bytes) {
            long if long > 6 * LONGEST => Err(too_large(format!(
                "A text in it is {} bytes long, and {} are the most.",
                counted(long),
                counted(LONGEST)
            ))),
            _ => Ok(None),
        };
    }
    let list = if is_xlsx(bytes) {
        xlsx::read(bytes)?
    } else {
        from_csv(bytes)?
    };
    list.checked().map(headings::tidy).map(Some)
}

fn from_csv(bytes: &[u8]) -> Result<List, Box<Finding>> {
    let text = tree::text_of(bytes)?;
    let (mut reader, columns) = narrow(text).then(|| rows(text)).ok_or_else(too_wide)?;
    let (mut all, mut cells, mut widest) = (Vec::new(), columns.len(), columns.len());
    for record in reader.records() {
        let record = record.map_err(|error| {
            let remedy = "Correct the row, or save the list anew.";
            Box::new(Finding::fault(
                codes::CSV,
                format!("A row can't be read: {error}."),
                remedy,
            ))
        })?;
        let width = columns.len().max(record.len());
        cells += width;
        within(all.len() + 1, cells)?;
        let mut row: Vec<String> = record.iter().map(str::to_owned).collect();
        row.resize(width, String::new());
        let said = row.iter().rposition(|cell| !cell.trim().is_empty());
        widest = widest.max(said.map_or(0, |last| last + 1));
        all.push(row);
    }
    // Every row is made as wide as the widest.
    within(all.len(), all.len().saturating_mul(widest))?;
    Ok(List {
        columns,
        rows: all,
        above: 0,
    })
}

/// Where in a row of CSV a byte stands.
enum At {
    Start,
    Plain,
    Quoted,
    /// After a quote in a cell in quotes: its end, or the first of two.
    Quote,
}

/// Whether no row has more cells than a list has columns, known without keeping any (RFC 4180,
/// clause 2).
fn narrow(text: &str) -> bool {
    let delimiter = delimiter(text);
    let (mut at, mut cells) = (At::Start, 1);
    for byte in text.bytes() {
        at = match (at, byte) {
            (At::Start | At::Quote, b'"') => At::Quoted,
            (At::Quoted, b'"') => At::Quote,
            (At::Quoted, _) => At::Quoted,
            (_, b'\n' | b'\r') => {
                cells = 1;
                At::Start
            }
            (_, byte) if byte == delimiter => {
                cells += 1;
                At::Start
            }
            _ => At::Plain,
        };
        if cells > MOST_COLUMNS {
            return false;
        }
    }
    true
}

/// Refuses more rows, or more cells, than a list ever has, before they are laid out.
fn within(rows: usize, cells: usize) -> Result<(), Box<Finding>> {
    if rows > MOST_ROWS {
        let most = counted(MOST_ROWS);
        return Err(too_large(format!("It has more than {most} rows.")));
    }
    if cells > MOST_CELLS {
        let text = format!(
            "It has more than {} cells, the empty ones of each row up to its last column counted.",
            counted(MOST_CELLS)
        );
        return Err(too_large(text));
    }
    Ok(())
}

fn too_wide() -> Box<Finding> {
    let most = counted(MOST_COLUMNS);
    too_large(format!("It has more than {most} columns."))
}

/// A count in threes.
fn counted(count: usize) -> String {
    thousands(count as u64)
}

impl List {
    fn checked(self) -> Result<Self, Box<Finding>> {
        if self.columns.len() > MOST_COLUMNS {
            return Err(too_wide());
        }
        within(self.rows.len(), 0)?;
        let names: usize = self.columns.iter().map(String::len).sum();
        if names.saturating_mul(self.rows.len()) > MOST_NAMES {
            let names = counted(names);
            let text = format!("Its headings, {names} bytes, are too long for so many rows.");
            return Err(too_large(text));
        }
        for (at, row) in self.rows.iter().enumerate() {
            if row.iter().any(|cell| cell.len() > LONGEST) {
                let (row, most) = (counted(at + 2), counted(LONGEST));
                let text = format!("A cell of row {row} holds more than {most} bytes.");
                return Err(too_large(text));
            }
        }
        Ok(self)
    }

    /// The list as CSV with every cell in quotes, so that nothing in it can be taken for a
    /// separator.
    #[must_use]
    pub fn to_csv(&self) -> Vec<u8> {
        let mut out = csv::WriterBuilder::new()
            .quote_style(csv::QuoteStyle::Always)
            .flexible(true)
            .from_writer(Vec::new());
        for row in std::iter::once(&self.columns).chain(&self.rows) {
            // Writing to memory does not fail.
            let _ = out.write_record(row);
        }
        out.into_inner().unwrap_or_default()
    }

    /// Where a column stands.
    #[must_use]
    pub fn column(&self, name: &str) -> Option<usize> {
        self.columns.iter().rposition(|column| column == name)
    }
}

pub(crate) fn too_large(text: String) -> Box<Finding> {
    let remedy = "Look at where the file comes from; a list of works is never that large.";
    Box::new(Finding::fault(codes::LIST_BIG, text, remedy))
}
