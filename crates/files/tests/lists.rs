//! Clients' lists: workbooks as they come, and workbooks made to do harm.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a test stops at the first thing that is not there"
)]

use std::io::Write;

use flate2::{Compression, Crc, write::DeflateEncoder};
use gangday_files::{List, guess_mapping, is_xlsx, read_list, read_points};

/// A ZIP archive of these entries, deflated.
fn zip(entries: &[(&str, Vec<u8>)]) -> Vec<u8> {
    let (mut out, mut directory) = (Vec::new(), Vec::new());
    for (name, bytes) in entries {
        let mut packed = DeflateEncoder::new(Vec::new(), Compression::best());
        packed.write_all(bytes).unwrap();
        let packed = packed.finish().unwrap();
        let mut crc = Crc::new();
        crc.update(bytes);
        let local = u32::try_from(out.len()).unwrap();
        let mut common = vec![20, 0, 0, 0, 8, 0, 0, 0, 0, 0];
        common.extend(crc.sum().to_le_bytes());
        common.extend(u32::try_from(packed.len()).unwrap().to_le_bytes());
        common.extend(u32::try_from(bytes.len()).unwrap().to_le_bytes());
        common.extend(u16::try_from(name.len()).unwrap().to_le_bytes());
        common.extend([0, 0]);
        out.extend(b"PK\x03\x04");
        out.extend(&common);
        out.extend(name.as_bytes());
        out.extend(&packed);
        directory.extend(b"PK\x01\x02\x14\x00");
        directory.extend(&common);
        directory.extend([0; 10]);
        directory.extend(local.to_le_bytes());
        directory.extend(name.as_bytes());
    }
    let at = u32::try_from(out.len()).unwrap();
    let count = u16::try_from(entries.len()).unwrap().to_le_bytes();
    out.extend(&directory);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(count);
    out.extend(count);
    out.extend(u32::try_from(directory.len()).unwrap().to_le_bytes());
    out.extend(at.to_le_bytes());
    out.extend([0, 0]);
    out
}

/// How long the one text is that every workbook keeps for cells to share.
const SHARED: usize = 32_000;

/// A workbook (ECMA-376) with one sheet of these rows in its own markup.
fn workbook(rows: &str) -> Vec<u8> {
    let xml = |text: &str| {
        format!("<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>{text}").into_bytes()
    };
    let main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
    let office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let package = "http://schemas.openxmlformats.org/package/2006";
    zip(&[
        (
            "[Content_Types].xml",
            xml(&format!(
                "<Types xmlns=\"{package}/content-types\"><Default Extension=\"rels\" ContentType=\"application/vnd.openxmlformats-package.relationships+xml\"/><Default Extension=\"xml\" ContentType=\"application/xml\"/><Override PartName=\"/xl/workbook.xml\" ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml\"/></Types>"
            )),
        ),
        (
            "_rels/.rels",
            xml(&format!(
                "<Relationships xmlns=\"{package}/relationships\"><Relationship Id=\"r1\" Type=\"{office}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
            )),
        ),
        (
            "xl/workbook.xml",
            xml(&format!(
                "<workbook xmlns=\"{main}\" xmlns:r=\"{office}\"><sheets><sheet name=\"Works\" sheetId=\"1\" r:id=\"r1\"/></sheets></workbook>"
            )),
        ),
        (
            "xl/_rels/workbook.xml.rels",
            xml(&format!(
                "<Relationships xmlns=\"{package}/relationships\"><Relationship Id=\"r1\" Type=\"{office}/worksheet\" Target=\"worksheets/sheet1.xml\"/><Relationship Id=\"r2\" Type=\"{office}/styles\" Target=\"styles.xml\"/><Relationship Id=\"r3\" Type=\"{office}/sharedStrings\" Target=\"sharedStrings.xml\"/></Relationships>"
            )),
        ),
        (
            "xl/sharedStrings.xml",
            xml(&format!(
                "<sst xmlns=\"{main}\"><si><t>{}</t></si></sst>",
                "x".repeat(SHARED)
            )),
        ),
        (
            "xl/styles.xml",
            xml(&format!(
                "<styleSheet xmlns=\"{main}\"><cellXfs count=\"2\"><xf numFmtId=\"0\"/><xf numFmtId=\"14\"/></cellXfs></styleSheet>"
            )),
        ),
        (
            "xl/worksheets/sheet1.xml",
            xml(&format!(
                "<worksheet xmlns=\"{main}\"><sheetData>{rows}</sheetData></worksheet>"
            )),
        ),
    ])
}

