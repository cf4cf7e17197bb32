//! What reading had to refuse is put right or taken out at the desk, by one edit that can be taken back.

use std::fs;
use std::path::Path;

use serde_json::{Value, json};

use super::tests::{sheet, sheet_of, small};
use crate::Desk;
use crate::view::{Answer, AsideRow, Refusal, Sheet};

fn asked(desk: &Desk, request: Value) -> Result<Answer, Refusal> {
    desk.ask(serde_json::from_value(request).unwrap())
}

fn ask(desk: &Desk, request: Value) -> Answer {
    asked(desk, request).unwrap_or_else(|refused| panic!("{}", refused.text))
}

fn opened(path: &Path) -> Desk {
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path}));
    desk
}

fn aside(desk: &Desk, file: &str, place: &str) -> Vec<AsideRow> {
    match ask(desk, json!({"ask": "aside", "file": file, "place": place})) {
        Answer::Aside { rows } => rows,
        other => panic!("nothing aside but {other:?}"),
    }
}

/// A folder in which jobs are refused: one without a place, one without an id, one with a number of sections that is
/// none and of no work, one that has another's id; and so are a gang and a street.
fn faulty(folder: &Path) {
    ask(&small(), json!({"ask": "save", "folder": folder}));
    let change = |name: &str, change: &dyn Fn(&mut Value)| {
        let path = folder.join(name);
        let mut file = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
        change(&mut file);
        fs::write(&path, serde_json::to_vec(&file).unwrap()).unwrap();
    };
    change("jobs.geojson", &|file| {
        let features = file["features"].as_array_mut().unwrap();
        features[1]["geometry"] = Value::Null;
        features[3].as_object_mut().unwrap().remove("id");
        features[5]["properties"]["sections"] = json!("three");
        features[5]["properties"]["work"] = json!("mend");
        features[6]["id"] = features[0]["id"].clone();
    });
    change("gangs.json", &|file| {
        file["gangs"][0]["people"] = json!("two");
    });
    change("streets.geojson", &|file| {
        file["features"][0]["geometry"] = json!({"type": "Point", "coordinates": [0, 0]});
    });
}

fn jobs_of(sheet: &Sheet) -> usize {
    sheet.jobs.len()
}

fn edit(desk: &Desk, edit: &Value) -> (Sheet, Vec<String>) {
    match ask(desk, json!({"ask": "edit", "edit": edit})) {
        Answer::Edited { sheet, jobs, .. } => (*sheet, jobs),
        other => panic!("no edit but {other:?}"),
    }
}

fn faults(sheet: &Sheet, of: &str) -> Vec<String> {
    let all = sheet.findings.iter();
    let own = all.filter(|one| one.severity == "fault" && one.place.starts_with(of));
    own.map(|one| format!("{} {}", one.code, one.place))
        .collect()
}

#[test]
fn a_job_without_a_place_is_put_on_the_map_and_counts_and_undo_takes_it_back() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    faulty(&folder);
    for path in [folder.clone(), in_one_file(&folder)] {
        let desk = opened(&path);
        let before = sheet(&desk);
        assert!(before.jobs.iter().all(|job| job.id != "J002"));
        let rows = aside(&desk, "jobs.geojson", "J002");
        assert_eq!(rows.len(), 1);
        assert!(
            rows[0].written.contains("\"geometry\": null"),
            "{}",
            rows[0].written
        );
        let mend =
            json!({"do": "mend", "aside": rows[0].aside, "members": {}, "at": [-3.53, 54.01]});
        let (after, jobs) = edit(&desk, &mend);
        assert_eq!(
            (jobs_of(&after), jobs),
            (jobs_of(&before) + 1, vec!["J002".to_owned()])
        );
        assert!(faults(&after, "jobs.geojson, J002").is_empty());
        assert_eq!(after.undo.as_deref(), Some("mend J002"));
        let undone = sheet_of(ask(&desk, json!({"ask": "undo"})));
        assert_eq!(
            (jobs_of(&undone), &undone.findings),
            (jobs_of(&before), &before.findings)
        );
        ask(&desk, json!({"ask": "redo"}));
        ask(&desk, json!({"ask": "save"}));
        drop(desk);
        let again = opened(&path);
        assert!(sheet(&again).jobs.iter().any(|job| job.id == "J002"));
        // What is still at fault is there word for word.
        assert_eq!(
            aside(&again, "jobs.geojson", "J006")[0].members["sections"],
            "three"
        );
    }
}

