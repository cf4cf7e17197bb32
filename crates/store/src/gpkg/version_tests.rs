//! Programme files of earlier versions, kept as they were written then by `tables::write_file` and
//! `history::record`.

use serde_json::{Value, json};

use super::*;
use crate::change::FileChange;

fn kept(version: u32) -> PathBuf {
    let name = format!("tests/data/version-{version}.gpkg");
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn job(sections: u32) -> Value {
    json!({"type": "Feature", "id": "J1", "properties": {"work": "new", "sections": sections, "asset": "A-1"},
        "geometry": {"type": "Point", "coordinates": [-1.55, 53.8]}})
}

const WEEK: &[u8] = br#"{"nation": "England", "first_day": "2027-03-01", "days": 5, "rates": [1]}"#;

fn version(path: &Path) -> i64 {
    let db = Connection::open(path).unwrap();
    let asked = "SELECT value FROM gangday_meta WHERE key = 'version'";
    db.query_row(asked, [], |row| row.get(0)).unwrap()
}

#[test]
fn the_kept_file_of_version_1_opens_with_all_that_was_in_it_and_is_brought_up_to_date() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("old.gpkg");
    fs::copy(kept(1), &path).unwrap();
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
    fs::copy(kept(1), &path).unwrap();
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

/// What the kept file of version 3 holds: `nights` and `over_weekend` as numbers and words, some of
/// which are none of either.
fn left_over_nights(of_j4: u32) -> [Value; 4] {
    [
        json!({"nights": 2, "work": "new", "over_weekend": true, "asset": "A-1"}),
        json!({"nights": "two", "over_weekend": "perhaps"}),
        json!({"work": "adjust", "asset": "A-3"}),
        json!({ "nights": of_j4 }),
    ]
}

const WEEK_3: &[u8] = br#"{"over_weekend":  true, "first_day": "2027-03-01",
  "nights": 1, "nation": "England", "days": 5}"#;

fn properties(file: &ProgrammeFile) -> Vec<Value> {
    let read: Value = serde_json::from_slice(&file.files().unwrap()["jobs.geojson"]).unwrap();
    let features = read["features"].as_array().unwrap().iter();
    features.map(|one| one["properties"].clone()).collect()
}

fn cells(file: &ProgrammeFile, sql: &str) -> Vec<[rusqlite::types::Value; 3]> {
    let mut asked = file.db.prepare(sql).unwrap();
    let rows = asked.query_map([], |row| Ok([row.get(0)?, row.get(1)?, row.get(2)?]));
    rows.unwrap().map(Result::unwrap).collect()
}

#[test]
fn nights_move_into_columns_of_their_own_and_nothing_else_changes() {
    use rusqlite::types::Value::{Integer, Null, Text};
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("old.gpkg");
    fs::copy(kept(3), &path).unwrap();
    let mut file = ProgrammeFile::claim(&path).unwrap();
    let read = read_programme_file(&kept(3)).unwrap();
    let written = file.files().unwrap();
    assert_eq!(read, written);
    assert_eq!(
        written["week.json"], WEEK_3,
        "its words hold, for no row says anything else"
    );
    assert_eq!(properties(&file), left_over_nights(3));
    let text = |value: Value| Text(value.to_string());
    let asked = "SELECT nights, over_weekend, other FROM jobs ORDER BY fid";
    let expected = [
        [Integer(2), Integer(1), text(json!({"asset": "A-1"}))],
        [Null, Null, text(left_over_nights(0)[1].clone())],
        [Null, Null, text(json!({"asset": "A-3"}))],
        [Integer(3), Null, Null],
    ];
    assert_eq!(cells(&file, asked), expected);
    let asked = "SELECT nights, over_weekend, other FROM week";
    assert_eq!(cells(&file, asked), [[Integer(1), Integer(1), Null]]);

    file.walk(Step::Undo, &[]).unwrap();
    assert_eq!(properties(&file), left_over_nights(1));
    file.walk(Step::Redo, &[]).unwrap();
    assert_eq!(properties(&file), left_over_nights(3));
    assert_eq!(file.edits().unwrap().0, ["set nights of J4"]);
    // What a GIS puts into the columns counts, and the words of the file no longer do.
    let gis = "UPDATE jobs SET nights = 4 WHERE id = 'J3'; UPDATE week SET over_weekend = 0";
    file.db.execute_batch(gis).unwrap();
    assert_eq!(properties(&file)[2]["nights"], 4);
    let week: Value = serde_json::from_slice(&file.files().unwrap()["week.json"]).unwrap();
    assert_eq!(
        (&week["nights"], &week["over_weekend"]),
        (&json!(1), &json!(false))
    );
    drop(file);
    assert_eq!(version(&path), schema::VERSION);
}

