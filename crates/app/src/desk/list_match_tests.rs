//! Which jobs a client's rows are about, asked as a door asks.

use std::fs;

use serde_json::{Value, json};

use super::list_tests::{list, preview, statuses, take_in, three};
use super::tests::{ask, sheet, small};
use crate::Desk;
use crate::view::PreviewView;

/// Rows without ids of two clients, some hundred metres apart: `count` of them, north of the first job.
fn nameless(desk: &Desk, north: f64, count: u32) -> String {
    let [lon, lat] = sheet(desk).jobs[0].at;
    let row = |nth: u32| {
        let lon = lon + 0.000_5 * f64::from(nth);
        format!("{lon:.7},{:.7},replace,3\n", lat + north)
    };
    let rows: String = (0..count).map(row).collect();
    format!("Longitude,Latitude,Work,Sections\n{rows}")
}

#[test]
fn a_list_without_ids_never_overwrites_what_another_list_brought() {
    let desk = small();
    let mut theirs = list(&nameless(&desk, 0.01, 10));
    let (_, first) = take_in(&desk, &theirs, &[], false).unwrap();
    assert_eq!(first[9], "P10");
    let before = sheet(&desk);
    let mut ours = list(&nameless(&desk, 0.015, 10));
    ours["client"] = json!("Marl Power");
    let seen = preview(&desk, &ours);
    assert_eq!((seen.fresh, seen.changed), (10, 0));
    let (after, second) = take_in(&desk, &ours, &[], false).unwrap();
    assert_eq!(second[0], "P11");
    for job in before.jobs {
        assert!(after.jobs.contains(&job), "{} is as it was", job.id);
    }
    // Nor where it is at the very place.
    theirs["client"] = json!("Marl Power");
    let seen = preview(&desk, &theirs);
    assert_eq!((seen.fresh, seen.changed), (10, 0));
    assert_eq!(seen.rows[0].near.as_deref(), Some("P1, 0.0 m away"));
}

/// Two clients may call their works the same: neither list changes the other's job, and the row says so.
#[test]
fn an_id_of_another_clients_job_is_at_fault_until_it_is_another() {
    let desk = small();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let of = |id: &str, east: f64, sections: u32| {
        let text = format!(
            "Ref,Longitude,Latitude,Sections\n{id},{:.7},{lat:.7},{sections}\n",
            lon + east
        );
        list(&text)
    };
    take_in(&desk, &of("W1", 0.01, 3), &[], false).unwrap();
    let before = sheet(&desk);
    let mut theirs = of("W1", 0.03, 2);
    theirs["client"] = json!("Marl Power");
    let seen = preview(&desk, &theirs);
    assert_eq!((seen.fresh, seen.changed, seen.at_fault), (0, 0, 1));
    let own: Vec<_> = seen
        .findings
        .iter()
        .filter(|one| one.code == "J-OTHERS")
        .collect();
    assert!(
        own.len() == 1 && own[0].text.starts_with("W1 is a job of "),
        "{own:?}"
    );
    assert_eq!(
        (own[0].row, own[0].place.as_str()),
        (Some(0), "W1, Ref, line 2 column 1")
    );
    assert!(take_in(&desk, &theirs, &[], false).is_err());
    theirs["corrections"] = json!([{"row": 0, "column": "Ref", "value": "MP-W1"}]);
    let (after, made) = take_in(&desk, &theirs, &[], false).unwrap();
    assert_eq!(made, ["MP-W1"]);
    for job in before.jobs {
        assert!(after.jobs.contains(&job), "{} is as it was", job.id);
    }
    // Nobody's list, and the client's own, still change it.
    let mut own = of("W1", 0.01, 4);
    assert_eq!(preview(&desk, &own).changed, 1);
    own["client"] = json!(null);
    assert_eq!(preview(&desk, &own).changed, 1);
}

#[test]
fn a_row_put_into_a_list_without_ids_shifts_none_of_the_others() {
    let desk = small();
    let first = nameless(&desk, 0.01, 10);
    take_in(&desk, &list(&first), &[], false).unwrap();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let mut lines: Vec<String> = first.lines().map(str::to_owned).collect();
    // A metre and a half from the third: the third is nearer to itself.
    lines.insert(1, format!("{lon:.7},{:.7},replace,3", lat + 0.012));
    let west = lon + 0.001 - 0.000_02;
    lines.insert(2, format!("{west:.7},{:.7},replace,3", lat + 0.01));
    let seen = preview(&desk, &list(&lines.join("\n")));
    assert_eq!((seen.fresh, seen.changed, seen.same), (2, 0, 10));
    let ids = || seen.rows.iter().map(|row| row.job.as_deref().unwrap());
    assert_eq!(
        ids().take(5).collect::<Vec<_>>(),
        ["P11", "P12", "P1", "P2", "P3"]
    );
}

