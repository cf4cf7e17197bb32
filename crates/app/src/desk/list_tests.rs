//! Clients' lists, asked as a door asks.

use base64::Engine as _;
use serde_json::{Value, json};

use super::tests::{sheet, small};
use crate::Desk;
use crate::view::{Answer, PreviewView, Refusal, Sheet};

pub(super) fn list(text: &str) -> Value {
    let base64 = base64::engine::general_purpose::STANDARD.encode(text);
    json!({"name": "works.csv", "base64": base64, "client": "Sallow Water"})
}

fn ask(desk: &Desk, request: impl Into<Value>) -> Result<Answer, Refusal> {
    desk.ask(serde_json::from_value(request.into()).unwrap())
}

pub(super) fn preview(desk: &Desk, list: &Value) -> PreviewView {
    match ask(desk, json!({"ask": "preview", "list": list})).unwrap() {
        Answer::Preview { preview } => *preview,
        other => panic!("no preview but {other:?}"),
    }
}

pub(super) fn take_in(
    desk: &Desk,
    list: &Value,
    skip: &[u32],
    delete_gone: bool,
) -> Result<(Sheet, Vec<String>), Refusal> {
    let request = json!({"ask": "take_in", "list": list, "skip": skip, "delete_gone": delete_gone});
    match ask(desk, request)? {
        Answer::Edited { sheet, jobs, .. } => Ok((*sheet, jobs)),
        other => panic!("nothing taken in but {other:?}"),
    }
}

pub(super) fn statuses(preview: &PreviewView) -> Vec<&str> {
    preview.rows.iter().map(|row| row.status.as_str()).collect()
}

/// A list of three with places near the demo's first job.
pub(super) fn three(desk: &Desk, sections: u32) -> String {
    let [lon, lat] = sheet(desk).jobs[0].at;
    let row =
        |id: &str, shift: f64| format!("{id},{:.7},{:.7},replace,{sections}\n", lon + shift, lat);
    format!(
        "Ref,Longitude,Latitude,Work,Sections\n{}{}{}",
        row("W1", 0.001),
        row("W2", 0.000_01),
        row("W3", 0.002)
    )
}

#[test]
fn a_list_is_looked_at_taken_in_and_taken_in_again() {
    let desk = small();
    let before = sheet(&desk);
    let first = list(&three(&desk, 3));
    let seen = preview(&desk, &first);
    assert_eq!(
        (statuses(&seen), seen.fresh, seen.remembered),
        (vec!["new"; 3], 3, false)
    );
    assert_eq!(seen.rows[0].near, None);
    let near = seen.rows[1].near.clone().unwrap();
    assert!(
        near.starts_with("J001, 0."),
        "0.7 m east of the first job: {near}"
    );
    assert_eq!(sheet(&desk), before, "a preview changes nothing");
    let (after, jobs) = take_in(&desk, &first, &[1], false).unwrap();
    assert_eq!(jobs, ["W1", "W3"]);
    assert_eq!(after.plan.is_some(), before.plan.is_some());
    assert_eq!(
        after.undo.as_deref(),
        Some("take in works.csv: 2 jobs new, 0 changed, 0 deleted")
    );

    let newer = three(&desk, 4)
        .lines()
        .filter(|line| !line.starts_with("W3"))
        .map(|line| format!("{line}\n"))
        .collect::<String>();
    let newer = list(&newer);
    let seen = preview(&desk, &newer);
    assert_eq!(statuses(&seen), ["changed", "new"]);
    assert_eq!(seen.rows[0].changes, ["sections 3 → 4"]);
    assert_eq!(
        (seen.gone.as_slice(), seen.remembered),
        (&["W3".to_owned()][..], true)
    );
    let (after, jobs) = take_in(&desk, &newer, &[1], true).unwrap();
    assert_eq!(jobs, ["W1"]);
    assert!(!after.jobs.iter().any(|job| job.id == "W3"));
    assert_eq!(statuses(&preview(&desk, &newer)), ["same", "new"]);
    assert!(
        take_in(&desk, &newer, &[1], true).is_err(),
        "nothing is left to change"
    );
}

/// What Gangday writes for other programs it reads as what it was. The table also says which street and which
/// closure were worked out for a job that states none; taken in again, it states them.
#[test]
fn the_table_of_jobs_taken_in_again_changes_nothing() {
    let desk = small();
    let worked_out = ["street nothing → S046", "closure nothing → footway"];
    for format in ["csv", "xlsx"] {
        let table = json!({"ask": "export", "what": "jobs", "format": format});
        let Answer::File { base64, name, .. } = ask(&desk, table).unwrap() else {
            panic!("no file");
        };
        let seen = preview(
            &desk,
            &json!({"name": name, "base64": base64, "client": null}),
        );
        let changes = || seen.rows.iter().flat_map(|row| &row.changes);
        assert!(
            changes().all(|change| worked_out.contains(&change.as_str())),
            "{:#?}",
            changes().collect::<Vec<_>>()
        );
        assert_eq!((seen.fresh, seen.at_fault, seen.changed), (0, 0, 2));
    }
}

