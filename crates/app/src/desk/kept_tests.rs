//! What is kept beside the jobs and the plan: pictures and what the page keeps; and tables out.

use std::io::Cursor;
use std::path::Path;

use base64::Engine as _;
use calamine::{Data, Reader as _, Xlsx};
use serde_json::{Value, json};

use super::tests::{ask, sheet, small};
use crate::Desk;
use crate::view::{Answer, AttachmentView, PlanView, Refusal};

/// A PNG of one pixel with a text in it; by the standard's clauses 5 and 11.
pub(super) fn png(text: &str) -> Vec<u8> {
    let chunk = |name: &[u8; 4], inside: &[u8]| {
        let length = u32::try_from(inside.len()).unwrap().to_be_bytes();
        [&length[..], name, inside, &[0; 4]].concat()
    };
    [
        b"\x89PNG\r\n\x1A\n".to_vec(),
        chunk(b"IHDR", &[0, 0, 0, 1, 0, 0, 0, 1, 8, 0, 0, 0, 0]),
        chunk(b"tEXt", format!("Comment\0{text}").as_bytes()),
        chunk(b"IDAT", text.as_bytes()),
        chunk(b"IEND", &[]),
    ]
    .concat()
}

pub(super) fn attach(desk: &Desk, job: &str, name: &str, bytes: &[u8]) -> Result<(), Refusal> {
    let base64 = base64::engine::general_purpose::STANDARD.encode(bytes);
    let request = json!({"ask": "attach", "job": job, "name": name, "base64": base64});
    ask(desk, request).map(drop)
}

pub(super) fn read(desk: &Desk, job: &str, name: &str) -> Result<(String, Vec<u8>), Refusal> {
    let request = json!({"ask": "attachment", "job": job, "name": name});
    match ask(desk, request)? {
        Answer::File { media, base64, .. } => {
            let bytes = base64::engine::general_purpose::STANDARD.decode(base64);
            Ok((media, bytes.unwrap()))
        }
        other => panic!("no picture but {other:?}"),
    }
}

fn of(desk: &Desk, job: &str) -> Vec<AttachmentView> {
    let jobs = sheet(desk).jobs;
    let job = jobs.into_iter().find(|one| one.id == job);
    job.unwrap().attachments
}

fn names(desk: &Desk, job: &str) -> Vec<String> {
    of(desk, job).into_iter().map(|one| one.name).collect()
}

fn save(desk: &Desk, path: &Path) {
    ask(desk, json!({"ask": "save", "folder": path})).unwrap();
}

fn open(path: &Path) -> Desk {
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path})).unwrap();
    desk
}

#[test]
fn a_picture_is_attached_read_taken_off_and_comes_back_by_undo_wherever_it_is_kept() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    let desk = small();
    attach(&desk, "J001", "hole", &png("first")).unwrap();
    let shown = of(&desk, "J001");
    assert_eq!(
        (shown[0].name.as_str(), shown[0].media.as_str()),
        ("hole.png", "image/png")
    );
    assert!(
        shown[0].said.contains("were taken out"),
        "{}",
        shown[0].said
    );
    let (media, first) = read(&desk, "J001", "hole.png").unwrap();
    assert_eq!(media, "image/png");
    assert!(!first.windows(7).any(|part| part == b"Comment"));
    assert_eq!(
        sheet(&desk).undo.as_deref(),
        Some("attach hole.png to J001")
    );
    for home in ["week.gpkg", "folder", "other.gpkg"] {
        save(&desk, &at(home));
        attach(&desk, "J001", &format!("{home}.png"), &png(home)).unwrap();
        let off = json!({"ask": "detach", "job": "J001", "name": "hole.png"});
        ask(&desk, off).unwrap();
        assert_eq!(
            read(&desk, "J001", "hole.png").unwrap_err().text,
            "J001 has no picture called hole.png."
        );
        ask(&desk, json!({"ask": "undo"})).unwrap();
        assert_eq!(read(&desk, "J001", "hole.png").unwrap().1, first, "{home}");
        save(&desk, &at(home));
    }
    drop(desk);
    for home in ["other.gpkg", "folder", "week.gpkg"] {
        let desk = open(&at(home));
        assert_eq!(read(&desk, "J001", "hole.png").unwrap().1, first, "{home}");
        assert!(names(&desk, "J001").contains(&format!("{home}.png")));
    }
}

#[test]
fn a_picture_that_no_job_and_no_step_back_needs_is_gone_when_the_file_is_opened_again() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let desk = small();
    save(&desk, &path);
    for name in ["kept", "undone", "off"] {
        attach(&desk, "J001", name, &png(name)).unwrap();
        if name == "undone" {
            ask(&desk, json!({"ask": "undo"})).unwrap();
        }
    }
    ask(
        &desk,
        json!({"ask": "detach", "job": "J001", "name": "off.png"}),
    )
    .unwrap();
    let there = || gangday_store::attachments_of(&path).unwrap().len();
    drop(desk);
    assert_eq!(there(), 3);
    let desk = open(&path);
    assert_eq!(
        there(),
        2,
        "what was undone and forgotten is needed by nobody"
    );
    ask(&desk, json!({"ask": "undo"})).unwrap();
    assert!(
        read(&desk, "J001", "off.png").is_ok(),
        "a step back needs it"
    );
    assert!(read(&desk, "J001", "kept.png").is_ok());
}

