//! The history of a programme file as it is told, with what can no longer be read of it.

use std::path::Path;

use gangday_model::Finding;

use crate::change::Change;
use crate::codes;
use crate::error::StoreError;

/// How many edits are named where some are lost.
const NAMED: usize = 3;

const REMEDY: &str =
    "Go on: this is about the way back only. Change by hand what undo no longer takes back.";

/// One edit of the history.
#[derive(Clone, Debug, PartialEq)]
pub struct PastEdit {
    /// What it is called.
    pub what: String,
    /// Whether it is undone.
    pub undone: bool,
    /// What it does; none where that can't be read any more.
    pub change: Option<Change>,
}

/// Every edit in order, with what is to be said of those that can't be read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    /// The edits, the oldest first.
    pub edits: Vec<PastEdit>,
    /// Which of them can't be read, in words; empty where all can.
    pub lost: Vec<Finding>,
}

impl History {
    /// The history of the file at a path; an empty one where none of it can be read, which is said.
    pub(crate) fn of(path: &Path, edits: Result<Vec<PastEdit>, StoreError>) -> Self {
        let (edits, lost) = match edits {
            Ok(edits) => {
                let lost = lost(path, &edits);
                (edits, lost)
            }
            Err(_) => (Vec::new(), Some(unreadable(path))),
        };
        let lost = lost.into_iter().collect();
        Self { edits, lost }
    }
}

fn unreadable(path: &Path) -> Finding {
    let file = name(path);
    let text = format!("The history of edits in {file} can\u{2019}t be read; undo begins anew.");
    Finding::warning(codes::LOST, text, REMEDY).in_file(file)
}

fn name(path: &Path) -> String {
    let name = path.file_name().unwrap_or_default();
    name.to_string_lossy().into_owned()
}

fn lost(path: &Path, edits: &[PastEdit]) -> Option<Finding> {
    let lost = edits.iter().filter(|edit| edit.change.is_none());
    let names: Vec<&str> = lost.map(|edit| edit.what.as_str()).collect();
    if names.is_empty() {
        return None;
    }
    let file = name(path);
    let edits = match names.len() {
        1 => "1 edit".to_owned(),
        many => format!("{many} edits"),
    };
    let first = names[..names.len().min(NAMED)].join(", ");
    let more = if names.len() > NAMED {
        ", \u{2026}"
    } else {
        ""
    };
    let text = format!(
        "{edits} in the history of {file} can\u{2019}t be read any more ({first}{more}): \
         undo and redo go no further than that."
    );
    Some(Finding::warning(codes::LOST, text, REMEDY).in_file(file))
}