/// The same as one file.
fn in_one_file(folder: &Path) -> std::path::PathBuf {
    let path = folder.with_extension("gpkg");
    let from = opened(folder);
    ask(&from, json!({"ask": "save", "folder": path}));
    path
}

#[test]
fn members_are_put_right_one_by_one_and_an_edit_in_a_file_is_undone_after_it_was_closed() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    faulty(&folder);
    let path = in_one_file(&folder);
    let desk = opened(&path);
    let before = sheet(&desk);
    let of = |desk: &Desk| json!(aside(desk, "jobs.geojson", "J006")[0].aside);
    let work = json!({"do": "mend", "aside": of(&desk), "members": {"work": "new"}, "at": null});
    let (after, jobs) = edit(&desk, &work);
    assert_eq!((jobs_of(&after), jobs.len()), (jobs_of(&before), 0));
    assert_eq!(faults(&after, "jobs.geojson, J006").len(), 1);
    let sections =
        json!({"do": "mend", "aside": of(&desk), "members": {"sections": 3}, "at": null});
    let (after, jobs) = edit(&desk, &sections);
    assert_eq!(
        (jobs_of(&after), jobs),
        (jobs_of(&before) + 1, vec!["J006".to_owned()])
    );
    drop(desk);
    let again = opened(&path);
    assert_eq!(jobs_of(&sheet(&again)), jobs_of(&before) + 1);
    ask(&again, json!({"ask": "undo"}));
    let undone = sheet_of(ask(&again, json!({"ask": "undo"})));
    assert_eq!(jobs_of(&undone), jobs_of(&before));
    assert_eq!(
        faults(&undone, "jobs.geojson"),
        faults(&before, "jobs.geojson")
    );
}

#[test]
fn what_has_no_id_or_anothers_is_given_one_or_taken_out() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    faulty(&folder);
    let desk = opened(&folder);
    let before = sheet(&desk);
    let twice = aside(&desk, "jobs.geojson", "J001");
    assert_eq!(twice.len(), 1, "the one that counts is none of them");
    let mend = json!({"do": "mend", "aside": twice[0].aside, "members": {"id": 77}, "at": null});
    let (after, jobs) = edit(&desk, &mend);
    assert_eq!(
        (jobs_of(&after), jobs),
        (jobs_of(&before) + 1, vec!["77".to_owned()])
    );
    let nameless = aside(&desk, "jobs.geojson", "feature 4");
    let out = json!({"do": "take_out", "aside": nameless[0].aside});
    let (gone, _) = edit(&desk, &out);
    assert_eq!(
        (jobs_of(&gone), gone.undo.as_deref()),
        (jobs_of(&after), Some("remove feature 4"))
    );
    assert!(faults(&gone, "jobs.geojson, feature 4").is_empty());
    let again = asked(&desk, json!({"ask": "edit", "edit": out})).unwrap_err();
    assert!(
        again.text.contains("not at fault any more"),
        "{}",
        again.text
    );
}

#[test]
fn a_gang_and_a_street_at_fault_are_mended_and_taken_out_too() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    faulty(&folder);
    let desk = opened(&folder);
    let before = sheet(&desk);
    let fault = |file: &str| {
        let at = faults(&before, file)[0].clone();
        at.split(", ").nth(1).unwrap().to_owned()
    };
    let gang = aside(&desk, "gangs.json", &fault("gangs.json"));
    let mend = json!({"do": "mend", "aside": gang[0].aside, "members": {"people": 2}, "at": null});
    let (after, _) = edit(&desk, &mend);
    assert_eq!(after.gangs.len(), before.gangs.len() + 1);
    let street = aside(&desk, "streets.geojson", &fault("streets.geojson"));
    let (after, _) = edit(&desk, &json!({"do": "take_out", "aside": street[0].aside}));
    assert!(faults(&after, "streets.geojson").is_empty());
    let undone = sheet_of(ask(&desk, json!({"ask": "undo"})));
    assert_eq!(
        faults(&undone, "streets.geojson"),
        faults(&before, "streets.geojson")
    );
}

#[test]
fn what_would_put_more_at_fault_changes_nothing() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    faulty(&folder);
    let desk = opened(&folder);
    let rows = aside(&desk, "jobs.geojson", "J002, geometry");
    let worse = json!({"do": "mend", "aside": rows[0].aside, "members": {"sections": "x", "position": 4}, "at": null});
    let refused = asked(&desk, json!({"ask": "edit", "edit": worse})).unwrap_err();
    assert!(!refused.findings.is_empty());
    assert_eq!(aside(&desk, "jobs.geojson", "J002"), rows);
    assert_eq!(sheet(&desk).undo, None);
}

