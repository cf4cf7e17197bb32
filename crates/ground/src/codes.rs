//! Every code that this room gives out.

/// Code and one-line meaning, for the index page.
pub const CODES: &[(&str, &str)] = &[
    (
        "P-ROADS",
        "A road speed or the factor of an hour is missing or can't be used.",
    ),
    ("P-TRAVEL", "A travel figure is missing or can't be used."),
];

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::CODES;

    #[test]
    fn codes_are_unique() {
        let codes: HashSet<_> = CODES.iter().map(|(code, _)| code).collect();
        assert_eq!(codes.len(), CODES.len());
    }
}