fn text(at: &str, text: &str) -> String {
    format!("<c r=\"{at}\" t=\"inlineStr\"><is><t>{text}</t></is></c>")
}

fn headed(cells: &str) -> String {
    let heads = ["Ref", "Longitude", "Latitude", "Earliest", "Title"];
    let heads: String = heads
        .iter()
        .zip('A'..)
        .map(|(head, column)| text(&format!("{column}1"), head))
        .collect();
    format!("<row r=\"1\">{heads}</row><row r=\"2\">{cells}</row>")
}

fn list(bytes: &[u8]) -> List {
    read_list(bytes).unwrap().unwrap()
}

fn refused(bytes: &[u8]) -> String {
    let fault = read_list(bytes).unwrap_err();
    assert!(fault.is_fault());
    format!("{} {}", fault.code, fault.text)
}

#[test]
fn a_workbook_becomes_jobs_by_its_headings() {
    let cells = [
        text("A2", "W-1"),
        "<c r=\"B2\"><v>-1.55</v></c><c r=\"C2\"><v>53.8</v></c>".to_owned(),
        // Day 46447 of the workbook's calendar is 1 March 2027 (ECMA-376 part 1, 18.17.4).
        "<c r=\"D2\" s=\"1\"><v>46447</v></c>".to_owned(),
        text("E2", "By the gate"),
    ];
    let book = workbook(&headed(&cells.concat()));
    assert!(is_xlsx(&book));
    let list = list(&book);
    assert_eq!(
        list.columns,
        ["Ref", "Longitude", "Latitude", "Earliest", "Title"]
    );
    assert_eq!(
        list.rows,
        [["W-1", "-1.55", "53.8", "2027-03-01", "By the gate"]]
    );
    let csv = list.to_csv();
    let read = read_points(&csv, &guess_mapping(&csv), &[]);
    assert_eq!(read.jobs.len(), 1, "{:?}", read.findings);
    assert_eq!(read.jobs[0].id.as_str(), "W-1");
    assert_eq!(read.jobs[0].earliest.unwrap().to_string(), "2027-03-01");
    assert_eq!(read.jobs[0].extra["title"], "By the gate");
}

#[test]
fn a_formula_is_the_value_saved_with_it_and_a_text_that_looks_like_one_is_text() {
    let formula = "<c r=\"B2\"><f>HYPERLINK(\"http://example.invalid\")</f><v>-1.55</v></c><c r=\"C2\"><v>53.8</v></c>";
    let cells = [
        text("A2", "=cmd|'/c calc'!A1"),
        formula.to_owned(),
        text("E2", "@SUM(A1)"),
    ];
    let list = list(&workbook(&headed(&cells.concat())));
    assert_eq!(
        list.rows,
        [["=cmd|'/c calc'!A1", "-1.55", "53.8", "", "@SUM(A1)"]]
    );
    let csv = list.to_csv();
    let read = read_points(&csv, &guess_mapping(&csv), &[]);
    assert_eq!(read.jobs[0].id.as_str(), "=cmd|'/c calc'!A1");
    assert_eq!(read.jobs[0].extra["title"], "@SUM(A1)");
}

#[test]
fn a_workbook_that_unfolds_without_end_is_refused_before_it_is_unfolded() {
    // 150 MiB of spaces in a few hundred kilobytes.
    let rows = " ".repeat(150 << 20);
    let bomb = workbook(&rows);
    assert!(bomb.len() < 1 << 20, "{}", bomb.len());
    assert!(refused(&bomb).starts_with("F-LIST-BIG The workbook unfolds"));
    // The same where the archive lies about it.
    let size = u32::try_from(rows.len()).unwrap();
    let mut liar = bomb;
    for at in 0..liar.len() - 4 {
        let stated = u32::from_le_bytes(liar[at..at + 4].try_into().unwrap());
        if stated >= size && stated < size + 1000 {
            liar[at..at + 4].copy_from_slice(&100_u32.to_le_bytes());
        }
    }
    assert_eq!(
        refused(&liar),
        "F-XLSX The workbook can't be read: its archive is damaged."
    );
}

