//! Addresses in words: "12 to 18 Oak Lane".

use std::collections::{BTreeMap, BTreeSet, HashMap};

use gangday_model::Address;

/// Of one street no more pieces than this are told; the rest are counted.
const PIECES: usize = 6;
/// So many numbers in a row are told as "first to last".
const ROW: usize = 3;

/// A house number in the order of a street: 2, 2a, 12.
type Number<'a> = (u64, &'a str);

fn number(text: &str) -> Number<'_> {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    (text[..digits].parse().unwrap_or(u64::MAX), text)
}

/// Some of an area's addresses, street by street. Numbers in a row become "12 to 18" only where no
/// other number of the street lies between them, or none of that side of it: "(even)" or "(odd)".
///
/// `street_of` says what the street of an address is called that names none.
pub(crate) fn in_words<'a>(
    some: &BTreeSet<u32>,
    all: &'a [Address],
    street_of: &HashMap<u32, &'a str>,
) -> Vec<String> {
    let street = |at: u32| {
        let stated = all.get(at as usize)?.street.as_deref();
        stated.or_else(|| street_of.get(&at).copied())
    };
    let mut by_street: BTreeMap<Option<&str>, BTreeSet<Number<'_>>> = BTreeMap::new();
    for at in some {
        if let Some(address) = all.get(*at as usize) {
            let numbers = by_street.entry(street(*at)).or_default();
            numbers.insert(number(&address.number));
        }
    }
    let mut known: HashMap<&str, BTreeSet<Number<'_>>> = HashMap::new();
    for address in all {
        let stated = address.street.as_deref();
        if let Some(stated) = stated.filter(|stated| by_street.contains_key(&Some(stated))) {
            known
                .entry(stated)
                .or_default()
                .insert(number(&address.number));
        }
    }
    let nothing = BTreeSet::new();
    let words = |(street, numbers): (Option<&str>, BTreeSet<Number<'_>>)| {
        let known = street.and_then(|street| known.get(street));
        let numbers = listed(&numbers, known.unwrap_or(&nothing));
        match street {
            Some(street) => format!("{numbers} {street}"),
            None => format!("{numbers} (street not stated)"),
        }
    };
    by_street.into_iter().map(words).collect()
}

fn listed(numbers: &BTreeSet<Number<'_>>, known: &BTreeSet<Number<'_>>) -> String {
    let known: BTreeSet<Number<'_>> = known.union(numbers).copied().collect();
    let all: Vec<Number<'_>> = known.iter().copied().collect();
    let mut pieces = rows(&all, numbers, "");
    if pieces.len() > 1 {
        let side = |odd: u64| -> Vec<Number<'_>> {
            let of_side = all.iter().copied();
            of_side.filter(|(number, _)| number % 2 == odd).collect()
        };
        let (even, odd) = (side(0), side(1));
        let mut sides = rows(&even, numbers, " (even)");
        sides.extend(rows(&odd, numbers, " (odd)"));
        if sides.len() < pieces.len() {
            pieces = sides;
        }
    }
    let more = pieces.len().saturating_sub(PIECES);
    let told: usize = pieces.iter().take(PIECES).map(|(count, _)| count).sum();
    pieces.truncate(PIECES);
    let mut words: Vec<String> = pieces.into_iter().map(|(_, words)| words).collect();
    if more > 0 {
        words.push(format!("and {} more of", numbers.len() - told));
    }
    words.join(", ").replace(", and", " and")
}

/// The wanted numbers in the order of `all`, those in a row put together; how many each piece is.
fn rows(all: &[Number<'_>], wanted: &BTreeSet<Number<'_>>, side: &str) -> Vec<(usize, String)> {
    let in_a_row = all.split(|number| !wanted.contains(number));
    let in_a_row = in_a_row.filter(|row| !row.is_empty());
    in_a_row
        .flat_map(|row| match row {
            [(_, first), .., (_, last)] if row.len() >= ROW => {
                vec![(row.len(), format!("{first} to {last}{side}"))]
            }
            few => few.iter().map(|(_, one)| (1, (*one).to_owned())).collect(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use gangday_model::LonLat;

    use super::*;

    fn said(all: &[(&str, Option<&str>)], some: &[u32]) -> Vec<String> {
        let address = |(number, street): &(&str, Option<&str>)| Address {
            at: LonLat::new(0.0, 53.0),
            number: (*number).to_owned(),
            street: street.map(ToOwned::to_owned),
        };
        let all: Vec<Address> = all.iter().map(address).collect();
        let street_of = HashMap::from([(0, "Elm Row")]);
        in_words(&some.iter().copied().collect(), &all, &street_of)
    }

    fn oak<'a>(numbers: &[&'a str]) -> Vec<(&'a str, Option<&'a str>)> {
        numbers
            .iter()
            .map(|number| (*number, Some("Oak Lane")))
            .collect()
    }

    #[test]
    fn numbers_in_a_row_are_first_to_last() {
        let all = oak(&["18", "12", "14a", "14", "16", "2", "20"]);
        assert_eq!(said(&all, &[0, 1, 2, 3, 4]), ["12 to 18 Oak Lane"]);
        assert_eq!(said(&all, &[5, 0]), ["2, 18 Oak Lane"]);
        assert_eq!(said(&all, &[0, 1, 4]), ["12, 16, 18 Oak Lane"]);
    }

    /// The other side of the street is not cut off, so it must not be among "12 to 18".
    #[test]
    fn one_side_of_a_street_is_said_to_be_one_side() {
        let all = oak(&["12", "13", "14", "15", "16", "17"]);
        assert_eq!(said(&all, &[0, 2, 4]), ["12 to 16 (even) Oak Lane"]);
        assert_eq!(said(&all, &[1, 3, 5]), ["13 to 17 (odd) Oak Lane"]);
        assert_eq!(said(&all, &[0, 1, 2, 3, 4, 5]), ["12 to 17 Oak Lane"]);
    }

    #[test]
    fn a_number_stated_twice_is_told_once_and_an_unknown_street_is_said() {
        let all = [
            ("1", None),
            ("3", Some("Oak Lane")),
            ("3", Some("Oak Lane")),
        ];
        assert_eq!(said(&all, &[0, 1, 2]), ["1 Elm Row", "3 Oak Lane"]);
        let nowhere = [("7", Some("Oak Lane")), ("Mill House", None)];
        assert_eq!(said(&nowhere, &[1]), ["Mill House (street not stated)"]);
    }

    #[test]
    fn a_long_list_is_cut_and_counted() {
        let numbers: Vec<String> = (0..40).map(|number| (number * 2).to_string()).collect();
        let all: Vec<(&str, Option<&str>)> = numbers
            .iter()
            .map(|number| (number.as_str(), Some("Oak Lane")))
            .collect();
        let every_other: Vec<u32> = (0..40).step_by(2).collect();
        assert_eq!(
            said(&all, &every_other),
            ["0, 4, 8, 12, 16, 20 and 14 more of Oak Lane"]
        );
    }
}
