//! No file so long that it hides a second idea.

use std::path::Path;

use crate::root::files_below;

/// Longer than this is told.
pub const WORTH_A_LOOK: usize = 400;
/// Longer than this is a breach.
pub const TOO_LONG: usize = 500;

const MADE: &[&str] = &["target", "node_modules", "dist", ".git", ".tools", "types"];

/// Source files of more than `over` lines and at most `up_to`, each as a sentence.
pub fn long_files(root: &Path, over: usize, up_to: usize) -> Vec<String> {
    let mut found = Vec::new();
    for top in ["crates", "src-tauri", "tests", "ui"] {
        for file in files_below(&root.join(top), MADE)
            .iter()
            .filter(|file| is_source(file))
        {
            let lines = std::fs::read_to_string(file).map_or(0, |text| text.lines().count());
            if lines > over && lines <= up_to {
                let below = file.strip_prefix(root).unwrap_or(file);
                found.push(format!(
                    "{}: {lines} lines, and {over} are enough for one idea",
                    below.display()
                ));
            }
        }
    }
    found
}

fn is_source(file: &Path) -> bool {
    let kind = file.extension().and_then(|kind| kind.to_str());
    kind.is_some_and(|kind| matches!(kind, "rs" | "ts" | "svelte" | "js" | "mjs" | "css"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_over_the_limit_is_named_and_one_at_it_is_not() {
        let root = crate::root::scratch(&format!("limits-{}", std::process::id()));
        let folder = root.join("ui").join("src");
        std::fs::create_dir_all(&folder).unwrap();
        std::fs::write(folder.join("long.ts"), "x\n".repeat(TOO_LONG + 1)).unwrap();
        std::fs::write(folder.join("fits.ts"), "x\n".repeat(TOO_LONG)).unwrap();
        let found = long_files(&root, TOO_LONG, usize::MAX);
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].contains("long.ts: 501 lines"), "{found:?}");
        std::fs::remove_dir_all(root).unwrap();
    }
}