/// An archive may end in a comment (APPNOTE 4.3.16), and a comment may look like the end of an archive:
/// of none, that begins nowhere, or that lies on another disk, so that a reader goes on to the real one.
#[test]
fn a_comment_that_looks_like_the_end_of_an_archive_hides_nothing() {
    let ending = |disk: u8, begins: u32, archive: &[u8]| {
        let mut end = [0; 22];
        end[..4].copy_from_slice(b"PK\x05\x06");
        end[4] = disk;
        end[16..20].copy_from_slice(&begins.to_le_bytes());
        let mut whole = archive.to_vec();
        let comment = whole.len() - 2;
        whole[comment] = 22;
        whole.extend(end);
        whole
    };
    let bomb = workbook(&" ".repeat(150 << 20));
    for hidden in [ending(0, 0x7FFF_FFFF, &bomb), ending(1, 0, &bomb)] {
        let told = refused(&hidden);
        assert!(
            told.starts_with("F-LIST-BIG The workbook unfolds"),
            "{told}"
        );
    }
    assert!(refused(&ending(0, 0, &bomb)).starts_with("F-XLSX"));
    let sound = workbook(&headed(&text("A2", "x")));
    assert_eq!(list(&ending(1, 0, &sound)), list(&sound));
}

#[test]
fn a_sheet_that_reaches_to_the_farthest_corner_takes_no_memory() {
    let far = format!(
        "<row r=\"1\">{}</row><row r=\"1048576\">{}</row>",
        text("A1", "Ref"),
        text("XFD1048576", "x")
    );
    assert!(refused(&workbook(&far)).starts_with("F-LIST-BIG"));
    let dimension = format!(
        "<row r=\"1\">{}</row><row r=\"900000\">{}</row>",
        text("A1", "Ref"),
        text("B900000", "x")
    );
    assert_eq!(list(&workbook(&dimension)).rows, [["", "x"]]);
}

/// A megabyte of names that no one could lay out: 100,000 columns by 1,000 rows, then as many columns
/// as a list may have by more rows than fit.
#[test]
fn a_list_that_is_small_and_would_be_laid_out_large_is_refused_first() {
    let csv = |separators: &str, rows: usize| format!("Ref{separators}\n{}", "x\n".repeat(rows));
    for separator in [",", ";", "\t"] {
        let wide = csv(&separator.repeat(100_000), 1_000);
        assert_eq!(
            refused(wide.as_bytes()),
            "F-LIST-BIG It has more than 1,000 columns."
        );
    }
    let below = format!("Ref,lon\nA,1\n{}", ",".repeat(100_000));
    assert!(refused(below.as_bytes()).ends_with("more than 1,000 columns."));
    let stray = format!("Ref,lon\nA 5\",1\nB{}\n", ",".repeat(100_000));
    assert!(refused(stray.as_bytes()).ends_with("more than 1,000 columns."));
    let many = csv(&",".repeat(999), 5_001);
    assert!(refused(many.as_bytes()).starts_with("F-LIST-BIG It has more than 5,000,000 cells"));
    let named = format!("{},lon\n{}", "n".repeat(30_000), "x,1\n".repeat(20_000));
    assert!(refused(named.as_bytes()).contains("Its headings, 30,003 bytes, are too long"));
    let quoted = format!("Ref,lon\n\"{}\",1\n", ",".repeat(2_000));
    assert_eq!(list(quoted.as_bytes()).rows.len(), 1);
}

#[test]
fn a_workbook_that_would_be_laid_out_large_is_refused_first() {
    let rows: String = (2..5_100)
        .map(|row| format!("<row r=\"{row}\">{}</row>", text(&format!("A{row}"), "x")))
        .collect();
    let wide = format!("<row r=\"1\">{}</row>{rows}", text("ALL1", "x"));
    let book = workbook(&wide);
    assert!(book.len() < 100_000, "{}", book.len());
    assert!(refused(&book).starts_with("F-LIST-BIG It has more than 5,000,000 cells"));
    // One text of the workbook in 5,000 cells: 160 MB.
    let shared: String = (1..=5_000)
        .map(|row| format!("<row r=\"{row}\"><c r=\"A{row}\" t=\"s\"><v>0</v></c></row>"))
        .collect();
    assert_eq!(
        refused(&workbook(&shared)),
        "F-LIST-BIG The cells of the sheet hold more than 128 MiB."
    );
    let one = "<row r=\"1\"><c r=\"A1\" t=\"s\"><v>0</v></c></row>";
    assert_eq!(list(&workbook(one)).columns[0].len(), SHARED);
}

