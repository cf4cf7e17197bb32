//! Which room may know which: the table, and the manifests held against it.

use std::path::Path;

use super::manifest::Manifest;

/// The members of the workspace, all at the fixed top level.
const MEMBERS: &[&str] = &["crates/*", "src-tauri", "tests"];

/// What a room may know among our own.
struct Room {
    folder: &'static str,
    may_know: &'static [&'static str],
    /// Whether it may use any library at all.
    libraries: bool,
}

const fn room(folder: &'static str, may_know: &'static [&'static str]) -> Room {
    Room {
        folder,
        may_know,
        libraries: true,
    }
}

const TABLE: &[Room] = &[
    room("crates/model", &[]),
    room("crates/calc", &["model"]),
    room("crates/ground", &["model"]),
    room("crates/traffic", &["model", "ground"]),
    room("crates/planner", &["model"]),
    room("crates/files", &["model"]),
    room("crates/store", &["model"]),
    room("crates/reports", &["model"]),
    room(
        "crates/app",
        &[
            "model", "calc", "ground", "traffic", "planner", "files", "store", "reports",
        ],
    ),
    room("crates/cli", &["app"]),
    Room {
        folder: "crates/xtask",
        may_know: &[],
        libraries: false,
    },
    room("src-tauri", &["app"]),
    room("tests", &["app"]),
];

/// Every breach of the table in the repository at `root`.
pub fn breaches(root: &Path) -> Vec<String> {
    let mut found = Vec::new();
    let top = Manifest::read(&read(root, "Cargo.toml"));
    if top.members != MEMBERS {
        found.push(format!(
            "Cargo.toml: the members are {:?}, and the rooms are {MEMBERS:?}",
            top.members
        ));
    }
    for folder in folders(root) {
        let text = read(root, &format!("{folder}/Cargo.toml"));
        match TABLE.iter().find(|room| room.folder == folder) {
            Some(room) => found.extend(breaches_of(room, &Manifest::read(&text))),
            None => found.push(format!(
                "{folder}: a room without a row in the table of rooms"
            )),
        }
    }
    found
}

fn breaches_of(room: &Room, manifest: &Manifest) -> Vec<String> {
    let folder = room.folder;
    let mut found = Vec::new();
    for dependency in &manifest.dependencies {
        match dependency.strip_prefix("gangday-") {
            Some(other) if !room.may_know.contains(&other) => {
                found.push(format!("{folder}/Cargo.toml: may not know {dependency}"));
            }
            _ if !room.libraries => found.push(format!(
                "{folder}/Cargo.toml: may use no library, and uses {dependency}"
            )),
            _ => {}
        }
    }
    if !manifest.workspace_lints {
        found.push(format!(
            "{folder}/Cargo.toml: takes not the lints of the workspace ([lints] workspace = true)"
        ));
    }
    found
}

/// The folders of all members that are there, by their path below the root.
fn folders(root: &Path) -> Vec<String> {
    let crates = std::fs::read_dir(root.join("crates"))
        .into_iter()
        .flatten()
        .flatten();
    let rooms = crates
        .filter_map(|entry| entry.file_name().into_string().ok())
        .map(|name| format!("crates/{name}"));
    let all = rooms.chain(["src-tauri".to_owned(), "tests".to_owned()]);
    let mut all: Vec<String> = all
        .filter(|folder| root.join(folder).join("Cargo.toml").is_file())
        .collect();
    all.sort();
    all
}

fn read(root: &Path, path: &str) -> String {
    std::fs::read_to_string(root.join(path)).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn breaches_in(folder: &str, manifest: &str) -> Vec<String> {
        let room = TABLE.iter().find(|room| room.folder == folder).unwrap();
        breaches_of(room, &Manifest::read(manifest))
    }

    #[test]
    fn a_room_that_knows_its_neighbour_is_named() {
        let manifest = "[dependencies]\ngangday-model.workspace = true\ngangday-planner.workspace = true\n[lints]\nworkspace = true\n";
        assert_eq!(
            breaches_in("crates/calc", manifest),
            ["crates/calc/Cargo.toml: may not know gangday-planner"]
        );
    }

    #[test]
    fn a_neighbour_known_only_to_the_tests_is_named_too() {
        let manifest = "[dev-dependencies]\ngangday-store = { path = \"../store\" }\n[lints]\nworkspace = true\n";
        assert_eq!(
            breaches_in("crates/reports", manifest),
            ["crates/reports/Cargo.toml: may not know gangday-store"]
        );
    }

    #[test]
    fn traffic_alone_may_use_ground() {
        let manifest =
            "[dependencies]\ngangday-ground.workspace = true\n[lints]\nworkspace = true\n";
        assert!(breaches_in("crates/traffic", manifest).is_empty());
        assert_eq!(breaches_in("crates/planner", manifest).len(), 1);
    }

    #[test]
    fn a_door_knows_the_app_and_no_room_behind_it() {
        let manifest = "[dependencies]\ngangday-app.workspace = true\ngangday-model.workspace = true\n[lints]\nworkspace = true\n";
        assert_eq!(
            breaches_in("src-tauri", manifest),
            ["src-tauri/Cargo.toml: may not know gangday-model"]
        );
    }

    #[test]
    fn the_chores_use_no_library_and_nobody_skips_the_lints() {
        assert_eq!(
            breaches_in(
                "crates/xtask",
                "[dependencies]\nlibc = \"0.2\"\n[lints]\nworkspace = true\n"
            )
            .len(),
            1
        );
        assert_eq!(
            breaches_in("crates/model", "[dependencies]\nserde = \"1\"\n").len(),
            1
        );
    }

    #[test]
    fn every_row_of_the_table_is_a_room_that_stands() {
        let standing = folders(&crate::root::root());
        let rows: Vec<&str> = TABLE.iter().map(|room| room.folder).collect();
        assert_eq!(
            standing,
            rows.iter()
                .map(|r| (*r).to_owned())
                .collect::<std::collections::BTreeSet<_>>()
                .into_iter()
                .collect::<Vec<_>>()
        );
    }
}
