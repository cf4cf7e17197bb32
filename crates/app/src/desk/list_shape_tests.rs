//! Lists as people have them: under a title, with blank and repeated headings, behind a cover sheet.

use base64::Engine as _;
use gangday_files::{Cell, Table, write_xlsx};
use serde_json::{Value, json};

use super::tests::{ask, sheet, small};
use crate::Desk;
use crate::view::{Answer, PreviewView};

fn list(name: &str, bytes: &[u8]) -> Value {
    let base64 = base64::engine::general_purpose::STANDARD.encode(bytes);
    json!({"name": name, "base64": base64, "client": "Sallow Water"})
}

fn preview(desk: &Desk, list: &Value) -> PreviewView {
    let request = json!({"ask": "preview", "list": list});
    match ask(desk, request).unwrap() {
        Answer::Preview { preview } => *preview,
        other => panic!("no preview but {other:?}"),
    }
}

/// Easting and northing near the demo's first job.
fn place() -> (u32, u32) {
    (299_064, 457_445)
}

#[test]
fn a_list_under_a_title_with_blank_and_repeated_headings_is_read() {
    let desk = small();
    let (east, north) = place();
    let text = format!(
        "Chambers for the spring,,,,,\n,,,,,\nRef,OS Easting,OS Northing,,Ref,Remarks\nW1,{east},{north},x,old 7,by the gate\n"
    );
    let seen = preview(&desk, &list("works.csv", text.as_bytes()));
    assert_eq!(
        seen.columns,
        [
            "Ref",
            "OS Easting",
            "OS Northing",
            "Column 4",
            "Ref (2)",
            "Remarks"
        ]
    );
    assert_eq!((seen.fresh, seen.at_fault), (1, 0), "{:?}", seen.findings);
    let above = seen
        .findings
        .iter()
        .find(|one| one.code == "J-ABOVE")
        .unwrap();
    assert!(above.text.contains("under 2 rows"), "{}", above.text);
}

#[test]
fn the_sheet_with_the_places_is_read_whatever_lies_before_it() {
    let desk = small();
    let (east, north) = place();
    let table = |name: &str, headings: Vec<&'static str>, rows: Vec<Vec<Cell>>| Table {
        name: name.to_owned(),
        headings,
        rows,
    };
    let book = write_xlsx(&[
        table(
            "Cover",
            vec!["Prepared by", "On"],
            vec![vec!["A. Client".into(), "3 March".into()]],
        ),
        table(
            "Words",
            vec!["Word", "Means"],
            vec![vec!["Renew".into(), "replace".into()]; 9],
        ),
        table(
            "Works",
            vec!["Ref", "Easting", "Northing"],
            vec![vec!["W1".into(), east.into(), north.into()]],
        ),
    ]);
    let seen = preview(&desk, &list("works.xlsx", &book));
    assert_eq!(
        (seen.columns.as_slice(), seen.fresh),
        (&["Ref", "Easting", "Northing"].map(str::to_owned)[..], 1)
    );
}

#[test]
fn what_stands_in_for_sections_leaves_adjustments_without() {
    let desk = small();
    let (east, north) = place();
    let text = format!(
        "Ref,Easting,Northing,Work,Latest\nW1,{east},{north},replace,Fri 5 Mar 2027\nW2,{},{north},adjust,5-Mar-27\n",
        east + 40
    );
    let mut list = list("works.csv", text.as_bytes());
    let guessed = preview(&desk, &list);
    assert_eq!(guessed.at_fault, 1, "a replacement states its sections");
    let mut mapping = guessed.mapping;
    mapping["constants"]["sections"] = json!(3);
    list["mapping"] = Value::Object(mapping);
    let seen = preview(&desk, &list);
    assert_eq!((seen.fresh, seen.at_fault), (2, 0), "{:?}", seen.findings);
    let take_in = json!({"ask": "take_in", "list": list, "skip": [], "delete_gone": false});
    ask(&desk, take_in).unwrap();
    let stated = json!({"ask": "stated", "jobs": ["W1", "W2"]});
    match ask(&desk, stated).unwrap() {
        Answer::Stated { jobs } => {
            let of = |at: usize, name: &str| jobs[at].properties.get(name).cloned();
            assert_eq!(
                (of(0, "sections"), of(0, "latest")),
                (Some(json!(3)), Some(json!("2027-03-05")))
            );
            assert_ne!(of(1, "sections"), Some(json!(3)));
            assert_eq!(of(1, "latest"), Some(json!("2027-03-05")));
        }
        other => panic!("nothing stated but {other:?}"),
    }
}

#[test]
fn what_is_gone_from_a_list_stays_where_it_is_done_or_locked() {
    let desk = small();
    let planned: Vec<_> = sheet(&desk)
        .jobs
        .into_iter()
        .filter(|job| job.route.is_some())
        .collect();
    let [one, other] = [&planned[0], &planned[1]].map(|job| job.id.clone());
    let edit = json!({"ask": "edit", "edit": {"do": "set", "jobs": [one, other], "properties": {"client": "Sallow Water"}}});
    ask(&desk, edit).unwrap();
    let mark = json!({"ask": "mark", "jobs": [one], "locked": true});
    ask(&desk, mark).unwrap();
    let (east, north) = place();
    let text = format!(
        "Ref,Easting,Northing,Work\nW1,{},{north},adjust\n",
        east + 60
    );
    let list = list("works.csv", text.as_bytes());
    let seen = preview(&desk, &list);
    assert_eq!((seen.gone.len(), seen.staying), (2, vec![one.clone()]));
    let take_in = json!({"ask": "take_in", "list": list, "skip": [], "delete_gone": true});
    ask(&desk, take_in).unwrap();
    let ids: Vec<String> = sheet(&desk).jobs.into_iter().map(|job| job.id).collect();
    assert!(ids.contains(&one) && !ids.contains(&other));
}