#[test]
fn a_text_of_ten_megabytes_is_refused_in_either_form() {
    let long = "x".repeat(10 << 20);
    assert!(refused(format!("Ref,lon,lat\n{long},-1.55,53.8\n").as_bytes()).contains("row 2"));
    assert!(refused(&workbook(&headed(&text("A2", &long)))).contains("row 2"));
}

#[test]
fn coordinates_beyond_all_bounds_are_faults_of_their_rows() {
    let csv = b"Ref,lon,lat\nA,1e308,53.8\nB,-1.55,-1e308\nC,-1.55,53.8\n";
    let read = read_points(&list(csv).to_csv(), &guess_mapping(csv), &[]);
    assert_eq!(
        read.jobs
            .iter()
            .map(|job| job.id.as_str())
            .collect::<Vec<_>>(),
        ["C"]
    );
    assert_eq!(
        read.findings.iter().filter(|one| one.is_fault()).count(),
        2,
        "{:?}",
        read.findings
    );
}

#[test]
fn what_is_no_workbook_is_said_to_be_none() {
    for bytes in [
        &b"PK\x03\x04"[..],
        &zip(&[("a.txt", b"x".to_vec())]),
        &zip(&[]),
    ] {
        if is_xlsx(bytes) {
            assert!(refused(bytes).starts_with("F-XLSX"), "{}", refused(bytes));
        }
    }
    let sound = workbook(&headed(&text("A2", "x")));
    for tenths in 1..10 {
        assert!(read_list(&sound[..sound.len() * tenths / 10]).is_err());
    }
    assert_eq!(
        read_list(b"{\"type\": \"FeatureCollection\", \"features\": []}").unwrap(),
        None
    );
}

#[test]
fn headings_in_quotes_are_told_apart_and_grid_columns_known() {
    let csv = b"\"Ref; old\",\"Easting\",\"Northing\"\nA,430000,433000\n";
    let list = list(csv);
    assert_eq!(list.columns, ["Ref; old", "Easting", "Northing"]);
    let mapping = guess_mapping(csv);
    assert_eq!(
        (mapping.easting.as_deref(), mapping.lon),
        (Some("Easting"), None)
    );
    let metres = guess_mapping(b"ref,x,y\nA,430000,433000\n");
    assert_eq!(metres.easting.as_deref(), Some("x"));
    let degrees = guess_mapping(b"ref,x,y\nA,-1.55,53.8\n");
    assert_eq!(degrees.lon.as_deref(), Some("x"));
}

#[test]
fn a_text_of_ten_megabytes_in_a_list_is_refused_and_a_long_one_in_quotes_is_not() {
    let of = |name: &str, text: &str| {
        format!(
            "{{\"type\": \"FeatureCollection\", \"features\": [{{\"type\": \"Feature\", \"{name}\": \"{text}\"}}]}}"
        )
    };
    let long = "a".repeat(10_000_000);
    for name in ["id", "title"] {
        let words = refused(of(name, &long).as_bytes());
        assert!(words.starts_with("F-LIST-BIG"), "{words}");
        assert!(
            words.contains("10,000,000 bytes") && words.len() < 200,
            "{words}"
        );
    }
    let quoted = "\\\"".repeat(30_000);
    assert_eq!(read_list(of("title", &quoted).as_bytes()).unwrap(), None);
    assert!(refused(format!("id,title\n1,{long}\n").as_bytes()).starts_with("F-LIST-BIG"));
}

#[test]
fn a_row_with_more_cells_than_headings_leaves_the_others_sound() {
    let csv = b"Ref,lon,lat\nA,-1.55,53.8\nB,-1.551,53.8,by the gate\nC,-1.552,53.8\n";
    let list = list(csv);
    assert_eq!(list.columns, ["Ref", "lon", "lat", "Column 4"]);
    let read = read_points(&list.to_csv(), &guess_mapping(csv), &[]);
    assert_eq!(read.jobs.len(), 3, "{:?}", read.findings);
    // One wide row in a long list is laid out for all of them.
    let long = format!("Ref\n{}{}\n", "A\n".repeat(600_000), "B,".repeat(9));
    let words = refused(long.as_bytes());
    assert!(
        words.starts_with("F-LIST-BIG It has more than 5,000,000 cells"),
        "{words}"
    );
}
