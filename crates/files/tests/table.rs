//! Tables that were written, read back by another library.
#![allow(missing_docs, reason = "a test")]

use std::io::Cursor;

use calamine::{Data, Reader as _, Xlsx};
use gangday_files::{Cell, Table, write_csv, write_xlsx};

/// What spreadsheets take for formulas, and what only looks like markup.
const HOSTILE: [&str; 22] = [
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
    "x;=1+1",
    "x; =1+1;",
    "x;\"=1+1\"",
    "x\t=1+1",
    "x\n-1",
    "x;\t＝1",
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
    let bare = |text: &str| text.replace('\'', "");
    for (row, hostile) in rows.iter().zip(HOSTILE) {
        assert!(!is_live(&row[0]), "{:?}", &row[0]);
        assert_eq!(bare(&row[0]), bare(hostile));
        assert_eq!(&row[1], "-1.5");
    }
}

/// A spreadsheet set to another mark than the comma, and one that knows quotes only where a cell begins.
#[test]
fn csv_parted_by_another_mark_has_no_formula_either() {
    let mut table = table("Jobs");
    for row in &mut table.rows {
        row.insert(0, Cell::from("J1"));
    }
    table.headings.insert(0, "job");
    let text = String::from_utf8(write_csv(&table)).unwrap();
    for mark in [b';', b'\t'] {
        let mut reader = csv::ReaderBuilder::new();
        let reader = reader.delimiter(mark).flexible(true);
        for record in reader.from_reader(text.as_bytes()).records() {
            for cell in &record.unwrap() {
                assert!(!is_live(cell.trim_start_matches('"')), "{cell:?}");
            }
        }
    }
    for piece in text.split([';', '\t', '\n', '\r']) {
        assert!(!is_live(piece.trim_start_matches([' ', '"'])), "{piece:?}");
    }
}

#[test]
fn csv_has_every_text_in_quotes_and_numbers_bare() {
    let table = Table {
        name: "Jobs".to_owned(),
        headings: vec!["id", "lon"],
        rows: vec![
            vec![Cell::from("x;=1+1"), Cell::from(-1.5)],
            vec![Cell::from("two\twords"), Cell::Empty],
            vec![Cell::from("12;-; a; b - c"), Cell::from(3.0)],
        ],
    };
    assert_eq!(
        String::from_utf8(write_csv(&table)).unwrap(),
        "\u{FEFF}\"id\",\"lon\"\r\n\"x;'=1+1\",-1.5\r\n\"two\twords\",\"\"\r\n\"12;'-; a; b - c\",3\r\n"
    );
}
