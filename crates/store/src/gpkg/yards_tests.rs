//! Depots and tips as a GIS sees them, in new files and in those of version 5.

use rusqlite::types::Value as Sql;
use serde_json::{Value, json};

use super::geometry;
use super::*;

fn kept() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/version-5.gpkg")
}

/// Kind, id, name and place of each, in order.
fn yards(file: &ProgrammeFile) -> Vec<(String, String, Option<String>, Option<Value>)> {
    let asked = "SELECT kind, id, name, geom FROM depots_and_tips ORDER BY fid";
    let mut asked = file.db.prepare(asked).unwrap();
    let rows = asked.query_map([], |row| {
        let place = match row.get(3)? {
            Sql::Blob(blob) => geometry::decode(&blob),
            _ => None,
        };
        let place = place.map(|place| place["coordinates"].clone());
        Ok((row.get(0)?, row.get(1)?, row.get(2)?, place))
    });
    rows.unwrap().map(Result::unwrap).collect()
}

fn yard(
    [kind, id, name]: [&str; 3],
    at: [f64; 2],
) -> (String, String, Option<String>, Option<Value>) {
    let name = (!name.is_empty()).then(|| name.to_owned());
    (kind.to_owned(), id.to_owned(), name, Some(json!(at)))
}

/// A gang of which the depot is no place has no point.
fn of_kept() -> Vec<(String, String, Option<String>, Option<Value>)> {
    let mut all = vec![
        yard(["depot", "G1", "Gang Ash"], [-1.56, 53.81]),
        yard(["depot", "G2", ""], [0.0, 0.0]),
        yard(["tip", "T1", "North tip"], [-1.5, 53.82]),
    ];
    all[1].3 = None;
    all
}

/// An edit of the gangs' file.
fn gangs_become(what: &str, before: Option<Vec<u8>>, after: Option<Vec<u8>>) -> Change {
    Change {
        what: what.to_owned(),
        features: Vec::new(),
        files: vec![crate::change::FileChange {
            name: "gangs.json".to_owned(),
            before,
            after,
        }],
    }
}

#[test]
fn a_file_of_version_5_gets_its_depots_and_tips_as_points_and_says_the_same() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("old.gpkg");
    fs::copy(kept(), &path).unwrap();
    let before = read_programme_file(&path).unwrap();
    let file = ProgrammeFile::claim(&path).unwrap();
    assert_eq!(file.files().unwrap(), before);
    assert_eq!(yards(&file), of_kept());
    let bounds =
        "SELECT min_x, max_x, min_y, max_y FROM gpkg_contents WHERE table_name = 'depots_and_tips'";
    let bounds: [f64; 4] = file
        .db
        .query_row(bounds, [], |row| {
            Ok([row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?])
        })
        .unwrap();
    assert!(
        bounds
            .iter()
            .zip([-1.56, -1.5, 53.81, 53.82])
            .all(|(own, wanted)| (own - wanted).abs() < 1e-12)
    );
}

#[test]
fn what_somebody_else_calls_so_stays_as_it_is_and_the_programme_opens() {
    let place = tempfile::tempdir().unwrap();
    let layer = "CREATE TABLE Depots_and_Tips (fid INTEGER PRIMARY KEY, words TEXT);
        INSERT INTO Depots_and_Tips VALUES (1, 'mine');
        INSERT INTO gpkg_contents (table_name, data_type, identifier) VALUES ('Depots_and_Tips', 'attributes', 'Mine');";
    let view = "CREATE VIEW depots_and_tips AS SELECT 1 AS fid, 'mine' AS words;";
    let titled = "CREATE TABLE yards (fid INTEGER PRIMARY KEY, words TEXT);
        INSERT INTO yards VALUES (1, 'mine');
        INSERT INTO gpkg_contents (table_name, data_type, identifier) VALUES ('yards', 'attributes', 'Depots and tips');";
    for (nth, (theirs, table)) in [
        (layer, "depots_and_tips"),
        (view, "depots_and_tips"),
        (titled, "yards"),
    ]
    .into_iter()
    .enumerate()
    {
        let path = place.path().join(format!("theirs-{nth}.gpkg"));
        fs::copy(kept(), &path).unwrap();
        Connection::open(&path)
            .unwrap()
            .execute_batch(theirs)
            .unwrap();
        let before = read_programme_file(&path).unwrap();
        let mut file = ProgrammeFile::claim(&path).unwrap();
        assert_eq!(file.files().unwrap(), before);
        let change = gangs_become("remove", before.get("gangs.json").cloned(), None);
        file.commit(&change, &[]).unwrap();
        file.walk(Step::Undo, &[]).unwrap();
        assert_eq!(file.files().unwrap(), before);
        let asked = format!("SELECT words FROM {table}");
        let words: String = file.db.query_row(&asked, [], |row| row.get(0)).unwrap();
        assert_eq!(words, "mine");
    }
}

#[test]
fn they_follow_every_change_of_the_gangs_and_its_undo() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let gangs = |lon: f64| {
        json!({"gangs": [{"id": "G1", "name": "Gang Ash", "depot": [lon, 53.81], "people": 2}], "tips": []})
            .to_string()
            .into_bytes()
    };
    let mut file = ProgrammeFile::create(&path, &[("gangs.json", gangs(-1.5))], &[], None).unwrap();
    let at = |lon: f64| vec![yard(["depot", "G1", "Gang Ash"], [lon, 53.81])];
    assert_eq!(yards(&file), at(-1.5));
    let change = gangs_become("move the depot", Some(gangs(-1.5)), Some(gangs(-1.4)));
    file.commit(&change, &[]).unwrap();
    assert_eq!(yards(&file), at(-1.4));
    file.walk(Step::Undo, &[]).unwrap();
    assert_eq!(yards(&file), at(-1.5));
    let gone = gangs_become("remove", Some(gangs(-1.5)), None);
    file.commit(&gone, &[]).unwrap();
    assert!(yards(&file).is_empty());
}