/// Some editors put a mark of the order of bytes before a text; and one fault may hide others.
#[test]
fn what_hid_other_faults_is_mended_member_by_member_in_a_file_with_a_byte_order_mark() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    ask(&small(), json!({"ask": "save", "folder": folder}));
    let path = folder.join("jobs.geojson");
    let mut file: Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
    let feature = file["features"][1].as_object_mut().unwrap();
    feature.remove("type");
    feature["properties"] = json!({"work": "mend", "position": "moon", "note": "n".repeat(3_000)});
    let bytes = [b"\xEF\xBB\xBF".to_vec(), serde_json::to_vec(&file).unwrap()].concat();
    fs::write(&path, bytes).unwrap();
    let desk = opened(&folder);
    // It is called by its number until it is read as a feature.
    let row = || {
        let called = ["feature 2", "J002"].map(|name| aside(&desk, "jobs.geojson", name));
        called.into_iter().flatten().next().unwrap()
    };
    let mend = |members: Value| {
        let edit = json!({"do": "mend", "aside": row().aside, "members": members, "at": null});
        asked(&desk, json!({"ask": "edit", "edit": edit}))
    };
    let before = jobs_of(&sheet(&desk));
    assert_eq!(row().too_long, ["note"]);
    mend(json!({"work": "new"})).unwrap();
    assert_eq!(row().members["work"], "new");
    mend(json!({"permit": 40217, "title": 9, "owner": "x"})).unwrap();
    mend(json!({"owner": 12})).unwrap();
    for (name, text) in [("permit", "40217"), ("title", "9"), ("owner", "12")] {
        assert_eq!(row().members[name], text);
    }
    let refused = mend(json!({"position": "sun"})).unwrap_err();
    assert!(refused.text.contains("more at fault"), "{}", refused.text);
    let theirs = mend(json!({"id": "J001"})).unwrap_err();
    assert_eq!(theirs.findings[0].code, "D-NAMED");
    mend(json!({"note": null, "position": "verge"})).unwrap();
    mend(json!({"clear_length_mm": 600, "clear_width_mm": 600, "sections": 3})).unwrap();
    assert!(aside(&desk, "jobs.geojson", "J002").is_empty());
    assert_eq!(jobs_of(&sheet(&desk)), before + 1);
}

/// Opens the small week with the second job changed in its file, and gives what stands aside of it.
fn with_second_job(change: &dyn Fn(&mut Value)) -> (tempfile::TempDir, Desk) {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    ask(&small(), json!({"ask": "save", "folder": folder}));
    let path = folder.join("jobs.geojson");
    let mut file: Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
    change(&mut file["features"][1]);
    fs::write(&path, serde_json::to_vec(&file).unwrap()).unwrap();
    let desk = opened(&folder);
    (place, desk)
}

/// All that stands aside of the jobs, by the places of the faults that lead there.
fn all_aside(desk: &Desk) -> Vec<AsideRow> {
    let places = faults(&sheet(desk), "jobs.geojson");
    let places = places.iter().filter_map(|one| one.split(", ").nth(1));
    let mut rows = Vec::new();
    for place in places {
        let own = aside(desk, "jobs.geojson", place).into_iter();
        rows.extend(own.filter(|row| !rows.contains(row)).collect::<Vec<_>>());
    }
    rows
}

fn mended(desk: &Desk, row: &AsideRow, members: &Value) -> Result<(), Refusal> {
    let edit = json!({"do": "mend", "aside": row.aside, "members": members, "at": null});
    asked(desk, json!({"ask": "edit", "edit": edit})).map(|_| ())
}

#[test]
fn a_member_whose_name_is_far_too_long_is_taken_away_by_what_is_shown_of_it() {
    let (_place, desk) = with_second_job(&|job| {
        job["properties"]["n".repeat(3_000)] = json!("one");
        job["properties"][format!("{}é", "n".repeat(3_000))] = json!("other");
    });
    let before = jobs_of(&sheet(&desk));
    for left in [2, 1] {
        let rows = all_aside(&desk);
        let row = &rows[0];
        assert_eq!((rows.len(), row.too_long.is_empty()), (1, false), "{left}");
        mended(&desk, row, &json!({ row.too_long[0].clone(): null })).unwrap();
    }
    assert!(all_aside(&desk).is_empty());
    assert_eq!(jobs_of(&sheet(&desk)), before + 1);
}

