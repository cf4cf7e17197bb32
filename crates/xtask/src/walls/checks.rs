//! The list of checks names tests that are there.

use std::path::Path;

/// Where the list stands.
const LIST: &str = "docs/checks.md";

/// Every test that the list names and that is not in its file, and every row that is no row.
pub fn breaches(root: &Path) -> Vec<String> {
    let list = std::fs::read_to_string(root.join(LIST)).unwrap_or_default();
    let read = |file: &str| std::fs::read_to_string(root.join(file)).unwrap_or_default();
    let mut found: Vec<String> = named(&list)
        .filter(|(file, test)| !has(&read(file), test))
        .map(|(file, test)| format!("{LIST}: there is no test {test} in {file}"))
        .collect();
    if named(&list).next().is_none() {
        found.push(format!("{LIST}: it names no test at all"));
    }
    found
}

/// Files and tests: each pair of a path and a name in backticks.
fn named(list: &str) -> impl Iterator<Item = (&str, &str)> {
    let quoted = |line| str::split(line, '`').skip(1).step_by(2);
    list.lines().flat_map(move |line| {
        let all: Vec<&str> = quoted(line).collect();
        let pairs = all.windows(2).map(|pair| (pair[0], pair[1]));
        let is_test = |(file, test): &(&str, &str)| file.ends_with(".rs") && !test.ends_with(".rs");
        pairs.filter(is_test).collect::<Vec<_>>()
    })
}

/// Whether a source has this test; a property test has its attribute above it as any other.
fn has(source: &str, test: &str) -> bool {
    let signature = format!("fn {test}(");
    let Some(at) = source.find(&signature) else {
        return false;
    };
    let above = source[..at].trim_end().rsplit('\n').next();
    above.is_some_and(|line| line.trim() == "#[test]")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_test_is_a_pair_of_file_and_name_and_must_be_there() {
        let line = "| a `figure` | b | `a/b.rs` `one`; `c.rs` `other` |";
        let pairs: Vec<_> = named(line).collect();
        assert_eq!(pairs, [("a/b.rs", "one"), ("c.rs", "other")]);
        assert!(has("    #[test]\n    fn one() {", "one"));
        assert!(!has("    fn one() {", "one") && !has("", "one"));
    }
}
