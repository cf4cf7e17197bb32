//! The programme file as its callers use it.

use std::thread;
use std::time::Duration;

use serde_json::{Value, json};

use super::*;
use crate::change::{FeatureChange, FileChange, Placed};

fn job(id: &str, sections: u32) -> Value {
    json!({"type": "Feature", "id": id, "properties": {"work": "new", "position": "footway", "sections": sections, "asset": "A-1"},
        "geometry": {"type": "Point", "coordinates": [-1.55, 53.8]}})
}

fn jobs(all: &[Value]) -> Vec<u8> {
    json!({"type": "FeatureCollection", "note": "kept", "features": all})
        .to_string()
        .into_bytes()
}

fn files() -> Vec<(&'static str, Vec<u8>)> {
    vec![
        ("jobs.geojson", jobs(&[job("J1", 3), job("J2", 4), job("J3", 5)])),
        ("gangs.json", br#"{"gangs": [{"id": "G1", "depot": [-1.5, 53.75], "people": 2}], "tips": [], "x": 1}"#.to_vec()),
        ("method.json", br#"{"parameters": [{"key": "chamber.wall", "value": 75, "unit": "mm", "source": "ours", "date": "2027-02-25", "who": "us"}]}"#.to_vec()),
        ("week.json", br#"{"nation": "England", "first_day": "2027-03-01", "days": 5, "rates": [1]}"#.to_vec()),
        ("network.prepared", vec![0, 1, 2, 255]),
    ]
}

fn made() -> (tempfile::TempDir, PathBuf) {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    drop(ProgrammeFile::create(&path, &files(), &[], None).unwrap());
    (place, path)
}

fn ids(path: &Path) -> Vec<String> {
    let bytes = &read_programme_file(path).unwrap()["jobs.geojson"];
    let value: Value = serde_json::from_slice(bytes).unwrap();
    let all = value["features"].as_array().unwrap();
    all.iter()
        .map(|job| job["id"].as_str().unwrap().to_owned())
        .collect()
}

fn placed(index: usize, feature: Value) -> Option<Placed> {
    let id = feature["id"].as_str().unwrap().to_owned();
    Some(Placed { id, index, feature })
}

fn change(what: &str, before: Option<Placed>, after: Option<Placed>) -> Change {
    let feature = FeatureChange {
        file: "jobs.geojson".to_owned(),
        before,
        after,
    };
    Change {
        what: what.to_owned(),
        features: vec![feature],
        files: Vec::new(),
    }
}

#[test]
fn files_come_back_word_for_word() {
    let (_place, path) = made();
    let back = read_programme_file(&path).unwrap();
    for (name, bytes) in files() {
        assert_eq!(back[name], bytes, "{name}");
    }
    let left: Vec<_> = fs::read_dir(path.parent().unwrap()).unwrap().collect();
    assert_eq!(left.len(), 1, "{left:?}");
}

#[test]
fn what_a_gis_changes_is_there_and_nothing_beside_it_is_lost() {
    let (_place, path) = made();
    let gis = Connection::open(&path).unwrap();
    gis.execute_batch(
        "UPDATE jobs SET sections = 9 WHERE id = 'J2'; DELETE FROM jobs WHERE id = 'J1';
         ALTER TABLE jobs ADD COLUMN colour TEXT; UPDATE jobs SET colour = 'red' WHERE id = 'J3';
         UPDATE gangs SET people = 4, depot_lon = -1.25; UPDATE parameters SET value = 80;",
    )
    .unwrap();
    drop(gis);
    let back = read_programme_file(&path).unwrap();
    let read = |name: &str| serde_json::from_slice::<Value>(&back[name]).unwrap();
    let jobs = read("jobs.geojson");
    assert_eq!(jobs["note"], "kept");
    assert_eq!(jobs["features"][0], {
        let mut job = job("J2", 9);
        job["properties"]["sections"] = json!(9);
        job
    });
    assert_eq!(jobs["features"][1]["properties"]["colour"], "red");
    assert_eq!(
        read("gangs.json"),
        json!({"gangs": [{"id": "G1", "depot": [-1.25, 53.75], "people": 4}], "tips": [], "x": 1})
    );
    assert_eq!(read("method.json")["parameters"][0]["value"], 80);
    assert_eq!(read("method.json")["parameters"][0]["who"], "us");
    assert_eq!(
        back["week.json"],
        files()[3].1,
        "what was not touched keeps its words"
    );
}

#[test]
fn edits_are_taken_back_and_done_again_after_closing() {
    let (_place, path) = made();
    let mut file = ProgrammeFile::claim(&path).unwrap();
    file.commit(&change("delete J2", placed(1, job("J2", 4)), None), &[])
        .unwrap();
    file.commit(
        &change(
            "rename J1 to X",
            placed(0, job("J1", 3)),
            placed(0, job("X", 3)),
        ),
        &[],
    )
    .unwrap();
    file.commit(&change("add J9", None, placed(2, job("J9", 1))), &[])
        .unwrap();
    drop(file);
    assert_eq!(ids(&path), ["X", "J3", "J9"]);
    let mut file = ProgrammeFile::claim(&path).unwrap();
    assert_eq!(
        file.edits().unwrap().0,
        ["delete J2", "rename J1 to X", "add J9"]
    );
    for _ in 0..3 {
        file.walk(Step::Undo, &[]).unwrap();
    }
    assert_eq!(ids(&path), ["J1", "J2", "J3"], "each in its own place");
    assert_eq!(file.next(Step::Undo).unwrap(), None);
    for _ in 0..2 {
        file.walk(Step::Redo, &[]).unwrap();
    }
    assert_eq!(ids(&path), ["X", "J3"]);
    assert_eq!(file.edits().unwrap().1, ["add J9"]);
    file.commit(&change("delete J3", placed(1, job("J3", 5)), None), &[])
        .unwrap();
    assert_eq!(
        file.next(Step::Redo).unwrap(),
        None,
        "a new edit forgets what was undone"
    );
}

#[test]
fn a_file_replaced_as_a_whole_comes_back_too() {
    let (_place, path) = made();
    let mut file = ProgrammeFile::claim(&path).unwrap();
    let plan = FileChange {
        name: "plan.json".to_owned(),
        before: None,
        after: Some(b"{\"routes\": []}".to_vec()),
    };
    let change = Change {
        what: "plan the week".to_owned(),
        features: Vec::new(),
        files: vec![plan],
    };
    file.commit(&change, &[]).unwrap();
    assert_eq!(file.files().unwrap()["plan.json"], b"{\"routes\": []}");
    assert_eq!(file.next(Step::Undo).unwrap(), Some(change));
    file.walk(Step::Undo, &[]).unwrap();
    assert!(!file.files().unwrap().contains_key("plan.json"));
}

#[test]
fn a_window_opened_while_the_last_one_is_just_closing_has_the_file() {
    let (_place, path) = made();
    let closing = ProgrammeFile::claim(&path).unwrap();
    let closed = thread::spawn(move || {
        thread::sleep(Duration::from_millis(200));
        drop(closing);
    });
    let next = ProgrammeFile::claim(&path).unwrap();
    closed.join().unwrap();
    assert!(matches!(
        ProgrammeFile::claim(&path),
        Err(StoreError::InUse(_))
    ));
    drop(next);
}

#[test]
fn a_second_window_is_told_and_the_first_goes_on() {
    let (_place, path) = made();
    let mut first = ProgrammeFile::claim(&path).unwrap();
    let second = ProgrammeFile::claim(&path).unwrap_err();
    assert!(matches!(second, StoreError::InUse(_)), "{second}");
    assert!(second.to_string().contains("open in another window"));
    assert_eq!(
        read_programme_file(&path).unwrap().len(),
        5,
        "it can still be looked at"
    );
    first.remember("client", "Northern", "{}").unwrap();
    drop(first);
    let again = ProgrammeFile::claim(&path).unwrap();
    assert_eq!(
        again.remembered("client", "Northern").unwrap().as_deref(),
        Some("{}")
    );
}

#[cfg(unix)]
#[test]
fn a_file_that_was_moved_away_is_not_written_to() {
    let (place, path) = made();
    let mut file = ProgrammeFile::claim(&path).unwrap();
    let moved = place.path().join("elsewhere.gpkg");
    fs::rename(&path, &moved).unwrap();
    let edit = change("delete J2", placed(1, job("J2", 4)), None);
    assert!(matches!(file.commit(&edit, &[]), Err(StoreError::Moved(_))));
    assert_eq!(ids(&moved).len(), 3);
    fs::rename(&moved, &path).unwrap();
    file.commit(&edit, &[]).unwrap();
    assert_eq!(ids(&path), ["J1", "J3"]);
}

#[test]
fn what_is_no_programme_is_told_apart_and_left_alone() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("a.gpkg");
    let refused = |path: &Path| read_programme_file(path).unwrap_err();
    assert!(matches!(refused(&path), StoreError::NoFile(_)));
    for bytes in [
        &b""[..],
        b"PK\x03\x04 a zip",
        b"SQLite format 3\0 and then nothing",
    ] {
        fs::write(&path, bytes).unwrap();
        let error = refused(&path);
        assert!(
            matches!(
                error,
                StoreError::NotAProgramme { .. } | StoreError::Damaged { .. }
            ),
            "{error}"
        );
        assert_eq!(fs::read(&path).unwrap(), bytes);
    }
    fs::remove_file(&path).unwrap();
    Connection::open(&path)
        .unwrap()
        .execute_batch("CREATE TABLE t (x)")
        .unwrap();
    assert!(refused(&path).to_string().contains("no GeoPackage"));
    assert!(ProgrammeFile::claim(&path).is_err());
}

#[test]
fn a_newer_file_is_refused_politely_and_left_alone() {
    let (_place, path) = made();
    Connection::open(&path)
        .unwrap()
        .execute("UPDATE gangday_meta SET value = 99", [])
        .unwrap();
    let before = fs::read(&path).unwrap();
    for error in [
        read_programme_file(&path).unwrap_err(),
        ProgrammeFile::claim(&path).unwrap_err(),
        rescue(&path).unwrap_err(),
    ] {
        assert!(
            matches!(error, StoreError::Newer { version: 99, .. }),
            "{error}"
        );
        assert!(error.remedy().contains("newer Gangday"));
    }
    assert_eq!(fs::read(&path).unwrap(), before);
}

/// A layer that a GIS has given a spatial index calls functions of the standard when it changes.
#[test]
fn a_layer_with_somebody_s_spatial_index_can_still_be_edited() {
    let (_place, path) = made();
    let gis = Connection::open(&path).unwrap();
    gis.execute_batch(
        "CREATE VIRTUAL TABLE rtree_jobs_geom USING rtree(id, minx, maxx, miny, maxy);
         CREATE TRIGGER rtree_jobs_geom_insert AFTER INSERT ON jobs
           WHEN (NEW.geom NOT NULL AND NOT ST_IsEmpty(NEW.geom))
         BEGIN INSERT OR REPLACE INTO rtree_jobs_geom VALUES
           (NEW.fid, ST_MinX(NEW.geom), ST_MaxX(NEW.geom), ST_MinY(NEW.geom), ST_MaxY(NEW.geom)); END;",
    )
    .unwrap();
    drop(gis);
    let mut file = ProgrammeFile::claim(&path).unwrap();
    file.commit(&change("add J9", None, placed(3, job("J9", 1))), &[])
        .unwrap();
    let minx: f64 = file
        .db
        .query_row("SELECT minx FROM rtree_jobs_geom", [], |row| row.get(0))
        .unwrap();
    assert!((minx - -1.55).abs() < 1e-5, "{minx}");
}

/// A programme large enough to spread over many pages, with its words gone so that rows count.
fn large() -> (tempfile::TempDir, PathBuf) {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let all: Vec<Value> = (0..400).map(|at| job(&format!("J{at:03}"), 3)).collect();
    let mut file = ProgrammeFile::create(
        &path,
        &[("jobs.geojson", jobs(&all)), ("plan.json", b"{}".to_vec())],
        &[],
        None,
    )
    .unwrap();
    file.commit(
        &change(
            "set J000",
            placed(0, job("J000", 3)),
            placed(0, job("J000", 4)),
        ),
        &[],
    )
    .unwrap();
    (place, path)
}

#[test]
fn a_damaged_file_is_opened_into_a_copy_and_what_is_lost_is_named() {
    let (place, path) = large();
    let page = {
        let db = Connection::open(&path).unwrap();
        // A leaf in the middle of the jobs' table.
        let asked = "SELECT pageno FROM dbstat WHERE name = 'jobs' AND pagetype = 'leaf' ORDER BY path LIMIT 1 OFFSET 3";
        db.query_row(asked, [], |row| row.get::<_, u32>(0)).unwrap()
    };
    let mut bytes = fs::read(&path).unwrap();
    let at = usize::try_from((u64::from(page) - 1) * 4096).unwrap();
    bytes[at..at + 4096].fill(0xAA);
    fs::write(&path, &bytes).unwrap();
    assert!(matches!(
        read_programme_file(&path),
        Err(StoreError::Damaged { .. })
    ));
    let Rescued { file, lost } = rescue(&path).unwrap();
    let rescued = ids(file.path());
    assert!(
        rescued.len() > 350 && rescued.len() < 400,
        "{}",
        rescued.len()
    );
    let told = lost
        .iter()
        .find(|one| one.text.contains("of the jobs can't be read"))
        .unwrap();
    for at in 0..400 {
        let id = format!("J{at:03}");
        assert_ne!(
            rescued.contains(&id),
            told.text.contains(&id),
            "{id} is either there or named"
        );
    }
    assert_eq!(file.files().unwrap()["plan.json"], b"{}");
    assert_eq!(
        fs::read(&path).unwrap(),
        bytes,
        "the damaged file is as it was"
    );
    assert_eq!(
        file.path(),
        fs::canonicalize(place.path())
            .unwrap()
            .join("week (rescued).gpkg")
    );
}

#[test]
fn a_file_cut_short_gives_what_it_has_or_says_that_it_has_nothing() {
    let (_place, path) = large();
    let bytes = fs::read(&path).unwrap();
    let mut opened = 0;
    for tenths in 1..10 {
        fs::write(&path, &bytes[..bytes.len() * tenths / 10]).unwrap();
        assert!(read_programme_file(&path).is_err());
        match rescue(&path) {
            Ok(rescued) => {
                opened += 1;
                let whole = ids(rescued.file.path()).len() == 400;
                assert!(whole || rescued.lost.len() > 1, "{:?}", rescued.lost);
                fs::remove_file(rescued.file.path()).unwrap();
            }
            Err(error) => assert!(
                matches!(
                    error,
                    StoreError::Damaged { .. } | StoreError::NotAProgramme { .. }
                ),
                "{error}"
            ),
        }
    }
    assert!(opened > 3, "{opened}");
}

/// Whom the data is from stands where a GIS shows it, with the tables that hold it and no others; it
/// goes when the data goes.
#[test]
fn a_gis_is_told_whom_the_data_is_from() {
    let (_place, path) = made();
    let named = "© OpenStreetMap contributors, ODbL 1.0";
    let street = json!({"type": "Feature", "id": "osm-w1", "properties": {"attribution": named},
        "geometry": {"type": "LineString", "coordinates": [[-1.5, 53.7], [-1.6, 53.7]]}});
    let streets = json!({"type": "FeatureCollection", "features": [street, street]});
    let plan = json!({"routes": [], "unplanned": [], "attribution": named});
    let write = |name: &str, value: Option<&Value>| {
        let mut file = ProgrammeFile::claim(&path).unwrap();
        let bytes = value.map(|value| value.to_string().into_bytes());
        file.put(&[(name, bytes)]).unwrap();
    };
    let described = || {
        let db = Connection::open(&path).unwrap();
        let sql = "SELECT table_name, description FROM gpkg_contents WHERE description <> ''
                   ORDER BY table_name";
        let mut asked = db.prepare(sql).unwrap();
        let rows = asked.query_map([], |row| Ok((row.get(0)?, row.get(1)?)));
        let rows: Vec<(String, String)> = rows.unwrap().map(Result::unwrap).collect();
        rows
    };
    assert_eq!(described(), []);
    write("streets.geojson", Some(&streets));
    write("plan.json", Some(&plan));
    let one = |table: &str| (table.to_owned(), named.to_owned());
    assert_eq!(described(), ["plans", "streets", "visits"].map(one));
    write("streets.geojson", None);
    assert_eq!(described(), ["plans", "visits"].map(one));
    // A job that names somebody comes by an edit, goes by undo and comes back by redo.
    let mut named_job = job("J9", 4);
    named_job["properties"]["attribution"] = json!(named);
    let mut file = ProgrammeFile::claim(&path).unwrap();
    file.commit(&change("add J9", None, placed(3, named_job.clone())), &[])
        .unwrap();
    assert_eq!(described(), ["jobs", "plans", "visits"].map(one));
    file.walk(Step::Undo, &[]).unwrap();
    assert_eq!(described(), ["plans", "visits"].map(one));
    file.walk(Step::Redo, &[]).unwrap();
    assert_eq!(described(), ["jobs", "plans", "visits"].map(one));
    let plain = change("edit J9", placed(3, named_job), placed(3, job("J9", 4)));
    file.commit(&plain, &[]).unwrap();
    assert_eq!(described(), ["plans", "visits"].map(one));
}