/// What would be refused when the list is taken in is said when it is looked at.
#[test]
fn a_row_far_from_the_programme_is_at_fault_before_it_is_taken_in() {
    let desk = small();
    let (east, north) = place();
    let text = format!(
        "Ref,Easting,Northing,Work\nW1,{},{north},adjust\nW2,0,0,adjust\nW3,530000,180000,adjust\n",
        east + 60
    );
    let list = list("works.csv", text.as_bytes());
    let seen = preview(&desk, &list);
    assert_eq!((seen.fresh, seen.at_fault), (1, 2), "{:?}", seen.findings);
    let far = seen.findings.iter().filter(|one| one.code == "J-FAR");
    assert_eq!(far.count(), 2);
    let take_in = json!({"ask": "take_in", "list": list, "skip": [], "delete_gone": false});
    ask(&desk, take_in).unwrap();
    assert!(sheet(&desk).jobs.iter().any(|job| job.id == "W1"));
}

/// A cell of several lines, as workbooks have them, is one cell of one row, and so are headings of two lines.
#[test]
fn what_is_wrong_with_a_row_stands_at_it_whatever_lines_its_cells_have() {
    let desk = small();
    let (east, north) = place();
    let row = |id: &str, shift: u32, notes: &str, sections: &str| {
        let cells = [id, &(east + shift).to_string(), &north.to_string(), notes];
        let mut cells: Vec<Cell> = cells.iter().map(|cell| Cell::from(*cell)).collect();
        cells.push(sections.into());
        cells
    };
    let book = write_xlsx(&[Table {
        name: "Works".to_owned(),
        headings: vec!["Ref", "Easting", "Northing", "Remarks,\nif any", "Sections"],
        rows: vec![
            row("W1", 60, "by the gate\nnot on Fridays\nring first", "0"),
            row("W2", 80, "", "0"),
            row("W3", 100, "behind\nthe wall", "two"),
            row("W4", 120, "", "0"),
        ],
    }]);
    let mut list = list("works.xlsx", &book);
    let seen = preview(&desk, &list);
    let statuses: Vec<_> = seen.rows.iter().map(|row| row.status.as_str()).collect();
    assert_eq!(statuses, ["new", "new", "fault", "new"]);
    let faults = seen.findings.iter().filter(|one| one.severity == "fault");
    let said: Vec<_> = faults.map(|one| (one.row, one.place.as_str())).collect();
    assert_eq!(
        said,
        [(Some(2), "works.xlsx, W3, sections, line 4 column 1")]
    );
    list["corrections"] = json!([{"row": 2, "column": "Sections", "value": "0"}]);
    assert_eq!(preview(&desk, &list).fresh, 4);
}

/// The command that brings a workbook in counts its rows too.
#[test]
fn a_workbook_that_is_imported_is_told_of_by_its_rows() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("works.xlsx");
    let row = |id: &str, notes: &str, sections: &str| {
        vec![
            id.into(),
            (-3.5).into(),
            54.0.into(),
            "replace".into(),
            notes.into(),
            sections.into(),
        ]
    };
    let book = write_xlsx(&[Table {
        name: "Works".to_owned(),
        headings: vec![
            "Ref",
            "Longitude",
            "Latitude",
            "Work",
            "Remarks,\nif any",
            "Sections",
        ],
        rows: vec![
            row("W1", "by the gate\nring first", "3"),
            row("W2", "", "two"),
        ],
    }]);
    std::fs::write(&path, book).unwrap();
    let mapping = crate::importing::mapping_for(&path, None).unwrap();
    let into = place.path().join("week");
    let report = crate::importing::import_into(&path, &into, &mapping).unwrap();
    let faults = report.findings.iter().filter(|one| one.severity == "fault");
    let places: Vec<_> = faults.map(|one| one.place.as_str()).collect();
    assert_eq!(places, ["works.xlsx, W2, sections, line 3 column 1"]);
}

/// A list by eastings and northings is told of in those columns and in metres, whatever was worked out of them.
#[test]
fn what_is_wrong_with_eastings_is_said_in_metres() {
    let desk = small();
    let (east, north) = place();
    let text = format!(
        "Ref,OS Easting,OS Northing\nW1,{east},{north}\nW2,east of it,{north}\nW3,\"300,000\",\nW4,9000000,{north}\n"
    );
    let seen = preview(&desk, &list("works.csv", text.as_bytes()));
    let rows = seen.findings.iter().filter(|one| one.row.is_some());
    let told: Vec<_> = rows
        .map(|one| {
            (
                one.row,
                one.place.as_str(),
                one.text.as_str(),
                one.remedy.as_str(),
            )
        })
        .collect();
    let metres = "Write metres of the British National Grid, as in 430000.";
    assert_eq!(
        told,
        [
            (
                Some(1),
                "works.csv, W2, OS Easting, line 3 column 1",
                "`OS Easting` is \"east of it\", not a number of metres.",
                metres
            ),
            (
                Some(2),
                "works.csv, W3, OS Northing, line 4 column 1",
                "`OS Northing` is \"\", not a number of metres.",
                metres
            ),
            (
                Some(3),
                "works.csv, W4, geometry, line 5 column 1",
                "The position 9000000, 457445 of the job is not on the British National Grid.",
                "Write eastings and northings in full, in metres, as in 430000 and 433000."
            ),
        ]
    );
}
