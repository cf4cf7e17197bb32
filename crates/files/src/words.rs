//! Words in messages: the nearest valid word to a wrong one, and values described in few words.

use std::collections::HashMap;

use serde_json::Value;

/// Longer words are nobody's slip of the finger, and comparing them costs time.
const LONGEST_COMPARED: usize = 40;

/// After so many unknown names in one file they are data, not slips.
const MOST_NAMES: usize = 1_000;

/// Everyday words for which the trade has another: suggested, never silently taken.
const EVERYDAY: &[(&str, &str)] = &[
    ("pavement", "footway"),
    ("sidewalk", "footway"),
    ("path", "footway"),
    ("road", "carriageway"),
    ("street", "carriageway"),
    ("cycleway", "cycle_track"),
    ("cycle_lane", "cycle_track"),
    ("grass", "verge"),
    ("install", "new"),
    ("renew", "replace"),
    ("raise", "adjust"),
    ("lift", "adjust"),
    ("full", "road"),
    ("no", "none"),
    ("great britain", "England"),
    ("uk", "England"),
];

fn plain(word: &str) -> String {
    word.chars()
        .filter(|c| c.is_alphanumeric())
        .flat_map(char::to_lowercase)
        .collect()
}

/// The valid word that was probably meant, if one is near.
pub(crate) fn nearest<'w>(word: &str, valid: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    if word.len() > LONGEST_COMPARED {
        return None;
    }
    let wrong = plain(word);
    let valid: Vec<&str> = valid.collect();
    let everyday = EVERYDAY
        .iter()
        .find(|(other, _)| plain(other) == wrong)
        .map(|(_, own)| *own);
    if let Some(own) = valid.iter().find(|own| Some(**own) == everyday) {
        return Some(own);
    }
    let ranked = valid
        .iter()
        .map(|own| (strsim::osa_distance(&wrong, &plain(own)), *own));
    let (distance, own) = ranked.min_by_key(|(distance, _)| *distance)?;
    (distance <= (wrong.chars().count() / 2).max(1)).then_some(own)
}

/// Known property names, with what each unknown name met so far is near to.
pub(crate) struct NearNames {
    known: &'static [&'static str],
    met: HashMap<String, Option<&'static str>>,
    silent: bool,
    /// Names that the calculation reads for itself.
    beside: &'static [&'static str],
}

impl NearNames {
    pub(crate) fn to(known: &'static [&'static str]) -> Self {
        Self {
            known,
            met: HashMap::new(),
            silent: false,
            beside: &[],
        }
    }

    /// Known names beside which any other name is as good as another.
    pub(crate) fn silent(known: &'static [&'static str]) -> Self {
        Self {
            silent: true,
            ..Self::to(known)
        }
    }

    /// The same, with further names that are no slip of the pen either.
    pub(crate) fn beside(mut self, further: &'static [&'static str]) -> Self {
        self.beside = further;
        self
    }

    pub(crate) fn knows(&self, name: &str) -> bool {
        self.known.contains(&name)
    }

    /// The known name that an unknown one was probably meant to be.
    pub(crate) fn meant(&mut self, name: &str) -> Option<&'static str> {
        if self.silent || self.beside.contains(&name) || name.len() > LONGEST_COMPARED {
            return None;
        }
        if let Some(known) = self.met.get(name) {
            return *known;
        }
        if self.met.len() == MOST_NAMES {
            return None;
        }
        let meant = near_name(name, self.known);
        self.met.insert(name.to_owned(), meant);
        meant
    }
}

fn near_name(name: &str, known: &[&'static str]) -> Option<&'static str> {
    let wrong = plain(name);
    let slips = match wrong.chars().count() {
        0..=4 => 0,
        5..=7 => 1,
        _ => 2,
    };
    let ranked = known
        .iter()
        .map(|own| (strsim::osa_distance(&wrong, &plain(own)), *own));
    let (distance, own) = ranked.min_by_key(|(distance, _)| *distance)?;
    (distance <= slips).then_some(own)
}

/// At most the first 40 characters of a text, so that a message stays a message.
pub(crate) fn shorten(text: &str) -> String {
    match text.char_indices().nth(LONGEST_COMPARED) {
        Some((end, _)) => format!("{}...", &text[..end]),
        None => text.to_owned(),
    }
}

/// A value in few words.
pub(crate) fn describe(value: &Value) -> String {
    match value {
        Value::Null => "nothing".to_owned(),
        Value::Bool(flag) => flag.to_string(),
        Value::Number(number) => number.to_string(),
        Value::String(text) => format!("the text \"{}\"", shorten(text)),
        Value::Array(items) => format!("a list of {}", items.len()),
        Value::Object(_) => "an object".to_owned(),
    }
}

/// Words as a list for a message.
pub(crate) fn listed<'w>(words: impl Iterator<Item = &'w str>) -> String {
    words.collect::<Vec<_>>().join(", ")
}

/// A whole number as it is read: `10,000`.
#[must_use]
pub fn thousands(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::with_capacity(digits.len() + digits.len() / 3);
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    const POSITIONS: [&str; 4] = ["verge", "footway", "cycle_track", "carriageway"];

    #[test]
    fn counts_are_read_in_threes() {
        let all = [0, 999, 1_000, 10_000, 123_456, 1_234_567].map(thousands);
        let expected = ["0", "999", "1,000", "10,000", "123,456", "1,234,567"];
        assert_eq!(all, expected);
    }

    #[test]
    fn the_nearest_word_is_the_one_that_was_meant() {
        let near = |word| nearest(word, POSITIONS.into_iter());
        assert_eq!(near("fotway"), Some("footway"));
        assert_eq!(near("Cycle Track"), Some("cycle_track"));
        assert_eq!(near("pavement"), Some("footway"));
        assert_eq!(near("zzzz"), None);
    }

    #[test]
    fn a_property_is_near_by_case_or_one_slip() {
        let mut names = NearNames::to(&["sections", "priority", "work"]);
        assert_eq!(names.meant("Priority"), Some("priority"));
        assert_eq!(names.meant("sectons"), Some("sections"));
        assert_eq!(names.meant("word"), None);
        assert_eq!(names.meant("colour"), None);
    }

    #[test]
    fn a_long_text_is_cut_between_characters() {
        assert_eq!(shorten(&"é".repeat(60)).chars().count(), 43);
    }
}
