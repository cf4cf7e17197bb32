//! What the whole-program tests share: where things are, and how to run the command.
#![allow(dead_code, reason = "each test program uses its own part")]

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

/// The project's own folder.
pub fn project() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("tests lie in the project")
        .to_owned()
}

/// A folder of the sample data.
pub fn sample(name: &str) -> PathBuf {
    project().join("sample-data").join(name)
}

/// A program of the workspace, built beside the tests.
pub fn program(name: &str) -> PathBuf {
    let test = std::env::current_exe().expect("a test knows its own path");
    let folder = test.ancestors().nth(2).expect("tests are built under deps");
    let path = folder.join(name);
    assert!(
        path.exists(),
        "{name} is not built; run `cargo build --workspace` first"
    );
    path
}

/// Runs `gangday`.
pub fn gangday(arguments: &[&str]) -> Output {
    Command::new(program("gangday"))
        .args(arguments)
        .output()
        .expect("gangday runs")
}

/// Runs `gangday` and expects it to end well.
pub fn sound(arguments: &[&str]) -> String {
    let output = gangday(arguments);
    assert_eq!(
        output.status.code(),
        Some(0),
        "{arguments:?}: {}{}",
        messages(&output),
        String::from_utf8_lossy(&output.stdout)
    );
    String::from_utf8(output.stdout).expect("output is UTF-8")
}

/// Runs `gangday` and reads what it prints as JSON.
pub fn json(arguments: &[&str]) -> Value {
    serde_json::from_str(&sound(arguments)).expect("output is JSON")
}

/// What it said on standard error.
pub fn messages(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// A path as text.
pub fn text(path: &Path) -> &str {
    path.to_str().expect("test paths are UTF-8")
}

/// Copies a programme folder, so that a test can change it.
pub fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("a folder for the copy");
    for entry in std::fs::read_dir(from).expect("the folder is there") {
        let entry = entry.expect("the folder can be read");
        if entry.path().is_file() {
            std::fs::copy(entry.path(), to.join(entry.file_name())).expect("the file is copied");
        }
    }
}
