//! Lists of more rows than the page is shown: what must be looked at is counted and shown wherever it stands.

use serde_json::{Value, json};

use super::list_tests::{list, preview, take_in};
use super::tests::{sheet, small};
use crate::Desk;
use crate::view::{PreviewRow, PreviewView};

/// A list of so many rows well off the demo's jobs, each but the last cells of it as `write` says for its number.
fn long(rows: usize, write: impl Fn(usize) -> Option<String>) -> Value {
    let row = |at: usize| {
        let (lon, lat) = (
            -3.6 + (at % 100) as f64 * 1e-4,
            54.1 + (at / 100) as f64 * 1e-4,
        );
        write(at).unwrap_or_else(|| format!("L{at},{lon:.6},{lat:.6},new,footway,2"))
    };
    let lines: Vec<String> = (0..rows).map(row).collect();
    let head = "id,lon,lat,work,position,sections";
    list(&format!("{head}\n{}\n", lines.join("\n")))
}

/// 12,000 rows: one at fault (5,000), one at the place of the first job (5,001), one with a word of the
/// client's own (7,000).
fn with_three_to_look_at(desk: &Desk) -> Value {
    let [lon, lat] = sheet(desk).jobs[0].at;
    long(12_000, |at| match at {
        5_000 => Some("L5000,-3.6,54.105,new,footway,no number".to_owned()),
        5_001 => Some(format!("L5001,{lon:.7},{lat:.7},new,footway,2")),
        7_000 => Some("L7000,-3.61,54.17,rehang,footway,2".to_owned()),
        _ => None,
    })
}

fn at(seen: &PreviewView, row: u32) -> Option<&PreviewRow> {
    seen.rows.iter().find(|one| one.row == row)
}

#[test]
fn what_must_be_looked_at_is_counted_and_shown_however_far_down_it_stands() {
    let desk = small();
    let long = with_three_to_look_at(&desk);
    let seen = preview(&desk, &long);
    let counts = (seen.of, seen.fresh, seen.at_fault, seen.near);
    assert_eq!(counts, (12_000, 11_998, 2, 1));
    assert_eq!(at(&seen, 5_000).unwrap().status, "fault");
    assert_eq!(at(&seen, 7_000).unwrap().status, "fault");
    let near = at(&seen, 5_001).unwrap();
    let first = &sheet(&desk).jobs[0].id;
    let is_near = |near: &String| near.starts_with(&format!("{first}, "));
    assert!(near.near.as_ref().is_some_and(is_near), "{near:?}");
    // Nothing else of the rows after the first is in the way.
    assert_eq!(seen.rows.len(), 2_003);
    let words: Vec<_> = seen.words.iter().collect();
    assert_eq!(words.len(), 1, "{words:?}");
    let word = (words[0].property.as_str(), words[0].word.as_str());
    assert_eq!(word, ("work", "rehang"));
}

#[test]
fn what_is_put_right_far_down_is_mended_and_stays_in_sight() {
    let desk = small();
    let mut long = with_three_to_look_at(&desk);
    let mut mapping = preview(&desk, &long).mapping;
    mapping.insert("words".to_owned(), json!({"work": {"rehang": "replace"}}));
    long["mapping"] = Value::Object(mapping);
    long["corrections"] = json!([{"row": 5_000, "column": "sections", "value": "3"}]);
    let gone = preview(&desk, &long);
    assert!(at(&gone, 5_000).is_none(), "nobody asked for it");
    long["also"] = json!([5_000]);
    let seen = preview(&desk, &long);
    assert_eq!((seen.fresh, seen.at_fault), (12_000, 0));
    assert_eq!(at(&seen, 5_000).unwrap().status, "new");
    // A word that means something by now is asked about still: it may mean something else.
    assert_eq!(seen.words[0].word, "rehang");
}

#[test]
fn what_is_left_out_far_down_is_not_taken_in() {
    let desk = small();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let far = |at: usize| (at == 2_100).then(|| format!("L2100,{lon:.7},{lat:.7},new,footway,2"));
    let long = long(2_200, far);
    assert!(at(&preview(&desk, &long), 2_100).is_some());
    let (_, jobs) = take_in(&desk, &long, &[2_100], false).unwrap();
    assert_eq!(jobs.len(), 2_199);
    assert!(!jobs.contains(&"L2100".to_owned()));
}

#[test]
fn of_each_kind_so_many_are_shown_and_all_are_counted() {
    let desk = small();
    let [lon, lat] = sheet(&desk).jobs[0].at;
    let fault_from = 4_000;
    let near_from = 4_600;
    let mut long = long(6_000, |at| match at {
        _ if at >= near_from => Some(format!("L{at},{lon:.7},{lat:.7},new,footway,2")),
        _ if at >= fault_from => Some(format!("L{at},-3.6,54.105,new,footway,x{}", at % 40)),
        _ => None,
    });
    let seen = preview(&desk, &long);
    assert_eq!((seen.at_fault, seen.near), (600, 1_400));
    let faults = seen.rows.iter().filter(|row| row.status == "fault");
    let faults: Vec<u32> = faults.map(|row| row.row).collect();
    assert_eq!(faults, (4_000..4_500).collect::<Vec<u32>>());
    let near = seen.rows.iter().filter(|row| row.near.is_some());
    let near: Vec<u32> = near.map(|row| row.row).collect();
    assert_eq!(near, (4_600..5_100).collect::<Vec<u32>>());
    assert!(seen.rows.is_sorted_by_key(|row| row.row));
    // Those that are shown are asked for, and the next of them come beside them.
    long["also"] = json!(near);
    let seen = preview(&desk, &long);
    let near = seen.rows.iter().filter(|row| row.near.is_some());
    let near: Vec<u32> = near.map(|row| row.row).collect();
    assert_eq!(near, (4_600..5_600).collect::<Vec<u32>>());
}

#[test]
fn of_one_property_a_dozen_words_that_mean_nothing_are_asked_about_and_every_one_that_does() {
    let desk = small();
    let mut long = long(3_000, |at| {
        let word = at.checked_sub(2_900)?;
        Some(format!("L{at},-3.6,54.1,word {word},footway,2"))
    });
    let first = preview(&desk, &long);
    assert_eq!(first.words.len(), 12);
    let mut mapping = first.mapping;
    mapping.insert("words".to_owned(), json!({"work": {"word 40": "new"}}));
    long["mapping"] = Value::Object(mapping);
    let words = preview(&desk, &long).words;
    assert_eq!(words.len(), 13);
    assert_eq!(words[12].word, "word 40");
}
