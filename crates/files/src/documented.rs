//! The page on the programme folder names every property that is read, and no other.

const PAGE: &str = include_str!("../../../docs/programme.md");

/// The names in backticks that begin the rows of the table under a heading.
fn rows_under(heading: &str) -> Vec<&'static str> {
    let section = PAGE
        .split("\n## ")
        .find(|part| part.starts_with(heading))
        .unwrap_or_else(|| panic!("the page has a section on {heading}"));
    let first_cells = section
        .lines()
        .filter(|line| line.starts_with("| `"))
        .filter_map(|line| line.split('|').nth(1));
    first_cells
        .flat_map(|cell| cell.split('`').skip(1).step_by(2))
        .collect()
}

fn sorted(mut names: Vec<&str>) -> Vec<&str> {
    names.sort_unstable();
    names
}

#[test]
fn every_property_of_a_job_is_on_the_page() {
    let read = crate::jobs::NAMES.to_vec();
    assert_eq!(sorted(rows_under("jobs.geojson")), sorted(read));
}

#[test]
fn every_property_of_a_street_is_on_the_page() {
    let read = crate::streets::NAMES.to_vec();
    assert_eq!(sorted(rows_under("streets.geojson")), sorted(read));
}

#[test]
fn every_property_of_a_gang_is_on_the_page() {
    let read = crate::gangs::GANG_NAMES.to_vec();
    assert_eq!(sorted(rows_under("gangs.json")), sorted(read));
}

#[test]
fn every_property_of_the_week_is_on_the_page() {
    let read = crate::week::NAMES.to_vec();
    assert_eq!(sorted(rows_under("week.json")), sorted(read));
}
