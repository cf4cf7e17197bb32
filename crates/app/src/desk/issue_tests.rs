//! Plans that were issued, asked as a door asks it: none is ever taken away, and no number comes twice.

use std::collections::BTreeMap;
use std::path::Path;

use gangday_store::{Change, FileChange, Home, ProgrammeFile};
use serde_json::{Value, json};

use super::tests::{ask, sheet, small};
use crate::Desk;
use crate::opened::{DIARY, ISSUES};
use crate::view::Answer;

fn open(path: &Path) -> Desk {
    let desk = Desk::default();
    ask(&desk, json!({"ask": "open", "folder": path})).unwrap();
    desk
}

fn save(desk: &Desk, path: &Path) {
    ask(desk, json!({"ask": "save", "folder": path})).unwrap();
}

fn issue(desk: &Desk, on: &str) {
    ask(desk, json!({"ask": "issue", "on": on})).unwrap();
}

fn step(desk: &Desk, step: &str) {
    ask(desk, json!({"ask": step})).unwrap();
}

/// Takes a job out of the plan, so that it is another plan.
fn leave_out(desk: &Desk, at: usize) -> String {
    let job = sheet(desk).plan.unwrap().columns[at].jobs[0].clone();
    let change = json!({"do": "leave_out", "job": job});
    let change = json!({"ask": "change", "change": change});
    ask(desk, change).unwrap();
    job
}

/// The numbers and dates of what was issued, with whether it lies on the desk.
fn issued(desk: &Desk) -> Vec<(u32, String, bool)> {
    let issues = sheet(desk).issues.into_iter();
    issues
        .map(|one| (one.number, one.on, one.current))
        .collect()
}

/// What a frozen plan is, by its number.
fn frozen(desk: &Desk, number: u32) -> Value {
    let asked = json!({"ask": "compare", "one": number, "other": number});
    match ask(desk, asked).unwrap() {
        Answer::Comparison { comparison } => serde_json::to_value(comparison.one).unwrap(),
        other => panic!("no comparison but {other:?}"),
    }
}

fn label(desk: &Desk) -> String {
    let html = match ask(desk, json!({"ask": "client_page"})).unwrap() {
        Answer::Page { html, .. } => html,
        other => panic!("no page but {other:?}"),
    };
    let from = html.split("<div class=\"issue\"><dt>Issue</dt><dd>").nth(1);
    let words = from.and_then(|from| from.split("</dd>").next());
    words.unwrap().to_owned()
}

/// All that may happen to a programme with an issue, wherever it is kept.
fn goes_back_and_forth(desk: &Desk) {
    issue(desk, "2027-02-25");
    let was = frozen(desk, 1);
    let first = |current| vec![(1, "2027-02-25".to_owned(), current)];
    assert_eq!(issued(desk), first(true));
    assert_ne!(sheet(desk).undo.as_deref(), Some("issue plan 1"));
    leave_out(desk, 0);
    assert_eq!(issued(desk), first(false));
    step(desk, "undo");
    assert_eq!(issued(desk), first(true));
    // A step from before the issue, and back again.
    step(desk, "undo");
    assert_eq!(issued(desk), first(false));
    step(desk, "redo");
    step(desk, "redo");
    assert_eq!(issued(desk), first(false));
    issue(desk, "2027-02-26");
    let numbers = |desk: &Desk| {
        issued(desk)
            .into_iter()
            .map(|one| one.0)
            .collect::<Vec<_>>()
    };
    assert_eq!(numbers(desk), [1, 2]);
    for _ in 0..2 {
        step(desk, "undo");
        assert_eq!(numbers(desk), [1, 2]);
    }
    // Another plan than either, from before both.
    leave_out(desk, 1);
    issue(desk, "2027-02-27");
    assert_eq!(numbers(desk), [1, 2, 3]);
    assert_eq!(frozen(desk, 1), was);
}

/// What was recorded comes and goes by steps; what was issued meanwhile stays.
fn stays_while_a_record_goes(desk: &Desk) {
    let job = sheet(desk).plan.unwrap().columns[0].jobs[0].clone();
    let at = "2027-03-01T10:35";
    let record = json!({"ask": "record", "job": job, "stage": "dig", "at": at});
    ask(desk, record).unwrap();
    let before = issued(desk).len();
    issue(desk, "2027-03-01");
    step(desk, "undo");
    let after = sheet(desk);
    assert_eq!((after.records.len(), after.issues.len()), (0, before + 1));
    step(desk, "redo");
    let after = sheet(desk);
    assert_eq!((after.records.len(), after.issues.len()), (1, before + 1));
}

#[test]
fn no_step_takes_an_issue_away_and_no_number_comes_twice() {
    let desk = small();
    leave_out(&desk, 2);
    goes_back_and_forth(&desk);
    stays_while_a_record_goes(&desk);
}

