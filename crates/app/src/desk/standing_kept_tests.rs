//! What stands as issued is kept with the programme, and a plan alone does not make it stand.

use std::path::Path;

use serde_json::{Value, json};

use super::onward_tests::{broken, planned, reasons, replan, told};
use super::standing_tests::{edit, moved_on, standing};
use super::tests::{opened, save, sheet};

/// Saved and opened, it stands, until it is done; what is looked at then is what is kept, and what stood.
fn is_kept(name: &str, look: impl Fn(&Path, &[String])) {
    let (desk, friday, _) = moved_on();
    edit(
        &desk,
        &json!({"do": "rename", "job": friday[0], "to": "K1"}),
    );
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join(name);
    save(&desk, &path).unwrap();
    let stood = standing(&sheet(&desk));
    drop(desk);
    let desk = opened(&path);
    assert_eq!(standing(&sheet(&desk)), stood);
    assert_eq!(broken(&sheet(&desk)), Vec::<&str>::new());
    let after = planned(&desk, replan());
    assert_eq!((standing(&after), broken(&after)), (stood.clone(), vec![]));
    let done = told(&desk, json!({"ask": "record_as_issued", "jobs": null}));
    assert_eq!(standing(&done), Vec::<String>::new());
    assert!(stood.iter().all(|job| reasons(&done, job) == ["U-DONE"]));
    save(&desk, &path).unwrap();
    drop(desk);
    let desk = opened(&path);
    assert!(
        stood
            .iter()
            .all(|job| reasons(&sheet(&desk), job) == ["U-DONE"])
    );
    drop(desk);
    look(&path, &stood);
}

#[test]
fn it_is_kept_in_a_folder() {
    is_kept("week", |path, _| {
        let diary = std::fs::read_to_string(path.join("diary.json")).unwrap();
        assert!(!diary.contains("standing"), "nothing stands any more");
    });
}

#[test]
fn it_is_kept_in_a_programme_file() {
    is_kept("week.gpkg", |path, stood| {
        let desk = opened(path);
        let back = told(&desk, json!({"ask": "undo"}));
        assert_eq!((standing(&back).as_slice(), broken(&back)), (stood, vec![]));
        assert!(
            !back
                .records
                .iter()
                .any(|record| stood.contains(&record.job))
        );
    });
}

#[test]
fn a_plan_that_only_says_that_jobs_stand_is_charged_for_them() {
    let (desk, friday, _) = moved_on();
    planned(&desk, replan());
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week");
    save(&desk, &path).unwrap();
    let file = path.join("diary.json");
    let mut diary: Value = serde_json::from_slice(&std::fs::read(&file).unwrap()).unwrap();
    let gone = diary.as_object_mut().unwrap().remove("standing").unwrap();
    assert_eq!(gone.as_array().unwrap().len(), friday.len());
    std::fs::write(&file, serde_json::to_vec(&diary).unwrap()).unwrap();
    let desk = opened(&path);
    assert_eq!(broken(&sheet(&desk)), ["R-COSTS"]);
}