#[test]
fn a_folder_with_pictures_becomes_a_file_and_a_folder_again() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    let desk = small();
    attach(&desk, "J001", "a.png", &png("a")).unwrap();
    attach(&desk, "J002", "same.png", &png("a")).unwrap();
    attach(&desk, "J002", "b.png", &png("b")).unwrap();
    ask(
        &desk,
        json!({"ask": "remember", "name": "basemap", "value": {"path": "/maps/area.pmtiles"}}),
    )
    .unwrap();
    save(&desk, &at("first"));
    crate::convert(&at("first"), &at("week.gpkg")).unwrap();
    crate::convert(&at("week.gpkg"), &at("second")).unwrap();
    let all = |name: &str| {
        let folder = at(name);
        let inside = std::fs::read_dir(folder.join("attachments")).unwrap();
        let here = std::fs::read_dir(&folder).unwrap();
        let files = here.chain(inside).map(|one| one.unwrap().path());
        let files = files.filter(|path| path.is_file());
        let mut files: Vec<_> = files
            .map(|path| {
                (
                    path.file_name().unwrap().to_owned(),
                    std::fs::read(path).unwrap(),
                )
            })
            .collect();
        files.sort();
        files
    };
    assert_eq!(all("first"), all("second"));
    assert_eq!(
        std::fs::read_dir(at("first").join("attachments"))
            .unwrap()
            .count(),
        2
    );
    assert!(all("first").iter().any(|(name, _)| name == "page.json"));
}

#[test]
fn hostile_names_and_what_is_no_picture_are_refused_and_nothing_is_changed() {
    let desk = small();
    let before = sheet(&desk);
    let long = "x".repeat(121);
    let hostile = [
        "../hole.png",
        "..",
        "a/b.png",
        "a\\b.png",
        "C:hole.png",
        "a\0b.png",
        "CON",
        "nul.png",
        "COM1.png",
        "",
        " ",
        " a.png",
        ".hidden.png",
        "a.png.",
        "a\u{202E}gnp.exe",
        "a\nb.png",
        "<b>.png",
        long.as_str(),
    ];
    for name in hostile {
        let refusal = attach(&desk, "J001", name, &png("x")).unwrap_err();
        assert!(
            refusal.text.contains("was not attached"),
            "{name:?}: {}",
            refusal.text
        );
    }
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>";
    let refusal = attach(&desk, "J001", "a.png", svg).unwrap_err();
    assert_eq!(refusal.findings[0].code, "F-PICTURE");
    assert!(
        attach(&desk, "none", "a.png", &png("x"))
            .unwrap_err()
            .text
            .contains("no job none")
    );
    assert_eq!(sheet(&desk), before);
    attach(&desk, "J001", "a.png", &png("x")).unwrap();
    assert!(
        attach(&desk, "J001", "a.png", &png("y")).is_err(),
        "it has one of that name"
    );
    attach(&desk, "J001", "console.png", &png("y")).unwrap();
    attach(&desk, "J001", "drawing.svg", &png("z")).unwrap();
    assert_eq!(
        names(&desk, "J001"),
        ["a.png", "console.png", "drawing.svg.png"]
    );
}

#[test]
fn a_programme_that_names_files_elsewhere_gets_none_of_them() {
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name);
    let desk = small();
    std::fs::write(at("secret.jpg"), "secret").unwrap();
    let sum = "0".repeat(64);
    let list = json!([
        {"name": "a.jpg", "file": "../secret.jpg"},
        {"name": "../b.jpg", "file": format!("{sum}.jpg")},
        {"name": "c.jpg", "file": format!("{sum}.jpg")},
        {"name": 5}, "x", null,
    ]);
    let edit = json!({"do": "set", "jobs": ["J001"], "properties": {"attachments": list}});
    ask(&desk, json!({"ask": "edit", "edit": edit})).unwrap();
    save(&desk, &at("week"));
    std::fs::create_dir(at("week").join("attachments")).unwrap();
    std::fs::write(at("week").join(format!("attachments/{sum}.jpg")), "changed").unwrap();
    let desk = open(&at("week"));
    assert_eq!(names(&desk, "J001"), ["c.jpg"]);
    let text = read(&desk, "J001", "c.jpg").unwrap_err().text;
    assert!(text.contains("was changed"), "{text}");
}

