//! What the user chooses in the system's dialogs.

use std::path::PathBuf;

use tauri::{AppHandle, Wry};
use tauri_plugin_dialog::{DialogExt as _, FileDialogBuilder, FilePath};

/// What of one sort ends in: a name for it, and the endings.
pub type Ending = (&'static str, &'static [&'static str]);

/// Lets the user choose a folder; nothing where they cancel.
pub fn folder(app: &AppHandle, title: &str) -> Option<PathBuf> {
    folder_for(app, "folder", title)
}

/// The same of a folder of some sort.
pub fn folder_for(app: &AppHandle, what: &str, title: &str) -> Option<PathBuf> {
    let dialog = titled(app, title);
    chosen(what, || dialog.blocking_pick_folder())
}

/// Lets the user choose a file of this sort; nothing where they cancel.
pub fn file(app: &AppHandle, what: &str, title: &str, (name, ends): Ending) -> Option<PathBuf> {
    let dialog = titled(app, title).add_filter(name, ends);
    chosen(what, || dialog.blocking_pick_file())
}

/// Lets the user choose where a new file goes; nothing where they cancel.
pub fn place(
    app: &AppHandle,
    (what, usual): (&str, &str),
    title: &str,
    (name, ends): Ending,
) -> Option<PathBuf> {
    let dialog = titled(app, title).set_file_name(usual);
    let dialog = dialog.add_filter(name, ends);
    chosen(what, || dialog.blocking_save_file())
}

fn titled(app: &AppHandle, title: &str) -> FileDialogBuilder<Wry> {
    app.dialog().file().set_title(title)
}

fn chosen(what: &str, dialog: impl FnOnce() -> Option<FilePath>) -> Option<PathBuf> {
    if let Some(path) = stand_in(what) {
        return Some(path);
    }
    dialog().and_then(|path| path.into_path().ok())
}

/// A dialog of the system can't be driven by a test: where one names what would be chosen, a line of
/// `what path` each, no dialog is shown. In a program that is made to be used there is no such way.
fn stand_in(what: &str) -> Option<PathBuf> {
    if !cfg!(debug_assertions) {
        return None;
    }
    named(&std::env::var("GANGDAY_CHOOSES").ok()?, what)
}

fn named(all: &str, what: &str) -> Option<PathBuf> {
    let mut lines = all.lines().filter_map(|line| line.split_once(' '));
    lines
        .find(|(name, _)| *name == what)
        .map(|(_, path)| PathBuf::from(path))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_test_names_what_would_be_chosen() {
        let all = "list /tmp/a list.csv\npicture /tmp/b.png\n";
        assert_eq!(named(all, "list"), Some("/tmp/a list.csv".into()));
        assert_eq!(named(all, "picture"), Some("/tmp/b.png".into()));
        assert_eq!(named(all, "table"), None);
    }
}
