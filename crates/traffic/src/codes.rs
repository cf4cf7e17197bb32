//! Every code that this room gives out.

/// Code and one-line meaning, for the index page.
pub const CODES: &[(&str, &str)] = &[
    ("T-FAR", "A job lies far from the street that it names."),
    (
        "T-JOB",
        "A plan visits a job that the programme does not have.",
    ),
    (
        "T-OPEN",
        "No visit takes the signing away, so the closure's end is reckoned.",
    ),
    (
        "T-PLANE",
        "A closure's ground can't be drawn on the working plane.",
    ),
    (
        "T-RESTRICTED",
        "Works on a street that is restricted after earlier works.",
    ),
    ("T-RULE", "A traffic figure is missing or can't be used."),
    (
        "T-SENSITIVE",
        "A closure of carriageway meets its street's traffic-sensitive hours.",
    ),
    (
        "T-STREET",
        "A job names a street that the programme does not have.",
    ),
    (
        "T-WIDTH",
        "As drawn, a lane closure leaves less carriageway than the minimum lane.",
    ),
];

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::CODES;

    #[test]
    fn codes_are_unique_and_this_room_s_own() {
        let codes: HashSet<_> = CODES.iter().map(|(code, _)| code).collect();
        assert_eq!(codes.len(), CODES.len());
        assert!(codes.iter().all(|code| code.starts_with("T-")));
    }
}
