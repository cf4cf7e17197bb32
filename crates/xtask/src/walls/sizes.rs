//! No kept file so large that every copy of the repository carries it for nothing.

use std::path::Path;

use super::words::kept_files;

/// A kept file may have so many bytes.
const LARGEST: u64 = 600_000;
/// Files that may be larger, each with the reason.
const LARGER: &[(&str, &str)] = &[];

/// Kept files that are too large.
pub(super) fn breaches(root: &Path) -> Vec<String> {
    let files: Vec<(String, u64)> = kept_files(root)
        .iter()
        .map(|name| {
            let size = std::fs::metadata(root.join(name)).map_or(0, |file| file.len());
            (name.display().to_string(), size)
        })
        .collect();
    too_large(files.iter().map(|(name, size)| (name.as_str(), *size)))
}

fn too_large<'a>(files: impl Iterator<Item = (&'a str, u64)>) -> Vec<String> {
    let is_excused = |name: &str| LARGER.iter().any(|(own, _)| *own == name);
    files
        .filter(|(name, size)| *size > LARGEST && !is_excused(name))
        .map(|(name, size)| {
            format!("{name}: {size} bytes, and {LARGEST} are the most for a kept file")
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_over_the_limit_is_named_and_one_at_it_is_not() {
        let found = too_large([("a", LARGEST), ("b.gpkg", LARGEST + 1)].into_iter());
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(found[0].starts_with("b.gpkg: 600001 bytes"), "{found:?}");
    }

    #[test]
    fn what_is_excused_is_there_and_says_why() {
        for (name, why) in LARGER {
            assert!(crate::root::root().join(name).is_file(), "{name}");
            assert!(why.len() > 20, "{name}");
        }
        assert!(kept_files(&crate::root::root()).len() > 100);
    }
}
