//! The user interface: its packages, its build, and whether either is out of date.

use std::path::Path;
use std::time::SystemTime;

use crate::node::Node;
use crate::root::{files_below, ui, written};
use crate::setup::{Purpose, set_up};
use crate::tool::{ask, cargo, say, show};
use crate::trouble::{Trouble, trouble};

/// Folders of `ui/` that are made, not written.
const MADE: &[&str] = &[
    "node_modules",
    "dist",
    "test-results",
    "playwright-report",
    "coverage",
];

/// Installs the packages of the lock file, unless these are what was installed last time.
///
/// # Errors
/// When the lock file is missing, or npm can't install what it names.
pub fn install(node: &Node) -> Result<(), Trouble> {
    let lock = std::fs::read(ui().join("package-lock.json")).map_err(|e| {
        trouble(
            format!("ui/package-lock.json can't be read: {e}"),
            "restore it from the repository (git checkout ui)",
        )
    })?;
    let stamp = ui().join("node_modules").join(".installed-lock.json");
    if std::fs::read(&stamp).is_ok_and(|installed| installed == lock) {
        return Ok(());
    }
    say("installing the UI's packages (npm ci)");
    ask(
        node.npm(&ui()).arg("ci"),
        "see that this machine reaches the npm registry, then the same command again",
    )?;
    std::fs::write(&stamp, lock).map_err(|e| {
        trouble(
            format!("{} can't be written: {e}", stamp.display()),
            "see to the rights of that folder",
        )
    })
}

/// Builds `ui/dist`, unless it is newer than everything that it is made of.
///
/// # Errors
/// When the build fails.
pub fn build(node: &Node) -> Result<(), Trouble> {
    if is_built() {
        return Ok(());
    }
    say("building the UI (npm run build)");
    ask(
        node.npm(&ui()).args(["run", "build"]),
        "put right what it names, then the same command again",
    )
    .map(drop)
}

/// Runs one of the UI's own scripts in plain sight.
///
/// # Errors
/// When the script fails.
pub fn script(node: &Node, name: &str) -> Result<(), Trouble> {
    show(
        node.npm(&ui()).args(["run", name]),
        "put right what it names",
    )
}

/// Whether `ui/package.json` defines a script of this name.
pub fn has_script(name: &str) -> bool {
    std::fs::read_to_string(ui().join("package.json")).is_ok_and(|text| defines_script(&text, name))
}

/// Takes the screenshots of the README anew, by the UI's own `shots` script.
///
/// # Errors
/// When the script is not there or fails.
pub fn shots() -> Result<(), Trouble> {
    if !has_script("shots") {
        return Err(trouble(
            "ui/package.json defines no script called shots",
            "write one, or take the screenshots by hand",
        ));
    }
    let node = set_up(Purpose::Tests)?;
    install(&node)?;
    build(&node)?;
    show(
        cargo().args(["build", "--package", "gangday-cli"]),
        "put right what it names",
    )?;
    script(&node, "shots")
}

fn is_built() -> bool {
    let built = written(&ui().join("dist").join("index.html"));
    built.is_some_and(|built| newest(&ui()).is_some_and(|source| source <= built))
}

fn newest(folder: &Path) -> Option<SystemTime> {
    files_below(folder, MADE)
        .iter()
        .filter_map(|file| written(file))
        .max()
}

fn defines_script(package_json: &str, name: &str) -> bool {
    let Some((_, after)) = package_json.split_once("\"scripts\"") else {
        return false;
    };
    let scripts = after.split_once('}').map_or(after, |(scripts, _)| scripts);
    scripts.contains(&format!("\"{name}\":"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_script_counts_only_where_scripts_are_defined() {
        let text = r#"{ "scripts": { "build": "vite build", "e2e": "playwright test" }, "config": { "shots": "x" } }"#;
        assert!(defines_script(text, "e2e"));
        assert!(!defines_script(text, "shots"));
        assert!(!defines_script("{}", "build"));
    }
}