/// A client writes what is on the street's plate, not its id; of streets that are called alike the nearest
/// to the job is meant.
#[test]
fn a_street_that_is_named_is_the_one_that_is_called_so() {
    let desk = small();
    let seen = sheet(&desk);
    let own = seen.jobs.iter().find(|job| job.street.is_some()).unwrap();
    let street = own.street.clone().unwrap();
    let [lon, lat] = own.at;
    let list = list(&format!(
        "Ref,Longitude,Latitude,Street\nW1,{:.7},{lat:.7},  {} \nW2,{:.7},{lat:.7},Nobody’s Lane\n",
        lon + 0.000_1,
        street.to_uppercase(),
        lon + 0.000_2,
    ));
    let (after, jobs) = take_in(&desk, &list, &[], false).unwrap();
    assert_eq!(jobs, ["W1", "W2"]);
    let stray = |job: &str| {
        let mut stray = after.findings.iter().filter(|one| one.code == "J-STREET");
        stray.any(|one| one.job.as_deref() == Some(job))
    };
    assert!(!stray("W1") && stray("W2"));
    let named = after.jobs.iter().find(|job| job.id == "W1").unwrap();
    assert_eq!(named.street.as_ref(), Some(&street));
    assert_eq!(statuses(&preview(&desk, &list)), ["same", "same"]);
}

/// What the planner has set by hand and the list does not speak of stays.
#[test]
fn a_list_sent_anew_changes_only_what_it_says() {
    let desk = small();
    let first = list(&three(&desk, 3));
    take_in(&desk, &first, &[], false).unwrap();
    let set = json!({"do": "set", "jobs": ["W1"], "properties": {"priority": 1, "closure": "lane", "notes": "gate"}});
    ask(&desk, json!({"ask": "edit", "edit": set})).unwrap();
    assert_eq!(statuses(&preview(&desk, &first)), ["same"; 3]);
}

#[test]
fn a_cell_is_corrected_in_place() {
    let desk = small();
    let text = three(&desk, 3).replacen(",3\n", ",three\n", 1);
    let mut bad = list(&text);
    let seen = preview(&desk, &bad);
    assert_eq!(
        (statuses(&seen), seen.at_fault),
        (vec!["fault", "new", "new"], 1)
    );
    assert_eq!(seen.rows[0].cells[4], "three");
    bad["corrections"] = json!([{"row": 0, "column": "Sections", "value": "3"}]);
    assert_eq!(statuses(&preview(&desk, &bad)), ["new"; 3]);
}

#[test]
fn a_row_without_a_place_is_given_one_on_the_map() {
    let desk = small();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let mut placeless = list(&format!(
        "Ref,Long,Lat,Sections\nW1,{},{lat},3\nW2,,,3\n",
        lon + 0.002
    ));
    let seen = preview(&desk, &placeless);
    assert_eq!(statuses(&seen), ["new", "fault"]);
    assert_eq!(seen.rows[1].at, None);
    let at = [lon + 0.004, lat + 0.001];
    placeless["places"] = json!([{"row": 1, "at": at}]);
    let seen = preview(&desk, &placeless);
    assert_eq!(statuses(&seen), ["new", "new"]);
    let there = seen.rows[1].at.unwrap();
    assert!((there[0] - at[0]).abs() < 1e-7 && (there[1] - at[1]).abs() < 1e-7);
    assert_eq!(seen.rows[1].cells[2], format!("{:.7}", at[1]));
    take_in(&desk, &placeless, &[], false).unwrap();
    assert!(sheet(&desk).jobs.iter().any(|job| job.id == "W2"));
}

/// Ordnance Survey's OSTN15 test point TP16: 53.34480280 N, 2.64049321 W is 357455.843, 383290.436.
#[test]
fn eastings_and_northings_become_degrees_by_the_survey_s_own_table() {
    let desk = Desk::default();
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("new");
    std::fs::create_dir(&path).unwrap();
    desk.ask(crate::view::Request::Open {
        folder: path.display().to_string(),
    })
    .unwrap();
    let seen = preview(
        &desk,
        &list("Ref,Easting,Northing\nTP16,357455.843,383290.436\nbad,1e308,1\n"),
    );
    let [lon, lat] = seen.rows[0].at.unwrap();
    assert!(
        (lon - -2.640_493_21).abs() < 2e-8 && (lat - 53.344_802_80).abs() < 2e-8,
        "{lon} {lat}"
    );
    assert_eq!(seen.rows[1].status, "fault");
}

