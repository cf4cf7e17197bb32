//! A programme of one's own, begun as one file from the start, so that nothing of it is ever only on the desk.

use std::path::{Path, PathBuf};

use chrono::{Datelike as _, Days, NaiveDate};
use gangday_store::{ProgrammeFile, is_programme_file};
use serde_json::json;

use super::{Acted, Desk};
use crate::opened::refused;
use crate::view::Refusal;

/// The ending of a programme's file.
const ENDING: &str = "gpkg";

impl Desk {
    /// Begins a programme in a new file, for the week after a day, and opens it.
    pub(super) fn begin(&self, path: &str, today: &str) -> Result<Acted, Refusal> {
        let today: NaiveDate = today.parse().map_err(|_| {
            Refusal::coded(
                "D-ASKED",
                &format!("{today} is no date such as 2027-02-25."),
            )
        })?;
        let path = named(Path::new(path.trim()));
        if path.exists() {
            let path = path.display();
            return Err(Refusal::coded(
                "F-THERE",
                &format!("{path} is there already; open it, or begin under another name."),
            ));
        }
        // What is under way, or lies on the desk, is asked about before anything is written.
        self.collected()?.refuse_while_planning()?;
        let name = path.file_stem().unwrap_or_default().to_string_lossy();
        let week = json!({"name": name, "first_day": next_monday(today), "today": today});
        let week = serde_json::to_vec_pretty(&week).unwrap_or_default();
        let made = ProgrammeFile::create(&path, &[(gangday_files::WEEK, week)], &[], None);
        drop(made.map_err(|error| refused(&error))?);
        self.open_folder(&path.to_string_lossy())
    }
}

/// The path with the ending of a programme's file.
fn named(path: &Path) -> PathBuf {
    if is_programme_file(path) {
        return path.to_owned();
    }
    let mut whole = path.as_os_str().to_owned();
    whole.push(".");
    whole.push(ENDING);
    whole.into()
}

/// The Monday after a day.
fn next_monday(day: NaiveDate) -> NaiveDate {
    let on = 7 - u64::from(day.weekday().num_days_from_monday());
    day.checked_add_days(Days::new(on)).unwrap_or(day)
}

#[cfg(test)]
mod tests {
    use crate::Desk;
    use crate::view::{Answer, Request, Sheet};

    fn begin(desk: &Desk, path: &std::path::Path) -> Result<Sheet, String> {
        let (path, today) = (path.display().to_string(), "2026-11-26".to_owned());
        match desk.ask(Request::Begin { path, today }) {
            Ok(Answer::Sheet { sheet: Some(sheet) }) => Ok(*sheet),
            Ok(other) => panic!("no sheet but {other:?}"),
            Err(refusal) => Err(refusal.text),
        }
    }

    #[test]
    fn a_programme_is_begun_in_a_file_that_keeps_every_change() {
        let place = tempfile::tempdir().unwrap();
        let desk = Desk::default();
        let sheet = begin(&desk, &place.path().join("Harbour works")).unwrap();
        assert_eq!(sheet.name, "Harbour works");
        assert!(sheet.jobs.is_empty() && !sheet.unsaved && !sheet.demo);
        assert_eq!(sheet.days[0].date, "2026-11-30", "the week after today");
        let added = serde_json::json!({"ask": "edit", "edit": {"do": "add", "at": [-1.5, 53.8], "properties": {}}});
        let missing = |sheet: &Sheet| {
            let findings = sheet.findings.iter().filter(|one| one.code == "F-MISSING");
            findings.map(|one| one.place.clone()).collect::<Vec<_>>()
        };
        assert_eq!(missing(&sheet), ["jobs.geojson", "gangs.json"]);
        match desk.ask(serde_json::from_value(added).unwrap()).unwrap() {
            Answer::Edited { sheet, .. } => assert_eq!(missing(&sheet), ["gangs.json"]),
            other => panic!("no edit but {other:?}"),
        }
        // Nobody saves: another desk finds it there.
        drop(desk);
        let again = Desk::default();
        let folder = place
            .path()
            .join("Harbour works.gpkg")
            .display()
            .to_string();
        match again.ask(Request::Open { folder }).unwrap() {
            Answer::Sheet { sheet: Some(sheet) } => {
                assert_eq!(sheet.jobs.len(), 1);
                assert_eq!(sheet.undo.as_deref(), Some("add N1"));
            }
            other => panic!("no sheet but {other:?}"),
        }
        let text = begin(&again, &place.path().join("Harbour works.gpkg")).unwrap_err();
        assert!(text.contains("is there already"), "{text}");
        assert!(begin(&again, &place.path().join("nowhere/week.gpkg")).is_err());
    }
}
