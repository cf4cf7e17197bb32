//! Every code that this room gives out.

/// Code and one-line meaning, for the index page.
pub const CODES: &[(&str, &str)] = &[
    (
        "T-ANEW",
        "Days are planned anew that lie after the day on which notices were given.",
    ),
    (
        "T-BOTH-ENDS",
        "Works stand at both ends of one street at the same time.",
    ),
    (
        "T-CONTROL",
        "No way of leading traffic past the works can be shown to fit.",
    ),
    (
        "T-CUT-OFF",
        "A road closure leaves streets that no vehicle can reach.",
    ),
    (
        "T-DIVERSION",
        "A closure takes the road that another closure's diversion follows.",
    ),
    (
        "T-EDITION",
        "The edition of the law on notices is not one that is known.",
    ),
    ("T-FAR", "A job lies far from the street that it names."),
    (
        "T-HOLIDAY",
        "The programme's own bank holidays can't be read.",
    ),
    (
        "T-JOB",
        "A plan visits a job that the programme does not have.",
    ),
    (
        "T-LATE",
        "Works are planned before notice given today lets them start.",
    ),
    ("T-LONG", "A closure stands longer than a notice may."),
    (
        "T-NEAR",
        "Sites on one road are nearer to one another than the code has it.",
    ),
    ("T-NO-WAY", "A closed road has no diversion."),
    (
        "T-OPEN",
        "No visit takes the signing away, so the closure's end is reckoned.",
    ),
    (
        "T-ONE-STREET",
        "Two works stand on one street at the same time.",
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