#[test]
fn an_id_that_is_far_too_long_is_written_over() {
    for within in [false, true] {
        let (_place, desk) = with_second_job(&|job| {
            let id = json!("x".repeat(3_000));
            if within {
                job.as_object_mut().unwrap().remove("id");
                job["properties"]["id"] = id;
            } else {
                job["id"] = id;
            }
        });
        let rows = all_aside(&desk);
        assert_eq!(rows[0].too_long, ["id"]);
        assert!(mended(&desk, &rows[0], &json!({"id": null})).is_err());
        mended(&desk, &rows[0], &json!({"id": "J002"})).unwrap();
        assert!(sheet(&desk).jobs.iter().any(|job| job.id == "J002"));
    }
}

#[test]
fn a_mend_that_changes_nothing_is_refused_and_no_step_of_the_history() {
    let (_place, desk) = with_second_job(&|job| {
        job["properties"]["sections"] = json!("three");
    });
    let row = &all_aside(&desk)[0];
    for members in [
        json!({"sections": "three"}),
        json!({"nobody": null}),
        json!({}),
    ] {
        let refused = mended(&desk, row, &members).unwrap_err();
        assert_eq!(refused.findings[0].code, "D-NOTHING", "{members}");
    }
    assert_eq!(sheet(&desk).undo, None);
}

#[test]
fn a_place_that_can_not_be_right_is_refused_with_why_and_is_no_step_of_the_history() {
    let (_place, desk) = with_second_job(&|job| job["geometry"] = Value::Null);
    let row = &all_aside(&desk)[0];
    let put = |at: [f64; 2]| {
        let edit = json!({"do": "mend", "aside": row.aside, "members": {}, "at": at});
        asked(&desk, json!({"ask": "edit", "edit": edit}))
    };
    for (at, code) in [
        ([-3.53, 5.401], "J-FAR"),
        ([500.0, 54.01], "J-GLOBE"),
        ([54.01, -3.53], "J-SWAP"),
    ] {
        let refused = put(at).unwrap_err();
        let codes: Vec<&str> = refused.findings.iter().map(|one| &*one.code).collect();
        assert_eq!(codes, [code], "{at:?}");
    }
    assert_eq!(sheet(&desk).undo, None);
    put([-3.53, 54.01]).unwrap();
    assert!(all_aside(&desk).is_empty());
}

/// What is typed is a text or a figure by its member, and loses nothing by being read as the other.
#[test]
fn what_is_typed_for_a_text_stays_as_it_is_typed_and_a_figure_becomes_one() {
    let (_place, desk) = with_second_job(&|job| {
        job["properties"]["work"] = json!("mend");
        job["properties"]["owner"] = json!("x");
        job["properties"]["lot"] = json!(4);
    });
    let row = || all_aside(&desk).remove(0);
    let long = "12345678901234567890123";
    for (name, typed, stands) in [
        ("id", "1.10", json!("1.10")),
        ("permit", "1e5", json!("1e5")),
        ("title", long, json!(long)),
        ("name", "0.50", json!("0.50")),
        ("owner", "7.0", json!("7.0")),
        ("lot", "5", json!(5)),
        ("lot", "5.50", json!("5.50")),
        ("batch", long, json!(long)),
        ("parts", "[1, 2]", json!([1, 2])),
        ("sections", "4", json!(4)),
        ("clear_length_mm", "6e2", json!(600.0)),
        ("over_weekend", "true", json!(true)),
        (
            "site_hours",
            r#"[["09:30", "15:30"]]"#,
            json!([["09:30", "15:30"]]),
        ),
    ] {
        mended(&desk, &row(), &json!({ name: typed })).unwrap();
        assert_eq!(row().members[name], stands, "{name}");
    }
    mended(&desk, &row(), &json!({"work": "new"})).unwrap();
    assert!(sheet(&desk).jobs.iter().any(|job| job.id == "1.10"));
}

#[test]
fn a_gangs_own_text_stays_one_and_its_people_are_a_figure_whatever_stood_there() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    faulty(&folder);
    let path = folder.join("gangs.json");
    let mut file: Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
    file["gangs"][0]["phone"] = json!("0770 x");
    let id = file["gangs"][0]["id"].as_str().unwrap().to_owned();
    fs::write(&path, serde_json::to_vec(&file).unwrap()).unwrap();
    let desk = opened(&folder);
    let row = || aside(&desk, "gangs.json", &id);
    mended(&desk, &row()[0], &json!({"phone": "7700", "name": "12"})).unwrap();
    let members = &row()[0].members;
    assert_eq!(
        (&members["phone"], &members["name"]),
        (&json!("7700"), &json!("12"))
    );
    mended(&desk, &row()[0], &json!({"people": "3"})).unwrap();
    assert!(row().is_empty());
}
