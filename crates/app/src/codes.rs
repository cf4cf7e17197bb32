//! The index of every code that a fault, finding or reason can carry.

use std::fmt::Write as _;

/// Codes that belong to no room but the meeting place of all.
const OWN: &[(&str, &str)] = &[
    (
        "F-DIARY",
        "The diary of issued plans and recorded work can't be read; the programme opens without it.",
    ),
    (
        "G-JOURNEY",
        "What a gang states of its vehicle's journeys can't be used.",
    ),
    (
        "J-ABOVE",
        "Rows above the headings of an imported list are left out.",
    ),
    (
        "J-BEGUN",
        "A job was begun in an earlier week; only what is left of it is still to be done, and its opening has to be looked at.",
    ),
    (
        "J-FIGURE",
        "A job has a property that is called as a figure of the tables is; it is kept but not used.",
    ),
    (
        "J-OTHERS",
        "A row of a client's list has the id of a job out of another client's list.",
    ),
    (
        "T-LEFT",
        "A job is left open and what is left of it is not planned; it has to be guarded, signed and lit to the code.",
    ),
    (
        "T-NIGHT",
        "A job is left open over a night; it has to be guarded, signed and lit to the code.",
    ),
    (
        "T-OFF-ROAD",
        "A job or a depot is too far from any road; journeys to it are by the straight line.",
    ),
    (
        "T-TODAY",
        "The week states no day on which notice would be given, so no earliest start is worked out.",
    ),
    (
        "U-BEGUN",
        "The job was begun, but what was done has no place in the plan; the rest of it can't be planned without that.",
    ),
    (
        "U-DONE",
        "Every stage of the job was recorded as done, so there is nothing left to plan.",
    ),
    (
        "U-HAND",
        "The job is not planned because somebody took it out of the plan.",
    ),
    (
        "U-PLACE",
        "The job's place can't be put on the working plane, so it is not planned.",
    ),
    (
        "U-PAST",
        "No day of the week that is still planned is left to the job.",
    ),
    (
        "U-READY",
        "The job was begun, and what was placed is not ready on any day of the week.",
    ),
    (
        "U-REST",
        "The job was begun, and what is left of it finds no day that is still planned.",
    ),
    (
        "U-SINCE",
        "The job came, or was changed, or the week was moved, after the week was planned, and it has not been planned since.",
    ),
    (
        "U-STANDS",
        "The job stands as it was issued in an earlier week and is not recorded as done, so it is not planned a second time.",
    ),
];

const HEAD: &str = "\
# Codes of faults, findings and reasons

Made from the code by `cargo xtask codes`; don't edit. A code never changes its meaning. The letter says what it is about: `F` a file or its
format, `J` a job, `S` a street, `G` a gang or tip, `W` the week, `P` a parameter, `C` a calculation, `T` traffic and closures, `R` a rule that a
plan breaks, `U` why a job is not planned.

| code | meaning |
|---|---|
";

/// The index as Markdown.
#[must_use]
pub fn index() -> String {
    let mut all: Vec<(&str, &str)> = rooms().concat();
    all.sort_unstable();
    all.dedup();
    let mut text = HEAD.to_owned();
    for (code, meaning) in all {
        writeln!(text, "| `{code}` | {meaning} |").expect("text can always be added to");
    }
    text
}

fn rooms() -> Vec<&'static [(&'static str, &'static str)]> {
    vec![
        gangday_calc::CODES,
        gangday_ground::CODES,
        gangday_traffic::CODES,
        gangday_planner::codes::CODES,
        gangday_files::CODES,
        gangday_store::CODES,
        OWN,
    ]
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use super::*;

    #[test]
    fn no_code_has_two_meanings() {
        let mut meanings: HashMap<&str, &str> = HashMap::new();
        for (code, meaning) in rooms().concat() {
            let other = meanings.insert(code, meaning);
            assert!(
                other.is_none_or(|other| other == meaning),
                "{code} has two meanings"
            );
        }
        assert!(meanings.len() > 60, "only {}", meanings.len());
    }
}
