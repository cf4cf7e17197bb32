//! The first sheet of an XLSX workbook that says where something is, else the first, cell by cell: a sheet that claims to reach to the farthest
//! corner takes no more memory than its cells.

use std::collections::BTreeMap;
use std::io::Cursor;

use calamine::{DataRef, DataType as _, Reader as _, Xlsx};
use gangday_model::Finding;

use super::unpack::{MOST, is_moderate};
use super::{List, MOST_CELLS, MOST_COLUMNS, MOST_ROWS, counted, headings, too_large, within};
use crate::codes;
use crate::points::guess_mapping;
use crate::words::shorten;

/// So many sheets are looked through for one with places.
const SHEETS: usize = 12;
/// So many rows tell what a sheet is about.
const SAMPLE: usize = 40;

pub(super) fn read(bytes: &[u8]) -> Result<List, Box<Finding>> {
    match is_moderate(bytes) {
        Some(true) => {}
        Some(false) => {
            return Err(too_large(format!(
                "The workbook unfolds to more than {} MiB.",
                MOST >> 20
            )));
        }
        None => return Err(unreadable("its archive is damaged")),
    }
    let mut book: Xlsx<_> =
        Xlsx::new(Cursor::new(bytes)).map_err(|error| unreadable(&error.to_string()))?;
    let sheets = book.sheet_names();
    let mut first = None;
    for sheet in sheets.iter().take(SHEETS) {
        let list = laid_out(cells(&mut book, sheet)?)?;
        if is_placed(&list) {
            return Ok(list);
        }
        first.get_or_insert(list);
    }
    first.ok_or_else(|| unreadable("it has no sheet"))
}

/// Whether its headings say where something is: a cover or a table of words does not.
fn is_placed(list: &List) -> bool {
    let head = List {
        columns: list.columns.clone(),
        rows: list.rows.iter().take(SAMPLE).cloned().collect(),
        above: 0,
    };
    let mapping = guess_mapping(&headings::tidy(head).to_csv());
    mapping.lon.is_some() || mapping.easting.is_some()
}

type Cells = BTreeMap<(u32, u32), String>;

fn cells(book: &mut Xlsx<Cursor<&[u8]>>, sheet: &str) -> Result<Cells, Box<Finding>> {
    let failed = |error: calamine::XlsxError| unreadable(&error.to_string());
    let mut reader = book.worksheet_cells_reader(sheet).map_err(failed)?;
    let (mut cells, mut bytes) = (Cells::new(), 0);
    while let Some(cell) = reader.next_cell().map_err(failed)? {
        let (row, column) = cell.get_position();
        let text = text(cell.get_value());
        if text.is_empty() {
            continue;
        }
        if row as usize > MOST_ROWS || column as usize >= MOST_COLUMNS || cells.len() >= MOST_CELLS
        {
            return Err(too_large(format!(
                "The sheet has something beyond {} rows, {} columns or {} cells.",
                counted(MOST_ROWS),
                counted(MOST_COLUMNS),
                counted(MOST_CELLS)
            )));
        }
        // A text that is kept once in the workbook may stand in any number of cells.
        bytes += text.len() as u64;
        if bytes > MOST {
            return Err(too_large(format!(
                "The cells of the sheet hold more than {} MiB.",
                MOST >> 20
            )));
        }
        cells.insert((row, column), text);
    }
    Ok(cells)
}

/// The first row with anything in it holds the names of the columns; rows with nothing are left out.
fn laid_out(cells: Cells) -> Result<List, Box<Finding>> {
    let width = cells
        .keys()
        .map(|(_, column)| *column as usize + 1)
        .max()
        .unwrap_or(0);
    // They are in order, so the cells of a row stand together.
    let (mut count, mut last) = (0, None);
    for (row, _) in cells.keys() {
        count += usize::from(last.replace(row) != Some(row));
    }
    within(count.saturating_sub(1), count * width)?;
    let mut rows: BTreeMap<u32, Vec<String>> = BTreeMap::new();
    for ((row, column), text) in cells {
        let row = rows
            .entry(row)
            .or_insert_with(|| vec![String::new(); width]);
        row[column as usize] = text;
    }
    let mut rows = rows.into_values();
    Ok(List {
        columns: rows.next().unwrap_or_default(),
        rows: rows.collect(),
        above: 0,
    })
}

/// What a cell says; a date as ISO 8601, a whole number without a point.
fn text(cell: &DataRef<'_>) -> String {
    match cell {
        DataRef::Empty | DataRef::Error(_) => String::new(),
        DataRef::DateTime(moment) => moment.as_datetime().map_or_else(
            || moment.as_f64().to_string(),
            |moment| {
                let midnight = moment.time() == chrono::NaiveTime::MIN;
                let form = if midnight {
                    "%Y-%m-%d"
                } else {
                    "%Y-%m-%dT%H:%M:%S"
                };
                moment.format(form).to_string()
            },
        ),
        other => other.as_string().unwrap_or_default().trim().to_owned(),
    }
}

fn unreadable(why: &str) -> Box<Finding> {
    let text = format!("The workbook can't be read: {}.", shorten(why));
    Box::new(Finding::fault(
        codes::XLSX,
        text,
        "Save it anew as .xlsx, or as CSV.",
    ))
}
