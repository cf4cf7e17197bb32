//! What the user always sees, whatever the plan says.

/// A caution with where it comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Stable name.
    pub code: &'static str,
    /// What it is about.
    pub title: &'static str,
    /// What to mind.
    pub text: &'static str,
    /// The document, or that it is from memory.
    pub source: &'static str,
}

/// The cautions, in the order in which they are shown.
#[must_use]
pub const fn cautions() -> &'static [Caution] {
    CAUTIONS
}

const CAUTIONS: &[Caution] = &[
    Caution {
        code: "services",
        title: "Buried services",
        text: "This plan and its map are no record of buried apparatus. Assume services are there \
               until shown otherwise, and near the surface even in footways. Get current plans, \
               which are indicative and often leave out service connections; use the locator in all \
               modes; dig trial holes by hand; keep power tools 0.5 m off a marked line. A failed \
               trace is no proof of absence. Stop and report any strike.",
        source: "HSE, HSG47 Avoiding danger from underground services, 3rd edition 2014; the details \
                 of locating and hand digging from memory",
    },
    Caution {
        code: "excavations",
        title: "Excavations",
        text: "No depth of dig may be taken as stable without an assessment on the spot, however \
               shallow. A competent person inspects it each day before work and after anything that \
               may have affected it, and decides on support, edge protection and access. An \
               excavation left open is guarded.",
        source: "Construction (Design and Management) Regulations 2015, regulation 22, which names no \
                 depth (from memory); HSE leaflet extract on inspections",
    },
    Caution {
        code: "traffic",
        title: "Traffic management",
        text: "Closures here are proposals by published widths. Signing, lighting and guarding are \
               designed and set out to the code by a competent, qualified person and agreed with the \
               street authority. Taper and run-in lengths drawn here are from memory: read them from \
               the code.",
        source: "Safety at Street Works and Road Works, Code of Practice (October 2013); HAUC(UK) \
                 Guidance Bulletin 34",
    },
    Caution {
        code: "chemicals",
        title: "Cement, resin and sealant",
        text: "Wet cement burns; resins and fillers sensitise; dust from cutting harms the lungs. Read \
               the safety data sheet, keep off the skin, wear what it asks for, suppress dust.",
        source: "Control of Substances Hazardous to Health Regulations 2002, from memory",
    },
    Caution {
        code: "vibration",
        title: "Hand-arm vibration",
        text: "Breakers, rammers and plates add up over the day for each operative. Action value 2.5 \
               m/s2 A(8), limit 5 m/s2 A(8): share the work out and keep a record.",
        source: "Control of Vibration at Work Regulations 2005 (SI 2005/1093), read in a secondary text",
    },
    Caution {
        code: "handling",
        title: "Manual handling",
        text: "Sections, frames and bags are heavy. Lift by machine or together where you can; a weight \
               in a guideline is a filter and no limit.",
        source: "HSE, L23 and INDG143, from memory",
    },
    Caution {
        code: "covers",
        title: "Lifting covers",
        text: "Use the right keys or a lifter, keep hands and feet clear, guard the opening at once. A \
               chamber may hold gas or too little air: nobody goes in without a confined-space \
               assessment and permit.",
        source: "Common practice; Confined Spaces Regulations 1997, from memory",
    },
    Caution {
        code: "local",
        title: "Local codes prevail",
        text: "Local codes, the street authority's conditions, permits and licensed practice prevail \
               over anything on these sheets. England, Wales, Scotland and Northern Ireland differ.",
        source: "Common practice, no source",
    },
];

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    #[test]
    fn each_has_a_title_a_text_a_source_and_a_code_of_its_own() {
        let codes: HashSet<_> = cautions().iter().map(|caution| caution.code).collect();
        assert_eq!(codes.len(), cautions().len());
        for caution in cautions() {
            assert!(!caution.title.is_empty() && !caution.text.is_empty());
            assert!(!caution.source.is_empty());
        }
    }

    #[test]
    fn all_that_the_trade_warns_of_is_there() {
        for code in [
            "services",
            "excavations",
            "traffic",
            "chemicals",
            "vibration",
            "handling",
            "covers",
            "local",
        ] {
            assert!(
                cautions().iter().any(|caution| caution.code == code),
                "{code}"
            );
        }
    }

    /// There is no depth below which a dig needs no support: none may be printed.
    #[test]
    fn no_depth_of_dig_is_ever_named() {
        let dig = cautions()
            .iter()
            .find(|caution| caution.code == "excavations")
            .unwrap();
        assert!(!dig.text.contains(|letter: char| letter.is_ascii_digit()));
        assert!(
            cautions()
                .iter()
                .all(|caution| !caution.text.contains("1.2 m"))
        );
    }
}
