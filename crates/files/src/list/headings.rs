//! The headings of a list as people have them: under a title, with gaps, or the same one twice.

use std::collections::HashSet;

use super::List;

/// So many rows at the top are looked through for the headings.
const TOP: usize = 10;

/// The list under its headings, every one of them by a name of its own.
///
/// Rows above the headings are left out, and counted: a title has a cell or two, headings have a text in most
/// columns. A column without a heading is called by its place, and the second of one name gets a number.
pub(super) fn tidy(list: List) -> List {
    let List {
        columns, mut rows, ..
    } = list;
    let above = above(&columns, &rows);
    let columns = match above {
        0 => columns,
        _ => rows.drain(..above).next_back().unwrap_or_default(),
    };
    let width = rows
        .iter()
        .map(Vec::len)
        .max()
        .unwrap_or(0)
        .max(columns.len());
    let mut used: Vec<bool> = vec![false; width];
    for row in rows.iter().chain([&columns]) {
        for (at, cell) in row.iter().enumerate() {
            used[at] |= !cell.trim().is_empty();
        }
    }
    let last = used
        .iter()
        .rposition(|used| *used)
        .map_or(0, |last| last + 1);
    let columns = named(columns, last);
    for row in &mut rows {
        row.resize(columns.len(), String::new());
    }
    List {
        columns,
        rows,
        above,
    }
}

/// How many rows there are before the one that holds the headings, the first row counted.
fn above(first: &[String], rows: &[Vec<String>]) -> usize {
    let texts = |row: &[String]| {
        let cells = row.iter().map(|cell| cell.trim());
        let said = cells.filter(|cell| !cell.is_empty());
        let (words, numbers): (Vec<&str>, Vec<&str>) =
            said.partition(|cell| cell.parse::<f64>().is_err());
        if numbers.is_empty() { words.len() } else { 0 }
    };
    let top = std::iter::once(first).chain(rows.iter().map(Vec::as_slice));
    let top: Vec<usize> = top.take(TOP).map(texts).collect();
    // A title is far narrower than what it stands over.
    let most = top.iter().copied().max().unwrap_or(0);
    if 2 * top[0] > most {
        return 0;
    }
    top.iter().position(|texts| *texts == most).unwrap_or(0)
}

/// So many columns, each under a name that no other has.
fn named(columns: Vec<String>, width: usize) -> Vec<String> {
    let mut taken: HashSet<String> = columns.iter().map(|name| name.trim().to_owned()).collect();
    let mut met = HashSet::new();
    let mut all = Vec::with_capacity(width.max(columns.len()));
    let blank = std::iter::repeat_with(String::new);
    for (at, column) in columns.into_iter().chain(blank).take(width).enumerate() {
        let own = match column.trim() {
            "" => format!("Column {}", at + 1),
            name => name.to_owned(),
        };
        let numbered = (2..).map(|n| format!("{own} ({n})"));
        let free = |name: &String| !taken.contains(name);
        let name = match met.contains(&own) || (column.trim().is_empty() && taken.contains(&own)) {
            false => own.clone(),
            true => numbered.into_iter().find(free).unwrap_or_default(),
        };
        met.insert(name.clone());
        taken.insert(name.clone());
        all.push(name);
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(rows: &[&[&str]]) -> List {
        let mut rows = rows
            .iter()
            .map(|row| row.iter().map(|cell| (*cell).to_owned()).collect());
        List {
            columns: rows.next().unwrap_or_default(),
            rows: rows.collect(),
            above: 0,
        }
    }

    #[test]
    fn headings_under_a_title_are_found_and_the_title_is_counted() {
        let tidied = tidy(list(&[
            &["Chambers to replace, spring", "", "", ""],
            &["", "", "", ""],
            &["Ref", "Easting", "Northing", "Work"],
            &["A1", "430000", "433000", "replace"],
        ]));
        assert_eq!(tidied.columns, ["Ref", "Easting", "Northing", "Work"]);
        assert_eq!((tidied.above, tidied.rows.len()), (2, 1));
        let plain = list(&[
            &["Ref", "Lon", "Lat"],
            &["A1", "-1.5", "53.8"],
            &["one", "two", "three"],
        ]);
        assert_eq!(tidy(plain.clone()), plain);
        let two = list(&[&["Lon", "Lat"], &["-1.5", "53.8"]]);
        assert_eq!(tidy(two.clone()), two);
    }

    #[test]
    fn a_row_with_more_cells_than_headings_leaves_the_others_whole() {
        let tidied = tidy(list(&[
            &["Ref", "Lon", "Lat"],
            &["A1", "-1.5", "53.8"],
            &["A2", "-1.5", "53.8", "by the gate"],
            &["A3"],
        ]));
        assert_eq!(tidied.columns.len(), 4);
        assert!(tidied.rows.iter().all(|row| row.len() == 4), "{tidied:?}");
    }

    #[test]
    fn every_column_has_a_name_of_its_own() {
        let tidied = tidy(list(&[
            &["Ref", "", "Ref", " ", "Ref (2)", "Column 4", ""],
            &["A1", "x", "B1", "y", "", "", ""],
        ]));
        assert_eq!(
            tidied.columns,
            [
                "Ref",
                "Column 2",
                "Ref (3)",
                "Column 4 (2)",
                "Ref (2)",
                "Column 4"
            ]
        );
        assert_eq!(
            tidied.rows[0].len(),
            6,
            "a column with nothing at all is none"
        );
    }
}
