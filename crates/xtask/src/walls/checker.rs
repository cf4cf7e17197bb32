//! The checker of plans borrows nothing from the search that made them, or it would repeat the
//! search's own mistakes.

use std::path::Path;

use super::scrub::scrub;
use crate::root::files_below;

/// What the checker may use of its own crate.
const OWN: &[&str] = &["checker", "codes"];

/// Every use that the checker at `root` makes of the rest of its crate.
pub fn breaches(root: &Path) -> Vec<String> {
    let source = root.join("crates").join("planner").join("src");
    let mut files = files_below(&source.join("checker"), &[]);
    files.extend(Some(source.join("checker.rs")).filter(|file| file.is_file()));
    let mut found = Vec::new();
    for file in files {
        let Ok(below) = file.strip_prefix(&source) else {
            continue;
        };
        let text = std::fs::read_to_string(&file).unwrap_or_default();
        for borrowed in borrowed(&text, depth(below)) {
            found.push(format!(
                "crates/planner/src/{}: the checker borrows `{borrowed}`",
                below.display()
            ));
        }
    }
    found
}

/// How many modules deep a file lies below the crate: `checker/mod.rs` is one, `checker/a.rs` two.
fn depth(below: &Path) -> usize {
    let parts = below.components().count();
    if below.file_name().is_some_and(|name| name == "mod.rs") {
        parts - 1
    } else {
        parts
    }
}

fn borrowed(source: &str, depth: usize) -> Vec<String> {
    let clean = scrub(source);
    let from_the_top = clean
        .split("crate::")
        .skip(1)
        .map(first_name)
        .filter(|name| !OWN.contains(&name.as_str()));
    let climbing = "super::".repeat(depth);
    let from_above = clean
        .split(&climbing)
        .skip(1)
        .map(first_name)
        .filter(|name| !OWN.contains(&name.as_str()));
    from_the_top.chain(from_above).collect()
}

fn first_name(text: &str) -> String {
    text.chars()
        .take_while(|c| c.is_alphanumeric() || *c == '_' || *c == '{')
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_checker_takes_from_the_search_is_named_however_it_is_reached() {
        assert_eq!(borrowed("use crate::search::Move;", 1), ["search"]);
        assert_eq!(borrowed("use super::problem::Task;", 1), ["problem"]);
        assert_eq!(
            borrowed("fn a() { super::super::search::go() }", 2),
            ["search"]
        );
        assert_eq!(borrowed("use crate::{checker, search};", 1), ["{checker"]);
    }

    #[test]
    fn its_own_parts_and_the_nouns_are_its_to_use() {
        assert!(
            borrowed(
                "use super::day::Day; use gangday_model::Plan; use crate::checker::rule;",
                2
            )
            .is_empty()
        );
        assert!(
            borrowed(
                "// crate::search\n#[cfg(test)]\nmod tests { use crate::search::plan; }",
                1
            )
            .is_empty()
        );
    }

    #[test]
    fn a_module_file_lies_as_deep_as_its_folder() {
        assert_eq!(depth(Path::new("checker.rs")), 1);
        assert_eq!(depth(Path::new("checker/mod.rs")), 1);
        assert_eq!(depth(Path::new("checker/day.rs")), 2);
    }
}
