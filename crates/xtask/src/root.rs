//! Where things are in the repository. Nothing here is fixed at compile time, so a moved or copied
//! folder still works.

use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// The top folder of the repository.
pub fn root() -> PathBuf {
    let own = std::env::var_os("CARGO_MANIFEST_DIR")
        .map_or_else(|| PathBuf::from(env!("CARGO_MANIFEST_DIR")), PathBuf::from);
    own.ancestors()
        .nth(2)
        .map_or(own.clone(), Path::to_path_buf)
}

/// The folder of the user interface.
pub fn ui() -> PathBuf {
    root().join("ui")
}

/// A scratch folder of the chores, under the build folder and so never in a commit.
pub fn scratch(name: &str) -> PathBuf {
    root().join("target").join("xtask").join(name)
}

/// Every file below `folder`, in a stable order, leaving out the folders named in `without`.
pub fn files_below(folder: &Path, without: &[&str]) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    paths.sort();
    let mut found = Vec::new();
    for path in paths {
        let left_out = path
            .file_name()
            .is_some_and(|name| without.iter().any(|w| name == *w));
        if left_out || path.is_symlink() {
            continue;
        }
        if path.is_dir() {
            found.extend(files_below(&path, without));
        } else {
            found.push(path);
        }
    }
    found
}

/// When `path` was last written; `None` where it does not exist.
pub fn written(path: &Path) -> Option<SystemTime> {
    std::fs::metadata(path)
        .and_then(|about| about.modified())
        .ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_root_holds_the_workspace_manifest() {
        let manifest = std::fs::read_to_string(root().join("Cargo.toml")).unwrap();
        assert!(manifest.contains("[workspace]"));
    }

    #[test]
    fn files_below_leaves_out_what_it_is_told_to() {
        let files = files_below(&root().join("crates").join("xtask"), &["walls"]);
        assert!(files.iter().any(|f| f.ends_with("src/root.rs")));
        assert!(
            !files
                .iter()
                .any(|f| f.components().any(|part| part.as_os_str() == "walls"))
        );
    }
}
