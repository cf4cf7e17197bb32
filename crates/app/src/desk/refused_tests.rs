//! What a user meets when the desk says no: each has a code to look up.

use serde_json::{Value, json};

use super::tests::small;
use crate::Desk;

fn code(desk: &Desk, request: Value) -> String {
    let refused = desk
        .ask(serde_json::from_value(request).unwrap())
        .unwrap_err();
    let told = &refused.findings[0];
    assert_eq!(told.text, refused.text, "it is said once");
    told.code.clone()
}

#[test]
fn every_usual_no_has_its_code() {
    let nothing = Desk::default();
    assert_eq!(code(&nothing, json!({"ask": "undo"})), "D-NOTHING");
    assert_eq!(code(&nothing, json!({"ask": "figures"})), "D-OPEN");
    let desk = small();
    let attach = |base64: &str, path: Option<&str>| json!({"ask": "attach", "job": "J001", "name": "hole.png", "base64": base64, "path": path});
    assert_eq!(code(&desk, attach("", Some("/nowhere/hole.png"))), "F-READ");
    assert_eq!(code(&desk, attach("?", None)), "F-CUT");
    assert_eq!(
        code(&desk, json!({"ask": "stated", "jobs": ["J999"]})),
        "D-NONE"
    );
    let taken = tempfile::tempdir().unwrap();
    std::fs::write(taken.path().join("jobs.geojson"), "{}").unwrap();
    assert_eq!(
        code(&desk, json!({"ask": "save", "folder": taken.path()})),
        "F-THERE"
    );
    assert_eq!(code(&desk, json!({"ask": "save"})), "D-PLACE");
}

#[test]
fn what_is_locked_or_under_way_says_so_with_a_code() {
    let desk = small();
    let delete = json!({"ask": "edit", "edit": {"do": "delete", "jobs": ["J001"]}});
    let mark = json!({"ask": "mark", "jobs": ["J001"], "locked": true});
    desk.ask(serde_json::from_value(mark).unwrap()).unwrap();
    assert_eq!(code(&desk, delete.clone()), "D-STAYS");
    let long = json!({"ask": "plan", "seconds": 60.0, "iterations": null, "seed": 1});
    desk.ask(serde_json::from_value(long).unwrap()).unwrap();
    assert_eq!(code(&desk, delete), "D-BUSY");
    desk.ask(crate::view::Request::Stop).unwrap();
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("week");
    small()
        .ask(serde_json::from_value(json!({"ask": "save", "folder": folder})).unwrap())
        .unwrap();
    std::fs::remove_file(folder.join("plan.json")).unwrap();
    let bare = Desk::default();
    bare.ask(serde_json::from_value(json!({"ask": "open", "folder": folder})).unwrap())
        .unwrap();
    assert_eq!(
        code(&bare, json!({"ask": "issue", "on": "2027-02-25"})),
        "D-PLAN"
    );
}