#[test]
fn a_list_without_ids_is_known_by_its_places() {
    let desk = small();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let text = format!(
        "Longitude,Latitude,Priority\n{lon},{lat},1\n{},{lat},2\n",
        lon + 0.003
    );
    let seen = preview(&desk, &list(&text));
    assert_eq!(seen.rows[0].job.as_deref(), Some("J001"));
    assert_eq!(seen.rows[1].status, "new");
}

#[test]
fn a_mapping_is_remembered_in_the_file() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg").display().to_string();
    let desk = small();
    ask(&desk, json!({"ask": "save", "folder": path})).unwrap();
    let text = three(&desk, 3).replace("Ref", "Our number");
    let mut first = list(&text);
    first["mapping"] = Value::Object(preview(&desk, &first).mapping);
    first["mapping"]["id"] = json!("Our number");
    take_in(&desk, &first, &[], false).unwrap();
    drop(desk);
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path})).unwrap();
    let seen = preview(&desk, &list(&text));
    assert!(seen.remembered);
    assert_eq!(
        (statuses(&seen), seen.rows[0].job.as_deref()),
        (vec!["same"; 3], Some("W1"))
    );
}

#[test]
fn a_list_that_lies_on_this_machine_is_read_there() {
    let desk = small();
    let place = tempfile::tempdir().unwrap();
    let at = |name: &str| place.path().join(name).display().to_string();
    std::fs::write(at("works.csv"), three(&desk, 3)).unwrap();
    let feature = json!({"type": "Feature", "id": "G1", "properties": {"work": "new", "sections": 3},
        "geometry": {"type": "Point", "coordinates": sheet(&desk).jobs[0].at}});
    let collection = json!({"type": "FeatureCollection", "features": [feature]});
    std::fs::write(at("works.geojson"), collection.to_string()).unwrap();
    let by_path = |name: &str| json!({"name": name, "path": at(name)});
    let csv = preview(&desk, &by_path("works.csv"));
    let bytes = preview(&desk, &list(&three(&desk, 3)));
    assert_eq!((csv.of, &csv.rows), (3, &bytes.rows));
    let (after, jobs) = take_in(&desk, &by_path("works.geojson"), &[], false).unwrap();
    assert_eq!(jobs, ["G1"]);
    assert!(after.plan.is_some(), "what was planned stays");
    let missing = take_in(&desk, &by_path("none.csv"), &[], false).unwrap_err();
    assert!(
        missing.text.contains("none.csv can't be read"),
        "{}",
        missing.text
    );
}

/// The digest of three bytes is the example of FIPS 180-2, appendix B.1.
#[test]
fn a_list_that_has_changed_since_it_was_looked_at_is_not_taken_in() {
    let desk = small();
    assert_eq!(
        preview(&desk, &list("abc")).digest,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("works.csv");
    let text = three(&desk, 3);
    std::fs::write(&path, &text).unwrap();
    let mut by_path = json!({"name": "works.csv", "path": path.display().to_string()});
    by_path["seen"] = json!(preview(&desk, &by_path).digest);
    // A row put in before the one that is left out.
    let [head, rest] = text.split_once('\n').map(<[_; 2]>::from).unwrap();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let other = format!("{head}\nW0,{:.7},{lat:.7},replace,3\n{rest}", lon + 0.004);
    std::fs::write(&path, other).unwrap();
    let before = sheet(&desk);
    let refused = take_in(&desk, &by_path, &[1], false).unwrap_err();
    assert_eq!(
        refused.text,
        "works.csv has changed since it was looked at; look at it again."
    );
    assert_eq!(sheet(&desk), before);
    std::fs::write(&path, &text).unwrap();
    let (_, jobs) = take_in(&desk, &by_path, &[1], false).unwrap();
    assert_eq!(jobs, ["W1", "W3"]);
}

/// Days of a list are said as the page says days.
#[test]
fn what_changes_of_days_is_said_in_words() {
    let desk = small();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let of = |latest: &str, permit: &str| {
        let lon = lon + 0.002;
        list(&format!(
            "Ref,Long,Lat,Latest,Permit\nW1,{lon},{lat},{latest},{permit}\n"
        ))
    };
    take_in(&desk, &of("", "2027-03-01"), &[], false).unwrap();
    let first = of("1/3/2027", "2027-03-01");
    let seen = preview(&desk, &first);
    assert_eq!(seen.rows[0].changes, ["latest nothing → Mon 1 Mar 2027"]);
    take_in(&desk, &first, &[], false).unwrap();
    let seen = preview(&desk, &of("5 Mar 2027", "2027-03-02"));
    assert_eq!(
        seen.rows[0].changes,
        [
            "latest Mon 1 Mar 2027 → Fri 5 Mar 2027",
            "permit 2027-03-01 → 2027-03-02"
        ]
    );
}
