//! A programme file of the first version, kept as it was written then.

use serde_json::{Value, json};

use super::*;
use crate::change::{FeatureChange, Placed};

fn kept() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version-1.gpkg")
}

fn job(sections: u32) -> Value {
    json!({"type": "Feature", "id": "J1", "properties": {"work": "new", "sections": sections, "asset": "A-1"},
        "geometry": {"type": "Point", "coordinates": [-1.55, 53.8]}})
}

fn jobs() -> Vec<u8> {
    let all = json!({"type": "FeatureCollection", "note": "kept", "features": [job(3)]});
    all.to_string().into_bytes()
}

const WEEK: &[u8] = br#"{"nation": "England", "first_day": "2027-03-01", "days": 5, "rates": [1]}"#;

fn edit() -> Change {
    let placed = |sections| {
        Some(Placed {
            id: "J1".to_owned(),
            index: 0,
            feature: job(sections),
        })
    };
    Change {
        what: "set sections of J1".to_owned(),
        features: vec![FeatureChange {
            file: "jobs.geojson".to_owned(),
            before: placed(3),
            after: placed(4),
        }],
        files: Vec::new(),
    }
}

/// How the kept file was made; the first step of the tables has shipped and is never changed.
#[test]
#[ignore = "makes the kept file anew, which nobody should need"]
fn make_the_file_of_version_1() {
    let path = kept();
    let _ = fs::remove_file(&path);
    let mut db = Connection::open(&path).unwrap();
    schema::create(&mut db, 1).unwrap();
    tables::write_file(&db, "jobs.geojson", &jobs()).unwrap();
    tables::write_file(&db, "week.json", WEEK).unwrap();
    history::record(&db, &edit()).unwrap();
}

fn version(path: &Path) -> i64 {
    let db = Connection::open(path).unwrap();
    let asked = "SELECT value FROM gangday_meta WHERE key = 'version'";
    db.query_row(asked, [], |row| row.get(0)).unwrap()
}

#[test]
fn the_kept_file_of_version_1_opens_with_all_that_was_in_it_and_is_brought_up_to_date() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("old.gpkg");
    fs::copy(kept(), &path).unwrap();
    let before = fs::read(&path).unwrap();
    let files = read_programme_file(&path).unwrap();
    let read: Value = serde_json::from_slice(&files["jobs.geojson"]).unwrap();
    assert_eq!(
        (&read["features"][0], &read["note"]),
        (&job(4), &json!("kept"))
    );
    assert_eq!(files["week.json"], WEEK);
    assert_eq!(fs::read(&path).unwrap(), before, "reading changes nothing");
    assert_eq!(version(&path), 1);

    let mut file = ProgrammeFile::claim(&path).unwrap();
    assert_eq!(file.edits().unwrap().0, ["set sections of J1"]);
    let picture = b"bytes".as_slice();
    let name = crate::attachment_name(picture, "png");
    file.keep_attachments([(name.as_str(), picture)]).unwrap();
    assert_eq!(file.attachment(&name).unwrap().as_deref(), Some(picture));
    file.remember("client", "Northern", "{}").unwrap();
    file.walk(Step::Undo, &[]).unwrap();
    let read: Value = serde_json::from_slice(&file.files().unwrap()["jobs.geojson"]).unwrap();
    assert_eq!(read["features"][0], job(3));
    drop(file);
    assert_eq!(version(&path), schema::VERSION);
}

#[test]
fn the_next_version_is_refused_by_name_and_left_alone() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("new.gpkg");
    fs::copy(kept(), &path).unwrap();
    let newer = schema::VERSION + 1;
    let set = Connection::open(&path).unwrap();
    set.execute("UPDATE gangday_meta SET value = ?1", [newer])
        .unwrap();
    drop(set);
    let before = fs::read(&path).unwrap();
    let error = ProgrammeFile::claim(&path).unwrap_err();
    assert!(matches!(error, StoreError::Newer { .. }), "{error}");
    let text = error.to_string();
    assert!(
        text.contains("new.gpkg") && text.contains("newer"),
        "{text}"
    );
    assert_eq!(fs::read(&path).unwrap(), before);
}