#[test]
fn an_issue_in_a_file_is_there_again_whatever_was_undone() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week.gpkg");
    let desk = small();
    leave_out(&desk, 2);
    save(&desk, &path);
    goes_back_and_forth(&desk);
    stays_while_a_record_goes(&desk);
    assert!(!desk.has_unsaved());
    let before = issued(&desk);
    drop(desk);
    let desk = open(&path);
    assert_eq!(issued(&desk), before);
    // The steps that the file alone holds now.
    while sheet(&desk).undo.is_some() {
        step(&desk, "undo");
    }
    assert_eq!(issued(&desk).len(), before.len());
    drop(desk);
    let desk = open(&path);
    assert_eq!(issued(&desk).len(), before.len());
    while sheet(&desk).redo.is_some() {
        step(&desk, "redo");
    }
    assert_eq!(issued(&desk), before);
    let last = before.last().unwrap().0;
    issue(&desk, "2027-03-02");
    assert_eq!(issued(&desk).last().unwrap().0, last + 1);
}

#[test]
fn an_issue_in_a_folder_is_on_the_disk_at_once() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week");
    let desk = small();
    leave_out(&desk, 2);
    save(&desk, &path);
    issue(&desk, "2027-02-25");
    assert!(!desk.has_unsaved());
    drop(desk);
    // What was not saved is gone, and what was issued is not.
    let desk = open(&path);
    assert_eq!(issued(&desk), [(1, "2027-02-25".to_owned(), true)]);
    leave_out(&desk, 0);
    drop(desk);
    let desk = open(&path);
    issue(&desk, "2027-02-26");
    save(&desk, &path);
    let copy = place.path().join("copy.gpkg");
    save(&desk, &copy);
    drop(desk);
    for path in [path, copy] {
        let numbers: Vec<u32> = issued(&open(&path)).iter().map(|one| one.0).collect();
        assert_eq!(numbers, [1, 2], "{}", path.display());
    }
}

#[test]
fn what_is_issued_of_a_week_that_is_kept_nowhere_has_to_be_saved() {
    let desk = small();
    assert!(!sheet(&desk).unsaved);
    issue(&desk, "2027-02-25");
    assert!(sheet(&desk).unsaved);
    leave_out(&desk, 0);
    step(&desk, "undo");
    assert!(sheet(&desk).unsaved);
}

#[test]
fn a_file_whose_issues_were_steps_keeps_them_all_the_same() {
    let place = tempfile::tempdir().unwrap();
    let (folder, path) = (place.path().join("week"), place.path().join("week.gpkg"));
    let desk = small();
    save(&desk, &folder);
    issue(&desk, "2027-02-25");
    drop(desk);
    // As an earlier version wrote it: in the diary, by a step of the history.
    let mut home: BTreeMap<String, Vec<u8>> = BTreeMap::new();
    let opened = Home::open(&folder).unwrap();
    for name in gangday_store::FILES {
        home.extend(
            opened
                .get(name)
                .map(|bytes| (name.to_owned(), bytes.to_vec())),
        );
    }
    let issues: Value = serde_json::from_slice(&home.remove(ISSUES).unwrap()).unwrap();
    let diary = json!({"issues": issues["issues"], "records": []});
    let diary = serde_json::to_vec_pretty(&diary).unwrap();
    home.insert(DIARY.to_owned(), diary.clone());
    let files: Vec<(&str, Vec<u8>)> = home
        .iter()
        .map(|(name, bytes)| (name.as_str(), bytes.clone()))
        .collect();
    let change = Change {
        what: "issue plan 1".to_owned(),
        features: Vec::new(),
        files: vec![FileChange {
            name: DIARY.to_owned(),
            before: None,
            after: Some(diary),
        }],
    };
    drop(ProgrammeFile::create(&path, &files, &[(change, false)], None).unwrap());
    let first = vec![(1, "2027-02-25".to_owned(), true)];
    let desk = open(&path);
    assert_eq!(issued(&desk), first);
    step(&desk, "undo");
    assert_eq!(issued(&desk), first);
    drop(desk);
    let desk = open(&path);
    assert_eq!(issued(&desk), first);
    step(&desk, "redo");
    stays_while_a_record_goes(&desk);
    assert_eq!(issued(&desk).last().unwrap().0, 2);
}

#[test]
fn nothing_is_issued_while_what_was_issued_is_not_known() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("week");
    let desk = small();
    save(&desk, &path);
    issue(&desk, "2027-02-25");
    drop(desk);
    let damaged = b"{\"issues\": [{";
    std::fs::write(path.join(ISSUES), damaged).unwrap();
    let desk = open(&path);
    let told = sheet(&desk);
    assert!(told.findings.iter().any(|one| one.code == "F-DIARY"));
    let refused = ask(&desk, json!({"ask": "issue", "on": "2027-02-26"})).unwrap_err();
    assert!(refused.text.contains("issues.json"), "{}", refused.text);
    leave_out(&desk, 0);
    save(&desk, &path);
    assert_eq!(std::fs::read(path.join(ISSUES)).unwrap(), damaged);
}

#[test]
fn a_sheet_says_which_issue_it_is_of() {
    let desk = small();
    assert_eq!(label(&desk), "Draft");
    issue(&desk, "2027-02-25");
    assert_eq!(label(&desk), "Issue 1, Thu 25 Feb 2027");
    leave_out(&desk, 0);
    assert_eq!(label(&desk), "Draft, changed since issue 1");
    issue(&desk, "2027-02-26");
    assert_eq!(label(&desk), "Issue 2, Fri 26 Feb 2027");
    step(&desk, "undo");
    let replaced = "Issue 1, Thu 25 Feb 2027, since replaced by issue 2";
    assert_eq!(label(&desk), replaced);
}