/// A GIS had the idea of such columns first.
#[test]
fn a_column_of_somebody_else_with_the_name_of_a_new_one_stays_a_property() {
    let theirs =
        "ALTER TABLE jobs ADD COLUMN Nights TEXT; ALTER TABLE week ADD COLUMN nights INTEGER;
        ALTER TABLE jobs ADD COLUMN over_weekend INTEGER;
        UPDATE jobs SET Nights = 'many' WHERE id = 'J3'; UPDATE jobs SET over_weekend = 7;
        UPDATE week SET nights = 9;";
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("theirs.gpkg");
    fs::copy(kept(3), &path).unwrap();
    let db = Connection::open(&path).unwrap();
    db.execute_batch(theirs).unwrap();
    // As the program of that version read it: a column is a property, unless the row says otherwise.
    let mut expected = left_over_nights(3);
    for at in [2, 3] {
        expected[at]["over_weekend"] = json!(7);
    }
    expected[2]["Nights"] = json!("many");
    drop(db);
    let file = ProgrammeFile::claim(&path).unwrap();
    assert_eq!(properties(&file), expected);
    let week: Value = serde_json::from_slice(&file.files().unwrap()["week.json"]).unwrap();
    assert_eq!(week["nights"], 1, "the row said so");
    let asked = "SELECT nights, over_weekend, Nights_1 FROM jobs WHERE id = 'J1'";
    use rusqlite::types::Value::{Integer, Null};
    assert_eq!(cells(&file, asked), [[Integer(2), Integer(1), Null]]);
}

#[test]
fn what_an_older_file_does_not_have_is_not_made_up_when_it_is_rescued() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("old.gpkg");
    fs::copy(kept(3), &path).unwrap();
    let rescued = rescue(&path).unwrap();
    assert_eq!(properties(&rescued.file), left_over_nights(3));
}

/// The plan of the kept file of version 4, as its edits leave it one after the other.
fn plan_4(step: u32) -> Vec<u8> {
    let route = |day: u32| {
        let minutes = if day == 2 { 10 + step } else { 10 };
        format!(
            "{{\"gang\": \"G1\", \"date\": \"2027-03-0{day}\", \"visits\": [{{\"job\": \"J1\", \"stage\": \"dig\", \
             \"start\": \"2027-03-0{day}T08:{minutes}:00\"}}]}}"
        )
    };
    let routes: Vec<String> = (1..6).map(route).collect();
    let routes = routes.join(",\n");
    format!("{{\n\"routes\": [\n{routes}\n],\n\"unplanned\": [],\n\"costs\": {{\"total_pence\": {step}00}}\n}}\n").into_bytes()
}

/// The kept file of version 4 holds every plan before and after as a whole; edits made since keep what differs.
#[test]
fn whole_plans_of_version_4_are_undone_beside_differences() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("old.gpkg");
    fs::copy(kept(4), &path).unwrap();
    let before = read_history(&path);
    let plans = |all: &History| -> Vec<(Vec<u8>, bool)> {
        let after = |one: &Change| one.files[0].after.clone().unwrap();
        let edits = all.edits.iter();
        edits
            .map(|edit| (after(edit.change.as_ref().unwrap()), edit.undone))
            .collect()
    };
    let expected = [(plan_4(2), false), (plan_4(3), false), (plan_4(4), true)];
    assert_eq!(plans(&before), expected);
    let mut file = ProgrammeFile::claim(&path).unwrap();
    assert_eq!(file.history(), before);
    let plan = |file: &ProgrammeFile| file.files().unwrap()["plan.json"].clone();
    for (step, expected) in [
        (Step::Redo, 4),
        (Step::Undo, 3),
        (Step::Undo, 2),
        (Step::Redo, 3),
    ] {
        file.walk(step, &[]).unwrap();
        assert_eq!(plan(&file), plan_4(expected));
    }
    for step in 3..6 {
        let change = Change {
            what: format!("edit {step}"),
            features: Vec::new(),
            files: vec![FileChange {
                name: "plan.json".to_owned(),
                before: Some(plan_4(step)),
                after: Some(plan_4(step + 1)),
            }],
        };
        file.commit(&change, &[]).unwrap();
    }
    let lines = "SELECT count(*) FROM gangday_history_files WHERE lines IS NOT NULL AND before IS NULL AND after IS NULL";
    let kept: i64 = file.db.query_row(lines, [], |row| row.get(0)).unwrap();
    assert_eq!(kept, 3);
    for expected in (1..6).rev() {
        file.walk(Step::Undo, &[]).unwrap();
        assert_eq!(plan(&file), plan_4(expected));
    }
    for expected in 2..7 {
        file.walk(Step::Redo, &[]).unwrap();
        assert_eq!(plan(&file), plan_4(expected));
    }
}