#[test]
fn what_the_page_keeps_comes_back_and_is_no_edit() {
    let place = tempfile::tempdir().unwrap();
    let values = |answer: Answer| match answer {
        Answer::Remembered { values } => Value::Object(values),
        other => panic!("{other:?}"),
    };
    for home in ["week.gpkg", "week"] {
        let desk = small();
        let keep = json!({"ask": "remember", "name": "filters", "value": {"status": ["planned"]}});
        ask(&desk, keep.clone()).unwrap();
        save(&desk, &place.path().join(home));
        let basemap = json!({"ask": "remember", "name": "basemap", "value": "/maps/area.pmtiles"});
        ask(&desk, basemap).unwrap();
        let after = sheet(&desk);
        assert!(!after.unsaved && after.undo.is_none());
        let large = json!({"ask": "remember", "name": "x", "value": "x".repeat(70_000)});
        assert!(ask(&desk, large).is_err());
        drop(desk);
        let desk = open(&place.path().join(home));
        let told = values(ask(&desk, json!({"ask": "remembered"})).unwrap());
        let all = json!({"filters": {"status": ["planned"]}, "basemap": "/maps/area.pmtiles"});
        assert_eq!(told, all, "{home}");
        let gone = json!({"ask": "remember", "name": "filters", "value": null});
        let told = values(ask(&desk, gone).unwrap());
        assert_eq!(told, json!({"basemap": "/maps/area.pmtiles"}));
    }
    assert!(
        ask(
            &Desk::default(),
            json!({"ask": "remember", "name": "x", "value": 1})
        )
        .is_err()
    );
}

/// How many lines all orders have: of the week, of each day and of each gang-day.
fn ordered_lines(desk: &Desk, plan: &PlanView) -> usize {
    let keys: Vec<&String> = plan.columns.iter().map(|column| &column.key).collect();
    let told = ask(desk, json!({"ask": "gang_days", "keys": keys})).unwrap();
    let Answer::GangDays { details } = told else {
        panic!("no gang-days but {told:?}");
    };
    let orders = plan.orders.iter();
    let orders = orders.chain(details.iter().map(|one| &one.order));
    orders.map(|order| order.materials.len()).sum()
}

#[test]
fn tables_hold_the_week_and_nothing_of_a_hostile_programme_is_a_formula() {
    let desk = small();
    let hostile = json!({"do": "set", "jobs": ["J001"], "properties": {"permit": "=HYPERLINK(\"x\")", "notes": "＝1+1"}});
    ask(&desk, json!({"ask": "edit", "edit": hostile})).unwrap();
    ask(
        &desk,
        json!({"ask": "edit", "edit": {"do": "rename", "job": "J002", "to": "@SUM(1)"}}),
    )
    .unwrap();
    let export = |what: &str, format: &str| {
        let request = json!({"ask": "export", "what": what, "format": format});
        ask(&desk, request).map(|answer| match answer {
            Answer::File { name, base64, .. } => {
                let bytes = base64::engine::general_purpose::STANDARD.decode(base64);
                (name, bytes.unwrap())
            }
            other => panic!("{other:?}"),
        })
    };
    let shown = sheet(&desk);
    let plan = shown.plan.unwrap();
    let (name, bytes) = export("all", "xlsx").unwrap();
    assert_eq!(name, "week.xlsx");
    let mut book: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).unwrap();
    assert_eq!(book.sheet_names(), ["Jobs", "Visits", "Orders", "Closures"]);
    for sheet in book.sheet_names() {
        assert!(book.worksheet_formula(&sheet).unwrap().is_empty());
        for cell in book.worksheet_range(&sheet).unwrap().used_cells() {
            if let Data::String(text) = cell.2 {
                assert!(
                    !text.starts_with(['=', '+', '-', '@', '\t', '\r', '＝']),
                    "{text}"
                );
            }
        }
    }
    let rows = |book: &mut Xlsx<Cursor<Vec<u8>>>, name: &str| {
        book.worksheet_range(name).unwrap().height() - 1
    };
    let work = plan.columns.iter().flat_map(|column| &column.layers);
    let visits = work.filter(|layer| layer.stage.is_some()).count();
    let lines = ordered_lines(&desk, &plan);
    let counts = [shown.jobs.len(), visits, lines, plan.closures.len()];
    for (sheet, count) in ["Jobs", "Visits", "Orders", "Closures"]
        .into_iter()
        .zip(counts)
    {
        assert_eq!(rows(&mut book, sheet), count, "{sheet}");
    }
    let (name, csv) = export("jobs", "csv").unwrap();
    let csv = String::from_utf8(csv).unwrap();
    assert_eq!(name, "jobs.csv");
    assert!(
        csv.contains("'＝1+1")
            && csv.contains("\"'=HYPERLINK(\"\"x\"\")\"")
            && csv.contains("\n\"'@SUM(1)\",")
    );
    assert!(export("all", "csv").is_err());
    assert!(export("orders", "csv").is_ok());
}
