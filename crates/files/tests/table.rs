//! Tables that were written, read back by another library.
#![allow(missing_docs, reason = "a test")]

use std::io::Cursor;

use calamine::{Data, Reader as _, Xlsx};
use gangday_files::{Cell, Table, write_csv, write_xlsx};

/// What spreadsheets take for formulas, and what only looks like markup.
const HOSTILE: [&str; 16] = [
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    " =1+1",
    "\n=1+1",
    "＝1+1",
    "＋1",
    "－1",
    "＠x",
    "\u{FEFF}=1",
    "=cmd|' /C calc'!A0",
    "<script>alert(1)</script>&amp;\"'",
    "a,b;c\r\n=1",
];

fn table(name: &str) -> Table {
    let row = |text: &str| vec![Cell::from(text), Cell::from(-1.5), Cell::Empty];
    Table {
        name: name.to_owned(),
        headings: vec!["id", "lon", "note"],
        rows: HOSTILE.into_iter().map(row).collect(),
    }
}

fn is_live(text: &str) -> bool {
    let text = text.trim_start_matches([' ', '\n', '\u{FEFF}', '\u{A0}', '\u{3000}']);
    text.starts_with(['=', '+', '-', '@', '\t', '\r', '＝', '＋', '－', '＠'])
}

#[test]
fn a_workbook_holds_texts_numbers_and_no_formula() {
    let tables = [table("Jobs & <more>"), table("Visits")];
    let bytes = write_xlsx(&tables);
    assert_eq!(bytes, write_xlsx(&tables));
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    assert_eq!(book.sheet_names(), ["Jobs & <more>", "Visits"]);
    let formulas = book.worksheet_formula("Jobs & <more>").unwrap();
    assert!(formulas.is_empty());
    let range = book.worksheet_range("Jobs & <more>").unwrap();
    let mut rows = range.rows();
    assert_eq!(rows.next().unwrap()[1], Data::String("lon".to_owned()));
    for (row, hostile) in rows.zip(HOSTILE) {
        let Data::String(text) = &row[0] else {
            panic!("{hostile:?} came back as {:?}", row[0]);
        };
        assert!(!is_live(text), "{text:?}");
        let told = text.strip_prefix('\'').unwrap_or(text);
        assert_eq!(told.replace("\r\n", "\n"), hostile.replace("\r\n", "\n"));
        assert_eq!(row[1], Data::Float(-1.5));
        assert_eq!(row[2], Data::Empty);
    }
    assert_eq!(range.height(), HOSTILE.len() + 1);
}

#[test]
fn csv_holds_texts_that_no_spreadsheet_takes_for_formulas() {
    let bytes = write_csv(&table("Jobs"));
    let text = String::from_utf8(bytes).unwrap();
    let text = text.strip_prefix('\u{FEFF}').unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    assert_eq!(reader.headers().unwrap(), vec!["id", "lon", "note"]);
    let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), HOSTILE.len());
    for (row, hostile) in rows.iter().zip(HOSTILE) {
        assert!(!is_live(&row[0]), "{:?}", &row[0]);
        assert_eq!(row[0].strip_prefix('\'').unwrap_or(&row[0]), hostile);
        assert_eq!(&row[1], "-1.5");
    }
}
