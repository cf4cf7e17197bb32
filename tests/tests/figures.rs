//! The list of outside checks names tests that are there.
#![allow(
    clippy::unwrap_used,
    reason = "a test stops at the first thing that is not there"
)]

mod common;

use common::project;

/// A row of the list: how many values it says it compares, and the tests that do.
struct Row {
    values: u32,
    tests: Vec<(String, String)>,
}

/// The rows below the heading that holds these words.
fn rows(heading: &str) -> Vec<Row> {
    let text = std::fs::read_to_string(project().join("docs/figures.md")).unwrap();
    let part = text.split("\n## ").find(|part| part.contains(heading));
    let lines = part.unwrap().lines().filter(|line| line.contains("::"));
    lines.map(row).collect()
}

fn row(line: &str) -> Row {
    let cells: Vec<&str> = line.split('|').map(str::trim).collect();
    let named = cells[5].split(", ").map(|test| {
        let (file, test) = test.trim_matches('`').split_once("::").unwrap();
        (file.to_owned(), test.to_owned())
    });
    Row {
        values: cells[3].parse().unwrap(),
        tests: named.collect(),
    }
}

#[test]
fn every_outside_check_that_is_listed_is_a_test() {
    for heading in ["`crates/calc`", "`crates/ground`", "`crates/traffic`"] {
        let rows = rows(heading);
        assert!(!rows.is_empty(), "{heading}");
        for (file, test) in rows.iter().flat_map(|row| &row.tests) {
            let source = std::fs::read_to_string(project().join(file)).unwrap();
            assert!(
                source.contains(&format!("fn {test}(")),
                "{file} has no test {test}"
            );
        }
    }
}

/// Forty is what the depth of the calculations asks for.
#[test]
fn calc_is_checked_against_at_least_forty_values_from_outside() {
    let values: u32 = rows("`crates/calc`").iter().map(|row| row.values).sum();
    assert!(values >= 40, "{values}");
}
