//! The codes of this room's findings.

/// Every code that a calculation may raise, with its meaning in one line.
pub const CODES: &[(&str, &str)] = &[
    (
        "C-ADJUST",
        "An adjustment states sections, but it stacks none.",
    ),
    (
        "C-BASE",
        "The base is thinner than the first section stands in it.",
    ),
    ("C-BASE-THIN", "The base is thinner than usual."),
    (
        "C-CLASS",
        "The cover's load class is below the usual group of its position.",
    ),
    (
        "C-CONCRETE-HIGH",
        "Concrete reaches higher below the road surface than the code's bedding limit.",
    ),
    (
        "C-DEPTH",
        "The dig is deeper than this method of building is meant for.",
    ),
    (
        "C-ELV",
        "A day's vibration passes the exposure limit value.",
    ),
    (
        "C-EMBED",
        "The sections are not as tall as the depth they stand in the base.",
    ),
    (
        "C-FINISH",
        "How far a finished edge may lie from the surface beside it.",
    ),
    ("C-GANG", "The number of people is not a gang."),
    ("C-GROUND", "The ground has no output in the method table."),
    (
        "C-HANDLING",
        "A section is heavier than the manual-handling filter.",
    ),
    (
        "C-IRONWORK",
        "The ironwork does not fit the opening or the dig.",
    ),
    (
        "C-LIFT",
        "None of the gang's plant is permitted to compact this lift.",
    ),
    (
        "C-MARGIN",
        "The working space is narrower than the compacting plate.",
    ),
    ("C-NO-TYPE1", "There is no depth left for type 1."),
    ("C-OPENING", "The clear opening is outside the usual range."),
    (
        "C-ORDER-LATE",
        "The last day to order a material has passed.",
    ),
    (
        "C-OUTPUTS",
        "A gang's recorded outputs can't be made out or used.",
    ),
    (
        "C-POUR",
        "A pour is larger than can be mixed within the open time.",
    ),
    (
        "C-RING",
        "The ring round the ironwork is narrower than the compacting plate.",
    ),
    ("C-SECTIONS", "A new or replaced chamber has no sections."),
    ("C-SIZE", "A size is zero, negative or absurd."),
    (
        "C-SURFACING",
        "The surfacing is thicker than the depth available.",
    ),
    (
        "C-SURFACING-DEEP",
        "The surfacing reaches below the ironwork.",
    ),
    (
        "C-TEMPERATURE",
        "The temperature is no temperature that work is done in.",
    ),
    (
        "C-TOO-COLD",
        "It is colder than the material may be placed in.",
    ),
    ("C-DIG", "What the job states of its dig can't be made out."),
    (
        "C-EAV",
        "A day's vibration passes the exposure action value.",
    ),
    (
        "C-EDITION",
        "The edition of the reinstatement code is not known.",
    ),
    (
        "C-LAYER-LIFT",
        "A layer can't be laid in lifts of its mixture.",
    ),
    ("C-LAYERS", "The stated layers can't be made out."),
    (
        "C-MIXTURE",
        "No lift limits are known for a layer's mixture.",
    ),
    (
        "C-SIDES",
        "The sides of a dig are a quantity, not a design: a competent person assesses them.",
    ),
    ("C-TYPE-0", "A carriageway of road type 0 states no layers."),
    (
        "P-ABSENT",
        "A figure that the calculation needs is in no table.",
    ),
    (
        "P-RANGE",
        "A figure is not one that the calculation can use.",
    ),
    (
        "P-UNIT",
        "A figure is given in another unit than the calculation uses.",
    ),
    ("P-UNREAD", "A row of figures has a key that nothing reads."),
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::CODES;

    #[test]
    fn codes_are_unique_and_told() {
        let unique: BTreeSet<_> = CODES.iter().map(|(code, _)| code).collect();
        assert_eq!(unique.len(), CODES.len());
        assert!(CODES.iter().all(|(_, meaning)| meaning.ends_with('.')));
    }

    /// Reads this room's own sources: a code raised but not listed would have no page, and a code
    /// listed but never raised would be a page about nothing.
    #[test]
    fn the_codes_raised_are_the_codes_listed() {
        let mut raised = BTreeSet::new();
        let folders =
            ["/src", "/src/order"].map(|folder| format!("{}{folder}", env!("CARGO_MANIFEST_DIR")));
        for file in folders
            .iter()
            .flat_map(|folder| std::fs::read_dir(folder).unwrap())
        {
            let path = file.unwrap().path();
            if path.is_dir() || path.ends_with("codes.rs") {
                continue;
            }
            let text = std::fs::read_to_string(&path).unwrap();
            let quoted = text.split('"').skip(1).step_by(2);
            let codes = quoted.filter(|part| part.starts_with("C-") || part.starts_with("P-"));
            raised.extend(codes.map(str::to_owned));
        }
        let listed: BTreeSet<_> = CODES.iter().map(|(code, _)| (*code).to_owned()).collect();
        assert_eq!(raised, listed);
    }
}
