//! Words that no kept file may hold: paths of one machine, and addresses that one network served.

use std::path::{Path, PathBuf};
use std::process::Command;

use crate::root::files_below;
use crate::tool::ask;

/// Folders that exist on one machine only. They are written in two halves, so that this file does
/// not hold them.
const MACHINE_PATHS: &[&str] = &[
    concat!("/wo", "rk/"),
    concat!("/ro", "ot/"),
    concat!("/ho", "me/"),
    concat!("/Use", "rs/"),
    concat!("sha", "red/trade"),
];

const MADE: &[&str] = &["target", "node_modules", "dist", ".git", ".tools"];

/// Every such word in the files that are kept or about to be.
pub fn breaches(root: &Path) -> Vec<String> {
    let mut found = Vec::new();
    for file in kept_files(root) {
        // Pictures and other bytes hold no words.
        let Ok(text) = std::fs::read_to_string(root.join(&file)) else {
            continue;
        };
        found.extend(
            words_in(&text)
                .into_iter()
                .map(|(line, word)| format!("{}:{line}: holds '{word}'", file.display())),
        );
        if file.ends_with("package-lock.json") && text.contains("\"resolved\": \"http") {
            found.push(format!(
                "{}: names the address of a registry (npm's omit-lockfile-registry-resolved)",
                file.display()
            ));
        }
    }
    found
}

fn words_in(text: &str) -> Vec<(usize, &'static str)> {
    let mut found = Vec::new();
    for (number, line) in text.lines().enumerate() {
        found.extend(
            MACHINE_PATHS
                .iter()
                .filter(|word| line.contains(**word))
                .map(|word| (number + 1, *word)),
        );
    }
    found
}

/// What the repository keeps or is about to; without git, everything that is not made.
pub(super) fn kept_files(root: &Path) -> Vec<PathBuf> {
    let mut git = Command::new("git");
    git.current_dir(root).args([
        "ls-files",
        "-z",
        "--cached",
        "--others",
        "--exclude-standard",
    ]);
    match ask(&mut git, "") {
        Ok(list) => list
            .split('\0')
            .filter(|name| !name.is_empty())
            .map(PathBuf::from)
            .collect(),
        Err(_) => files_below(root, MADE)
            .iter()
            .filter_map(|f| f.strip_prefix(root).ok().map(Path::to_path_buf))
            .collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_of_one_machine_is_named_with_its_line() {
        let text = format!("fine\nlook in {}main\n", MACHINE_PATHS[0]);
        assert_eq!(words_in(&text), [(2, MACHINE_PATHS[0])]);
        assert!(words_in("roadwork/ and rooted, /usr/bin").is_empty());
    }

    #[test]
    fn the_kept_files_hold_this_one_and_nothing_that_is_made() {
        let files = kept_files(&crate::root::root());
        assert!(
            files
                .iter()
                .any(|file| file.ends_with("crates/xtask/src/walls/words.rs"))
        );
        assert!(!files.iter().any(|file| file.starts_with("target")));
    }
}
