//! Whole numbers in columns, and what to say where there are none.

use gangday_model::Finding;

use crate::codes::ROUTING;

/// A line with its number, from 1.
#[derive(Clone, Copy)]
pub(super) struct Line<'a> {
    pub(super) number: u32,
    pub(super) text: &'a str,
}

/// The lines that hold something.
pub(super) fn lines(text: &str) -> impl Iterator<Item = Line<'_>> {
    let numbered = (1..).zip(text.lines());
    numbered
        .map(|(number, text)| Line {
            number,
            text: text.trim(),
        })
        .filter(|line| !line.text.is_empty())
}

impl Line<'_> {
    /// Its whole numbers, if it holds exactly so many; `7.0` is one too.
    pub(super) fn whole<const N: usize>(self) -> Option<[i64; N]> {
        let words: Vec<&str> = self.text.split_whitespace().collect();
        let numbers: Option<Vec<i64>> = words.iter().map(|word| whole(word)).collect();
        numbers?.try_into().ok()
    }

    pub(super) fn fault(self, text: impl Into<String>, remedy: &str) -> Finding {
        fault(text, remedy).on_line(self.number, 1)
    }
}

pub(super) fn fault(text: impl Into<String>, remedy: &str) -> Finding {
    Finding::fault(ROUTING, text, remedy)
}

fn whole(word: &str) -> Option<i64> {
    let digits = match word.split_once('.') {
        Some((digits, part)) if part.bytes().all(|byte| byte == b'0') => digits,
        Some(_) => return None,
        None => word,
    };
    digits
        .parse::<i64>()
        .ok()
        .filter(|number| number.abs() <= 1_000_000_000)
}

/// The number as one that is not negative.
pub(super) fn count(line: Line<'_>, number: i64, faults: &mut Vec<Finding>) -> u32 {
    u32::try_from(number).unwrap_or_else(|_| {
        faults.push(line.fault(
            format!("{number} is negative."),
            "Demands, times and counts are 0 or more.",
        ));
        0
    })
}