/// The ids of a list are its own; where a cell is empty or repeats another, the place alone counts.
#[test]
fn an_empty_or_repeated_id_is_matched_by_place_alone() {
    let desk = small();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let row = |id: &str, east: f64| format!("{id},{:.7},{lat:.7},3\n", lon + east);
    let whole = |rows: &[String]| {
        list(&format!(
            "Ref,Longitude,Latitude,Sections\n{}",
            rows.concat()
        ))
    };
    let first = [
        row("W1", 0.01),
        row("", 0.02),
        row("W1", 0.03),
        row("P1", 0.04),
    ];
    let (_, jobs) = take_in(&desk, &whole(&first), &[], false).unwrap();
    assert_eq!(jobs, ["W1", "P2", "P3", "P1"]);
    let again = [
        row("", 0.05),
        row("W1", 0.01),
        row("", 0.02),
        row("W1", 0.03),
        row("", 0.01),
        row("P1", 0.04),
    ];
    let seen = preview(&desk, &whole(&again));
    assert_eq!(
        statuses(&seen),
        ["new", "same", "same", "same", "new", "same"]
    );
    let ids: Vec<_> = seen
        .rows
        .iter()
        .filter_map(|row| row.job.as_deref())
        .collect();
    assert_eq!(ids, ["P4", "W1", "P2", "P3", "P5", "P1"]);
    assert_eq!(seen.rows[4].near.as_deref(), Some("W1, 0.0 m away"));
}

#[test]
fn a_job_whose_row_is_at_fault_is_not_gone_from_the_list() {
    let desk = small();
    let text = three(&desk, 3);
    take_in(&desk, &list(&text), &[], false).unwrap();
    let seen = preview(&desk, &list(&text.replacen(",3\n", ",three\n", 1)));
    assert_eq!((seen.at_fault, seen.gone), (1, Vec::new()));
}

/// Which code each row of a list is refused by, and at what place.
fn refused(seen: &PreviewView) -> Vec<(u32, &str, &str)> {
    let faults = seen.findings.iter().filter(|one| one.severity == "fault");
    let told = faults.filter_map(|one| Some((one.row?, one.code.as_str(), one.place.as_str())));
    let mut told: Vec<_> = told.collect();
    told.sort_unstable();
    told
}

/// A row that is a job which reading had to leave out says so itself, and so does every row of GeoJSON.
#[test]
fn every_row_at_fault_says_why() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    ask(&small(), json!({"ask": "save", "folder": folder})).unwrap();
    let path = folder.join("jobs.geojson");
    let mut jobs: Value = serde_json::from_slice(&fs::read(&path).unwrap()).unwrap();
    let [left_out, sound] =
        [0, 1].map(|at| jobs["features"][at]["id"].as_str().unwrap().to_owned());
    jobs["features"][0]["geometry"] = Value::Null;
    fs::write(&path, serde_json::to_vec(&jobs).unwrap()).unwrap();
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": folder})).unwrap();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let text = format!(
        "Ref,Longitude,Latitude,Sections\n{sound},{lon},{lat},3\nW1,{lon},{lat},three\n{left_out},{lon},{lat},3\n"
    );
    let seen = preview(&desk, &list(&text));
    assert_eq!(statuses(&seen), ["changed", "fault", "fault"]);
    let there = format!("{left_out}, Ref, line 4 column 1");
    assert_eq!(
        refused(&seen),
        [
            (1, "J-TYPE", "works.csv, W1, sections, line 3 column 1"),
            (2, "J-THERE", there.as_str())
        ]
    );
    let points = jobs["features"].as_array().unwrap().iter().take(3);
    let mut points: Vec<Value> = points.cloned().collect();
    points[0]["geometry"] = points[1]["geometry"].clone();
    points[2]["properties"]["sections"] = json!("three");
    let third = points[2]["id"].as_str().unwrap().to_owned();
    let text = json!({"type": "FeatureCollection", "features": points}).to_string();
    let seen = preview(&desk, &list(&text));
    assert_eq!(statuses(&seen), ["fault", "changed", "fault"]);
    let [there, size] = [
        format!("{left_out}, id"),
        format!("works.csv, {third}, sections"),
    ];
    assert_eq!(
        refused(&seen),
        [(0, "J-THERE", there.as_str()), (2, "J-TYPE", size.as_str())]
    );
}
